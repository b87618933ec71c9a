"""Entries are read in the times that are known to be right by now, and written as they were believed."""

from typing import Any

from bayapp.job import fold
from bayapp.job.model.ids import BottleId, JobId, StepId, ZoneId
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AirValues,
    AlertAnswered,
    BottleOpened,
    Event,
    MachineStarted,
    OutageLength,
    Shift,
    StepFinished,
    StepStarted,
    TimeCorrected,
    TimePutRight,
)
from bayapp.job.state.put_right import moments_put_right, put_right
from tests.job.builders import at

HOUR_MS = 3_600_000


def right(minutes: float, *shifts: Shift, outages: tuple[OutageLength, ...] = ()) -> TimePutRight:
    return TimePutRight(at=at(minutes), answer="time", shifts=shifts, outages=outages)


def started(minutes: float) -> StepStarted:
    return StepStarted(at=at(minutes), job=JobId("car"), zone=ZoneId("roof"), step=StepId("wipe"))


def finished(minutes: float) -> StepFinished:
    return StepFinished(at=at(minutes), job=JobId("car"), zone=ZoneId("roof"), step=StepId("wipe"))


def off(since: float, until: float) -> MachineStarted:
    return MachineStarted(at=at(until), off_since=at(since), on_ms=1_000)


def moments(*events: Any) -> list[object]:
    return [event.at for event in put_right(events)]


def test_without_such_an_entry_all_stands_as_it_was_written():
    events: list[Event] = [started(0), finished(5)]
    assert put_right(events) == events


def test_what_followed_an_outage_moves_as_a_whole_and_what_came_before_stays():
    later = Shift(since=at(11), by_ms=HOUR_MS)
    assert moments(started(0), off(10, 11), finished(15), right(80, later)) == [at(0), at(71), at(75), at(80)]


def test_a_board_that_was_wrong_all_along_moves_everything():
    all_along = Shift(by_ms=-HOUR_MS)
    assert moments(started(0), finished(15), right(-40, all_along)) == [at(-60), at(-45), at(-40)]


def test_shifts_follow_one_another_each_in_the_times_that_held_then():
    events = (
        started(0),
        off(10, 11),
        finished(15),
        right(80, Shift(since=at(11), by_ms=HOUR_MS)),
        right(140, Shift(since=at(71), by_ms=HOUR_MS), Shift(by_ms=-60_000)),
    )
    assert moments(*events) == [at(-1), at(130), at(134), at(139), at(140)]


def test_a_day_that_lay_years_ahead_does_not_move_with_the_day_that_came_after_it():
    years = 10 * 365 * 24 * 60
    ahead = started(years)
    back = MachineStarted(at=at(0), off_since=at(years + 5), length="unasked")
    moved: list[Any] = put_right([ahead, back, started(3), right(8, Shift(since=at(0), by_ms=60_000))])
    assert [event.at for event in moved] == [at(years), at(1), at(4), at(8)]


def test_every_moment_read_off_the_board_moves_and_a_date_on_a_label_does_not():
    values = AirValues(air_c=20, rh_percent=50, read_at=at(2))
    entries: list[Any] = [
        TimeCorrected(
            at=at(3), job=JobId("car"), zone=ZoneId("roof"), step=StepId("wipe"), edge="start", was=at(1), becomes=at(2)
        ),
        AirRead(at=at(3), air_c=20, rh_percent=50, read_at=at(2)),
        AirCorrected(at=at(4), corrects=at(3), was=values, becomes=values),
        AlertAnswered(at=at(4), subjects=("a",), until=at(9)),
        BottleOpened(at=at(4), bottle=BottleId("bottle-1"), opened_at=at(2)),
        right(10, outages=(OutageLength(until=at(1), length="told"),)),
        right(70, Shift(by_ms=HOUR_MS)),
    ]
    found: list[Any] = put_right(entries)
    corrected, air, air_corrected, answered, opened, told, _last = found
    assert (corrected.was, corrected.becomes) == (at(61), at(62))
    assert (air.at, air.measured_at) == (at(63), at(62))
    assert (air_corrected.corrects, air_corrected.was.read_at) == (at(63), at(62))
    assert answered.until == at(69)
    assert opened.opened_at == at(62)
    assert told.outages[0].until == at(61)


def test_a_reading_is_still_found_by_its_correction_after_the_time_was_put_right():
    air = AirRead(at=at(3), air_c=20, rh_percent=50)
    values = AirValues(air_c=20, rh_percent=50)
    corrected = AirCorrected(at=at(4), corrects=at(3), was=values, becomes=AirValues(air_c=25, rh_percent=50))
    state: Any = fold(
        put_right([air, right(63, Shift(by_ms=HOUR_MS)), corrected.model_copy(update={"corrects": at(63)})])
    )
    assert state.air.air_c == 25
    later: Any = fold(put_right([air, corrected, right(64, Shift(by_ms=HOUR_MS))]))
    assert later.air.air_c == 25


def test_moments_without_their_entries_are_put_right_alike():
    by = [(2, right(80, Shift(since=at(11), by_ms=HOUR_MS)))]
    assert moments_put_right([at(0), at(15), at(81)], by) == [at(0), at(75), at(81)]
