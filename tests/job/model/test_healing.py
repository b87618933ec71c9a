"""Which recipes can never heal. Each refused ladder is first seen to fall for ever through the gate."""

import pytest

from bayapp.job.model.healing import unhealed, unhealed_in_set
from bayapp.job.model.job import check_healing
from bayapp.job.model.misfit import MisfitError
from bayapp.job.waits.ladder_position import ladder_position
from tests.job.builders import Shop, at, code, job, recipe, start, step
from tests.job.gate.test_changes import add

FOR_EVER = recipe(step("dress"), step("wipe"), step("coat", wait={"max": 6, "after": "dress", "lapse": "wipe"}))


def why(ladder):
    wrong = unhealed(ladder)
    return wrong[1] if wrong else ""


def test_a_fall_that_leaves_the_anchor_of_the_missed_wait_where_it_was_is_refused():
    shop = Shop(job((["roof"], FOR_EVER)))
    shop.work("roof", "dress", 0, 0)
    for minutes in (1, 10, 20):
        shop.work("roof", "wipe", minutes, minutes)
        assert minutes == 1 or code(shop.ask(start("roof", "coat"), minutes)) == "late", "wiped for nothing"
    assert unhealed(FOR_EVER) == (2, why(FOR_EVER))
    assert "goes back to 'wipe'" in why(FOR_EVER)
    assert "counts from 'dress'" in why(FOR_EVER)


@pytest.mark.parametrize(
    "wait",
    [
        {"max": 6, "lapse": "wipe"},
        {"max": 6, "after": "dress", "lapse": "repeat"},
        {"max": 6, "after": "wipe", "lapse": "wipe"},
        {"max": 6, "after": "dress", "lapse": "inspect"},
        {"max": 6, "after": "dress"},
        {"min": 6, "after": "dress"},
    ],
)
def test_a_fall_that_does_the_anchor_again_or_leaves_it_to_a_person_heals(wait):
    assert why(recipe(step("dress"), step("wipe"), step("coat", wait=wait))) == ""


def test_a_wait_of_the_block_heals_by_what_the_zone_itself_does_again():
    steps = (step("dress"), step("wipe"))
    assert why(recipe(*steps, step("coat", wait={"of": "block", "max": 6, "lapse": "wipe"}))) == ""
    assert why(recipe(*steps, step("coat", wait={"of": "block", "after": "dress", "max": 6, "lapse": "wipe"})))


def test_a_lapse_to_a_rung_that_is_not_there_is_refused():
    ladder = recipe(step("coat-1"), step("coat-2", wait={"max": 9, "lapse": "polish"}), step("polish"))
    assert "no polish stands before it" in why(ladder)


def test_of_steps_that_may_swap_the_turn_before_is_what_the_wait_counts_from():
    layers = (step("coat-a", any_order="x"), step("coat-b", any_order="x", wait={"max": 9, "lapse": "repeat"}))
    assert why(recipe(step("wipe"), *layers)) == ""


COATED = recipe(step("wipe"), step("coat"), name="coated")


def with_set(wait, zone="left-door", **more):
    own = recipe(step("wipe"), step("coat"), step("buff", wait={"of": "rims", **wait}), name="own")
    return job(([zone], own), (["right-rim"], COATED), **more)


def test_a_set_whose_coats_no_rework_of_the_zone_moves_is_refused():
    outside = with_set({"max": 60, "lapse": "wipe"})
    shop = Shop(outside)
    for name in ("wipe", "coat"):
        shop.work("right-rim", name, 0, 0)
        shop.work("left-door", name, 0, 0)
    shop.work("left-door", "wipe", 70, 70)
    shop.work("left-door", "coat", 70, 70)
    assert ladder_position(shop.state.jobs["car"], outside.blocks[0].zones[0], at(70)).lapses, "coated anew, late again"
    with pytest.raises(MisfitError, match="counts from 'rims', which nothing that is done again here moves") as wrong:
        check_healing(outside, outside.blocks)
    assert (wrong.value.block, wrong.value.zone) == (0, "left-door")
    assert str(wrong.value).startswith("work 1: recipe 'own': ")
    with pytest.raises(MisfitError) as of_change:
        check_healing(outside, list(outside.blocks))
    assert (of_change.value.block, of_change.value.zone) == (None, "left-door"), "a change has no numbered blocks"


def test_a_zone_of_the_set_heals_by_its_own_coat_and_one_without_a_latest_moment_has_nothing_to_heal():
    for fine in (with_set({"max": 60, "lapse": "wipe"}, "left-rim"), with_set({"min": 60}), with_set({"max": 60})):
        check_healing(fine, fine.blocks)


def test_a_set_with_nothing_to_count_from_in_the_job_gives_no_wait_that_could_be_missed():
    own = with_set({"max": 60, "lapse": "wipe"}).blocks[0].recipe
    assert unhealed_in_set(own, False, ("rims",), [recipe(step("wipe"))]) is None
    assert unhealed_in_set(own, False, ("rims",), [COATED]) is not None


def test_work_that_could_never_heal_is_not_added_to_a_car_in_the_bay():
    shop = Shop(job((["roof"], COATED)))
    assert code(shop.ask(add("bonnet", FOR_EVER), 1)) == "order"
    assert shop.ask(add("bonnet", COATED), 1).accepted
