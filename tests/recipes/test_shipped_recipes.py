"""The trade's rules, stated here from outside and played through the gate with the shipped recipes, at both edges.

Every number and order below is common practice, no source: the trade has no standard for it. The recipes are not
asked what is right; where they differ from what stands here, one of the two is wrong.
"""

from itertools import permutations

import pytest

from bayapp.job.grounds import Why
from bayapp.job.model.ids import Code, StepId, StepKind, Urgency, ZoneId
from bayapp.job.state.requests import FinishStep, Start
from tests.recipes.shipped import ASH, CAR, MS, Car, job_of, minutes, products, recipes

LAYERS = ("coat-1", "coat-2", "coat-3")
ZONE_FOR = {
    "glass-three-layers": "windscreen",
    "glass-one-layer": "rear-screen",
    "rim": "rim-front-left",
    "caliper": "caliper-front-left",
    "exhaust-tip": "tips",
    "paint-two-layers": "bonnet",
    "trim": "grille",
    "lamp": "headlamp-left",
    "fuel-tank": "tank",
    "motorcycle-rim": "rim-front-left",
    "clear-screen": "screen",
    "film": "bonnet",
    "matt-paint": "bonnet",
    "paint-infrared": "bonnet",
    "leather": "cabin",
}
WITHOUT_POLISH = ("film", "matt-paint", "leather", "trim")
ON_A_MOTORCYCLE = ("fuel-tank", "motorcycle-rim", "clear-screen")
# common practice, no source; all others 30
WIPE_HOLDS_MIN = {
    **dict.fromkeys(("paint-two-layers", "paint-infrared", "lamp", "fuel-tank", "clear-screen", "film"), 20),
    "matt-paint": 15,
    "leather": 60,
}


def car_for(name: str) -> Car:
    """Return a vehicle with this recipe on its usual zone."""
    return Car(job_of(([ZONE_FOR[name]], name), vehicle="motorcycle" if name in ON_A_MOTORCYCLE else "estate"))


def refused(verdict: object) -> tuple[Code, Why]:
    refusal = getattr(verdict, "refusal", None)
    assert refusal is not None, "it was accepted"
    return refusal.code, refusal.why


@pytest.mark.parametrize("name", recipes())
def test_every_recipe_bears_its_file_name_and_a_title(name):
    assert recipes()[name].name == name
    assert recipes()[name].title


@pytest.mark.parametrize("name", recipes())
def test_every_coat_names_a_product_that_ships(name):
    coats = [s for s in recipes()[name].step if s.kind is StepKind.COAT]
    assert [s.id for s in coats if s.product not in products()] == []
    assert [s.id for s in recipes()[name].step if s.product and s.product not in products()] == []


@pytest.mark.parametrize("name", products())
def test_every_product_says_first_that_its_own_safety_sheet_comes_first(name):
    assert products()[name].name == name
    assert "safety sheet comes first" in products()[name].cautions[0]
    assert len(products()[name].cautions) >= 2


def test_solvents_say_fire_air_hands_and_the_metal_can_and_the_exhaust_says_cold():
    said = " ".join(products()["wipe-solvent"].cautions)
    assert [word for word in ("no flame", "air the bay", "gloves", "glasses", "metal can") if word not in said] == []
    assert "steel wool away from batteries" in " ".join(products()["metal-polish"].cautions)
    hot_work = [s for s in recipes()["exhaust-tip"].step if s.kind in (StepKind.CLEAN, StepKind.COAT)]
    assert all("must be cold" in (s.how or "") for s in hot_work)


@pytest.mark.parametrize("order", list(permutations(LAYERS)), ids="-".join)
def test_three_layers_in_any_order_wait_five_minutes_each(order):
    car = Car(job_of((["windscreen"], "glass-three-layers")))
    car.upto("windscreen", "coat-1")
    for number, layer in enumerate(order):
        if number:
            opens = car.now + minutes(5)  # common practice, no source
            assert refused(car.may_start("windscreen", layer, opens - MS)) == (Code.EARLY, Why.EARLY)
            assert car.may_start("windscreen", layer, opens).accepted
            assert car.clock("windscreen").urgency is Urgency.WAITING
        car.do("windscreen", layer)
        assert refused(car.may_start("windscreen", layer, car.now + minutes(5)))[0] is Code.DONE
    assert car.clock("windscreen").step == "buff"
    motions = {s.id: s.motion for s in recipes()["glass-three-layers"].step if s.motion}
    assert car.clock("windscreen").layers == tuple(motions[StepId(layer)] for layer in order)
    assert set(motions.values()) == {"vertical", "horizontal", "circular"}  # common practice, no source


@pytest.mark.parametrize(("first", "last"), [("windscreen", "rear-screen"), ("rear-screen", "windscreen")])
def test_the_glass_is_buffed_fifteen_minutes_after_the_last_coat_of_the_whole_set(first, last):
    car = Car(job_of((["windscreen"], "glass-three-layers"), (["rear-screen"], "glass-one-layer")))
    for pane in (first, last):
        car.do(pane, "decontaminate", "polish")
    car.upto(first, "buff", after="polish")
    assert refused(car.may_start(first, "buff", car.now + minutes(60))) == (Code.ORDER, Why.OTHERS_FIRST)
    car.upto(last, "buff", after="polish")
    opens = car.now + minutes(15)  # common practice, no source
    for pane in (first, last):
        assert refused(car.may_start(pane, "buff", opens - MS)) == (Code.EARLY, Why.EARLY)
        assert car.may_start(pane, "buff", opens).accepted


@pytest.mark.parametrize("name", ["glass-one-layer", "glass-three-layers"])
def test_glass_is_buffed_with_a_dry_towel_and_then_with_cleaner_and_a_fresh_one(name):
    last = recipes()[name].step[-2:]  # common practice, no source
    assert [s.title for s in last] == ["buff, dry towel", "glass cleaner, fresh towel"]


def test_a_rim_is_kept_dry_and_not_driven_for_twelve_hours_and_protects_two_years():
    car = Car(job_of((["rim-front-left"], "rim"), (["rim-rear-left"], "rim")))
    car.upto("rim-front-left", "buff")
    car.do("rim-front-left", "buff")
    cure = car.clock("rim-front-left").cure
    assert cure is not None
    ends = car.now + minutes(12 * 60)  # common practice, no source
    assert cure.dry_until == cure.drive_from == ends
    assert cure.protects_until is not None
    assert abs((cure.protects_until - car.now).days - 730) <= 2  # about 24 months; common practice, no source
    assert refused(car.may_start("rim-rear-left", "decontaminate", ends - MS)) == (Code.BAY, Why.KEEP_DRY)
    assert car.may_start("rim-rear-left", "decontaminate", ends).accepted


@pytest.mark.parametrize("name", ["rim", "caliper", "motorcycle-rim"])
def test_the_excess_comes_off_at_once_with_one_towel_and_again_with_another(name):
    car = car_for(name)
    car.upto(ZONE_FOR[name], "coat")
    first_stroke = car.now
    car.do(ZONE_FOR[name], "coat")
    assert car.may_start(ZONE_FOR[name], "level", car.now).accepted  # at once: common practice, no source
    assert car.may_start(ZONE_FOR[name], "level", first_stroke + minutes(6)).accepted
    late = first_stroke + minutes(6) + MS
    assert refused(car.may_start(ZONE_FOR[name], "level", late)) == (Code.LATE, Why.LAPSED)
    assert car.clock(ZONE_FOR[name], late).step == "polish"  # what has set no wipe dissolves
    car.do(ZONE_FOR[name], "level", "buff")
    assert car.clock(ZONE_FOR[name]).urgency is Urgency.FINISHED


def test_a_tyre_is_dressed_an_hour_after_the_last_coat_of_the_whole_car_is_levelled():
    car = Car(job_of((["rims"], "rim"), (["bonnet"], "paint-two-layers"), (["tyre-front-left"], "tyre")))
    for zone in car.job.block_of:
        car.do(zone, "decontaminate")
    for panel_or_rim in (*car.job.zones_named("rims"), "bonnet"):
        car.do(panel_or_rim, "polish")
    for zone in car.job.zones_named("rims"):
        car.do(zone, "wipe", "coat", "level", "buff")
    assert refused(car.may_start("tyre-front-left", "dress", car.now + minutes(720))) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("bonnet", "wipe", "coat-1", "level-1", "coat-2")
    assert refused(car.may_start("tyre-front-left", "dress", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("bonnet", "level-2")
    opens = car.now + minutes(60)  # dry to touch: common practice, no source
    assert refused(car.may_start("tyre-front-left", "dress", opens - MS)) == (Code.EARLY, Why.EARLY)
    assert car.may_start("tyre-front-left", "dress", opens).accepted


def test_a_tyre_is_dressed_at_once_when_nothing_is_coated():
    car = Car(job_of((["tyre-front-left"], "tyre")))
    car.do("tyre-front-left", "decontaminate", "dress")
    assert car.clock("tyre-front-left").urgency is Urgency.FINISHED


def test_trim_is_masked_before_polish_and_unmasked_between_the_last_paint_coat_and_the_glass_wipe():
    car = Car(
        job_of(
            (["bonnet", "roof"], "paint-two-layers"),
            (["grille", "trim-left"], "trim"),
            (["rear-screen"], "glass-one-layer"),
        )
    )
    for zone in car.job.block_of:
        car.do(zone, "decontaminate")
    car.do("rear-screen", "polish")
    car.do("grille", "mask")
    assert refused(car.may_start("bonnet", "polish", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("trim-left", "mask")
    for panel in ("bonnet", "roof"):
        car.do(panel, "polish")
    for panel in ("bonnet", "roof"):
        car.do(panel, "wipe", "coat-1", "level-1")
    car.do("bonnet", "coat-2", "level-2")
    assert refused(car.may_start("grille", "unmask", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("roof", "coat-2")
    assert refused(car.may_start("grille", "unmask", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("roof", "level-2")
    assert car.may_start("grille", "unmask", car.now).accepted
    car.do("grille", "unmask")
    assert refused(car.may_start("rear-screen", "wipe", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("trim-left", "unmask")
    assert car.may_start("rear-screen", "wipe", car.now).accepted


def test_trim_stays_masked_while_a_panel_whose_level_was_missed_is_polished_again():
    car = Car(job_of((["bonnet"], "paint-two-layers"), (["grille"], "trim")))
    car.do("grille", "decontaminate", "mask")
    car.do("bonnet", "decontaminate", "polish", "wipe", "coat-1", "level-1", "coat-2")
    level_lapses = car.clock("bonnet").lapses_at
    assert level_lapses
    assert refused(car.may_start("grille", "unmask", level_lapses)) == (Code.ORDER, Why.OTHERS_FIRST)
    assert refused(car.may_start("grille", "unmask", level_lapses + MS)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.now = level_lapses + MS
    car.do("bonnet", "polish")
    assert refused(car.may_start("grille", "unmask", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("bonnet", "wipe", "coat-1", "level-1", "coat-2", "level-2")
    assert car.may_start("grille", "unmask", car.now).accepted


@pytest.mark.parametrize("recipe", ["paint-one-layer", "paint-two-layers"])
def test_no_paint_is_wiped_before_every_lamp_is_polished(recipe):
    car = Car(job_of((["bonnet"], recipe), (["headlamp-left", "headlamp-right"], "lamp")))
    car.upto("bonnet", "wipe")
    for lamp in ("headlamp-left", "headlamp-right"):
        assert refused(car.may_start("bonnet", "wipe", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
        car.do(lamp, "decontaminate", "polish")
    assert car.may_start("bonnet", "wipe", car.now).accepted


def test_glass_whose_next_layer_was_missed_has_set_and_is_polished_again():
    car = Car(job_of((["windscreen"], "glass-three-layers")))
    car.upto("windscreen", "coat-2")
    lapses = car.now + minutes(60)  # common practice, no source
    assert car.may_start("windscreen", "coat-2", lapses).accepted
    assert refused(car.may_start("windscreen", "coat-2", lapses + MS)) == (Code.LATE, Why.LAPSED)
    assert car.clock("windscreen", lapses + MS).step == "polish"


def test_bare_trim_that_has_set_uneven_is_for_a_person_to_look_at():
    car = Car(job_of((["grille"], "trim")))
    car.upto("grille", "buff")
    lapses = car.now + minutes(15)
    assert car.may_start("grille", "buff", lapses).accepted
    assert refused(car.may_start("grille", "buff", lapses + MS)) == (Code.LATE, Why.LAPSED)
    assert car.clock("grille", lapses + MS).held


def test_the_cabin_comes_last():
    car = Car(job_of((["cabin"], "cabin"), (["tips"], "exhaust-tip"), (["grille"], "trim")))
    car.do("grille", "decontaminate", "mask", "unmask", "clean")
    car.upto("tips", "wipe")
    car.do("grille", "wipe", "coat", "buff")
    assert refused(car.may_start("cabin", "vacuum", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("tips", "wipe", "coat")
    assert refused(car.may_start("cabin", "vacuum", car.now)) == (Code.ORDER, Why.OTHERS_FIRST)
    car.do("tips", "level")
    dry_to_touch = car.now + minutes(60)  # blowing out is dust; common practice, no source
    assert refused(car.may_start("cabin", "vacuum", dry_to_touch - MS)) == (Code.BAY, Why.DUST_ON_COAT)
    assert car.may_start("cabin", "vacuum", dry_to_touch).accepted


@pytest.mark.parametrize(("name", "zone"), [(name, zone) for name, zone in ZONE_FOR.items() if zone != "cabin"])
def test_no_dust_flies_beside_a_last_coat_until_it_is_dry_to_touch(name, zone):
    other, its = ("exhaust-left" if name in ON_A_MOTORCYCLE else "tips"), "exhaust-tip"
    if name == its:
        other, its = "bonnet", "paint-one-layer"
    car = Car(job_of(([zone], name), ([other], its), vehicle=car_for(name).job.vehicle.name))
    car.upto(other, "polish")
    levelled = [s.id for s in recipes()[name].step if s.kind in (StepKind.LEVEL, StepKind.BUFF)][-1]
    car.upto(zone, levelled)
    car.do(zone, levelled)
    dry_to_touch = car.now + minutes(30 if "glass" in name else 60)  # common practice, no source
    refusal = car.may_start(other, "polish", dry_to_touch - MS).refusal
    assert refusal is not None
    assert (refusal.code, refusal.why, refusal.right_from) == (Code.BAY, Why.DUST_ON_COAT, dry_to_touch)
    assert car.may_start(other, "polish", dry_to_touch).accepted


@pytest.mark.parametrize(("name", "zone"), ZONE_FOR.items())
def test_no_coat_goes_on_a_surface_that_has_not_been_wiped(name, zone):
    car = car_for(name)
    first_coat = next(s.id for s in recipes()[name].step if s.kind is StepKind.COAT)
    while car.clock(zone).step != "wipe":
        assert refused(car.may_start(zone, first_coat, car.now)) == (Code.ORDER, Why.STEP_BEFORE)
        car.do(zone, str(car.clock(zone).step))
    assert refused(car.may_start(zone, first_coat, car.now)) == (Code.ORDER, Why.STEP_BEFORE)
    car.do(zone, "wipe")
    assert car.may_start(zone, first_coat, car.clock(zone).opens_at or car.now).accepted
    kinds = [s.kind for s in recipes()[name].step]
    assert StepKind.POLISH not in kinds[kinds.index(StepKind.WIPE) :]  # the oils are wiped off before any coat


@pytest.mark.parametrize(("name", "zone"), ZONE_FOR.items())
def test_a_wipe_holds_only_for_its_window_and_then_has_to_be_done_again(name, zone):
    car = car_for(name)
    coat = next(s.id for s in recipes()[name].step if s.kind is StepKind.COAT)
    car.upto(zone, coat)
    lapses = car.now + minutes(WIPE_HOLDS_MIN.get(name, 30))
    assert car.may_start(zone, coat, lapses).accepted
    assert refused(car.may_start(zone, coat, lapses + MS)) == (Code.LATE, Why.LAPSED)
    assert car.clock(zone, lapses + MS).urgency is Urgency.LAPSED
    car.now = lapses + MS
    car.do(zone, "wipe", coat)
    assert car.state.jobs[CAR].zones[ZoneId(zone)].lapses[0].back_to == "wipe"


@pytest.mark.parametrize("layer", ["1", "2"])
def test_paint_is_levelled_within_minutes_of_the_first_stroke_or_polished_again(layer):
    car = Car(job_of((["bonnet"], "paint-two-layers")))
    car.upto("bonnet", f"coat-{layer}")
    car.now = max(car.now, car.clock("bonnet").opens_at or car.now)
    first_stroke = car.now
    car.do("bonnet", f"coat-{layer}")
    assert refused(car.may_start("bonnet", f"level-{layer}", car.now + minutes(1) - MS)) == (Code.EARLY, Why.EARLY)
    assert car.may_start("bonnet", f"level-{layer}", car.now + minutes(1)).accepted
    assert car.may_start("bonnet", f"level-{layer}", first_stroke + minutes(8)).accepted
    late = first_stroke + minutes(8) + MS
    assert refused(car.may_start("bonnet", f"level-{layer}", late)) == (Code.LATE, Why.LAPSED)
    assert car.clock("bonnet", late).step == "polish"


def test_the_second_coat_of_paint_goes_on_within_one_to_four_hours_of_the_first():
    car = Car(job_of((["bonnet"], "paint-two-layers")))
    car.upto("bonnet", "coat-2")
    opens, lapses = car.now + minutes(60), car.now + minutes(240)  # common practice, no source
    assert refused(car.may_start("bonnet", "coat-2", opens - MS)) == (Code.EARLY, Why.EARLY)
    assert car.may_start("bonnet", "coat-2", opens).accepted
    assert car.may_start("bonnet", "coat-2", lapses).accepted
    assert refused(car.may_start("bonnet", "coat-2", lapses + MS)) == (Code.LATE, Why.LAPSED)
    assert car.clock("bonnet", lapses + MS).step == "polish"


def test_there_is_one_polisher():
    car = Car(job_of((["bonnet", "roof"], "paint-two-layers"), (["headlamp-left"], "lamp")))
    for zone in ("bonnet", "roof", "headlamp-left"):
        car.do(zone, "decontaminate")
    car.put(Start(CAR, (ZoneId("bonnet"),), StepId("polish"), ASH))
    other = Start(CAR, (ZoneId("headlamp-left"),), StepId("polish"))
    assert refused(car.ask(other)) == (Code.BUSY, Why.TOOL_BUSY)
    car.put(FinishStep(CAR, (ZoneId("bonnet"),), StepId("polish"), ASH))
    assert car.ask(other).accepted
