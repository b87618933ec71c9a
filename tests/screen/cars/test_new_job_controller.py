"""From a car that just rolled in to a running board, by touches alone."""

import re
from datetime import time, timedelta
from pathlib import Path

import pytest

from bayapp.drawing.car_colours import body_colour
from bayapp.files.library import Library
from bayapp.files.save_document import save_document
from bayapp.job.model.ids import CarColour, ZoneId
from bayapp.pages.wanted import Page
from bayapp.planning.ready import Beside
from bayapp.screen.cars import new_job_controller
from bayapp.screen.cars.new_job_begin import BeginPage
from bayapp.screen.cars.new_job_controller import NewJobController
from bayapp.screen.cars.new_job_form import FormPage
from bayapp.screen.cars.new_job_work import WorkPage
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton
from tests.pages.bays import hand_bay
from tests.screen.walls import Walled, walled

SHOP = 'format = "bayapp-settings/1"\npeople = ["Ash", "Bo", "Cy"]\n'


@pytest.fixture
def empty(tmp_path: Path):
    """A wall without a car, in a shop of three people."""
    with hand_bay(tmp_path, cars=0) as hand:
        (hand.store / "settings.toml").write_text(SHOP, encoding="utf-8")
        with walled(hand) as wall:
            yield wall


def controller(wall: Walled) -> NewJobController:
    return wall.openers.new_job


def titled(buttons: list, title: str) -> GloveButton:
    return next(b for b in buttons if b.isVisible() and b.title == title)


def to_work(wall: Walled, form: str = "Hatchback") -> WorkPage:
    wall.wall.pages.want(Page.CARS)
    wall.choose("New car")
    forms: FormPage = controller(wall).forms
    wall.press(titled(forms.buttons, form))
    return controller(wall).work


def to_begin(wall: Walled, *sets: str) -> BeginPage:
    work = to_work(wall)
    for name in sets:
        wall.press(titled(work.sets, name))
    wall.press(work.next)
    return controller(wall).begin


def test_a_car_that_just_rolled_in_is_in_the_bay_after_eight_touches_and_on_the_board_after_nine(empty: Walled):
    begin = to_begin(empty, "All glass", "All rims")
    empty.press(titled(begin.colours, "Blue"))
    empty.press(titled(begin.people, "Bo"))
    empty.press(begin.begin)
    (inside,) = empty.hand.bay.state.open_jobs
    assert inside.job.title == "Blue hatchback"
    assert inside.job.crew == ("Ash", "Bo")
    assert empty.wall.pages.choices.title == "Arrival"
    empty.choose("To the car")
    assert empty.wall.car.isVisible()
    assert empty.wall.selection.job == inside.job.id
    glass = set(Library().load_vehicle("hatchback").zones_of(["all-glass"]))
    assert glass < set(inside.zones)


def test_zones_are_taken_out_and_put_in_by_touching_the_drawing(empty: Walled):
    work = to_work(empty)
    empty.press(titled(work.sets, "All glass"))
    work.zones_touched.emit([ZoneId("windscreen")])
    assert " of " in titled(work.sets, "All glass").detail
    work.zones_touched.emit([ZoneId("windscreen")])
    assert " of " not in titled(work.sets, "All glass").detail


def test_several_zones_under_one_glove_are_asked_for_and_the_way_back_is_the_work(empty: Walled):
    work = to_work(empty)
    work.zones_touched.emit([ZoneId("mirror-left"), ZoneId("windscreen")])
    assert set(empty.choices()) == {"Left mirror", "Windscreen"}
    empty.press(empty.wall.pages.choices.close_button)
    assert work.isVisible()
    work.zones_touched.emit([ZoneId("mirror-left"), ZoneId("windscreen")])
    empty.choose("Windscreen")
    assert work.isVisible()
    assert work.next.detail == "1 zone is worked."


def test_nothing_chosen_is_said_and_does_not_go_on(empty: Walled):
    work = to_work(empty)
    assert work.next.detail == "Choose what is to be done."
    empty.press(work.next)
    assert work.isVisible()


def test_another_recipe_is_chosen_for_a_part_of_the_work(empty: Walled):
    work = to_work(empty)
    empty.press(titled(work.sets, "All glass"))
    empty.press(work.recipes)
    empty.choose("All glass")
    assert empty.choices() == ["Glass, one layer", "Glass, three layers"]
    empty.choose("Glass, three layers")
    assert work.isVisible()
    assert titled(work.sets, "All glass").detail == "Glass, three layers"


def test_a_promise_is_held_against_the_plan_at_once(empty: Walled):
    begin = to_begin(empty, "All rims")
    assert "It will be ready at" in shown(begin)
    empty.press(begin.promise)
    empty.press(begin.shifts[-1])
    assert "before it was promised" in shown(begin)
    for _n in range(2):
        for _hour in range(24):
            begin.promise_moved.emit(timedelta(hours=-1))
    assert "later than promised" in shown(begin)


@pytest.mark.parametrize(("handover", "days"), [(time(23, 59), 0), (time(17), 1)])
def test_a_promise_is_for_today_if_the_car_is_ready_by_then(
    empty: Walled, monkeypatch: pytest.MonkeyPatch, handover: time, days: int
):
    """Rims that are begun at nine are ready after their twelve dry hours, between ten and midnight."""
    monkeypatch.setattr(new_job_controller, "USUAL_HANDOVER", handover)
    begin = to_begin(empty, "All rims")
    empty.press(begin.promise)
    promised = controller(empty).draft.promised
    assert promised
    assert promised.date() - empty.hand.bay.now().astimezone(promised.tzinfo).date() == timedelta(days=days)


def test_a_promise_moves_by_a_day_either_way_at_one_touch(empty: Walled):
    begin = to_begin(empty, "All rims")
    empty.press(begin.promise)
    first = controller(empty).draft.promised
    assert first
    empty.press(begin.shifts[-1])
    assert controller(empty).draft.promised == first + timedelta(days=1)
    empty.press(begin.shifts[0])
    assert controller(empty).draft.promised == first


def test_less_than_an_hour_before_the_promise_is_told_in_minutes(empty: Walled):
    begin = to_begin(empty, "All rims")
    empty.press(begin.promise)
    ready = controller(empty).draft.promised
    assert ready
    for _n in range(200):
        begin.promise_moved.emit(timedelta(minutes=-15))
        if " min before it was promised" in shown(begin):
            break
    assert re.search(r", [1-5]?\d min before it was promised", shown(begin)), shown(begin)


def with_rims_promised_as_soon_as_they_can_be(wall: Walled) -> BeginPage:
    """Take in a red car, promised within a quarter of an hour of being ready; return the page of the next one."""
    begin = to_begin(wall, "All rims")
    wall.press(titled(begin.people, "Ash"))
    wall.press(titled(begin.colours, "Red"))
    wall.press(begin.promise)
    while begin.view and begin.view.holds:
        wall.press(begin.shifts[2])
    wall.press(begin.shifts[3])
    wall.press(begin.begin)
    wall.wait(1)
    begin = to_begin(wall, "All rims")
    wall.press(titled(begin.people, "Ash"))
    return begin


def test_a_car_without_a_promise_waits_for_one_that_has_a_tight_one(empty: Walled):
    begin = with_rims_promised_as_soon_as_they_can_be(empty)
    assert shown(begin).startswith("It will be ready at 3 Mar 00:")
    assert "any more" not in shown(begin)


def test_a_car_that_would_break_a_promise_to_another_says_so_before_it_begins(
    empty: Walled, monkeypatch: pytest.MonkeyPatch
):
    begin = with_rims_promised_as_soon_as_they_can_be(empty)
    (red,) = empty.hand.bay.state.open_jobs
    comes = Beside(empty.hand.bay.now() + timedelta(hours=13), (red.job.id,))
    monkeypatch.setattr(new_job_controller, "beside", lambda *_: comes)
    empty.press(titled(begin.people, "Bo"))
    assert shown(begin).endswith("Red hatchback: not by 22:30 any more.")
    assert begin.view
    assert begin.view.holds is False


def test_touches_of_a_shift_count_as_fast_as_those_of_a_keypad(empty: Walled):
    begin = to_begin(empty, "All rims")
    assert {button.patience for button in begin.shifts} == {KEY_PATIENCE}


def shown(begin: BeginPage) -> str:
    assert begin.view
    return begin.view.note


def test_the_work_is_kept_for_other_cars_and_lies_ready(empty: Walled):
    begin = to_begin(empty, "All rims")
    empty.press(begin.template)
    (kept,) = (empty.hand.store / "jobs").glob("*.toml")
    assert str(kept) in empty.wall.pages.choices.sentences[0]
    assert len(Library().load_job(kept).block_of) == 4
    empty.press(empty.wall.pages.choices.close_button)
    assert begin.isVisible()
    empty.wall.pages.want(Page.CARS)
    assert "Hatchback" in empty.choices()


def test_a_second_car_of_one_colour_and_form_is_numbered(empty: Walled):
    for _n in range(2):
        begin = to_begin(empty, "All rims")
        empty.press(titled(begin.colours, "Red"))
        empty.press(begin.begin)
        empty.wait(1)
    assert [j.job.title for j in empty.hand.bay.state.open_jobs] == ["Red hatchback", "Red hatchback 2"]


def test_the_button_for_another_car_wears_its_colour_and_so_does_its_place_in_the_strip(empty: Walled):
    """Red is no colour of any clock: where it is on the wall, it is the car's paint."""
    for colour in ("Red", "Blue"):
        begin = to_begin(empty, "All rims")
        empty.press(titled(begin.colours, colour))
        empty.press(begin.begin)
        empty.wait(1)
    red, blue = (body_colour(CarColour(colour)) for colour in ("red", "blue"))
    offers = empty.wall.next_bar
    first = offers.offer_of(offers.main)
    assert first
    assert first.elsewhere, "the red car came first and is the next one"
    assert red in seen_in(offers.main)
    assert blue not in seen_in(offers.main)
    assert red in seen_in(empty.wall.strip.bays[0])
    assert blue in seen_in(empty.wall.strip.bays[1])


def seen_in(button: GloveButton) -> set[str]:
    image = button.grab().toImage()
    return {image.pixelColor(x, y).name() for x in range(0, image.width(), 2) for y in range(0, image.height(), 2)}


def test_a_bad_form_of_the_shop_is_named_and_the_others_can_be_used(empty: Walled):
    (empty.hand.store / "vehicles").mkdir()
    (empty.hand.store / "vehicles" / "cart.toml").write_text("format = 'bayapp-vehicle/1'\n", encoding="utf-8")
    empty.wall.pages.want(Page.NEW_CAR)
    assert "cart.toml" in empty.wall.pages.choices.sentences[0]
    empty.press(empty.wall.pages.choices.close_button)
    assert controller(empty).forms.isVisible()


def test_a_recipe_of_the_shop_is_offered_for_its_surface(empty: Walled):
    own = Library().load_recipe("rim").model_copy(update={"name": "rim-ceramic", "title": "Rim, slow"})
    save_document(empty.hand.store / "recipes" / "rim-ceramic.toml", own)
    work = to_work(empty)
    empty.press(titled(work.sets, "All rims"))
    empty.press(work.recipes)
    empty.choose("All rims")
    assert "Rim, slow" in empty.choices()
    assert empty.choices()[0] == "Rim"


def test_with_nobody_named_the_work_begins_without_a_name(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        begin = to_begin(wall, "All rims")
        assert [b for b in begin.people if b.isVisible()] == []
        wall.press(begin.begin)
        (inside,) = hand.bay.state.open_jobs
        assert inside.job.crew == ()


def test_a_broken_recipe_of_the_shop_keeps_no_car_out(empty: Walled):
    (empty.hand.store / "recipes").mkdir()
    (empty.hand.store / "recipes" / "spoilt.toml").write_text("format = 'bayapp-recipe/1'\n", encoding="utf-8")
    begin = to_begin(empty, "All rims")
    empty.press(begin.begin)
    assert len(empty.hand.bay.state.open_jobs) == 1


# Left half filled.


def test_a_half_filled_car_survives_leaving_the_page_and_a_restart_and_goes_when_it_begins(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand:
        (hand.store / "settings.toml").write_text(SHOP, encoding="utf-8")
        with walled(hand) as wall:
            begin = to_begin(wall, "All glass", "All rims")
            wall.press(titled(begin.colours, "Blue"))
            wall.press(titled(begin.people, "Bo"))
            wall.press(begin.promise)
            left = controller(wall).draft
            wall.wall.pages.show_board()
        hand.restart()
        with walled(hand) as wall:
            wall.wall.pages.want(Page.CARS)
            wall.choose("Go on: Blue hatchback")
            found = controller(wall).draft
            assert (found.picks, found.crew, found.colour) == (left.picks, left.crew, left.colour)
            assert found.promised == left.promised
            assert controller(wall).work.isVisible()
            wall.press(controller(wall).work.next)
            wall.press(controller(wall).begin.begin)
            (inside,) = hand.bay.state.open_jobs
            assert set(inside.zones) == set(left.picks)
            wall.wall.pages.want(Page.CARS)
            assert not any(title.startswith("Go on") for title in wall.choices())


def test_a_half_filled_car_with_divided_zones_is_found_as_it_was_divided(empty: Walled):
    work = to_work(empty)
    empty.press(titled(work.sets, "All glass"))
    empty.press(work.zones)
    page = controller(empty).dividing.page
    assert page
    page.zones_touched.emit([ZoneId("windscreen")])
    empty.press(page.along)
    empty.press(page.ready)
    divided = controller(empty).draft
    assert "windscreen" not in divided.picks
    empty.wall.pages.show_board()
    empty.wall.pages.want(Page.HALF_FILLED)
    assert controller(empty).draft.form == divided.form
    assert controller(empty).draft.picks == divided.picks


def test_what_is_no_more_is_left_out_of_a_half_filled_car_and_a_spoilt_file_is_none(empty: Walled):
    to_begin(empty, "All glass")
    file = empty.hand.store / "new-car.json"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("glass-one-layer", "a-recipe-that-was-removed"), encoding="utf-8")
    empty.wall.pages.want(Page.HALF_FILLED)
    assert controller(empty).draft.picks == {}
    file.write_text("{", encoding="utf-8")
    empty.wall.pages.want(Page.CARS)
    assert not any(title.startswith("Go on") for title in empty.choices())
    empty.wall.pages.want(Page.HALF_FILLED)
    assert controller(empty).forms.isVisible()


# A new name.


def type_name(wall: Walled, name: str) -> None:
    (typing,) = wall.wall.findChildren(TypingPage)
    assert typing.isVisible()
    for letter in name:
        wall.press(next(b for b in typing.keys if b.isVisible() and b.title == letter))
    wall.press(typing.record_button)


def test_a_new_name_is_typed_on_the_last_page_and_works_on_the_car_at_once(empty: Walled):
    begin = to_begin(empty, "All glass")
    empty.press(begin.others)
    empty.choose("A new name")
    type_name(empty, "DAN")
    assert begin.isVisible()
    assert "Dan" in controller(empty).draft.crew
    assert [b.title for b in begin.people if b.isVisible()] == ["Ash", "Bo", "Cy", "Dan"]
    empty.wall.pages.want(Page.NAMES)
    assert "Dan" in empty.choices()


def test_of_more_people_than_fit_every_one_can_be_chosen(empty: Walled):
    many = ", ".join(f'"P{n}"' for n in range(9))
    (empty.hand.store / "settings.toml").write_text(
        f'format = "bayapp-settings/1"\npeople = [{many}]\n', encoding="utf-8"
    )
    begin = to_begin(empty, "All glass")
    empty.press(begin.others)
    empty.choose("More")
    empty.choose("P8")
    assert "P8" in controller(empty).draft.crew


def test_the_windscreen_in_three_layers_and_the_other_panes_in_one_is_two_touches_and_the_page_says_which(
    empty: Walled,
):
    work = to_work(empty)
    empty.press(titled(work.sets, "All glass"))
    empty.press(work.recipes)
    empty.choose("Windscreen alone: Glass, three layers")
    assert work.isVisible()
    picks = controller(empty).draft.picks
    assert {zone for zone, recipe in picks.items() if recipe == "glass-three-layers"} == {"windscreen"}
    assert set(picks.values()) == {"glass-three-layers", "glass-one-layer"}
    assert work.subtitle == "All glass: windscreen by Glass, three layers; the others by Glass, one layer."
    assert titled(work.sets, "All glass").detail == "2 recipes"
    empty.press(titled(work.sets, "All glass"))
    assert "in or out" in work.subtitle
