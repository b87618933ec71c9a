"""Zones divided on the wall by real presses: from the work page to a car that stands in the bay with its own zones."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from bayapp.files.library import Library
from bayapp.job.model.ids import ZoneId
from bayapp.pages.wanted import Page
from bayapp.paths import resource
from bayapp.screen.cars.dividing import DividingPage
from bayapp.screen.cars.new_job_controller import NewJobController
from tests.pages.bays import hand_bay
from tests.screen.walls import Walled, walled


@pytest.fixture
def empty(tmp_path: Path):
    """A wall without a car."""
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        yield wall


def controller(wall: Walled) -> NewJobController:
    return wall.openers.new_job


def to_zones(wall: Walled, *sets: str) -> DividingPage:
    wall.wall.pages.want(Page.NEW_CAR)
    wall.press(next(b for b in controller(wall).forms.buttons if b.title == "Estate"))
    for name in sets:
        wall.press(next(b for b in controller(wall).work.sets if b.isVisible() and b.title == name))
    wall.press(controller(wall).work.zones)
    page = controller(wall).dividing.page
    assert page
    assert page.isVisible()
    return page


def touch(wall: Walled, page: DividingPage, zone: str) -> None:
    """Touch the drawing where a zone is; where the glove may mean several, say which."""
    QTest.mouseClick(page.car, Qt.MouseButton.LeftButton, pos=page.car.zone_centre(ZoneId(zone)).toPoint())
    if wall.choices():
        wall.choose_last(controller(wall).dividing.draft.form.zone_named(ZoneId(zone)).name.capitalize())
    assert page.isVisible()


def test_a_two_tone_bonnet_stands_in_the_bay_as_two_zones_with_two_recipes(empty: Walled):
    page = to_zones(empty, "All paint")
    touch(empty, page, "bonnet")
    empty.press(page.along)
    empty.press(page.back)
    assert page.back.detail == "move the cut: 55 %"
    touch(empty, page, "bonnet-left")
    empty.press(page.recipe)
    other = next(title for title in empty.choices() if title != "Paint, two layers")
    empty.choose(other)
    assert page.recipe.detail == other
    empty.press(page.ready)
    assert controller(empty).work.isVisible()
    empty.press(controller(empty).work.next)
    empty.press(controller(empty).begin.begin)
    empty.choose("To the car")
    (inside,) = empty.hand.bay.state.open_jobs
    assert {"bonnet-left", "bonnet-right"} <= set(inside.zones)
    assert (inside.job.recipe_of(ZoneId("bonnet-left")).title or "") == other
    assert inside.job.recipe_of(ZoneId("bonnet-right")).name == "paint-two-layers"
    assert empty.wall.car.isVisible()
    empty.touch("bonnet-left")
    assert empty.wall.selection.zones == (ZoneId("bonnet-left"),)
    assert Library().load_vehicle("estate").zone_named(ZoneId("bonnet")).name == "bonnet"


def test_neighbours_are_joined_by_two_touches_and_undone_by_one(empty: Walled):
    page = to_zones(empty)
    touch(empty, page, "door-left-front")
    empty.press(page.join)
    assert "touch the neighbour" in page.join.detail
    touch(empty, page, "door-left-rear")
    draft = controller(empty).dividing.draft
    assert "door-left-front-and-door-left-rear" in {zone.id for zone in draft.form.zone}
    empty.press(page.undo)
    assert controller(empty).dividing.draft.form == Library().load_vehicle("estate")


def test_what_cannot_be_is_said_on_the_page_and_changes_nothing(empty: Walled):
    page = to_zones(empty)
    for button in (page.across, page.forward, page.join, page.undo):
        empty.press(button)
        assert page.view
        assert page.view.trouble
    empty.press(page.recipe)
    assert page.isVisible()
    assert controller(empty).dividing.draft.form == Library().load_vehicle("estate")


def test_the_way_back_keeps_what_was_divided(empty: Walled):
    page = to_zones(empty)
    touch(empty, page, "roof")
    empty.press(page.across)
    empty.press(page.close_button)
    assert controller(empty).work.isVisible()
    assert "roof-front" in {zone.id for zone in controller(empty).draft.form.zone}


def test_work_kept_for_other_cars_brings_its_divided_form_along(empty: Walled):
    page = to_zones(empty, "All paint")
    touch(empty, page, "bonnet")
    empty.press(page.across)
    empty.press(page.ready)
    empty.press(controller(empty).work.next)
    empty.press(controller(empty).begin.template)
    (kept,) = (empty.hand.store / "jobs").glob("*.toml")
    job = Library(empty.hand.store, resource()).load_job(kept)
    assert {"bonnet-front", "bonnet-rear"} <= set(job.block_of)
    assert job.vehicle.title == "Estate, divided"
    assert controller(empty).draft.form.name == "estate"
