"""Zones set aside in the day record: which, when, by whom, why, until when; on paper, in the table and in the files."""

import csv
import io
import json
import re
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.job.model.ids import Person, Stage, Urgency, ZoneId
from bayapp.job.state.requests import SetAside, TakeUp
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.day_record import AsideRecord
from tests.report.days import practice_day
from tests.report.paper.test_pdf import info_of, text_of, written
from tests.report.shop import DAY, Shop, at, step_of, zone_of

ASH, BO = Person("Ash"), Person("Bo")
PANE, RIM_A, RIM_B = ZoneId("pane"), ZoneId("rim-a"), ZoneId("rim-b")


def set_aside(shop: Shop, minutes: float, *zones: ZoneId, reason: str = "part is missing") -> None:
    shop.ask(SetAside(shop.job.id, zones, reason, ASH), shop.job.start + timedelta(minutes=minutes))


def take_up(shop: Shop, minutes: float, *zones: ZoneId) -> None:
    shop.ask(TakeUp(shop.job.id, zones, BO), shop.job.start + timedelta(minutes=minutes))


def test_the_record_says_which_zones_were_set_aside_by_whom_why_and_when_they_were_taken_up():
    shop = Shop()
    set_aside(shop, 10, RIM_A, RIM_B)
    take_up(shop, 20, RIM_B)
    record = shop.record_of(30)
    assert record.aside == (
        AsideRecord(RIM_A, "left rim", at(10), ASH, "part is missing"),
        AsideRecord(RIM_B, "right rim", at(10), ASH, "part is missing", at(20), BO),
    )
    assert (zone_of(record, "rim-a").aside, zone_of(record, "rim-b").aside) == ("part is missing", "")


def test_a_zone_set_aside_twice_is_recorded_twice():
    shop = Shop()
    set_aside(shop, 10, RIM_A)
    take_up(shop, 20, RIM_A)
    set_aside(shop, 30, RIM_A, reason="no time today")
    found = [(a.reason, a.taken_up_at) for a in shop.record_of(40).aside]
    assert found == [("part is missing", at(20)), ("no time today", None)]


def test_another_day_tells_what_still_stood_or_ended_on_it():
    shop = Shop()
    set_aside(shop, 10, RIM_A, RIM_B)
    take_up(shop, 20, RIM_B)
    take_up(shop, 26 * 60, RIM_A)
    days = [DAY + timedelta(days=n) for n in range(3)]
    found = [[(a.zone, a.taken_up_at) for a in shop.record_of(72 * 60, day).aside] for day in days]
    assert found == [[(RIM_A, None), (RIM_B, at(20))], [(RIM_A, at(26 * 60))], []]


def test_a_wait_of_the_set_is_judged_as_it_was_then_without_the_zone_set_aside():
    shop = Shop()
    shop.air(0)
    set_aside(shop, 1, PANE)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    shop.work("screen", "coat-2", 12, 14)
    shop.work("screen", "buff", 30, 32)
    take_up(shop, 40, PANE)
    wait = step_of(shop.record_of(), "screen", "buff").wait
    assert wait
    assert (wait.kept.value, wait.since, wait.opens_at) == ("inside", at(14), at(29))


def test_handover_names_only_the_zones_that_it_waits_for():
    shop = Shop()
    set_aside(shop, 1, RIM_A)
    assert "left rim" not in shop.record_of(5).not_done
    take_up(shop, 6, RIM_A)
    assert "left rim" in shop.record_of(7).not_done


def test_what_is_left_on_it_has_no_moment_and_says_why():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    set_aside(shop, 4, RIM_A)
    zone = zone_of(shop.record_of(300), "rim-a")
    assert zone.ahead
    assert (zone.ahead.aside, zone.ahead.next_from, zone.ahead.next_until) == ("part is missing", None, None)
    assert (zone.urgency, zone.stage) == (Urgency.IDLE, Stage.UNTOUCHED), "its wipe has long lapsed"


def test_json_and_csv_carry_it():
    shop = Shop()
    set_aside(shop, 10, RIM_A, reason="=SUM(A1)")
    record = shop.record_of(20)
    (entry,) = json.loads(to_json(record))["aside"]
    assert (entry["zone"], entry["at"], entry["by"], entry["taken_up_at"]) == (
        "rim-a",
        "2026-11-25T08:10:00.000Z",
        "Ash",
        None,
    )
    rows = list(csv.DictReader(io.StringIO(to_csv(record))))
    assert {row["set_aside"] for row in rows if row["zone"] == "rim-a"} == {"'=SUM(A1)"}
    assert {row["set_aside"] for row in rows if row["zone"] != "rim-a"} == {""}


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_it_is_on_the_paper_in_a_list_of_its_own_and_in_the_table(tmp_path: Path):
    shop = practice_day(3)
    zones = shop.state.jobs[shop.job.id].zones
    begun = [zone for zone, state in zones.items() if state.rungs and not state.running]
    chosen = next(z for z in begun if len(zones[z].rungs) < len(shop.job.recipe_of(z).step))
    set_aside(shop, 181, chosen, reason="will be repainted")
    pdf = written(shop, 3.1, tmp_path)
    text = text_of(pdf)
    assert "Set aside, not worked today" in text
    name = shop.job.zone_names[chosen].capitalize()
    assert re.search(rf"{name}: set aside at \d\d:01:00 by Ash. The reason given: will be repainted.", text)
    assert "set aside: will be repainted" in text
    assert "1 zone set aside" in text
    assert int(info_of(pdf)["Pages"]) <= 2
