"""Work on the whole car beside that on its zones, in the trade's order (common practice, no source), at the gate.

Wheels first; then the car is wet once, dry once and masked before any paste flies; dust is off before any wipe; tape
comes off once what it borders is levelled, and only then is glass wiped. Without the car's own work zones go by
themselves, as they do where its ladder lacks a step.
"""

import pytest

from bayapp.job.clocks import handover_at
from bayapp.job.grounds import OthersFirst
from bayapp.job.model.ids import THE_CAR, Code, Stage, StepId, StepKind, Urgency, ZoneId
from bayapp.job.model.job import WorkBlock
from bayapp.job.state.requests import AddWork, FinishStep, Start
from tests.recipes.shipped import CAR, MS, Car, job_of, minutes, products, recipes, vehicle_named

WORK = (
    (["car"], "whole-car"),
    (["bonnet"], "paint-two-layers"),
    (["headlamp-left"], "lamp"),
    (["windscreen"], "glass-one-layer"),
    (["grille"], "trim"),
    (["rim-front-left"], "rim"),
    (["caliper-front-left"], "caliper"),
    (["tyre-front-left"], "tyre"),
    (["tips"], "exhaust-tip"),
    (["cabin"], "cabin"),
)
CLAYED = ("bonnet", "headlamp-left", "windscreen", "grille")
WHEEL = ("rim-front-left", "caliper-front-left", "tyre-front-left")
POLISHED = ("bonnet", "headlamp-left", "windscreen", "rim-front-left", "caliper-front-left", "tips")


def car_up_to(stop: str = "") -> Car:
    """Work the car in the trade's order, up to this step of the car itself."""
    car = Car(job_of(*WORK))
    turns: tuple[tuple[str, ...], ...] = (
        *((zone, "decontaminate") for zone in WHEEL),
        ("car", "wash"),
        ("car", "decontaminate"),
        *((zone, "decontaminate") for zone in CLAYED),
        ("car", "rinse"),
        ("car", "blow-out"),
        ("car", "dry"),
        ("grille", "mask"),
        ("car", "mask"),
        ("tips", "clean"),
        *((zone, "polish") for zone in POLISHED),
        ("car", "dust-off"),
        ("bonnet", "wipe", "coat-1", "level-1"),
        ("headlamp-left", "wipe", "coat", "level"),
        ("rim-front-left", "wipe", "coat", "level", "buff"),
        ("caliper-front-left", "wipe", "coat", "level", "buff"),
        ("tips", "wipe", "coat", "level"),
        ("bonnet", "coat-2", "level-2"),
        ("car", "unmask"),
        ("grille", "unmask", "clean", "wipe", "coat", "buff"),
        ("windscreen", "wipe", "coat-1", "buff", "glass-clean"),
        ("car", "final-look"),
        ("car", "brakes"),
    )
    for zone, *steps in turns:
        if (zone, steps[0]) == ("car", stop):
            break
        car.do(zone, *steps)
    return car


def waits_for(car: Car, zone: str, step: str) -> set[str]:
    """Return the zones for which the gate makes this step wait now; none where it may begin."""
    verdict = car.may_start(zone, step, car.now)
    if verdict.accepted:
        return set()
    assert verdict.refusal is not None
    assert verdict.refusal.code is Code.ORDER
    assert isinstance(verdict.refusal.grounds, OthersFirst)
    return set(verdict.refusal.grounds.zones)


def test_the_wheels_are_washed_first_and_the_car_before_any_panel_is_clayed():
    car = Car(job_of(*WORK))
    assert {zone: waits_for(car, zone, "decontaminate") for zone in WHEEL} == {zone: set() for zone in WHEEL}
    assert waits_for(car, "car", "wash") == set(WHEEL)
    assert {zone: waits_for(car, zone, "decontaminate") for zone in CLAYED} == {zone: {"car"} for zone in CLAYED}


def test_the_car_is_rinsed_and_dried_once_when_every_zone_is_decontaminated():
    car = car_up_to("rinse")
    assert waits_for(car, "car", "rinse") == set()
    again = Car(job_of(*WORK))
    for zone in WHEEL:
        again.do(zone, "decontaminate")
    again.do("car", "wash", "decontaminate")
    assert waits_for(again, "car", "rinse") == set(CLAYED)


def test_nothing_is_masked_or_polished_before_the_last_water_has_run_out():
    car = car_up_to("dry")
    blown = car.finished[THE_CAR]
    for zone, step in (("grille", "mask"), ("rim-front-left", "polish"), ("tips", "clean")):
        assert waits_for(car, zone, step) == {"car"}
    early = car.may_start("car", "dry", blown + minutes(10) - MS).refusal
    assert early is not None
    assert (early.code, early.right_from) == (Code.EARLY, blown + minutes(10))
    assert car.may_start("car", "dry", blown + minutes(10)).accepted


def test_no_paste_flies_before_car_and_trim_are_masked():
    car = car_up_to("mask")
    assert waits_for(car, "bonnet", "polish") == {"car"}
    assert {z: waits_for(car, z, "polish") for z in ("windscreen", "headlamp-left")} == {
        "windscreen": {"car"},
        "headlamp-left": {"car"},
    }
    car.do("car", "mask")
    assert waits_for(car, "bonnet", "polish") == set()


def test_dust_is_off_after_the_last_polish_and_before_the_first_wipe():
    car = car_up_to("dust-off")
    for zone in POLISHED:
        assert waits_for(car, zone, "wipe") == ({"car"} if zone != "windscreen" else {"car", "grille"}), zone
    car.do("car", "dust-off")
    for zone in set(POLISHED) - {"windscreen"}:
        assert waits_for(car, zone, "wipe") == set(), zone


def test_dust_is_not_off_while_a_zone_is_still_to_be_polished():
    car = Car(job_of((["car"], "whole-car"), (["bonnet"], "paint-two-layers"), (["headlamp-left"], "lamp")))
    car.do("car", "wash", "decontaminate")
    car.do("bonnet", "decontaminate")
    car.do("headlamp-left", "decontaminate")
    car.do("car", "rinse", "blow-out", "dry", "mask")
    car.do("bonnet", "polish")
    assert waits_for(car, "car", "dust-off") == {"headlamp-left"}


def test_tape_comes_off_after_the_last_level_and_glass_is_wiped_without_tape():
    car = car_up_to("unmask")
    assert waits_for(car, "windscreen", "wipe") == {"car", "grille"}
    assert waits_for(car, "car", "unmask") == set()
    before = car_up_to("dust-off")
    before.do("car", "dust-off")
    assert waits_for(before, "car", "unmask") == {"bonnet", "headlamp-left"}


def test_the_final_look_comes_a_quarter_of_an_hour_after_the_last_level_and_brakes_come_last():
    car = car_up_to("final-look")
    levelled = max(
        run.finished_at
        for zone in car.state.jobs[CAR].zones.values()
        for run in zone.rungs
        if run.finished_at and run.step in ("buff", "level", "level-2")
    )
    early = car.may_start("car", "final-look", levelled + minutes(15) - MS).refusal
    assert early is not None
    assert (early.code, early.right_from) == (Code.EARLY, levelled + minutes(15))
    assert car.may_start("car", "final-look", levelled + minutes(15)).accepted


def test_the_whole_day_goes_without_a_refusal_and_ends_with_a_moment_of_handover():
    car = car_up_to()
    car.now += minutes(60)
    car.do("cabin", "vacuum", "clean", "dress", "inspect")
    car.do("tyre-front-left", "dress")
    state = car.state.jobs[CAR]
    assert {car.clock(zone).urgency for zone in state.zones} == {Urgency.FINISHED}
    assert {zone for zone, z in state.zones.items() if z.lapses} == set()
    assert car.clock("car").stage is Stage.FINISHED
    assert handover_at(state) is not None


@pytest.mark.parametrize(("zones", "name"), [work for work in WORK if work[0] != ["car"]])
def test_without_the_cars_own_work_a_zone_goes_by_itself(zones: list[str], name: str):
    car = Car(job_of((zones, name)))
    first = recipes()[name].step[0].id
    assert waits_for(car, zones[0], first) == set()
    polish = next((step.id for step in recipes()[name].step if step.kind == "polish"), None)
    if polish:
        car.upto(zones[0], polish)
        assert waits_for(car, zones[0], polish) == set()


def test_a_zone_that_is_added_when_the_car_is_dry_and_masked_is_not_held_up_by_it():
    car = Car(job_of((["car"], "whole-car"), (["bonnet"], "paint-two-layers")))
    car.do("car", "wash", "decontaminate")
    car.do("bonnet", "decontaminate")
    car.do("car", "rinse", "blow-out", "dry", "mask")
    lamp = (ZoneId("headlamp-left"),)
    car.put(AddWork(CAR, WorkBlock(zones=lamp, recipe=recipes()["lamp"]), products()))
    for step in ("decontaminate", "polish"):
        assert waits_for(car, lamp[0], step) == set()
        car.put(Start(CAR, lamp, StepId(step)))
        car.now += minutes(8)
        car.put(FinishStep(CAR, lamp, StepId(step)))
    assert waits_for(car, "car", "dust-off") == {"bonnet"}


OUTSIDE = {name: r for name, r in recipes().items() if not {"cabin", "tyre", "car"} & set(r.surfaces)}
WHEELS = {"rim", "caliper"}


@pytest.mark.parametrize("name", OUTSIDE)
def test_every_recipe_of_the_exterior_waits_for_the_cars_own_work(name: str):
    """Panels are decontaminated after its wash, no dry work begins before it is dry, no wipe before its dust is off."""
    recipe = OUTSIDE[name]
    dry_work = next(s for s in recipe.step if s.kind is not StepKind.DECONTAMINATE and s.id != "feel-dry")
    wet = [s for s in recipe.step if s.kind is StepKind.DECONTAMINATE and not WHEELS & set(recipe.surfaces)]
    wipes = [s for s in recipe.step if s.kind is StepKind.WIPE and "trim" not in recipe.surfaces]
    assert [s.id for s in (*wet, dry_work, *wipes) if not (s.wait and THE_CAR in s.wait.sets)] == []


def test_every_step_that_a_shipped_recipe_waits_for_on_the_car_stands_on_its_ladder():
    """Such a wait is free where the ladder lacks the step, so that a misspelt one would never be noticed."""
    waits = [s.wait for r in recipes().values() for s in r.step if s.wait and THE_CAR in s.wait.sets]
    named = {StepId(wait.after) for wait in waits if wait.after}
    assert named == {"decontaminate", "dry", "mask", "unmask", "dust-off"}
    assert all(recipes()["whole-car"].has(step) for step in named)


def test_every_shipped_form_can_be_worked_as_a_whole():
    for name in ("estate", "motorcycle", "van", "pick-up"):
        assert job_of((["car"], "whole-car"), vehicle=name).zone_names[THE_CAR].startswith("whole ")
        assert recipes()["whole-car"].is_for(vehicle_named(name), THE_CAR)
