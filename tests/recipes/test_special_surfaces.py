"""Leather, fabric, soft top, film, matt paint, acrylic and the infrared lamp, stated from outside.

Every rule below is common practice, no source.
"""

import pytest

from bayapp.job.grounds import Why
from bayapp.job.model.ids import Code, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Suits
from bayapp.job.state.requests import Start
from tests.recipes.shipped import ASH, CAR, MS, Car, job_of, minutes, products, recipes

UNPOLISHED = {"film": "bonnet", "matt-paint": "bonnet", "leather": "cabin", "fabric": "cabin", "soft-top": "roof"}


def refused(car: Car, zone: str, step: str, at: object) -> tuple[Code, Why] | None:
    refusal = car.may_start(zone, step, at).refusal  # type: ignore[arg-type]
    return (refusal.code, refusal.why) if refusal else None


@pytest.mark.parametrize("name", UNPOLISHED)
def test_what_no_polish_may_touch_is_never_polished_not_even_after_a_missed_moment(name):
    steps = recipes()[name].step
    assert StepKind.POLISH not in {step.kind for step in steps}
    assert "paint-polish" not in {step.product for step in steps}
    assert "polish" not in {step.wait.lapse for step in steps if step.wait}


@pytest.mark.parametrize(("name", "suits"), [("film", {Suits.FILM, Suits.MATT}), ("matt-paint", {Suits.MATT})])
def test_film_and_matt_paint_have_a_recipe_that_suits_them(name, suits):
    assert set(recipes()[name].suits) == suits
    assert [r for r in recipes() if Suits.FILM in recipes()[r].suits] == ["film"]


@pytest.mark.parametrize(
    ("name", "zone", "step", "least", "most"),
    [("film", "bonnet", "level", 1, 6), ("matt-paint", "bonnet", "level", 1, 5), ("leather", "cabin", "buff", 2, 20)],
)
def test_a_level_missed_where_nobody_polishes_is_for_a_person_to_look_at(name, zone, step, least, most):
    car = Car(job_of(([zone], name)))
    car.upto(zone, "coat")
    car.now = max(car.now, car.clock(zone).opens_at or car.now)
    stroke = car.now
    car.do(zone, "coat")
    opens = car.now + minutes(least)
    lapses = (car.now if name == "leather" else stroke) + minutes(most)
    assert refused(car, zone, step, opens - MS) == (Code.EARLY, Why.EARLY)
    assert car.may_start(zone, step, opens).accepted
    assert car.may_start(zone, step, lapses).accepted
    assert refused(car, zone, step, lapses + MS) == (Code.LATE, Why.LAPSED)
    assert car.clock(zone, lapses + MS).held
    assert car.may_start(zone, "wipe", lapses + MS).accepted, "whoever has looked may wipe and lay it anew"


def test_leather_is_dry_a_quarter_of_an_hour_before_it_is_coated():
    car = Car(job_of((["cabin"], "leather")))
    car.upto("cabin", "coat")
    opens = car.now + minutes(15)
    assert refused(car, "cabin", "coat", opens - MS) == (Code.EARLY, Why.EARLY)
    assert car.may_start("cabin", "coat", opens).accepted


@pytest.mark.parametrize(("name", "zone", "hours"), [("fabric", "cabin", 3), ("soft-top", "roof", 4)])
def test_cloth_dries_for_hours_before_anybody_feels_whether_it_is_dry(name, zone, hours):
    car = Car(job_of(([zone], name)))
    car.upto(zone, "feel-dry")
    opens = car.now + minutes(60 * hours)
    assert refused(car, zone, "feel-dry", opens - MS) == (Code.EARLY, Why.EARLY)
    assert car.may_start(zone, "feel-dry", opens).accepted


@pytest.mark.parametrize(
    ("name", "zone", "least", "most"), [("fabric", "cabin", 10, 120), ("soft-top", "roof", 30, 180)]
)
def test_the_second_mist_on_cloth_follows_in_its_window(name, zone, least, most):
    car = Car(job_of(([zone], name)))
    car.upto(zone, "coat-2")
    opens, lapses = car.now + minutes(least), car.now + minutes(most)
    assert refused(car, zone, "coat-2", opens - MS) == (Code.EARLY, Why.EARLY)
    assert car.may_start(zone, "coat-2", opens).accepted
    assert car.may_start(zone, "coat-2", lapses).accepted
    assert refused(car, zone, "coat-2", lapses + MS) == (Code.LATE, Why.LAPSED)


def test_mist_that_repels_water_says_what_it_does_to_lungs():
    for name in ("fabric-guard", "soft-top-guard"):
        assert "Never breathe the spray" in products()[name].cautions[1]
        assert "mask with a filter for vapour and mist" in products()[name].cautions[2]


def test_on_a_wheel_pedals_and_belts_nothing_is_laid():
    said = " ".join(products()["leather-coat"].cautions)
    assert [word for word in ("steering wheel", "pedals", "seat belts", "air bags") if word not in said] == []


def test_clear_acrylic_meets_no_solvent_at_all():
    laid = [products()[step.product] for step in recipes()["clear-screen"].step if step.product]
    assert [product.name for product in laid if product.solvent is not None] == []
    assert "No alcohol" in (recipes()["clear-screen"].named(StepId("wipe")).how or "")
    assert "no alcohol" in (recipes()["lamp"].named(StepId("wipe")).how or "")


def test_the_infrared_lamp_waits_until_the_solvent_is_gone_and_there_is_one_of_it():
    car = Car(job_of((["bonnet", "roof"], "paint-infrared")))
    for panel in ("bonnet", "roof"):
        car.upto(panel, "wipe")
    for panel in ("bonnet", "roof"):
        car.upto(panel, "coat-2", after="polish")
    for panel in ("bonnet", "roof"):
        car.do(panel, "coat-2", "level-2")
    opens = car.now + minutes(45)
    assert refused(car, "roof", "infrared", opens - MS) == (Code.EARLY, Why.EARLY)
    assert car.may_start("roof", "infrared", opens).accepted
    car.now = opens
    car.put(Start(CAR, (ZoneId("roof"),), StepId("infrared"), ASH))
    assert refused(car, "bonnet", "infrared", opens) is not None
    step = recipes()["paint-infrared"].named(StepId("infrared"))
    assert step.kind is StepKind.CURE
    assert (step.minutes, step.tool) == (12, "infrared-lamp")
    assert "60 cm" in (step.how or "")


def test_the_infrared_lamp_says_fire_heat_and_eyes():
    said = " ".join(products()["infrared-lamp"].cautions)
    assert [word for word in ("Fire", "solvent vapour", "burn the skin", "Eyes", "60 °C") if word not in said] == []
