"""What is different on a motorcycle, stated from outside: no glass, no dressing on tyres, a tank full of vapour.

Every rule below is common practice, no source.
"""

import pytest

from bayapp.files.library import Library
from bayapp.job.model.ids import Code, StepId, StepKind, ZoneId
from bayapp.job.state.requests import Start
from bayapp.paths import resource
from tests.recipes.shipped import ASH, CAR, MS, Car, job_of, minutes, recipes

JOB = resource("jobs", "motorcycle-tank-and-rims.toml")
SLIPPERY = ("seat", "handlebar", "fork-left", "fork-right", "caliper-front-left", "caliper-rear-right")


def test_the_tank_is_never_worked_with_its_cap_open_or_the_engine_hot():
    said = {step.id: step.how or "" for step in recipes()["fuel-tank"].step}
    assert "Engine cold, fuel cap shut" in said[StepId("decontaminate")]
    assert "Cap shut, no smell of fuel, fresh air" in said[StepId("polish")]
    assert "no flame or spark" in said[StepId("wipe")]


def test_the_tank_is_coated_within_the_same_windows_as_other_paint():
    car = Car(job_of((["tank"], "fuel-tank"), vehicle="motorcycle"))
    car.upto("tank", "coat-2")
    opens, lapses = car.now + minutes(60), car.now + minutes(240)
    for at, code in ((opens - MS, Code.EARLY), (opens, None), (lapses, None), (lapses + MS, Code.LATE)):
        verdict = car.may_start("tank", "coat-2", at)
        assert (verdict.refusal.code if verdict.refusal else None) is code


def test_a_rim_says_that_nothing_goes_on_disc_pads_or_chain():
    wet = [s for s in recipes()["motorcycle-rim"].step if s.kind in (StepKind.DECONTAMINATE, StepKind.COAT)]
    assert len(wet) == 2
    assert all("one on disc, pads or chain" in (step.how or "") for step in wet)


def test_tyres_are_not_dressed_and_are_looked_at_once_every_coat_is_levelled():
    assert StepKind.DRESS not in {step.kind for step in recipes()["motorcycle-tyre"].step}
    car = Car(
        job_of((["rim-front-left"], "motorcycle-rim"), (["tyre-front-left"], "motorcycle-tyre"), vehicle="motorcycle")
    )
    car.do("rim-front-left", "decontaminate")
    car.do("tyre-front-left", "decontaminate")
    car.upto("rim-front-left", "buff", after="decontaminate")
    early = car.may_start("tyre-front-left", "inspect", car.now).refusal
    assert early is not None
    assert early.code is Code.ORDER
    car.do("rim-front-left", "buff")
    assert car.may_start("tyre-front-left", "inspect", car.now).accepted


def test_the_screen_is_clear_plastic_and_gets_no_glass_polish_and_no_machine():
    steps = recipes()["clear-screen"].step
    assert not {"glass-polish", "glass-coat", "glass-cleaner"} & {step.product for step in steps}
    assert all(step.tool is None for step in steps)


@pytest.mark.parametrize("recipe", ["glass-one-layer", "glass-three-layers"])
def test_a_recipe_for_glass_is_refused_where_there_is_none_and_what_there_is_is_named(recipe: str):
    with pytest.raises(ValueError, match="waits of 'all-glass', which is no set of 'Motorcycle'; it has rims, "):
        job_of((["screen"], recipe), vehicle="motorcycle")


def test_the_ready_job_leaves_alone_what_has_to_grip_and_brake():
    job = Library().load_job(JOB, "bike")
    assert not {ZoneId(zone) for zone in SLIPPERY} & job.block_of.keys()
    coated = {zone for zone, block in job.block_of.items() if any(s.kind is StepKind.COAT for s in block.recipe.step)}
    assert {job.vehicle.zone_named(zone).surface for zone in coated} == {"paint", "screen", "lamp", "rim", "tip"}


def test_both_sides_of_a_wheel_are_worked_by_one_touch():
    car = Car(job_of((["rims"], "motorcycle-rim"), vehicle="motorcycle"))
    sides = (ZoneId("rim-front-left"), ZoneId("rim-front-right"))
    assert car.ask(Start(CAR, sides, StepId("decontaminate"), ASH)).accepted
