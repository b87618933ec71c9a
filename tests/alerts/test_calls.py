"""Joining, repeating and growing of calls, rule by rule."""

from datetime import timedelta
from itertools import pairwise

import pytest

from bayapp.alerts.calls import REPEATS, Call, call_due, next_call_at, note_call
from bayapp.alerts.condition import AlertKind
from bayapp.alerts.lifecycle import AlertBook, acknowledge, refresh, snooze
from tests.alerts.moments import at, condition, opened


def due(book: AlertBook, seconds: float) -> Call:
    call = call_due(book, at(seconds))
    assert call is not None
    return call


def calls_of(book: AlertBook, count: int) -> list[Call]:
    """Sound the book's next calls, each at its exact moment."""
    calls: list[Call] = []
    now = at(0)
    for _ in range(count):
        moment = next_call_at(book, now)
        assert moment is not None
        call = call_due(book, moment)
        assert call is not None
        calls.append(call)
        book, now = note_call(book, call), moment
    return calls


def test_zones_of_one_block_that_open_together_are_one_call_with_every_label() -> None:
    wheels = [opened(f"wheel-{n}", group="job/wheels") for n in range(4)]
    book = refresh(AlertBook(), wheels, at(0))
    call = due(book, 0)
    assert len(call.labels) == 4
    assert call_due(note_call(book, call), at(1.5)) is None


def test_a_joined_call_uses_the_most_urgent_tone() -> None:
    kinds = [AlertKind.OPENED, AlertKind.LAPSED, AlertKind.CLOSING, AlertKind.CURED]
    book = refresh(AlertBook(), [condition(kind, kind.value) for kind in kinds], at(0))
    call = due(book, 0)
    assert call.kind is AlertKind.CLOSING
    assert call.labels[0] == "closing, layer two, closing"
    assert len(call.labels) == 4


def test_a_zone_of_a_set_that_opens_later_brings_the_whole_set_into_one_rhythm() -> None:
    first = opened("wheel-1", group="job/wheels")
    book = refresh(AlertBook(), [first], at(0))
    book = note_call(book, due(book, 0))
    book = refresh(book, [first, opened("wheel-2", since=20, group="job/wheels")], at(20))
    call = due(book, 20)
    assert len(call.subjects) == 2
    assert next_call_at(note_call(book, call), at(20)) == at(80)


def test_a_set_that_opens_zone_by_zone_does_not_grow_louder_for_it() -> None:
    zones = [opened(f"wheel-{n}", since=10 * n, group="job/wheels") for n in range(5)]
    book = AlertBook()
    for n in range(5):
        book = refresh(book, zones[: n + 1], at(10 * n))
        call = due(book, 10 * n)
        book = note_call(book, call)
    assert call.level == REPEATS[AlertKind.OPENED].level


def test_a_call_in_progress_is_left_to_end_by_the_equally_urgent() -> None:
    book = refresh(AlertBook(), [opened("roof")], at(0))
    book = note_call(book, due(book, 0))
    book = refresh(book, [opened("roof"), opened("bonnet", since=1)], at(1))
    assert call_due(book, at(1)) is None
    assert next_call_at(book, at(1)) == at(1.5)


def test_a_call_in_progress_gives_way_to_the_more_urgent() -> None:
    book = refresh(AlertBook(), [opened("roof")], at(0))
    book = note_call(book, due(book, 0))
    book = refresh(book, [opened("roof"), condition(AlertKind.CLOSING, "bonnet", since=1)], at(1))
    assert due(book, 1).kind is AlertKind.CLOSING


@pytest.mark.parametrize("kind", list(AlertKind))
def test_an_unacknowledged_alert_repeats_faster_and_louder_down_to_a_floor(kind: AlertKind) -> None:
    calls = calls_of(refresh(AlertBook(), [condition(kind, "roof")], at(0)), 12)
    gaps = [b.at - a.at for a, b in pairwise(calls)]
    levels = [call.level for call in calls]
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[0] == REPEATS[kind].first
    assert gaps[-1] == REPEATS[kind].floor
    assert levels == sorted(levels)
    assert levels[-1] == 1.0
    assert levels[0] < levels[1]


@pytest.mark.parametrize("kind", list(AlertKind))
def test_no_call_repeats_within_ten_seconds(kind: AlertKind) -> None:
    assert REPEATS[kind].floor >= timedelta(seconds=10)


def test_acknowledging_silences() -> None:
    roof = opened("roof")
    book = refresh(AlertBook(), [roof], at(0))
    book = acknowledge(note_call(book, due(book, 0)), {roof.subject}, at(3))
    assert next_call_at(book, at(3)) is None


def test_one_touch_on_a_call_acknowledges_all_it_spoke_for() -> None:
    book = refresh(AlertBook(), [opened("roof"), opened("bonnet")], at(0))
    call = due(book, 0)
    assert next_call_at(acknowledge(note_call(book, call), call.subjects, at(3)), at(3)) is None


def test_a_set_does_not_drag_its_snoozed_zone_into_the_call() -> None:
    first, second = opened("wheel-1", group="job/wheels"), opened("wheel-2", since=20, group="job/wheels")
    book = snooze(refresh(AlertBook(), [first], at(0)), {first.subject}, at(0), 5)
    book = refresh(book, [first, second], at(20))
    assert due(book, 20).subjects == {second.subject}


def test_an_empty_book_has_no_next_call() -> None:
    assert next_call_at(AlertBook(), at(0)) is None
    assert call_due(AlertBook(), at(0)) is None
