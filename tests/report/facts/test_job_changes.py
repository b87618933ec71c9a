"""A changed job in the day record: which zones, by whom, to which recipe and why; on paper and in the file."""

import csv
import io
import json
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.job import AddWork, CloseJob, Job, ReopenJob, SendBack, SetAside, Start, SwapRecipe, Undo, WorkBlock
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.day_record import JobChange, Kept
from bayapp.report.facts.phrases import Phrases
from tests.job.builders import recipe, step
from tests.report.paper.test_pdf import text_of, written
from tests.report.shop import BERLIN, DAY, Shop, at, zone_of

BO = Person("Bo")
RIM_A, RIM_B = ZoneId("rim-a"), ZoneId("rim-b")


def swapped(shop: Shop, minutes: float) -> None:
    rungs = shop.job.recipe_of(RIM_A).step
    other = recipe(*(step(s.id, s.kind.value, minutes=9.0) for s in rungs), name="other", title="Rim, slowly")
    ask = SwapRecipe(shop.job.id, (RIM_A,), other, "customer asked", {}, BO)
    shop.ask(ask, shop.job.start + timedelta(minutes=minutes))


def test_the_record_tells_of_a_swap_on_its_day_only():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    swapped(shop, 10)
    shop.work("rim-a", "coat", 11, 13)
    record = shop.record_of(20)
    assert record.changes == (JobChange((RIM_A,), at(10), BO, "Rim, slowly", "customer asked"),)
    assert [s.step for s in zone_of(record, "rim-a").steps] == ["wipe", "coat"]
    assert shop.record_of(3000, DAY + timedelta(days=1)).changes == ()
    phrases = Phrases(record, BERLIN)
    said = phrases.change(record.changes[0], "Left rim")
    assert said == "09:10:00, Left rim: goes on by Rim, slowly, by Bo. The reason given: customer asked."
    (change,) = json.loads(to_json(record))["changes"]
    assert (change["recipe"], change["zones"]) == ("Rim, slowly", ["rim-a"])


def test_the_record_says_what_was_sent_back_why_and_that_it_was_undone():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    shop.ask(SendBack(shop.job.id, (RIM_A,), StepId("wipe"), "smear in the light", BO), at(5))
    record = shop.record_of(20)
    (change,) = record.changes
    said = Phrases(record, BERLIN).change(change, "Left rim")
    assert said == "09:05:00, Left rim: sent back to solvent wipe by Bo. The reason given: smear in the light."
    shop.ask(Undo(shop.job.id, (RIM_A,), BO), at(6))
    record = shop.record_of(20)
    (undone,) = record.taken_back
    assert "sent back at 09:05:00; undone at 09:06:00 by Bo." in Phrases(record, BERLIN).taken_back(undone)


def test_the_record_says_that_a_car_had_left_and_who_took_it_back():
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    shop.ask(CloseJob(shop.job.id, BO), at(5))
    shop.ask(ReopenJob(shop.job.id, BO), at(9))
    shop.work("rim-a", "coat", 11, 13)
    record = shop.record_of(20)
    assert record.closed_at is None
    (change,) = record.changes
    said = Phrases(record, BERLIN).change(change, "")
    assert said == "09:09:00: the car, which had left at 09:05:00, was taken back by Bo."
    assert [s.step for s in zone_of(record, "rim-a").steps] == ["wipe", "coat"]


def test_added_zones_are_named_and_their_work_stands_in_the_record():
    whole = Shop().job
    rim = whole.recipe_of(RIM_B)
    shop = Shop(Job.model_validate({**whole.model_dump(), "blocks": (WorkBlock(zones=(RIM_A,), recipe=rim),)}))
    shop.ask(AddWork(shop.job.id, WorkBlock(zones=(RIM_B,), recipe=rim), {}, BO), at(5))
    shop.work("rim-b", "wipe", 6, 8)
    shop.work("rim-b", "coat", 9, 10)
    record = shop.record_of(20)
    (change,) = record.changes
    assert change == JobChange((RIM_B,), at(5), BO, "rim", added=True)
    said = Phrases(record, BERLIN).change(change, "Right rim")
    assert said == "09:05:00, Right rim: added to the job by Bo, worked by rim."
    told = replace(change, reason="the owner asked for it")
    assert Phrases(record, BERLIN).change(told, "Right rim") == f"{said} The reason given: the owner asked for it."
    coat = zone_of(record, "rim-b").steps[-1]
    assert (coat.wait and coat.wait.kept) is Kept.INSIDE


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_the_paper_names_added_zones_by_their_set_like_those_that_were_there(tmp_path: Path):
    """Both rims are the set of that name only in the job as it is by then."""
    whole = Shop().job
    rim = whole.recipe_of(RIM_B)
    shop = Shop(Job.model_validate({**whole.model_dump(), "blocks": (WorkBlock(zones=(RIM_A,), recipe=rim),)}))
    shop.ask(AddWork(shop.job.id, WorkBlock(zones=(RIM_B,), recipe=rim), {}, BO), at(5))
    shop.ask(SetAside(shop.job.id, (RIM_A, RIM_B), "no time today", BO), at(6))
    text = " ".join(text_of(written(shop, 1, tmp_path)).split())
    assert "Rims: left rim, right rim: set aside at 09:06:00 by Bo." in text


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_a_step_stands_under_the_recipe_by_which_it_was_done_and_not_under_one_that_came_later(tmp_path: Path):
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    shop.work("rim-b", "wipe", 4, 6)
    swapped(shop, 10)
    shop.work("rim-a", "coat", 11, 13)
    record = shop.record_of(20)
    assert [(s.step, s.recipe) for s in zone_of(record, "rim-a").steps] == [("wipe", "rim"), ("coat", "Rim, slowly")]
    rows = list(csv.DictReader(io.StringIO(to_csv(record))))
    done = [(r["step"], r["recipe"]) for r in rows if r["zone"] == "rim-a" and r["status"] == "finished"]
    assert done == [("wipe", "rim"), ("coat", "Rim, slowly")]
    text = text_of(written(shop, 1, tmp_path))
    _before, later = text.rsplit("Rim, slowly Coat", 1)
    assert "went on by Rim, slowly" in _before
    assert "09:01" in _before
    assert "09:11" in later
    assert "09:01" not in later


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_what_was_used_without_a_bottle_is_said_on_paper_and_every_product_is_named(tmp_path: Path):
    shop = Shop()
    shop.air(0)
    shop.work("screen", "wipe", 1, 3)
    shop.work("screen", "coat-1", 4, 6)
    shop.work("rim-a", "wipe", 7, 8)
    shop.work("rim-a", "coat", 9, 10)
    text = text_of(written(shop, 1, tmp_path))
    assert "Bottle not told: Orrelin Glass Coat on windscreen; a coat of no named product on left rim." in text


DRESSED = recipe(step("wipe"), step("dress"), name="dressed", title="Rim, dressed only")


def fell_and_swapped() -> Shop:
    """A rim whose coat was not levelled in time, and which then goes on without any coat."""
    shop = Shop()
    shop.work("rim-a", "wipe", 1, 3)
    shop.work("rim-a", "coat", 4, 6)
    shop.ask(Start(shop.job.id, (RIM_A,), StepId("level"), BO), at(7))
    shop.ask(Undo(shop.job.id, (RIM_A,), BO), at(8))
    shop.work("rim-a", "coat", 20, 22)
    shop.ask(SendBack(shop.job.id, (RIM_A,), StepId("wipe"), "runs", BO), at(23))
    shop.ask(SwapRecipe(shop.job.id, (RIM_A,), DRESSED, "customer asked", {}, BO), at(24))
    shop.work("rim-a", "wipe", 25, 26)
    shop.work("rim-a", "dress", 27, 28)
    return shop


def test_what_was_done_missed_and_undone_before_a_fall_keeps_its_words_under_a_recipe_without_it():
    record = fell_and_swapped().record_of(40)
    steps = zone_of(record, "rim-a").steps
    assert [(s.title, s.recipe, s.stands) for s in steps] == [
        ("solvent wipe", "rim", False),
        ("coat", "rim", False),
        ("coat", "rim", False),
        ("solvent wipe", "Rim, dressed only", True),
        ("dress", "Rim, dressed only", True),
    ]
    assert [(missed.title, missed.back_to) for missed in record.lapses] == [("level", "coat")]
    (undone,) = record.taken_back
    assert [what for what, _kind, _at in undone.what] == ["level"]
    assert json.loads(to_json(record))["zones"][-2]["steps"][1]["title"] == "coat"


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_a_coat_that_came_off_stands_on_paper_under_the_recipe_it_was_laid_by(tmp_path: Path):
    text = " ".join(text_of(written(fell_and_swapped(), 1, tmp_path)).split())
    before, later = text.rsplit("Rim, dressed only", 1)
    assert "Coat" in before
    assert "09:20" in before
    assert "Dress" in later
    assert "09:20" not in later
