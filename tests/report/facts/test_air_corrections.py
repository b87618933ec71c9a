"""Corrected air in the day record: what was, what is, who, when, and which waits it moved."""

import csv
import io
import json
from datetime import UTC, timedelta

from bayapp.job import CorrectAir, ReadAir
from bayapp.job.model.ids import JobId, Person
from bayapp.job.model.product import Product
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.content import day_record
from bayapp.report.facts.day_record import DayRecord, WaitKept
from bayapp.report.facts.phrases import Phrases, ripened, verdict
from bayapp.text.figures import TemperatureUnit, Units, use_units
from tests.job.builders import START, Shop, at, job, read_air, recipe, start, step, two_step

TABLES = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [30, 20]]}
CAR = JobId("car")
DAY = START.date()


def shop(wait: dict | None = None, **more: object) -> Shop:
    bay = Shop(job((["roof", "bonnet"], two_step(wait or TABLES)), **more))  # type: ignore[arg-type]
    bay.must(ReadAir(20, 50.0, None, Person("Bo")), 0)
    bay.work("roof", "coat", 0, 1)
    return bay


def record(bay: Shop, minutes: float = 600) -> DayRecord:
    return day_record(bay.events, CAR, DAY, at(minutes), UTC)  # type: ignore[arg-type]


def sentences(bay: Shop) -> list[str]:
    found = record(bay)
    return [Phrases(found, UTC).air_change(change) for change in found.air_changes]


def waited(bay: Shop) -> WaitKept:
    (level,) = [s for z in record(bay).zones for s in z.steps if s.step == "level"]
    assert level.wait
    return level.wait


def test_a_corrected_reading_is_recorded_with_both_values_who_when_and_what_it_moved() -> None:
    bay = shop()
    bay.must(CorrectAir(at(0), ReadAir(10, 55.0, 9), "", Person("Ash")), 3)
    (said,) = sentences(bay)
    assert said == (
        "08:03:00, corrected by Ash: the reading of 08:00:00 was 20.0 °C, 50 %, is 10.0 °C, 55 %, surface 9.0 °C. "
        "Roof, level: could not be timed any more."
    )
    bay.must(CorrectAir(at(0), ReadAir(10, 55.0), "", Person("Ash")), 4)
    assert sentences(bay)[1].endswith("Roof, level: opens at 08:09:00.")


def test_a_withdrawn_and_a_late_reading_are_recorded() -> None:
    bay = shop()
    bay.must(ReadAir(10, 50.0, None, None, at(3.5), "door"), 5)  # half is over; half of 8 min more, by hand
    bay.must(CorrectAir(at(5), None, "door"), 5.5)
    late, withdrawn = sentences(bay)
    assert late == (
        "08:05:00, a reading of 08:03:30 came late, by door: 10.0 °C, 50 %. "
        "Roof, level: opens at 08:07:30, not 08:06:00, 1:30 later."
    )
    assert withdrawn == (
        "08:05:30, withdrawn by door: the reading of 08:03:30, which was 10.0 °C, 50 %. "
        "Roof, level: opens at 08:06:00, not 08:07:30, 1:30 sooner."
    )


def test_what_readings_in_time_moved_is_recorded_from_the_first_to_the_last() -> None:
    bay = shop()
    bay.must(read_air(10), 3.5)
    bay.must(read_air(20), 4.5)  # 5/8 of an eighth more is over: 0.5 + 1/8, so 3/8 of 5 min = 1:52.5 more, by hand
    bay.must(read_air(20.01), 5)
    found = record(bay)
    assert [change.kind for change in found.air_changes] == ["read", "read"], "a flicker is not recorded"
    said = Phrases(found, UTC).moved_by_the_air([m for change in found.air_changes for m in change.moved])
    assert said == "Roof, level: opens at 08:06:22, not 08:06:00, 0:22 later. 2 readings moved it."


def test_air_of_another_day_and_what_moved_nothing_stay_out() -> None:
    bay = shop()
    bay.must(read_air(20), 3)
    assert record(bay).air_changes == ()
    bay.must(CorrectAir(at(3), None), 4)
    assert [c.kind for c in record(bay).air_changes] == ["withdrawn"], "also where it moves nothing"
    next_day = day_record(bay.events, CAR, DAY + timedelta(days=1), at(3000), UTC)  # type: ignore[arg-type]
    assert next_day.air_changes == ()


def test_the_file_for_programs_holds_each_move() -> None:
    bay = shop()
    bay.must(CorrectAir(at(0), ReadAir(10, 50.0)), 3)
    bay.work("roof", "level", 9, 10)
    plain = json.loads(to_json(record(bay)))
    (change,) = plain["air_changes"]
    assert (change["kind"], change["was"]["air_c"], change["becomes"]["air_c"]) == ("corrected", 20, 10)
    (moved,) = change["moved"]
    assert (moved["zones"], moved["opens_was"]) == (["roof"], "2026-11-25T08:06:00.000Z")
    assert moved["opens_at"] == "2026-11-25T08:09:00.000Z"
    wait = next(z for z in plain["zones"] if z["zone"] == "roof")["steps"][1]["wait"]
    assert wait["ripened"] == {
        "latest": False, "base": 300.0, "base_at": 20, "by": "c", "in_this_air": 480.0, "thumb": False
    }  # fmt: skip


def levelled(bay: Shop) -> dict[str, str]:
    """The row of the levelled roof in the table for spreadsheets."""
    rows = csv.DictReader(io.StringIO(to_csv(record(bay)), newline=""))
    (row,) = [r for r in rows if (r["zone"], r["step"]) == ("roof", "level")]
    return row


BESIDE = ("wait_base_s", "wait_by_air_s", "wait_edge_by_air", "wait_base_at", "wait_base_of", "wait_rule_of_thumb")


def test_the_table_for_spreadsheets_holds_base_and_ripened_wait_side_by_side() -> None:
    """Half of 5 min at 20 °C is over when it becomes 10 °C, at which half takes 4 min more: 6:30 in all, by hand."""
    bay = shop()
    bay.must(read_air(10), 3.5)
    bay.work("roof", "level", 7.5, 8)
    assert [levelled(bay)[key] for key in BESIDE] == ["300.0", "390.0", "earliest", "20.0", "temperature_c", "no"]
    damp = shop({"max_by_rh": [[30, 10], [70, 40]], "max": 40})
    damp.work("roof", "level", 7, 8)
    assert [levelled(damp)[key] for key in BESIDE] == ["2400.0", "1500.0", "latest", "70.0", "rh_percent", "no"]


def test_a_wait_that_hangs_on_no_air_leaves_those_columns_empty_and_unknown_air_leaves_one() -> None:
    plain = shop({"min": 5})
    plain.work("roof", "level", 7, 8)
    assert [levelled(plain)[key] for key in BESIDE] == [""] * 6
    unread = shop()
    unread.must(CorrectAir(at(0), None), 2)
    unread.must(start("roof", "level", reason="the maker says so"), 7)
    assert [levelled(unread)[key] for key in BESIDE[:2]] == ["300.0", ""]


def test_base_and_ripened_wait_stand_side_by_side() -> None:
    bay = shop()
    bay.must(read_air(10), 3.5)
    bay.work("roof", "level", 7.5, 8)
    assert ripened(waited(bay)) == "5:00 at 20 °C, 6:30 by the air"
    use_units(Units(temperature=TemperatureUnit.FAHRENHEIT))
    try:
        assert ripened(waited(bay)) == "5:00 at 68 °F, 6:30 by the air"
    finally:
        use_units(Units())


def test_a_latest_moment_a_rule_of_thumb_and_unknown_air_are_called_so() -> None:
    latest = shop({"max_by_c": [[10, 60], [30, 20]], "max": 20})
    latest.work("roof", "level", 7, 8)
    assert ripened(waited(latest)) == "latest 20:00 at 30 °C, 40:00 by the air"
    ruled = Product(name="pane", air_c=(5, 35), temperature_rule="halves-per-10-c", temperature_rule_at_c=20)
    unread = shop()
    unread.must(CorrectAir(at(0), None), 2)
    unread.must(start("roof", "level", reason="the maker says so"), 7)
    assert ripened(waited(unread)) == "5:00 at 20 °C, not timed by the air"
    assert verdict(waited(unread)) == "in air that could not be timed"
    laid = recipe(step("coat", product="pane"), step("level", wait={"min": 10}))
    bay = Shop(job((["roof"], laid), products=[ruled]))
    bay.must(read_air(10), 0)
    bay.work("roof", "coat", 0, 1)
    bay.work("roof", "level", 21, 22)
    assert ripened(waited(bay)) == "10:00 at 20 °C, 20:00 by rule of thumb"
