"""What a reading moved, in one sentence."""

from datetime import UTC, timedelta, timezone
from typing import Any

import pytest

from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import AlertBook, acknowledge, refresh
from bayapp.alerts.withdrawn import withdraw
from bayapp.job import CorrectAir, ReadAir, clocks
from bayapp.job.moved_clocks import MovedClocks, is_late, moved_clocks, moved_clocks_text
from bayapp.job.state.events import AirRead
from bayapp.job.state.requests import Request
from tests.job.builders import MS, Shop, at, job, read_air, recipe, step, two_step

TABLES = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [30, 20]]}


def shop() -> Shop:
    bay = Shop(job((["roof", "bonnet"], two_step(TABLES))))
    bay.must(read_air(20), 0)
    bay.work("roof", "coat", 0, 1)
    return bay


def after(bay: Shop, request: Request, minutes: float) -> MovedClocks | None:
    before = bay.state
    (event,) = bay.must(request, minutes).events
    return moved_clocks(before, event, bay.state)


@pytest.mark.parametrize(
    ("request_", "said"),
    [
        (read_air(16), "The air is 4 °C colder: roof, level now opens at 08:06:43, 0:44 later."),
        (read_air(25), "The air is 5 °C warmer: roof, level now opens at 08:05:24, 0:36 sooner."),
        (read_air(8), "The air is 12 °C colder: roof, level cannot be timed any more."),
        (
            ReadAir(10, 50.0, None, None, at(1)),
            "A reading of 08:01 came late: roof, level now opens at 08:09:00, 3:00 later.",
        ),
        (
            CorrectAir(at(0), ReadAir(10, 50.0)),
            "The reading of 08:00 was corrected: roof, level now opens at 08:09:00, 3:00 later.",
        ),
        (CorrectAir(at(0), None), "The reading of 08:00 was withdrawn: roof, level cannot be timed any more."),
    ],
)
def test_it_says_why_and_what(request_: Request, said: str) -> None:
    bay = shop()
    found = after(bay, request_, 3)
    assert found
    assert moved_clocks_text(found, bay.state, UTC) == said


CLOSES = {"max_by_c": [[10, 60], [30, 20]]}
STEEP = {"min_by_rh": [[49, 12.5], [51, 7.5]]}
STEEP_C = {"min_by_c": [[19.9, 12.5], [20.1, 7.5]]}
BY_RH = {"min_by_rh": [[30, 12], [50, 8], [80, 5]]}


@pytest.mark.parametrize(
    ("wait", "first", "second", "cause", "effect"),
    [
        # Two of 40 minutes are over: 0.95 of 60 are 57 more, 0.95 of 20 are 19.
        (CLOSES, read_air(20), read_air(10), "The air is 10 °C colder", "now closes at 09:00:00, 19:00 later"),
        (CLOSES, read_air(20), read_air(30), "The air is 10 °C warmer", "now closes at 08:22:00, 19:00 sooner"),
        # Two of the 20 minutes of the fastest air are over: 0.9 of 40 are 36 more.
        (CLOSES, None, read_air(20), "The air has been read", "now closes at 08:39:00, 18:00 later"),
        (TABLES, None, read_air(20), "The air has been read", "opens at 08:08:00"),
        # Two of 8 minutes are over: three quarters of 5 are 3.75 more, of 12 are 9, of 7.6 are 5.7.
        (BY_RH, ReadAir(20, 50.0), ReadAir(20, 80.0), "The air is 30 % damper", "now opens at 08:06:45, 2:15 sooner"),
        (BY_RH, ReadAir(20, 50.0), ReadAir(20, 30.0), "The air is 20 % drier", "now opens at 08:12:00, 3:00 later"),
        (BY_RH, ReadAir(20, 50.0), ReadAir(30, 54.0), "The air is 4 % damper", "now opens at 08:08:42, 0:18 sooner"),
        # Two of 10 minutes are over: 0.8 of 9 are 7.2 more, of 8 are 6.4, of 11 are 8.8.
        (STEEP, ReadAir(20, 50.0), ReadAir(20, 50.4), "The air was read again", "now opens at 08:10:12, 0:48 sooner"),
        (STEEP, ReadAir(20, 50.0), ReadAir(20, 50.8), "The air is 1 % damper", "now opens at 08:09:24, 1:36 sooner"),
        (STEEP, ReadAir(20, 50.0), ReadAir(20, 49.6), "The air was read again", "now opens at 08:11:48, 0:48 later"),
        (STEEP_C, read_air(20), read_air(20.04), "The air was read again", "now opens at 08:10:12, 0:48 sooner"),
        (STEEP_C, read_air(20), read_air(20.05), "The air is 0.1 °C warmer", "now opens at 08:10:00, 1:00 sooner"),
    ],
)
def test_a_moved_clock_is_reported_with_its_cause_and_the_moment_that_moved(
    wait: dict[str, Any], first: ReadAir | None, second: ReadAir, cause: str, effect: str
) -> None:
    bay = Shop(job((["roof"], two_step(wait))))
    if first:
        bay.must(first, 0)
    bay.work("roof", "coat", 0, 1)
    found = after(bay, second, 3)
    assert found
    assert moved_clocks_text(found, bay.state, UTC) == f"{cause}: roof, level {effect}."


def test_of_several_clocks_the_soonest_is_reported_with_how_many_more_moved() -> None:
    bay = Shop(job((["roof", "bonnet", "left-door"], two_step(TABLES))))
    bay.must(read_air(20), 0)
    for minute, zone in enumerate(("roof", "bonnet", "left-door")):
        bay.work(zone, "coat", minute, minute + 1)
    found = after(bay, read_air(10), 3)
    assert found
    # Two of 5 minutes are over: 0.6 of 8 are 4.8 more.
    effect = "roof, level now opens at 08:07:48, 1:48 later"
    assert moved_clocks_text(found, bay.state, UTC) == f"The air is 10 °C colder: {effect}; 2 more clocks moved."


def test_zones_that_move_alike_share_one_sentence_and_what_lost_its_time_comes_first() -> None:
    cold = {"min_by_c": [[5, 8.0], [20, 5.0]]}
    bay = Shop(job((["roof", "bonnet"], two_step(cold)), (["left-door"], two_step({"min_by_c": [[10, 8], [20, 6]]}))))
    bay.must(read_air(20), 0)
    bay.work("roof bonnet", "coat", 0, 1)
    bay.work("left-door", "coat", 1, 2)
    found = after(bay, read_air(8), 3)
    assert found
    assert moved_clocks_text(found, bay.state, UTC) == (
        "The air is 12 °C colder: left door, level cannot be timed any more; 1 more clock moved."
    )


def test_a_corrected_reading_is_named_by_when_it_was_measured() -> None:
    bay = shop()
    bay.must(ReadAir(20, 50.0, None, None, at(2)), 5)
    found = after(bay, CorrectAir(at(5), ReadAir(10, 50.0)), 6)
    assert found
    # One of 5 minutes is over at 2: 0.8 of 8 are 6.4 more.
    assert moved_clocks_text(found, bay.state, UTC) == (
        "The reading of 08:02 was corrected: roof, level now opens at 08:08:24, 2:24 later."
    )


def test_a_correction_saves_or_loses_a_clock_at_the_step_that_was_missed() -> None:
    bay = shop()  # its latest moment is at 41 in air of 20 °C
    found = after(bay, CorrectAir(at(0), ReadAir(10, 50.0)), 42)
    assert found
    (moved,) = found.moved
    assert (moved.step, moved.was.urgency, moved.now.urgency) == ("level", "lapsed", "open")
    lost = after(bay, CorrectAir(at(0), ReadAir(30, 50.0)), 43)
    assert lost
    (moved,) = lost.moved
    assert (moved.step, moved.was.urgency, moved.now.urgency) == ("level", "open", "lapsed")


def test_a_zone_without_a_wait_on_the_air_is_not_moved() -> None:
    bay = Shop(job((["roof"], two_step(TABLES)), (["left-rim"], recipe(step("clean"), name="cleaning"))))
    bay.must(read_air(20), 0)
    bay.work("roof", "coat", 0, 1)
    found = after(bay, read_air(10), 3)
    assert found
    assert [moved.zone for moved in found.moved] == ["roof"]


def test_both_times_are_given_by_the_shops_own_clock() -> None:
    bay = shop()
    found = after(bay, CorrectAir(at(0), ReadAir(10, 50.0)), 3)
    assert found
    assert moved_clocks_text(found, bay.state, timezone(timedelta(hours=1))) == (
        "The reading of 09:00 was corrected: roof, level now opens at 09:09:00, 3:00 later."
    )


def test_a_reading_that_comes_in_time_is_reported_from_fifteen_seconds_on() -> None:
    def moved_by(percent: float) -> MovedClocks | None:
        bay = Shop(job((["roof"], two_step({"min_by_rh": [[40, 10], [60, 5]]}))))  # 15 s for each per cent
        bay.must(ReadAir(20, 50.0), 0)
        bay.work("roof", "coat", 0, 1)
        return after(bay, ReadAir(20, 50.0 + percent), 1)

    assert moved_by(0.99) is None
    assert moved_by(1) is not None
    assert moved_by(-1) is not None


@pytest.mark.parametrize(("recorded", "late"), [(6 - MS, False), (6, True)])
def test_a_reading_is_late_that_was_recorded_a_minute_after_it_was_measured(recorded: float, late: bool) -> None:
    (event,) = shop().must(ReadAir(20, 50.0, None, None, at(5)), recorded).events
    assert isinstance(event, AirRead)
    assert is_late(event) is late


def test_a_flicker_of_the_meter_is_not_reported() -> None:
    assert after(shop(), read_air(20.1), 3) is None


def test_an_opening_that_was_called_is_taken_back_and_said_also_where_it_was_answered() -> None:
    bay = shop()
    book = refresh(AlertBook(), conditions(bay.state, clocks(bay.state, at(6)), at(6)), at(6))
    subjects = {alert.condition.subject for alert in book.alerts}
    for before in (book, acknowledge(book, subjects, at(6.5))):
        again = shop()
        found = after(again, CorrectAir(at(0), ReadAir(10, 50.0)), 7)
        assert found
        left, calls = withdraw(before, found.moved, again.state, at(7))
        assert left.alerts == ()
        assert [(c.kind, c.label) for c in calls] == [(AlertKind.ATTENTION, "Roof, level is not ready after all")]


def test_nothing_is_taken_back_that_stays_true() -> None:
    bay = shop()
    book = refresh(AlertBook(), conditions(bay.state, clocks(bay.state, at(6)), at(6)), at(6))
    found = after(bay, CorrectAir(at(0), ReadAir(21, 50.0)), 7)
    assert found
    assert withdraw(book, found.moved, bay.state, at(7)) == (book, ())
