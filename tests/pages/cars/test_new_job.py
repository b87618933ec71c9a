"""A new job by touch: work by set and zone, its recipes, its title, its file, and whether a promise holds."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.files.drawings.division import split
from bayapp.files.library import Library
from bayapp.job import Job
from bayapp.job.model.ids import THE_CAR, CarColour, JobId, Person, ZoneId
from bayapp.pages.cars.new_job import USUAL, Draft, check_promise, colours, work_view

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
LIBRARY = Library()
FORM, DRAWING = LIBRARY.load_drawn_vehicle("estate")
RECIPES = {name: LIBRARY.load_recipe(name) for name in LIBRARY.names("recipe")}
PRODUCTS = {name: LIBRARY.load_product(name) for name in LIBRARY.names("product")}
FORMS = LIBRARY.names("vehicle")


def draft(form: str = "estate") -> Draft:
    return Draft(*LIBRARY.load_drawn_vehicle(form), RECIPES, PRODUCTS)


def test_every_surface_has_a_usual_recipe_that_ships_and_is_made_for_it():
    for surface, name in USUAL.items():
        assert surface in RECIPES[name].surfaces


def test_a_set_goes_in_with_the_usual_recipes_and_comes_out_again():
    glass = draft().toggled("all-glass")
    assert set(glass.picks) == set(FORM.zones_of(["all-glass"]))
    assert set(glass.picks.values()) == {"glass-one-layer"}
    assert glass.toggled("all-glass").picks == {}


def test_a_set_of_which_a_part_is_in_is_filled_and_what_was_chosen_stays():
    one = draft().toggled("windscreen").worked_by([ZoneId("windscreen")], "glass-three-layers")
    all_of_it = one.toggled("all-glass")
    assert all_of_it.picks[ZoneId("windscreen")] == "glass-three-layers"
    assert all_of_it.picks[ZoneId("rear-screen")] == "glass-one-layer"


def test_single_zones_are_taken_out_by_touching_them():
    found = draft().toggled("rims").toggled("rim-front-left")
    assert ZoneId("rim-front-left") not in found.picks
    assert len(found.picks) == 3


def test_the_order_of_touches_changes_nothing():
    one, other = draft().toggled("rims").toggled("all-glass"), draft().toggled("all-glass").toggled("rims")
    assert one.written(NOON) == other.written(NOON)


def test_the_recipes_offered_are_for_the_surface_the_usual_first():
    assert [r.name for r in draft().recipes_for(ZoneId("windscreen"))] == ["glass-one-layer", "glass-three-layers"]


def test_a_recipe_for_one_zone_is_offered_there_first_and_nowhere_else():
    """Petrol vapour lies over a tank: its recipe says so, and no door needs it."""
    bike = draft("motorcycle")
    assert [r.name for r in bike.recipes_for(ZoneId("tank"))][:2] == ["fuel-tank", "paint-two-layers"]
    offered = {
        r.name
        for form in FORMS
        for z in draft(form).form.zone
        if z.id != "tank"
        for r in draft(form).recipes_for(ZoneId(z.id))
    }
    assert "fuel-tank" not in offered
    assert "fuel-tank" not in {r.name for r in bike.recipes_for(ZoneId("tank"), ZoneId("tail"))}


def test_a_recipe_for_one_zone_is_for_all_the_parts_that_it_was_split_into():
    whole = draft("motorcycle")
    parts = split(whole.form, whole.drawing, ZoneId("tank"), "across", 0.5)
    left, right = (ZoneId(zone) for zone in parts.form.sets["tank"])
    divided = replace(whole, form=parts.form, drawing=parts.drawing)
    assert divided.recipes_for(left, right)[0].name == "fuel-tank"


@pytest.mark.parametrize(("zone", "own"), [("rim-front-left", "motorcycle-rim"), ("tyre-rear-left", "motorcycle-tyre")])
def test_what_is_made_for_a_motorcycle_comes_first_on_one_and_last_on_cars(zone: str, own: str):
    """A dressed tyre slips: common practice, no source."""
    assert draft("motorcycle").recipes_for(ZoneId(zone))[0].name == own
    assert draft("saloon").recipes_for(ZoneId(zone))[0].name == own.removeprefix("motorcycle-")
    assert draft("saloon").recipes_for(ZoneId(zone))[-1].name == own


def test_a_recipe_for_any_surface_is_offered_last():
    own = RECIPES["rim"].model_copy(update={"name": "own", "surfaces": ()})
    found = Draft(FORM, DRAWING, {**RECIPES, "own": own}, PRODUCTS)
    assert [r.name for r in found.recipes_for(ZoneId("windscreen"))][-1] == "own"


def test_the_car_itself_is_offered_beside_the_whole_exterior_and_says_what_is_done_to_it_before_it_is_chosen():
    offered = {choice.name: choice for choice in work_view(draft("estate")).choices}
    assert list(offered)[:2] == ["exterior", "car"]
    assert (offered["car"].title, offered["car"].detail) == ("Whole car", "Wash, dry, mask, final look")
    assert not offered["car"].some
    chosen = draft("estate").toggled("car")
    assert chosen.picks == {"car": "whole-car"}
    assert THE_CAR not in draft("estate").toggled("exterior").picks


def test_sets_stand_in_the_same_order_on_every_form():
    """Whoever has learned where the rims are finds them there on a van and on a motorcycle."""
    surfaces = []
    for form in FORMS:
        whole = draft(form)
        names = [c.name for c in work_view(whole).choices][1:]
        surfaces.append([whole.form.zone_named(whole.form.zones_of([n])[0]).surface for n in names])
    order = ["car", "paint", "glass", "rim", "tyre", "caliper", "tip", "lamp", "trim", "cabin", "screen", "metal"]
    assert len(surfaces) == 8
    for found in surfaces:
        assert found == sorted(found, key=order.index)


@pytest.mark.parametrize("form", FORMS)
def test_every_shipped_form_offers_its_sets_and_the_whole_of_it_makes_a_job(form: str):
    view = work_view(draft(form))
    assert 4 <= len(view.choices) <= 16
    assert len({c.title for c in view.choices}) == len(view.choices)
    everything = draft(form)
    for choice in view.choices[1:]:
        everything = everything.toggled(choice.name)
    made = everything.job(JobId("new"), NOON)
    assert len(made.block_of) == len(everything.picks) > 10


def test_what_is_chosen_is_shown_on_its_set():
    part = draft().toggled("rims").toggled("rim-front-left")
    (rims,) = [c for c in work_view(part).choices if c.name == "rims"]
    assert (rims.whole, rims.some, rims.detail) == (False, True, "3 of 4: Rim")
    assert work_view(part).note == "3 zones are worked."
    assert work_view(draft()).trouble == "Choose what is to be done."


def test_the_title_is_colour_and_form_and_is_never_given_twice():
    green = Draft(FORM, DRAWING, RECIPES, PRODUCTS, colour="green")
    assert green.title() == "Green estate"
    assert green.title(["Green estate"]) == "Green estate 2"
    assert green.title(["Green estate", "Green estate 2"]) == "Green estate 3"
    assert draft().title() == "Estate"


@pytest.mark.parametrize(("word", "colour"), list(zip(colours(), CarColour, strict=True)))
def test_a_car_keeps_the_colour_that_it_is_called_by(word: str, colour: CarColour):
    car = Draft(FORM, DRAWING, RECIPES, PRODUCTS, colour=word).toggled("all-glass")
    job = car.job(JobId("car"), NOON)
    assert (job.colour, job.title) == (colour, f"{word.capitalize()} {FORM.title.lower()}")
    assert Draft(FORM, DRAWING, RECIPES, PRODUCTS).toggled("all-glass").job(JobId("car"), NOON).colour is None


def test_the_crew_is_told_apart_by_touch():
    both = draft().with_person(Person("Ash")).with_person(Person("Bo"))
    assert both.crew == ("Ash", "Bo")
    assert both.with_person(Person("Ash")).crew == ("Bo",)


ZONES = st.lists(st.sampled_from([*FORM.sets, *(z.id for z in FORM.zone)]), min_size=1, max_size=6)


@settings(max_examples=40)
@given(ZONES)
def test_any_choice_is_written_as_entries_that_stand_for_the_same_zones(names: list[str]):
    found = draft()
    for name in names:
        found = found.toggled(name)
    if found.trouble():
        return
    made = found.job(JobId("new"), NOON)
    written = found.written(NOON)
    zones = [zone for entry in written.work for zone in FORM.zones_of(entry.zones)]
    assert sorted(zones) == sorted(made.block_of)
    assert {z: made.recipe_of(z).name for z in made.block_of} == found.picks


def test_a_promise_holds_fails_or_is_not_known():
    late, early = NOON + timedelta(hours=2), NOON - timedelta(hours=2)
    assert check_promise(NOON, early, "10:00", "2 h 00").holds is True
    promise = check_promise(NOON, late, "14:00", "2 h 00")
    assert (promise.holds, promise.words) == (False, "It will not be ready before 14:00, 2 h 00 later than promised.")
    assert check_promise(None, late, "14:00", "").holds is None
    assert check_promise(NOON, None, "", "").holds is None


def test_the_promise_goes_with_the_job():
    made = Draft(FORM, DRAWING, RECIPES, PRODUCTS, promised=NOON + timedelta(hours=5)).toggled("rims")
    job: Job = made.job(JobId("new"), NOON)
    assert job.promised == NOON + timedelta(hours=5)
