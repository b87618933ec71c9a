"""Waits as the day record judges them where they hang on the air."""

from datetime import UTC, timedelta

from bayapp.job import CorrectAir, ReadAir
from bayapp.job.model.ids import JobId
from bayapp.report.facts.content import day_record
from bayapp.report.facts.day_record import WaitKept
from tests.job.builders import START, Shop, at, job, read_air, start, two_step

TABLES = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [30, 20]]}


def kept(bay: Shop) -> WaitKept:
    record = day_record(bay.events, JobId("car"), START.date(), at(600), UTC)  # type: ignore[arg-type]
    (zone,) = record.zones
    wait = next(step.wait for step in zone.steps if step.step == "level")
    assert wait
    return wait


def test_the_wait_asked_for_is_the_one_that_the_air_made() -> None:
    bay = Shop(job((["roof"], two_step(TABLES))))
    bay.must(read_air(20), 0)
    bay.work("roof", "coat", 0, 1)
    bay.must(read_air(10), 3.5)  # half is over; half of 8 min more
    bay.work("roof", "level", 7.5, 8)
    bay.must(read_air(30), 9)
    found = kept(bay)
    assert (found.opens_at, found.earliest, found.started_at) == (at(7.5), timedelta(minutes=6.5), at(7.5))


def test_readings_are_judged_as_they_were_corrected() -> None:
    bay = Shop(job((["roof"], two_step(TABLES))))
    bay.must(read_air(20), 0)
    bay.work("roof", "coat", 0, 1)
    bay.work("roof", "level", 6, 7)
    bay.must(CorrectAir(at(0), ReadAir(10, 50.0)), 20)
    assert kept(bay).opens_at == at(9)


def test_a_step_carried_through_in_unknown_air_has_no_moment_at_which_it_would_have_been_right() -> None:
    bay = Shop(job((["roof"], two_step(TABLES))))
    bay.work("roof", "coat", 0, 1)
    bay.must(start("roof", "level", reason="the sheet of the maker allows it"), 6)
    found = kept(bay)
    assert (found.since, found.opens_at) == (at(1), None)
