"""What the day record says. Bounds of the waits: the job's own rules of waiting, edges inside."""

import csv
import io
from datetime import UTC, date, datetime, timedelta

import pytest

from bayapp.job.model.ids import Code, JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.state.events import (
    ClockStepped,
    JobOpened,
    MachineStarted,
    OutageLength,
    Shift,
    StepFinished,
    StepStarted,
    TimeCorrected,
    TimePutRight,
)
from bayapp.job.state.requests import CloseJob, CorrectAir, CorrectTime, FinishStep, ReadAir, Start, Undo, WriteNote
from bayapp.report.exports import to_csv
from bayapp.report.facts.day_record import Kept
from bayapp.report.facts.phrases import Phrases
from tests.report.shop import DAY, GREEN, Shop, at, practice_job, step_of, zone_of

ASH, BO = Person("Ash"), Person("Bo")


def coated_glass(second: float = 12) -> Shop:
    """Both panes wiped and coated twice by minute ``second`` + 2, in one touch each time."""
    shop = Shop()
    shop.air(0)
    shop.work("glass", "wipe", 1, 3)
    shop.work("glass", "coat-1", 4, 6)
    shop.work("glass", "coat-2", second, second + 2)
    return shop


def test_each_step_says_when_it_was_done_and_by_whom():
    shop = Shop()
    shop.ask(Start(GREEN, (ZoneId("screen"),), StepId("wipe"), ASH), at(1))
    shop.ask(FinishStep(GREEN, (ZoneId("screen"),), StepId("wipe"), BO), at(3))
    wipe = step_of(shop.record_of(minutes=5), "screen", "wipe")
    assert (wipe.title, wipe.started_at, wipe.finished_at) == ("solvent wipe", at(1), at(3))
    assert (wipe.started_by, wipe.finished_by, wipe.stands) == (ASH, BO, True)


def test_the_required_wait_stands_against_the_actual_one():
    wait = step_of(coated_glass(second=12).record_of(), "screen", "coat-2").wait
    assert wait is not None
    assert (wait.earliest, wait.latest) == (timedelta(minutes=5), timedelta(minutes=60))
    assert (wait.counted_from, wait.actual, wait.kept) == ("coat 1 of 2", timedelta(minutes=6), Kept.INSIDE)


@pytest.mark.parametrize(("second", "kept"), [(11, Kept.INSIDE), (66, Kept.INSIDE)])
def test_both_edges_of_a_window_count_as_kept(second, kept):
    wait = step_of(coated_glass(second).record_of(), "screen", "coat-2").wait
    assert wait is not None
    assert wait.kept is kept


def test_a_wait_carried_through_too_early_says_by_how_much():
    shop = Shop()
    shop.air(0)
    shop.work("glass", "wipe", 1, 3)
    shop.work("glass", "coat-1", 4, 6)
    shop.work("glass", "coat-2", 10, 12, deviation="thin film, flashed already")
    wait = step_of(shop.record_of(), "pane", "coat-2").wait
    assert wait is not None
    assert (wait.kept, wait.off_by, wait.actual) == (Kept.EARLY, timedelta(minutes=1), timedelta(minutes=4))


def test_a_wait_carried_through_too_late_is_held_against_the_window_it_missed():
    shop = Shop()
    shop.air(0)
    shop.work("rim-a", "wipe", 1, 3)
    shop.work("rim-a", "coat", 4, 6)
    shop.work("rim-a", "level", 11, 12, deviation="still soft, tried a corner")
    record = shop.record_of()
    wait = step_of(record, "rim-a", "level").wait
    assert wait is not None
    assert (wait.max_from, wait.kept, wait.off_by) == ("start", Kept.LATE, timedelta(minutes=1))
    assert [(la.title, la.lapsed_at, la.back_to, la.carried_on) for la in record.lapses] == [
        ("level", at(10), "coat", True)
    ]


def test_a_wait_on_a_set_counts_from_the_last_of_all_its_panes():
    shop = coated_glass(second=12)
    shop.work("screen", "buff", 30, 32)
    wait = step_of(shop.record_of(), "screen", "buff").wait
    assert wait is not None
    assert (wait.counted_from, wait.since, wait.actual) == ("glass, last coat", at(14), timedelta(minutes=16))


def test_a_step_begun_before_its_set_was_coated_is_recorded_as_not_begun():
    shop = Shop()
    shop.air(0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    shop.work("screen", "coat-2", 12, 14)
    shop.work("screen", "buff", 30, 31, deviation="rear pane comes tomorrow")
    wait = step_of(shop.record_of(), "screen", "buff").wait
    assert wait is not None
    assert (wait.kept, wait.actual, wait.earliest) == (Kept.NOT_BEGUN, None, None)


def test_a_step_without_a_wait_has_none_to_keep():
    assert step_of(coated_glass().record_of(), "screen", "wipe").wait is None


def test_a_deviation_keeps_what_the_gate_said_in_the_shops_own_time_and_the_reason():
    shop = Shop()
    shop.air(0)
    shop.work("glass", "wipe", 1, 3)
    shop.work("glass", "coat-1", 4, 6)
    shop.work("glass", "coat-2", 10, 12, by="Bo", deviation="thin film")
    deviations = shop.record_of().deviations
    assert [(d.zone, d.codes, d.reason, d.by, d.at) for d in deviations] == [
        (ZoneId("screen"), (Code.EARLY,), "thin film", BO, at(10)),
        (ZoneId("pane"), (Code.EARLY,), "thin film", BO, at(10)),
    ]
    # 08:11 UTC is 09:11 in Berlin in November.
    assert deviations[0].said == "Windscreen: coat 2 of 2 is too early. The wait of 5:00 runs until 09:11:00."
    assert deviations[1].said.startswith("Rear pane:")


def test_a_deviation_names_every_rule_that_it_broke_in_the_shops_own_time():
    shop = Shop()
    shop.air(0)
    shop.work("glass", "wipe", 1, 3)
    shop.work("glass", "coat-1", 4, 6)
    shop.air(7, surface_c=11.66)  # the dew point of 20 °C and 50 % is 9.3 °C (from memory)
    shop.work("glass", "coat-2", 10, 12, by="Bo", deviation="thin film")
    screen, pane = shop.record_of().deviations
    assert screen.codes == pane.codes == (Code.EARLY, Code.AIR)
    assert pane.said.startswith(
        "Rear pane: coat 2 of 2 is too early. The wait of 5:00 runs until 09:11:00. The surface is"
    )
    row = next(row for row in csv.DictReader(io.StringIO(to_csv(shop.record_of()))) if row["step"] == "coat-2")
    assert (row["deviation_code"], row["deviation_said"]) == ("early air", screen.said)
    assert "2.4 °C above the dew point" in screen.said


def test_what_the_gate_said_about_another_car_in_the_bay_is_recorded_and_cars_that_left_change_nothing():
    shop = Shop()
    for name in ("old", "wet"):
        other = shop.job.model_copy(update={"id": JobId(name)})
        shop.record(JobOpened(at=at(0), job=other.id, opened=other))
    shop.ask(CloseJob(JobId("old"), ASH), at(0))
    shop.ask(Start(JobId("wet"), (ZoneId("screen"),), StepId("wipe"), ASH), at(1))
    shop.ask(Start(GREEN, (ZoneId("rim-a"),), StepId("wipe"), ASH, "both hands free"), at(2))
    deviations = shop.record_of(minutes=3).deviations
    assert [(d.codes, d.said) for d in deviations] == [
        (
            (Code.BUSY,),
            "Ash is still at windscreen of Green cart, solvent wipe. Finish that first, or let somebody else do this.",
        )
    ]


def test_an_undone_deviation_stays_in_the_record_and_says_when_it_was_taken_back():
    shop = Shop()
    shop.air(0)
    shop.work("glass", "wipe", 1, 3)
    shop.work("glass", "coat-1", 4, 6)
    shop.ask(Start(GREEN, (ZoneId("screen"),), StepId("coat-2"), ASH, "slip of the glove"), at(7))
    shop.ask(Undo(GREEN, (ZoneId("screen"),), BO), at(8))
    record = shop.record_of()
    assert [(d.reason, d.taken_back_at) for d in record.deviations] == [("slip of the glove", at(8))]
    assert [(t.zone_name, t.what, t.undone_at, t.by) for t in record.taken_back] == [
        ("windscreen", (("coat 2 of 2", "start", at(7)),), at(8), BO)
    ]
    assert [s.step for s in zone_of(record, "screen").steps] == ["wipe", "coat-1"]


def test_an_undone_finish_without_a_start_takes_both_back():
    shop = Shop()
    shop.ask(FinishStep(GREEN, (ZoneId("rim-a"),), StepId("wipe"), ASH), at(5))
    shop.ask(Undo(GREEN, (ZoneId("rim-a"),), ASH), at(6))
    record = shop.record_of()
    assert record.taken_back[0].what == (("solvent wipe", "start", at(5)), ("solvent wipe", "finish", at(5)))
    assert zone_of(record, "rim-a").steps == ()


def test_a_corrected_time_keeps_both_times_and_the_wait_is_judged_by_the_right_one():
    shop = Shop()
    shop.air(0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 7)
    shop.work("screen", "coat-2", 12, 13)
    shop.ask(CorrectTime(GREEN, ZoneId("screen"), StepId("coat-1"), "finish", at(6), BO), at(20))
    record = shop.record_of()
    assert [(c.edge, c.was, c.becomes, c.at, c.by) for c in record.corrections] == [
        ("finish", at(7), at(6), at(20), BO)
    ]
    assert step_of(record, "screen", "coat-1").corrected
    wait = step_of(record, "screen", "coat-2").wait
    assert wait is not None
    assert (wait.since, wait.actual) == (at(6), timedelta(minutes=6))


def test_an_undone_correction_leaves_the_first_time():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    shop.ask(CorrectTime(GREEN, ZoneId("rim-a"), StepId("wipe"), "start", at(2), BO), at(5))
    shop.ask(Undo(GREEN, (ZoneId("rim-a"),), BO), at(6))
    record = shop.record_of()
    assert step_of(record, "rim-a", "wipe").started_at == at(1)
    assert record.taken_back[0].what == (("solvent wipe", "correction", at(5)),)


def test_a_lapse_says_what_it_cost_and_the_step_above_it_no_longer_stands():
    shop = coated_glass()
    record = shop.record_of(minutes=75)
    assert [(la.zone_name, la.title) for la in record.lapses] == []
    shop = Shop()
    shop.air(0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    record = shop.record_of(minutes=67)
    assert [(la.title, la.lapsed_at, la.back_to, la.carried_on) for la in record.lapses] == [
        ("coat 2 of 2", at(66), "solvent wipe", False)
    ]
    assert not step_of(record, "screen", "coat-1").stands
    ahead = zone_of(record, "screen").ahead
    assert ahead is not None
    assert [s.step for s in ahead.steps] == ["wipe", "coat-1", "coat-2", "buff"]


def test_what_is_left_names_the_first_moment_of_the_next_step():
    ahead = zone_of(coated_glass(second=12).record_of(minutes=15), "screen").ahead
    assert ahead is not None
    assert [s.step for s in ahead.steps] == ["buff"]
    assert (ahead.next_from, ahead.next_until) == (at(29), at(134))


def test_what_waits_for_other_zones_names_them():
    shop = Shop()
    shop.air(0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    shop.work("screen", "coat-2", 12, 14)
    ahead = zone_of(shop.record_of(minutes=15), "screen").ahead
    assert ahead is not None
    assert (ahead.waits_for, ahead.next_from) == (("rear pane",), None)


def test_a_step_under_way_is_shown_as_running_and_is_the_first_thing_left():
    shop = Shop()
    shop.ask(Start(GREEN, (ZoneId("rim-a"),), StepId("wipe"), ASH), at(1))
    zone = zone_of(shop.record_of(minutes=2), "rim-a")
    assert (zone.urgency, zone.steps[0].finished_at) == (Urgency.WORKING, None)
    assert zone.ahead is not None
    assert zone.ahead.running
    assert [s.step for s in zone.ahead.steps] == ["wipe", "coat", "level"]


def finished_cart() -> Shop:
    shop = coated_glass(second=12)
    shop.work("rims", "wipe", 15, 17)
    shop.work("rims", "coat", 18, 19)
    shop.work("rims", "level", 20, 21)
    shop.work("glass", "buff", 30, 32)
    return shop


def test_handover_is_the_latest_cure_of_all_zones():
    record = finished_cart().record_of(minutes=40)
    # rims: 24 h dry from minute 21; glass: 12 h dry and 1 h not driven from minute 32
    assert record.handover_at == at(21) + timedelta(hours=24)
    assert record.not_done == ()
    cure = zone_of(record, "screen").cure
    assert cure is not None
    assert (cure.dry_until, cure.drive_from) == (at(32) + timedelta(hours=12), at(32) + timedelta(hours=1))


def test_without_a_handover_moment_the_zones_that_are_not_done_are_named():
    record = coated_glass().record_of(minutes=40)
    assert record.handover_at is None
    assert record.not_done == ("windscreen", "rear pane", "left rim", "right rim")


def test_a_coat_tells_the_air_that_held_when_it_was_begun():
    shop = Shop()
    shop.air(0, 19.0, 55.0, 18.0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    shop.air(8, 23.0, 40.0)
    record = shop.record_of()
    air = step_of(record, "screen", "coat-1").air
    assert air is not None
    assert (air.air_c, air.rh_percent, air.surface_c) == (19.0, 55.0, 18.0)
    # Dew point at 19 °C and 55 %: 9.8 °C, worked by hand with the Magnus formula (17.62, 243.12 °C).
    assert air.dew_point_c == pytest.approx(9.76, abs=0.1)
    assert air.margin_c == pytest.approx(18.0 - 9.76, abs=0.1)
    assert len(record.readings) == 2


def test_notes_and_clock_jumps_are_recorded():
    shop = Shop()
    shop.ask(WriteNote(GREEN, "stone chip by the wiper", (ZoneId("screen"),), ASH), at(1))
    shop.record(ClockStepped(at=at(2), by_ms=-90_000, settled=True))
    record = shop.record_of()
    assert [(n.zone_name, n.text, n.by) for n in record.notes] == [("windscreen", "stone chip by the wiper", ASH)]
    assert [(j.at, j.by, j.settled) for j in record.clock_jumps] == [(at(2), timedelta(seconds=-90), True)]


def test_outages_of_the_machine_and_what_was_said_of_them_are_recorded():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    told, unsure = (MachineStarted(at=at(m + 1), off_since=at(m), on_ms=30_000) for m in (4, 10))
    lengths = tuple(OutageLength(until=e.at, length=n) for e, n in ((told, "told"), (unsure, "unsure")))
    later = (Shift(since=at(5), by_ms=600_000),)
    shop.record(
        told,
        TimePutRight(at=at(6), by=ASH, answer="machine", shifts=later, outages=lengths[:1]),
        unsure,
        TimePutRight(at=at(12), answer="unknown", outages=lengths[1:]),
    )
    record = shop.record_of()
    phrases = Phrases(record, UTC)
    assert [phrases.outage(outage) for outage in record.outages] == [
        "08:04:00: the machine was off until 08:05:00, as a person said.",
        (
            "08:10:00: the machine was off, nobody knows for how long. Times from 08:11:00 on are not certain: each "
            "may be later, by minutes or by days. Waits were counted as if no time had passed, windows as if all had."
        ),
    ]
    assert [phrases.put_right(right) for right in record.times_put_right] == [
        "08:06:00: Ash said what time it was; the board went forward by 10:00.",
        "08:12:00: nobody named did not know how long the machine had been off.",
    ]


def test_a_latest_moment_that_may_have_passed_while_the_machine_was_off_is_told_as_such():
    shop = Shop()
    shop.work("screen", "wipe", 1, 3)
    off = MachineStarted(at=at(5), off_since=at(4), on_ms=30_000)
    shop.record(off, TimePutRight(at=at(6), answer="unknown", outages=(OutageLength(until=off.at, length="unsure"),)))
    record = shop.record_of()
    (lapse,) = record.lapses
    assert lapse.unsure
    assert "may have passed while the machine was off" in Phrases(record, UTC).lapse([lapse], "windscreen")


def test_a_wipe_that_water_came_over_says_whose_and_is_no_missed_moment():
    shop = Shop(practice_job())
    shop.work("rim-front-left", "decontaminate", 301, 303)
    shop.work("rim-front-left", "polish", 303, 305)
    shop.work("rim-front-left", "wipe", 305, 307)
    shop.work("rim-rear-left", "decontaminate", 308, 310)
    record = shop.record_of(minutes=311)
    (lapse,) = record.lapses
    assert (lapse.zone, lapse.back_to) == ("rim-front-left", "solvent wipe")
    assert lapse.spoilt_by == "decontaminate, rear left rim"
    said = Phrases(record, UTC).lapse([lapse], "front left rim")
    assert said.startswith("front left rim: dust or water came over the wipe at ")
    assert said.endswith(" (decontaminate, rear left rim). It was to be wiped again.")


def test_only_the_local_day_is_recorded():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    # 23:10 UTC on the 25th is 00:10 on the 26th in Berlin.
    late = (datetime(2026, 11, 25, 23, 10, tzinfo=UTC) - at(0)) / timedelta(minutes=1)
    shop.work("rim-b", "wipe", late, late + 2)
    first, second = shop.record_of(late + 5), shop.record_of(late + 5, date(2026, 11, 26))
    assert [len(zone_of(first, z).steps) for z in ("rim-a", "rim-b")] == [1, 0]
    assert [len(zone_of(second, z).steps) for z in ("rim-a", "rim-b")] == [0, 1]
    assert zone_of(second, "rim-a").earlier == 1


def test_a_day_that_is_over_is_recorded_as_it_stood_at_its_end():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    before = shop.record_of(minutes=24 * 60)
    shop.work("rim-a", "wipe", 25 * 60, 25 * 60 + 2)
    after = shop.record_of(minutes=26 * 60)
    assert after.seen_at == datetime(2026, 11, 25, 23, 0, tzinfo=UTC)
    assert (after.zones, after.entries) == (before.zones, before.entries)


def test_a_step_over_midnight_stands_on_both_days():
    shop = Shop()
    midnight = 15 * 60.0
    shop.work("rim-a", "wipe", midnight - 5, midnight + 5)
    first, second = shop.record_of(midnight + 9), shop.record_of(midnight + 9, date(2026, 11, 26))
    assert step_of(first, "rim-a", "wipe").finished_at is None
    assert step_of(second, "rim-a", "wipe").finished_at == at(midnight + 5)


def test_the_head_names_the_job_the_car_the_crew_and_the_entries():
    shop = finished_cart()
    shop.ask(CloseJob(GREEN, ASH), at(50))
    record = shop.record_of()
    assert (record.title, record.vehicle, record.crew) == ("Green cart", "Milk cart", (ASH, BO))
    assert (record.day, record.opened_at, record.closed_at) == (DAY, at(0), at(50))
    assert record.entries == len(shop.events)
    assert record.cautions == ("No flame near the solvent.",)


def test_a_job_that_was_not_opened_by_then_is_an_error():
    with pytest.raises(LookupError):
        Shop().record_of(minutes=-1)
    with pytest.raises(LookupError):
        Shop().record_of(day=date(2026, 11, 24))


def test_a_product_is_called_by_its_title():
    assert step_of(coated_glass().record_of(), "screen", "coat-1").product == "Orrelin Glass Coat"


def test_events_of_other_jobs_leave_the_record_alone():
    shop = coated_glass()
    alone = shop.record_of(minutes=40)
    other = JobId("other")
    shop.record(
        StepStarted(at=at(15), job=other, zone=ZoneId("screen"), step=StepId("buff")),
        StepFinished(at=at(16), job=other, zone=ZoneId("screen"), step=StepId("buff")),
        TimeCorrected(
            at=at(17), job=other, zone=ZoneId("screen"), step=StepId("wipe"), edge="start", was=at(1), becomes=at(0)
        ),
    )
    assert shop.record_of(minutes=40).zones == alone.zones


def test_a_coat_laid_on_a_reading_that_was_put_right_later_stands_in_the_record_with_both_values():
    shop = Shop()
    shop.air(0, surface_c=19.0)
    shop.work("glass", "wipe", 1, 3)
    shop.work("glass", "coat-1", 4, 6)
    shop.ask(CorrectAir(at(0), ReadAir(20.0, 50.0, 11.0)), at(20))
    (doubted,) = shop.record_of().doubted
    assert doubted.zones == (ZoneId("screen"), ZoneId("pane"))
    assert (doubted.step, doubted.laid_at, doubted.unfit) == ("coat-1", at(4), True)
    assert doubted.becomes is not None
    assert (doubted.was.surface_c, doubted.becomes.surface_c) == (19.0, 11.0)
    assert "surface 19.0 °C) that was put right to 20.0 °C, 50 %, surface 11.0 °C" in doubted.said
    assert shop.record_of(minutes=19).doubted == (), "nobody knew it by then"
