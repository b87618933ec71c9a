"""A job changed at the wall by real presses: work added, another recipe, zones set aside; all of it in the record."""

from dataclasses import replace
from datetime import UTC
from pathlib import Path

import pytest

from bayapp.job import FinishStep, SendBack, Start
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.pages.board.phrases import add_reasons, aside_reasons, swap_reasons
from bayapp.pages.wanted import AddZone, Page
from bayapp.report.facts.content import day_record
from bayapp.screen.cars.change_controller import ChangeController
from bayapp.screen.widgets.glove_button import GloveButton
from tests.pages.bays import hand_bay
from tests.screen.walls import Walled, walled


@pytest.fixture
def board(tmp_path: Path):
    with hand_bay(tmp_path) as hand, walled(hand) as wall:
        wall.answer_all()
        yield wall


def controller(wall: Walled) -> ChangeController:
    return wall.openers.change


def to(wall: Walled, what: str) -> ChangeController:
    wall.press(wall.wall.next_bar.more)
    wall.choose("Change this job")
    wall.choose(what)
    assert controller(wall).page.isVisible()
    return controller(wall)


def set_button(wall: Walled, title: str) -> GloveButton:
    return next(b for b in controller(wall).page.sets if b.isVisible() and b.title == title)


def job_of(wall: Walled):
    assert wall.wall.selection.job
    return wall.hand.bay.state.jobs[wall.wall.selection.job]


def test_zones_are_added_and_stand_on_the_board_at_once(board: Walled):
    before = set(job_of(board).zones)
    page = to(board, "Add work").page
    assert page.next.detail == "Choose what is to be done."
    board.press(page.next)
    assert page.isVisible()
    board.press(set_button(board, "All trim"))
    added = set(job_of(board).job.vehicle.zones_of(["trim"])) - before
    assert page.next.detail == f"{len(added)} zones are added."
    board.press(page.next)
    assert set(job_of(board).zones) == before, "a reason is asked first"
    board.choose(add_reasons()[0].capitalize())
    assert set(job_of(board).zones) == before | added
    assert board.wall.pages.choices.title == f"Added to {job_of(board).job.title}"
    assert "All trim" in board.sentences()
    assert board.hand.journal.read()[-1].reason == add_reasons()[0]  # type: ignore[union-attr]
    board.choose("See the car")
    assert board.wall.car.isVisible()
    board.touch("grille")
    if board.choices():
        board.choose_last("Grille")
    assert board.wall.selection.zones == (ZoneId("grille"),)
    assert board.wall.ladder.isVisible()


def test_a_touch_on_a_zone_outside_the_job_offers_first_to_add_it_and_adds_it_alone(board: Walled):
    before = set(job_of(board).zones)
    board.touch("grille")
    assert board.wall.pages.choices.title == "Grille"
    assert board.choices()[0] == "Add it to the work"
    board.choose("Add it to the work")
    page = controller(board).page
    assert page.isVisible()
    assert page.next.detail == "1 zone is added."
    board.press(page.close_button)
    assert board.wall.pages.choices.title == "Grille", "back leads to what was offered"
    assert set(job_of(board).zones) == before
    board.choose("Add it to the work")
    board.press(page.next)
    board.choose(add_reasons()[0].capitalize())
    assert set(job_of(board).zones) == before | {ZoneId("grille")}


def test_a_zone_that_was_added_meanwhile_is_said_to_be_worked(board: Walled):
    board.wall.pages.want(AddZone(job_of(board).job.id, ZoneId("bonnet")))
    assert "Bonnet is worked in this job already" in board.sentences()


def test_what_is_worked_already_is_no_choice_and_says_so_when_touched(board: Walled):
    page = to(board, "Add work").page
    assert "All rims" not in [b.title for b in page.sets if b.isVisible()]
    page.zones_touched.emit([ZoneId("bonnet")])
    assert "Bonnet is worked in this job already" in board.sentences()
    board.press(board.wall.pages.choices.close_button)
    assert page.isVisible()


def test_another_recipe_is_taken_for_a_reason_and_the_ladder_goes_on_from_where_it_stands(board: Walled):
    page = to(board, "Another recipe").page
    page.zones_touched.emit([ZoneId("rear-screen")])
    board.press(page.next)
    assert board.choices() == ["Glass, three layers", "Glass, one layer"]
    board.choose("Glass, three layers")
    board.choose(swap_reasons()[0].capitalize())
    assert board.wall.car.isVisible()
    recipe = job_of(board).job.recipe_of(ZoneId("rear-screen"))
    assert recipe.layers == 3
    assert [run.step for run in job_of(board).zones[ZoneId("rear-screen")].rungs] == ["decontaminate", "polish"]


def test_a_recipe_that_does_not_fit_says_why_in_the_gates_words_and_changes_nothing(board: Walled):
    events = board.events()
    page = to(board, "Another recipe").page
    page.zones_touched.emit([ZoneId("windscreen")])
    board.press(page.next)
    shown = {b.title: b.detail for b in board.wall.pages.choices.buttons if b.isVisible()}
    assert "it has nothing like coat across, which is done" in shown["Glass, one layer"]
    board.choose("Glass, one layer")
    assert "cannot go on by Glass, one layer" in board.sentences()
    assert board.events() == events
    board.press(board.wall.pages.choices.close_button)
    assert "Glass, one layer" in board.choices(), "one level up are the recipes"
    board.press(board.wall.pages.choices.close_button)
    assert page.isVisible()


def test_a_panel_sent_back_to_polish_takes_another_paint_recipe_and_its_pages_open(board: Walled):
    """A coat lay on it by a recipe that the new one has no like of; it is still named where the past is told."""
    bonnet, bay = ZoneId("bonnet"), board.hand.bay
    job, by = job_of(board).job, job_of(board).job.crew[0]
    coat = Start(job.id, (bonnet,), StepId("coat-1"), by)
    bay.request(coat if bay.judge(coat).accepted else replace(coat, deviation="tried out"))
    for ask in (
        FinishStep(job.id, (bonnet,), StepId("coat-1"), by),
        SendBack(job.id, (bonnet,), StepId("polish"), "high spot", by),
    ):
        assert bay.request(ask).accepted
    page = to(board, "Another recipe").page
    page.zones_touched.emit([bonnet])
    board.press(page.next)
    offered = board.choices()
    assert "Paint, one layer, waits by temperature" in offered
    board.choose("Paint, one layer, waits by temperature")
    board.choose(swap_reasons()[0].capitalize())
    assert job_of(board).job.recipe_of(bonnet).layers == 1
    board.touch("bonnet")
    assert board.wall.ladder.isVisible()
    for name in (Page.AIR, Page.AIR_DAY, Page.PLAN, Page.REPORT):
        board.wall.pages.want(name)


def test_zones_of_two_surfaces_have_no_recipe_in_common(board: Walled):
    page = to(board, "Another recipe").page
    page.zones_touched.emit([ZoneId("windscreen")])
    page.zones_touched.emit([ZoneId("bonnet")])
    board.press(page.next)
    assert "choose zones of one surface" in board.sentences()


def test_zones_are_taken_out_with_a_reason(board: Walled):
    page = to(board, "Set aside").page
    page.zones_touched.emit([ZoneId("bonnet")])
    page.zones_touched.emit([ZoneId("tailgate")])
    page.zones_touched.emit([ZoneId("tailgate")])
    assert page.next.detail == "1 zone is chosen."
    board.press(page.next)
    board.choose(aside_reasons()[0].capitalize())
    assert dict(job_of(board).aside) == {ZoneId("bonnet"): aside_reasons()[0]}
    page = to(board, "Set aside").page
    page.zones_touched.emit([ZoneId("bonnet")])
    assert page.next.detail != "1 zone is chosen.", "it is out already"
    page.zones_touched.emit([ZoneId("tailgate")])
    assert page.next.detail == "1 zone is chosen."


def test_every_change_stands_in_the_day_record_with_who_and_why(board: Walled):
    desk_ = to(board, "Add work")
    board.press(set_button(board, "All trim"))
    board.press(desk_.page.next)
    board.choose(add_reasons()[0].capitalize())
    page = to(board, "Another recipe").page
    page.zones_touched.emit([ZoneId("rear-screen")])
    board.press(page.next)
    board.choose("Glass, three layers")
    board.choose(swap_reasons()[1].capitalize())
    at = board.hand.bay.now()
    journal, job = board.hand.journal, job_of(board).job
    record = day_record(journal.read_job(job.id), job.id, at.date(), at, UTC)
    assert [(change.by, change.reason) for change in record.changes] == [
        ("Ash", add_reasons()[0]),
        ("Ash", swap_reasons()[1]),
    ]


def test_without_a_car_there_is_nothing_to_change(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        wall.wall.pages.want(Page.MORE)
        assert "Change this job" not in wall.choices()
        wall.wall.pages.want(Page.CHANGE)
        assert not controller(wall).page.isVisible()
