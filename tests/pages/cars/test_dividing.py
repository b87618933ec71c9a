"""Zones split and joined touch by touch: an open cut moves and turns, undo goes back, work goes along."""

from functools import cache

import pytest

from bayapp.files.library import Library
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.pages.cars.dividing import Dividing, dividing_view
from bayapp.pages.cars.new_job import Draft
from tests.job.builders import at

BONNET, WING, ROOF = ZoneId("bonnet"), ZoneId("wing-left"), ZoneId("roof")


@cache
def draft() -> Draft:
    library = Library()
    form, drawing = library.load_drawn_vehicle("estate")
    recipes = {name: library.load_recipe(name) for name in library.names("recipe")}
    products = {name: library.load_product(name) for name in library.names("product")}
    return Draft(form, drawing, recipes, products)


def zones(dividing: Dividing) -> set[str]:
    return {zone.id for zone in dividing.draft.form.zone}


def test_a_cut_is_drawn_at_once_and_moves_until_something_else_is_touched() -> None:
    cut = Dividing(draft()).touched(BONNET).cut("across")
    assert {"bonnet-front", "bonnet-rear"} <= zones(cut)
    area = cut.draft.form.zone_named(ZoneId("bonnet-front")).area_m2
    moved = cut.moved(-2)
    assert moved.share == pytest.approx(0.4)
    assert moved.draft.form.zone_named(ZoneId("bonnet-front")).area_m2 < area
    assert len(zones(moved)) == len(zones(cut))
    settled = moved.touched(ROOF).cut("across")
    assert {"bonnet-front", "roof-front"} <= zones(settled)


def test_an_open_cut_is_turned_instead_of_cut_again() -> None:
    turned = Dividing(draft()).touched(BONNET).cut("across").cut("along")
    assert {"bonnet-left", "bonnet-right"} <= zones(turned)
    assert "bonnet-front" not in zones(turned)


def test_the_cut_stops_before_the_edge() -> None:
    cut = Dividing(draft()).touched(BONNET).cut("across")
    for _n in range(30):
        cut = cut.moved(-1)
    assert cut.share == pytest.approx(0.1)


def test_undo_goes_back_step_by_step_to_the_car_as_it_came() -> None:
    done = Dividing(draft()).touched(BONNET).cut("across").touched(ROOF).cut("along")
    once = done.undone()
    assert {"bonnet-front", "roof"} <= zones(once)
    assert once.chosen == (ROOF,)
    twice = once.undone()
    assert twice.draft == draft()
    assert dividing_view(twice).may_undo is False
    assert twice.undone().trouble


def test_neighbours_are_joined_and_what_is_none_is_refused_in_words() -> None:
    joining = Dividing(draft()).touched(BONNET).join_wanted()
    assert dividing_view(joining).joining
    made = joining.touched(WING)
    assert {BONNET, WING}.isdisjoint(zones(made))
    assert made.draft.form.zone_named(made.chosen[0]).name == "bonnet and left wing"
    apart = joining.touched(ZoneId("tailgate"))
    assert "side by side" in apart.trouble
    assert apart.draft is joining.draft
    assert made.undone().draft == draft()


def test_the_parts_are_worked_as_the_zone_was_and_each_can_have_another_recipe() -> None:
    car = draft().toggled("bonnet")
    cut = Dividing(car).touched(BONNET).cut("along")
    usual = car.picks[BONNET]
    assert [cut.draft.picks[zone] for zone in cut.chosen] == [usual, usual]
    left = cut.touched(ZoneId("bonnet-left"))
    other = next(r.name for r in left.draft.recipes_for(ZoneId("bonnet-left")) if r.name != usual)
    two_tone = left.worked_by(other).draft
    assert {two_tone.picks[ZoneId("bonnet-left")], two_tone.picks[ZoneId("bonnet-right")]} == {usual, other}
    job = two_tone.job(JobId("car"), at(0))
    assert job.recipe_of(ZoneId("bonnet-left")).name == other
    assert ZoneId("bonnet") not in job.zone_names


def test_every_button_says_what_it_needs_first() -> None:
    nothing = Dividing(draft())
    assert dividing_view(nothing).note == "Touch a zone on the car."
    for tried in (nothing.cut("across"), nothing.moved(1), nothing.join_wanted(), nothing.undone()):
        assert tried.trouble
        assert tried.draft is nothing.draft


def test_a_cut_that_leaves_too_little_is_refused_and_the_last_one_stays() -> None:
    narrow = Dividing(draft()).touched(ZoneId("sill-left")).cut("along")
    moved = narrow
    while not moved.trouble and moved.share > 0.1:
        moved = moved.moved(-1)
    assert "too narrow" in moved.trouble
    assert len(zones(moved)) in (len(zones(Dividing(draft()))), len(zones(Dividing(draft()))) + 1)
