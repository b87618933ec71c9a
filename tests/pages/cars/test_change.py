"""What may change in a job in the bay: which zones, which recipes, and what is asked of the gate."""

from datetime import UTC
from functools import cache
from pathlib import Path

import pytest

from bayapp.files.library import Library
from bayapp.job import Product, Recipe, SwapRecipe
from bayapp.job.model.ids import ZoneId
from bayapp.pages.cars.change import (
    Picking,
    add_view,
    additions,
    draft_of,
    pick_view,
    still_to_add,
    swap_choices,
    workable,
)
from tests.job.builders import set_aside
from tests.pages.bays import ASH, CAR, HandBay, hand_bay

REAR = ZoneId("rear-screen")


@cache
def books() -> tuple[dict[str, Recipe], dict[str, Product]]:
    library = Library()
    recipes = {name: library.load_recipe(name) for name in library.names("recipe")}
    return recipes, {name: library.load_product(name) for name in library.names("product")}


@pytest.fixture
def hand(tmp_path: Path):
    with hand_bay(tmp_path) as opened:
        yield opened


def job_of(hand: HandBay):
    return hand.bay.state.jobs[CAR].job


def asked(hand: HandBay, *zones: ZoneId) -> SwapRecipe:
    return SwapRecipe(CAR, zones, job_of(hand).recipe_of(zones[0]), "covered with film", by=ASH)


def test_sets_are_put_in_and_out_whole_and_zones_by_themselves(hand: HandBay):
    picking = Picking(job_of(hand).vehicle, workable(hand.bay, CAR))
    assert pick_view(picking).trouble
    glass = picking.toggled("all-glass")
    assert len(glass.chosen) == 8
    assert pick_view(glass).note == "8 zones are chosen."
    some = glass.toggled("windscreen")
    (choice,) = [c for c in pick_view(some).choices if c.name == "all-glass"]
    assert (choice.some, choice.whole, choice.detail) == (True, False, "7 of 8")
    assert some.toggled("all-glass").chosen == glass.chosen
    assert glass.toggled("all-glass").chosen == ()


def test_zones_set_aside_are_no_choice(hand: HandBay):
    assert hand.bay.request(set_aside("bonnet", job=CAR)).accepted
    assert ZoneId("bonnet") not in workable(hand.bay, CAR)


def test_what_is_worked_cannot_be_added_again_and_a_set_is_called_by_the_narrowest_name(hand: HandBay):
    draft = draft_of(job_of(hand), "", *books())
    assert draft.toggled("bonnet") == draft
    names = [choice.title for choice in add_view(draft).choices]
    assert "All trim" in names
    assert "Whole exterior" not in names


def test_work_is_added_block_by_block_with_the_sheets_of_its_products(hand: HandBay):
    draft = draft_of(job_of(hand), "", *books()).toggled("trim")
    (asked_for,) = additions(draft, CAR, ASH, "damage found")
    assert set(asked_for.products) == {s.product for s in asked_for.block.recipe.step if s.product} & set(books()[1])
    assert hand.bay.request(asked_for).accepted
    assert set(asked_for.block.zones) <= set(hand.bay.state.jobs[CAR].zones)
    after = still_to_add(draft, job_of(hand))
    assert after.picks == {}
    assert after.trouble()


def test_recipes_are_those_of_the_surface_and_the_gate_says_which_fit(hand: HandBay):
    choices = swap_choices(hand.bay, asked(hand, REAR), books()[0].values(), books()[1], UTC)
    assert [(c.title, bool(c.why)) for c in choices] == [("Glass, three layers", False), ("Glass, one layer", True)]
    assert choices[1].why == "Rear screen goes by Glass, one layer already."
    assert "glass-coat" in " ".join(choices[0].request.products)
    assert hand.bay.request(choices[0].request).accepted
    assert job_of(hand).recipe_of(REAR).layers == 3


def test_zones_of_two_surfaces_share_only_recipes_for_any(hand: HandBay):
    both = asked(hand, REAR, ZoneId("bonnet"))
    assert swap_choices(hand.bay, both, books()[0].values(), books()[1], UTC) == []
    for_any = books()[0]["paint-two-layers"].model_copy(update={"surfaces": (), "name": "any", "title": "Any"})
    (choice,) = swap_choices(hand.bay, both, [for_any], books()[1], UTC)
    assert choice.title == "Any"


def test_judging_what_fits_records_nothing(hand: HandBay):
    before = len(hand.journal.read())
    swap_choices(hand.bay, asked(hand, REAR), books()[0].values(), books()[1], UTC)
    assert len(hand.journal.read()) == before
