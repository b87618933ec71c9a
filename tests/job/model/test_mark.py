from datetime import UTC, date, datetime

import pytest
from pydantic import ValidationError

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.mark import Mark, MarkKind, with_mark, without_mark

ROOF = ZoneId("roof")
FILM = Mark(kind=MarkKind.FILM, date=date(2026, 2, 21))


def wrong(**keys: object) -> str:
    with pytest.raises(ValidationError) as caught:
        Mark.model_validate(keys)
    return str(caught.value.errors()[0]["msg"])


def test_of_a_repaint_the_day_must_be_known_of_everything_else_it_may() -> None:
    assert "it must be known when" in wrong(kind="repainted")
    for kind in ("damage", "matt", "film", "sensor", "leave"):
        assert Mark.model_validate({"kind": kind}).date is None
        assert Mark.model_validate({"kind": kind, "date": "2026-02-21"}).date == date(2026, 2, 21)


def test_days_belong_to_a_repaint_and_what_to_a_damage() -> None:
    assert "days are counted from a repaint" in wrong(kind="film", days=10)
    assert "which damage" in wrong(kind="matt", what="chip")
    assert Mark(kind="repainted", date=date(2026, 2, 21), days=0).days == 0
    assert Mark(kind="damage", what="high-spot").what == "high-spot"


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (20260221, "20260221 is no date"),
        (True, "True is no date"),
        ("21.2.2026", "is no date"),
        ("2026-02-30", "is no day of the calendar"),
        (datetime(2026, 2, 21, tzinfo=UTC), "write the day alone"),
        ("2026-02-21T00:00:00Z", "write the day alone"),
        (date(202, 2, 21), "look at the year"),
    ],
)
def test_a_date_is_a_day_of_the_calendar_and_no_number_or_time(day: object, words: str) -> None:
    assert words in wrong(kind="film", date=day)


def test_a_day_lies_ahead_only_once_it_has_begun_nowhere() -> None:
    """In Kiritimati the day begins fourteen hours before it does in Greenwich (IANA time zone database, +14)."""
    assert not FILM.lies_ahead(datetime(2026, 2, 20, 10, 0, tzinfo=UTC))
    assert FILM.lies_ahead(datetime(2026, 2, 20, 9, 59, 59, 999_000, tzinfo=UTC))
    assert not Mark(kind="matt").lies_ahead(datetime(1900, 1, 1, tzinfo=UTC))


def test_of_everything_but_damage_what_was_said_last_holds() -> None:
    chip, dent = Mark(kind="damage", what="chip"), Mark(kind="damage", what="dent")
    marks = with_mark(with_mark(with_mark({}, ROOF, FILM), ROOF, chip), ROOF, dent)
    again = with_mark(marks, ROOF, Mark(kind="film", note="left half only"))
    assert again == {ROOF: (chip, dent, Mark(kind="film", note="left half only"))}
    assert with_mark(again, ROOF, chip)[ROOF].count(chip) == 1


def test_a_zone_whose_last_mark_is_lifted_has_none() -> None:
    chip = Mark(kind="damage", what="chip", point=(3, 4))
    marks = with_mark(with_mark({}, ROOF, FILM), ROOF, chip)
    assert without_mark(marks, ROOF, FILM) == {ROOF: (chip,)}
    assert without_mark(without_mark(marks, ROOF, FILM), ROOF, chip) == {}
