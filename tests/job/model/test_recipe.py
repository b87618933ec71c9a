from datetime import timedelta

import pytest
from pydantic import ValidationError

from bayapp.job.model.recipe import Wait, in_milliseconds
from bayapp.job.model.wait_tables import A_YEAR_MIN
from tests.job.builders import recipe, step


def refused(*steps, **more):
    with pytest.raises(ValidationError) as error:
        recipe(*steps, **more)
    return str(error.value)


def test_a_wait_whose_latest_moment_comes_before_its_earliest_is_impossible():
    with pytest.raises(ValidationError, match=r"max \(4 min\) is less than min \(5 min\)"):
        Wait(min=5, max=4)
    assert Wait(min=5, max=5).latest == timedelta(minutes=5)


@pytest.mark.parametrize("more", [{"lapse": "wipe"}, {"max_from": "start"}])
def test_a_latest_moment_is_needed_before_anything_can_be_said_about_it(more):
    with pytest.raises(ValidationError, match="give max as well"):
        Wait.model_validate({"min": 1, **more})


@pytest.mark.parametrize("minutes", [-1, float("nan"), float("inf"), A_YEAR_MIN + 1, "5", True, None])
def test_minutes_are_plain_numbers_from_nothing_to_a_year(minutes):
    with pytest.raises(ValidationError):
        Wait.model_validate({"min": minutes})


def test_minutes_are_kept_to_the_millisecond():
    assert in_milliseconds(0.1) == timedelta(seconds=6)
    assert in_milliseconds(1 / 60_000) == timedelta(milliseconds=1)
    assert in_milliseconds(A_YEAR_MIN) == timedelta(days=366)


def test_unknown_keys_are_refused():
    assert "colour" in refused(step("wipe", colour="red"))
    assert "maximum" in refused(step("wipe"), step("coat", wait={"maximum": 3}))


def test_a_step_stands_once():
    assert "step id 'wipe' stands twice" in refused(step("wipe"), step("wipe"))


def test_a_recipe_has_a_step():
    assert "step" in refused()


def test_only_a_coat_has_a_layer_or_a_motion():
    assert "only a coat has" in refused(step("wipe", layer=1))
    assert "only a coat has" in refused(step("wipe", motion="vertical"))


def test_steps_that_may_swap_stand_side_by_side():
    assert "do not stand side by side" in refused(
        step("coat-a", any_order="x"), step("wipe"), step("coat-b", any_order="x")
    )


def test_the_first_step_has_nothing_to_wait_for_but_another_set():
    assert "no step before it" in refused(step("coat", wait={"min": 1}))
    assert "no step before it" in refused(step("coat", wait={"min": 1, "of": "block"}))
    assert recipe(step("coat", wait={"min": 1, "of": "rims"})).step[0].wait


@pytest.mark.parametrize("wait", [{"also": ["rims"]}, {"of": "block", "also": ["rims"]}])
def test_further_sets_go_with_a_first(wait):
    with pytest.raises(ValidationError, match="also names more sets"):
        Wait.model_validate(wait)


def test_a_wait_counts_after_an_earlier_step_of_the_same_recipe():
    assert "a cycle" in refused(step("wipe"), step("coat", wait={"after": "level"}), step("level"))
    assert "a cycle" in refused(step("wipe"), step("coat", wait={"after": "coat"}))
    assert "no step of this recipe" in refused(step("wipe"), step("coat", wait={"after": "polish"}))
    assert recipe(step("wipe"), step("coat", wait={"after": "buff", "of": "rims"})), "a step of the rims' own recipe"


def test_water_and_dust_fly_as_the_kind_says_unless_the_step_says_otherwise():
    ladder = recipe(
        step("decontaminate"), step("polish"), step("clean", wet=True), step("inspect", dusty=True),
        step("polish-2", dusty=False), step("decontaminate-2", wet=False),
    )  # fmt: skip
    assert [s.makes_wet for s in ladder.step] == [True, False, True, False, False, False]
    assert [s.makes_dust for s in ladder.step] == [False, True, False, True, False, False]


LADDER = recipe(
    step("polish"), step("wipe"), step("coat-1", wait={"max": 1}), step("coat-2", wait={"max": 1, "lapse": "polish"}),
    step("level", wait={"max": 1, "lapse": "repeat"}), step("buff", wait={"max": 1, "lapse": "wipe", "after": "wipe"}),
    step("inspect", wait={"max": 1}), step("clean", wait={"max": 1, "lapse": "inspect"}), step("dress"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("name", "back_to"),
    [
        ("coat-1", "wipe"),  # silent after a wipe: a wipe holds only for its own window
        ("coat-2", "polish"),
        ("level", "coat-2"),
        ("buff", "wipe"),
        ("inspect", None),  # silent: for a person to look at, and no such step stands below
        ("clean", "inspect"),
        ("dress", None),
    ],
)
def test_a_lapse_costs_the_rung_the_recipe_names(name, back_to):
    place = LADDER.falls_back_to(LADDER.position(name))
    assert (None if place is None else LADDER.step[place].id) == back_to


def test_a_repeat_goes_back_to_the_step_the_wait_counts_after():
    ladder = recipe(step("wipe"), step("coat"), step("level", wait={"max": 9, "after": "wipe", "lapse": "repeat"}))
    assert ladder.falls_back_to(2) == 0


def test_a_cost_whose_rung_the_recipe_lacks_takes_nothing_off_the_ladder():
    ladder = recipe(step("coat-1"), step("coat-2", wait={"max": 9, "lapse": "wipe"}))
    assert ladder.falls_back_to(1) is None


def test_hours_of_cure_are_bounded_and_months_are_whole():
    with pytest.raises(ValidationError):
        recipe(step("coat"), finish={"keep_dry_hours": -1})
    with pytest.raises(ValidationError):
        recipe(step("coat"), finish={"protects_months": 0})


@pytest.mark.parametrize(
    ("keep_dry", "no_drive", "held"), [(12, 1, 12), (0, 1, 1), (1, 0.25, 1), (0.5, 0.5, 0.5), (0, 0, 0)]
)
def test_a_zone_is_held_until_it_may_get_wet_and_be_driven(keep_dry: float, no_drive: float, held: float):
    after = recipe(step("dress"), finish={"keep_dry_hours": keep_dry, "no_drive_hours": no_drive}).finish
    assert after.duration == timedelta(hours=held)


def test_a_step_that_is_asked_for_and_not_there_is_a_key_error():
    with pytest.raises(KeyError):
        LADDER.named("sand")  # type: ignore[arg-type]
    assert not LADDER.has("sand")  # type: ignore[arg-type]


def test_a_lapse_goes_back_to_the_nearest_such_rung_below():
    ladder = recipe(step("wipe-1"), step("coat-1"), step("wipe-2"), step("coat-2", wait={"max": 9, "lapse": "wipe"}))
    assert ladder.falls_back_to(3) == 2
