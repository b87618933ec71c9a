"""Every row of the table of alerts is complete and stands apart from the others."""

from string import Formatter

import pytest

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.repeats import GOOD_NEWS
from bayapp.job.model.ids import Urgency

kinds = pytest.mark.parametrize("kind", AlertKind)


def fields(sentence: str) -> set[str]:
    return {name for _text, name, _spec, _conversion in Formatter().parse(sentence) if name}


@kinds
def test_a_kind_is_found_by_the_name_that_is_its_value(kind: AlertKind) -> None:
    assert kind.value == str(kind) == kind.name.lower()
    assert AlertKind.named(kind.value) is kind


@kinds
def test_a_kind_is_shown_in_an_urgency_that_the_board_has(kind: AlertKind) -> None:
    assert Urgency(kind.row.shown_as) in Urgency


@kinds
def test_the_sentences_of_a_wait_name_zones_and_step(kind: AlertKind) -> None:
    for sentence in (kind.row.sentence, kind.row.withdrawn) if kind.row.stage else ():
        assert fields(sentence) == {"zones", "step"}


def test_no_two_kinds_have_the_same_priority_or_stage() -> None:
    stages = [kind.row.stage for kind in AlertKind if kind.row.stage]
    assert len({kind.row.priority for kind in AlertKind}) == len(AlertKind)
    assert sorted(stages) == list(range(1, len(stages) + 1))


def test_what_can_still_be_saved_is_called_before_what_is_lost_and_good_news_last() -> None:
    """Priority from consequence and time left to act, as in IEC 62682 (from memory)."""
    good_news = {kind.row.priority for kind in AlertKind if kind.row.repeat is GOOD_NEWS}
    others = {kind.row.priority for kind in AlertKind if kind.row.repeat is not GOOD_NEWS}
    assert AlertKind.CLOSING.row.priority > AlertKind.LAPSED.row.priority > AlertKind.OPENED.row.priority
    assert max(good_news) < min(others)
