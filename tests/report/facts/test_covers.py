"""Covered coats and zones that went on by themselves in the day record: when, by whom, until when; and their undo."""

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.job import CloseSet, Cover, Uncover, Undo
from bayapp.job.model.ids import Person, ZoneId
from bayapp.job.state.requests import Request
from bayapp.report.exports import to_json
from bayapp.report.facts.day_record import AloneRecord, CoverRecord
from tests.report.paper.test_pdf import text_of, written
from tests.report.shop import DAY, Shop, at, step_of

SCREEN, ASH, BO = ZoneId("screen"), Person("Ash"), Person("Bo")


def coated() -> Shop:
    """The windscreen has its two coats by fourteen minutes past, the rear pane none; the buff waits for all glass."""
    shop = Shop()
    shop.air(0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    shop.work("screen", "coat-2", 12, 14)
    return shop


def ask(shop: Shop, request: Request, minutes: float) -> None:
    shop.ask(request, shop.job.start + timedelta(minutes=minutes))


def test_a_cover_is_recorded_until_it_is_taken_off_or_the_next_step_begins():
    shop = coated()
    ask(shop, Cover(shop.job.id, (SCREEN,), BO), 15)
    assert shop.record_of(16).covers == (CoverRecord(SCREEN, "windscreen", at(15), BO),)
    ask(shop, Uncover(shop.job.id, (SCREEN,), ASH), 17)
    ask(shop, Cover(shop.job.id, (SCREEN,), ASH), 18)
    ask(shop, CloseSet(shop.job.id, (SCREEN,), ASH), 19)
    shop.work("screen", "buff", 30, 32)
    buff = step_of(shop.record_of(), "screen", "buff").title
    assert shop.record_of().covers == (
        CoverRecord(SCREEN, "windscreen", at(15), BO, at(17), ASH),
        CoverRecord(SCREEN, "windscreen", at(18), ASH, at(30), ASH, buff),
    )


def test_a_zone_by_itself_says_for_whom_it_waited_no_longer_and_what_its_wait_counted_from():
    shop = coated()
    ask(shop, CloseSet(shop.job.id, (SCREEN,), BO), 19)
    shop.work("screen", "buff", 30, 32)
    buff = step_of(shop.record_of(), "screen", "buff")
    assert shop.record_of().alone == (AloneRecord(SCREEN, "windscreen", buff.title, at(19), BO, ("rear pane",)),)
    assert buff.wait
    assert (buff.wait.kept.value, buff.wait.since) == ("inside", at(14))
    assert buff.wait.counted_from == "by itself, last coat"


def test_what_was_undone_stands_among_what_was_undone():
    shop = coated()
    ask(shop, Cover(shop.job.id, (SCREEN,), ASH), 15)
    ask(shop, CloseSet(shop.job.id, (SCREEN,), ASH), 16)
    for minutes in (17, 18):
        ask(shop, Undo(shop.job.id, (SCREEN,), BO), minutes)
    record = shop.record_of(20)
    assert (record.covers, record.alone) == ((), ())
    assert [undone.what for undone in record.taken_back] == [(("", "set", at(16)),), (("", "cover", at(15)),)]


def test_another_day_tells_what_was_still_covered_on_it():
    shop = coated()
    ask(shop, Cover(shop.job.id, (SCREEN,), ASH), 15)
    ask(shop, Uncover(shop.job.id, (SCREEN,), ASH), 26 * 60)
    found = [len(shop.record_of(72 * 60, DAY + timedelta(days=n)).covers) for n in range(3)]
    assert found == [1, 1, 0]


def test_json_carries_both():
    shop = coated()
    ask(shop, Cover(shop.job.id, (SCREEN,), ASH), 15)
    ask(shop, CloseSet(shop.job.id, (SCREEN,), ASH), 16)
    record = json.loads(to_json(shop.record_of(20)))
    assert [(c["zone"], c["at"], c["off_at"]) for c in record["covers"]] == [
        ("screen", "2026-11-25T08:15:00.000Z", None)
    ]
    assert [(a["zone"], a["without"]) for a in record["alone"]] == [("screen", ["rear pane"])]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_both_are_on_the_paper_in_a_list_of_their_own(tmp_path: Path):
    shop = coated()
    ask(shop, Cover(shop.job.id, (SCREEN,), ASH), 15)
    ask(shop, CloseSet(shop.job.id, (SCREEN,), ASH), 16)
    text = " ".join(text_of(written(shop, 1, tmp_path)).split())
    assert "Covered, and worked by itself" in text
    assert "Windscreen: covered at 09:15:00 by Ash." in text
    assert "by itself from 09:16:00, by Ash; without waiting for rear pane." in text
