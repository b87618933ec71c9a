"""Sets closed early: a zone that goes on by itself, and what its wait counts from then on."""

import pytest

from bayapp.job.grounds import Why
from tests.job.builders import (
    MS,
    Shop,
    at,
    close_set,
    code,
    finish,
    job,
    recipe,
    set_aside,
    start,
    step,
    take_up,
    undo,
    why,
)

PANEL = recipe(
    step("polish"),
    step("coat", wait={"max": 30, "lapse": "polish"}),
    step("buff", wait={"of": "panels", "min": 15, "max": 120, "lapse": "polish"}),
    name="panel",
)
BLOCK = recipe(
    step("coat-1", any_order="layers"),
    step("coat-2", any_order="layers", wait={"of": "block", "min": 5}),
    step("buff", wait={"of": "block", "min": 5}),
    name="block",
)
TRIM = recipe(step("mask"), step("unmask", wait={"of": "panels"}), name="trim")


@pytest.fixture
def shop():
    """The roof is coated, the bonnet not even polished; the buff of each waits for both."""
    made = Shop(job((["roof", "bonnet"], PANEL), (["left-rim"], TRIM)))
    made.work("roof", "polish", 0, 1)
    made.work("roof", "coat", 2, 3)
    return made


def refusal_of(verdict):
    return code(verdict), why(verdict)


def test_by_itself_a_zone_counts_from_its_own_last_coat(shop):
    refused = shop.ask(start("roof", "buff"), 18)
    assert (refused.refusal.why, refused.refusal.grounds.zones) == (Why.OTHERS_FIRST, ("bonnet",))
    closing = shop.must(close_set("roof", "Bo"), 10)
    (event,) = closing.events
    assert (event.event, event.zone, event.step, event.without) == ("set-closed/1", "roof", "buff", ("bonnet",))
    assert (closing.windows["roof"].opens_at, closing.windows["roof"].lapses_at) == (at(18), at(123))
    assert code(shop.ask(start("roof", "buff"), 18 - MS)) == "early"
    assert shop.ask(start("roof", "buff"), 18).accepted
    assert shop.ask(start("roof", "buff"), 123).accepted


def test_a_window_that_has_passed_by_then_is_told_and_costs_what_it_costs(shop):
    closing = shop.ask(close_set("roof"), 123 + MS)
    assert closing.windows["roof"].lapsed(at(123 + MS))
    shop.must(close_set("roof"), 123 + MS)
    refused = shop.ask(start("roof", "buff"), 124)
    assert (code(refused), refused.refusal.grounds.back_to) == ("late", "polish")
    assert shop.ask(start("roof", "polish"), 124).accepted
    shop.must(undo("roof"), 125)
    assert why(shop.ask(start("roof", "buff"), 126)) == "others-first", "undone, it waits for the others again"


def test_the_others_count_the_zone_that_went_ahead(shop):
    shop.must(close_set("roof"), 4)
    shop.work("roof", "buff", 18, 19)
    shop.work("bonnet", "polish", 20, 21)
    shop.work("bonnet", "coat", 22, 23)
    assert code(shop.ask(start("bonnet", "buff"), 38 - MS)) == "early"
    assert shop.ask(start("bonnet", "buff"), 38).accepted


def test_only_the_wait_that_runs_is_closed_not_the_next_ones():
    shop = Shop(job((["roof", "bonnet"], BLOCK)))
    shop.work("roof", "coat-1", 0, 1)
    shop.must(close_set("roof"), 2)
    shop.work("roof", "coat-2", 6, 7)
    assert why(shop.ask(start("roof", "buff"), 20)) == "others-first"
    shop.must(close_set("roof"), 20)
    shop.work("roof", "buff", 20, 21)


def test_a_zone_that_fell_back_counts_everybody_again():
    wiped = recipe(
        step("wipe"),
        step("coat", wait={"of": "block", "max": 30}),
        step("buff", wait={"of": "block", "max": 60, "lapse": "wipe"}),
        name="wiped",
    )
    shop = Shop(job((["roof", "bonnet"], wiped)))
    shop.work("roof", "wipe", 0, 1)
    shop.must(close_set("roof"), 2)
    shop.work("roof", "coat", 3, 4)
    shop.must(close_set("roof"), 5)
    shop.work("roof", "wipe", 70, 71)
    assert why(shop.ask(start("roof", "coat"), 72)) == "others-first"


def test_a_zone_outside_the_set_goes_on_without_those_that_are_not_there(shop):
    shop.work("left-rim", "mask", 4, 5)
    shop.must(close_set("left-rim"), 6)
    assert shop.ask(start("left-rim", "unmask"), 6).accepted


def test_two_panels_of_any_order_that_wait_for_each_others_turn_go_on_one_by_one():
    shop = Shop(job((["roof", "bonnet"], BLOCK)))
    shop.work("roof", "coat-1", 0, 1)
    shop.work("bonnet", "coat-2", 2, 3)
    for zone, second in (("roof", "coat-2"), ("bonnet", "coat-1")):
        if why(shop.ask(start(zone, second), 20)) == "others-first":
            shop.must(close_set(zone), 20)
    shop.work("roof", "coat-2", 20, 21)
    shop.work("bonnet", "coat-1", 22, 23)
    shop.work("roof bonnet", "buff", 30, 31)


def test_a_zone_that_waits_for_a_step_which_another_skipped_goes_on_by_itself(shop):
    shop.must(start("bonnet", "buff", reason="not coated today"), 5)
    shop.must(finish("bonnet", "buff"), 6)
    assert why(shop.ask(start("roof", "buff"), 20)) == "others-first"
    shop.must(close_set("roof"), 20)
    assert shop.ask(start("roof", "buff"), 20).accepted


def test_there_is_nothing_to_close_where_nobody_is_waited_for(shop):
    assert refusal_of(shop.ask(close_set("bonnet"), 4)) == ("order", "waits-for-nobody")
    shop.must(close_set("roof"), 4)
    assert refusal_of(shop.ask(close_set("roof"), 5)) == ("order", "waits-for-nobody")
    shop.must(start("roof", "buff"), 18)
    assert refusal_of(shop.ask(close_set("roof"), 19)) == ("busy", "zone-busy")
    shop.must(set_aside("bonnet"), 20)
    assert refusal_of(shop.ask(close_set("bonnet"), 21)) == ("order", "set-aside")


def test_a_zone_taken_up_again_stays_out_of_a_set_that_was_closed(shop):
    shop.must(close_set("roof"), 4)
    shop.must(set_aside("bonnet"), 5)
    shop.must(take_up("bonnet"), 6)
    assert shop.ask(start("roof", "buff"), 18).accepted
    shop.must(undo("roof"), 19)
    assert why(shop.ask(start("roof", "buff"), 20)) == "others-first"
