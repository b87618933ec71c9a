"""The estimate from a day's journal. Propan-2-ol: 60.1 g/mol; 0.785 g/ml (CRC Handbook, from memory)."""

from dataclasses import replace
from datetime import timedelta
from math import exp

import pytest

from bayapp.job import MoveCar, SetUpPlaces, fold
from bayapp.job.model.place import OUTSIDE
from bayapp.job.model.product import Product
from bayapp.job.state.events import BaySetUp
from bayapp.job.vapour.vapour import vapour
from bayapp.job.vapour.vapour_sentences import caution_text, caution_texts, figure_text, limits_text
from tests.job.builders import Shop, at, finish, job, read_air, recipe, start, step, undo
from tests.job.gate.places import BAY_1, BAY_2, BAYS, CAR, DIVIDED

SPIRIT = {
    "name": "Propan-2-ol",
    "share": 1.0,
    "molar_mass_g": 60.1,
    "density_g_per_ml": 0.785,
    "day_ppm": 200.0,
    "short_ppm": 400.0,
    "flash_point_c": 12.0,
    "lower_explosive_percent": 2.0,
}
THINNER = {**SPIRIT, "name": "Butyl acetate", "molar_mass_g": 116.2, "density_g_per_ml": 0.88, "short_ppm": 150.0}


def shop_with(ml_per_m2=50.0, room=(200.0, 2.0, 1.0), solvent=None, zones=("roof", "bonnet", "left-door")):
    """A shop whose zones have 1 m² each, and a wipe that takes so many millilitres of spirit on each of them."""
    product = Product.model_validate(
        {"name": "spirit", "coverage_ml_per_m2": ml_per_m2, "solvent": {**SPIRIT, **(solvent or {})}}
    )
    shop = Shop(job((zones, recipe(step("wipe", product="spirit", minutes=10), step("coat"))), products=[product]))
    if room:
        volume, changes, k = room
        setup = BaySetUp(at=at(0), volume_m3=volume, air_changes=changes, mixing_k=k)
        shop.state = fold([setup], shop.state)
    return shop


def estimate(shop, minutes):
    found = vapour(shop.state, at(minutes))
    assert found
    return found


def test_while_the_bay_is_not_described_nothing_is_reckoned_and_it_is_asked_for():
    shop = shop_with(room=None)
    shop.work("roof", "wipe", 0, 1)
    assert vapour(shop.state, at(2)) is None
    assert figure_text(None) == ("–", "solvent vapour")
    assert limits_text(None).startswith("Not known: say in the settings how many m³ the bay holds")
    shop.state = fold([BaySetUp(at=at(2), volume_m3=200)], shop.state)
    assert vapour(shop.state, at(2)) is None, "the air changes are still missing"


@pytest.mark.parametrize(("ml", "ppm"), [(10, 15.97), (50, 79.84), (100, 159.68)])
def test_a_wipe_tapped_only_as_done_gives_the_parts_per_million_computed_elsewhere(ml, ppm):
    """200 m³ without fresh air: millilitres to parts per million at 24.45 l/mol, computed apart from this program."""
    shop = shop_with(ml, room=(200, 0, 1))
    shop.must(finish("roof", "wipe"), 1)
    assert estimate(shop, 1).strengths[0].now_ppm == pytest.approx(ppm, rel=2e-3)


def test_two_millilitres_a_minute_give_the_course_computed_elsewhere():
    """2 ml/min in 200 m³ with 2 air changes an hour: 27.16 ppm after 10 min, 60.56 after 30, 82.84 after 60."""
    shop = shop_with(60)
    for n, zone in enumerate(("roof", "bonnet")):
        shop.work(zone, "wipe", 30 * n, 30 * n + 30)
    for minutes, ppm in ((30, 60.56), (60, 82.84)):
        assert estimate(shop, minutes).strengths[0].now_ppm == pytest.approx(ppm, rel=2e-3)
    assert estimate(shop, 60).used_ml == pytest.approx(120)


def test_a_wipe_under_way_has_given_off_its_part():
    shop = shop_with(50)
    shop.must(start("roof", "wipe"), 0)
    half, whole = (estimate(shop, minutes).strengths[0].now_ppm for minutes in (5, 10))
    assert 0 < half < whole
    assert estimate(shop, 12).strengths[0].now_ppm < whole, "it takes ten minutes, then all of it has evaporated"


def test_what_was_undone_has_not_evaporated():
    shop = shop_with()
    shop.must(finish("roof", "wipe"), 1)
    shop.must(undo("roof"), 2)
    assert estimate(shop, 3).strengths == ()


def test_the_means_are_those_of_what_was_in_the_room_minute_by_minute():
    shop = shop_with(60)
    shop.work("roof", "wipe", 0, 30)
    shop.work("bonnet", "wipe", 200, 230)

    def mean(until, minutes):
        levels = [estimate(shop, until - ago).strengths for ago in range(minutes + 1)]
        ppm = [strengths[0].now_ppm if strengths else 0.0 for strengths in levels]
        return (sum(ppm) - (ppm[0] + ppm[-1]) / 2) / minutes  # the trapezoid rule

    assert estimate(shop, 480).strengths[0].day_ppm == pytest.approx(mean(480, 480), rel=1e-3)
    assert estimate(shop, 225).strengths[0].short_ppm == pytest.approx(mean(225, 15), rel=1e-2)


def test_the_moment_a_wipe_is_done_nothing_of_it_has_left_yet():
    shop = shop_with(50)
    shop.must(finish("roof", "wipe"), 1)
    # 50 ml of 0.785 g/ml in 200 m³; at 25 °C and one atmosphere a mole takes 24.465 l (NIOSH).
    ppm = 50 * 0.785 * 1000 / 200 * 24.465 / 60.1
    shop.must(read_air(25), 1)
    assert estimate(shop, 1).strengths[0].now_ppm == pytest.approx(ppm, rel=5e-5)
    assert estimate(shop, 31).strengths[0].now_ppm == pytest.approx(ppm * exp(-1), rel=5e-5)


def test_the_same_vapour_is_fewer_parts_of_cold_air():
    """A mole of cold air takes less room: at 10 °C 283.15 of 298.15 parts of what it takes at 25 °C (gas law)."""
    parts = []
    for air_c in (25, 10):
        shop = shop_with(50)
        shop.must(read_air(air_c), 0)
        shop.must(finish("roof", "wipe"), 1)
        parts.append(estimate(shop, 1).strengths[0].now_ppm)
    assert parts[1] / parts[0] == pytest.approx(283.15 / 298.15)


def test_it_thins_out_and_the_wait_that_is_advised_ends_at_the_limit():
    shop = shop_with(400)
    shop.must(finish("roof bonnet left-door", "wipe"), 1)
    strong = estimate(shop, 1)
    assert strong.too_much
    assert strong.wait
    # Published purge: t = (V / Q) ln(C1 / C2).
    after = estimate(shop, 1 + strong.wait / timedelta(minutes=1))
    assert after.now_share == pytest.approx(1.0, rel=1e-3)


def test_over_the_limit_it_says_how_long_to_wait_and_how_much_air_to_add():
    shop = shop_with(400)
    shop.must(finish("roof bonnet left-door", "wipe"), 1)
    caution = caution_text(estimate(shop, 1))
    assert caution.startswith("That is over the limit: stop, go out, and let it air for at least")
    assert "air changes an hour" in caution


def test_without_fresh_air_it_never_tells_a_wait_that_would_not_help():
    shop = shop_with(400, room=(200, 0, 1))
    shop.must(finish("roof bonnet left-door", "wipe"), 1)
    assert estimate(shop, 1).wait is None
    assert "no fresh air comes" in caution_text(estimate(shop, 1))


def test_the_air_changes_that_it_advises_hold_the_days_limit():
    shop = shop_with(400, room=(200, 2, 3))
    shop.work("roof bonnet left-door", "wipe", 0, 60)
    needed = 2 + estimate(shop, 60).add_air_changes
    aired = shop_with(400, room=(200, needed, 3))
    aired.work("roof bonnet left-door", "wipe", 0, 60)
    # Q = K G / L: 1200 ml an hour, 24.465 l/mol, K 3, 200 ppm.
    assert needed * 200 == pytest.approx(3 * 1.2 * 785 / 60.1 * 24.465 / 1000 * 1e6 / 200, rel=2e-3)
    assert estimate(aired, 60).strengths[0].now_ppm <= 200


def test_poor_mixing_and_a_closed_door_make_it_more():
    levels = []
    for room in ((200, 2, 1), (200, 2, 5), (200, 0, 1)):
        shop = shop_with(100, room=room)
        shop.work("roof", "wipe", 0, 30)
        levels.append(estimate(shop, 60).strengths[0].now_ppm)
    assert levels == sorted(levels)
    assert levels[0] < levels[-1]


def test_the_same_solvent_of_two_products_is_one_whatever_share_of_them_it_is():
    products = [
        Product.model_validate({"name": n, "coverage_ml_per_m2": 100.0, "solvent": {**SPIRIT, "share": share}})
        for n, share in (("spirit", 1.0), ("coating", 0.5))
    ]
    ladder = recipe(step("wipe", product="spirit"), step("coat", product="coating"))
    shop = Shop(job((["roof"], ladder), products=products))
    shop.state = fold([BaySetUp(at=at(0), volume_m3=200, air_changes=0)], shop.state)
    shop.must(finish("roof", "wipe"), 1)
    shop.must(finish("roof", "coat"), 1)
    (one,) = estimate(shop, 1).strengths
    assert one.now_ppm == pytest.approx(1.5 * 159.68, rel=2e-3)


def test_two_solvents_are_added_up_by_their_limits():
    products = [
        Product.model_validate({"name": n, "coverage_ml_per_m2": 100.0, "solvent": s})
        for n, s in (("spirit", SPIRIT), ("thinner", THINNER))
    ]
    ladder = recipe(step("wipe", product="spirit"), step("coat", product="thinner"))
    shop = Shop(job((["roof"], ladder), products=products))
    shop.state = fold([BaySetUp(at=at(0), volume_m3=200, air_changes=2)], shop.state)
    shop.must(finish("roof", "wipe"), 1)
    shop.must(finish("roof", "coat"), 1)
    found = estimate(shop, 1)
    assert figure_text(found, whole=False)[0] == figure_text(found)[0].replace("about", "at least")
    assert found.now_share == pytest.approx(sum(s.now_ppm / s.solvent.short_ppm for s in found.strengths))
    assert figure_text(found) == (f"about {100 * found.now_share:.0f} %", "2 solvents, of their limits together")
    assert limits_text(found) == (
        f"Of 15 minutes {100 * found.short_share:.0f} %, of 8 hours {100 * found.day_share:.0f} % of what is allowed."
    )


def test_nothing_that_is_said_calls_any_air_good():
    shop = shop_with(5)
    shop.must(finish("roof", "wipe"), 1)
    weak, empty = estimate(shop, 1), estimate(shop_with(), 1)
    solvents = tuple(s.solvent for s in weak.strengths)
    for found in (weak, empty, None):
        words = " ".join(
            [*figure_text(found), limits_text(found), caution_text(found), *caution_texts(solvents, found)]
        ).lower()
        assert not {"safe", "harmless", "fine", "ok", "clear", "good"} & set(words.replace(".", " ").split())
        assert "mask" in words
    assert "At the panel it is many times as strong" in caution_text(weak)


def test_where_cars_that_left_cannot_be_read_the_figure_is_called_a_lower_bound_and_nothing_reassures():
    shop = shop_with(5)
    shop.must(finish("roof", "wipe"), 1)
    found, none = estimate(shop, 1), estimate(shop_with(), 1)
    assert figure_text(found, whole=False) == ("at least 8 ppm", "Propan-2-ol, average of the room")
    assert figure_text(none, whole=False) == ("–", "solvent vapour")
    for sentence in (limits_text(found, whole=False), limits_text(none, whole=False)):
        assert sentence == "Cars that left within a day cannot be read: there may be more solvent in the air than this."
    assert limits_text(None, whole=False) == limits_text(None), "it is asked for what the bay holds first"


CAUTIONS = (
    "The product's own safety sheet comes first, then local rules and whoever is licensed for them.",
    "Estimate, not a gas alarm: the average of the whole room, from areas and product sheets. No sensor measures it.",
    "In front of the panel that you wipe it is many times as strong, and in pits and in the cabin, too.",
)
RULES = (
    "No flame, spark, heater or smoking. Air the bay before and during work, with a fan that makes no sparks.",
    "Warm a cold bay before any solvent is opened; a heater with a flame lights vapour and makes the air damp.",
    "Soiled towels go into a closed metal can at once, and out of the building at the end of the day.",
    (
        "A dust mask holds no vapour back: wear the mask that the sheet names, with a filter for organic vapour. "
        "Coats with isocyanate need supplied air."
    ),
    "Headache, dizziness or stinging eyes: stop, go out into fresh air, and tell somebody.",
)
RECKONED = (
    "Reckoned with a bay of 200 m³, 2 air changes an hour, and 1 for poor mixing. "
    "Only products count whose file tells their solvent and how far they go."
)


SPARK = "Propan-2-ol: from 12 °C on it gives off a vapour that a spark lights."
BURNS = "From 2 % of the air on the vapour burns or explodes; over a wet panel it can be that strong."
UNSAID = "Propan-2-ol: read on its sheet from when on its vapour burns."


@pytest.mark.parametrize(
    ("unknown", "warning"),
    [
        ([], f"{SPARK} {BURNS}"),
        (["lower_explosive_percent"], SPARK),
        (["flash_point_c"], BURNS),
        (["flash_point_c", "lower_explosive_percent"], UNSAID),
    ],
)
def test_every_caution_is_said_word_for_word_the_safety_sheet_first(unknown, warning):
    shop = shop_with(solvent=dict.fromkeys(unknown))
    shop.must(finish("roof", "wipe"), 1)
    found = estimate(shop, 1)
    solvents = tuple(strength.solvent for strength in found.strengths)
    assert caution_texts(solvents, found) == (*CAUTIONS, warning, *RULES, RECKONED)
    assert caution_texts((), None) == (*CAUTIONS, *RULES)


ALWAYS = "At the panel it is many times as strong: air the bay, wear the mask that the sheet names."


OVER = "That is over the limit: stop, go out, and let it air for at least"


@pytest.mark.parametrize(
    ("ml", "minutes", "sentences"),
    [
        (5, 1, []),
        (50, 1, ["If it stays so, it is over the limit for 8 hours."]),
        # Published purge: 30 min times the logarithm of what is 1.198 times the limit.
        (100, 1, [f"{OVER} 5:26.", "Add about 0.4 air changes an hour."]),
        (400, 60, ["If it stays so, it is over the limit for 8 hours.", "Add about 7.6 air changes an hour."]),
    ],
)
def test_what_to_do_is_said_by_how_much_is_in_the_air(ml, minutes, sentences):
    shop = shop_with(ml)
    shop.must(finish("roof bonnet left-door", "wipe"), 1)
    assert caution_text(estimate(shop, minutes)) == " ".join([*sentences, ALWAYS])


PASSED = "A limit is passed by this estimate: stop using solvent, and leave until it is aired."


@pytest.mark.parametrize(
    ("share", "sentences"),
    [
        ({"now_share": 0.6}, ["It is at 60 % of a limit."]),
        ({"short_share": 0.6}, ["It is at 60 % of a limit."]),
        ({"day_share": 0.6}, ["It is at 60 % of a limit."]),
        ({"now_share": 0.5, "short_share": 0.5, "day_share": 0.5}, []),
        (
            {"short_share": 1.1},
            [PASSED],
        ),
        ({"day_share": 1.1}, [PASSED]),
    ],
)
def test_from_half_of_a_limit_on_it_is_said_how_near_it_is(share, sentences):
    shop = shop_with(5)
    shop.must(finish("roof", "wipe"), 1)
    weak = replace(estimate(shop, 1), add_air_changes=0.0)
    assert caution_text(replace(weak, **share)) == " ".join([*sentences, ALWAYS])


def test_what_the_figure_is_held_against_is_said_or_why_there_is_none():
    shop = shop_with(5)
    shop.must(finish("roof", "wipe"), 1)
    assert limits_text(estimate(shop, 1)) == "Limits: 400 ppm for 15 minutes, 200 ppm for 8 hours."
    assert figure_text(estimate(shop, 1)) == ("about 8 ppm", "Propan-2-ol, average of the room")
    assert limits_text(estimate(shop_with(), 1)) == "No solvent use is recorded in the last 24 hours."
    assert limits_text(None) == (
        "Not known: say in the settings how many m³ the bay holds and how often an hour its air is renewed."
    )
    assert caution_text(None) == (
        "Without these figures nothing is reckoned. Air the bay; wear the mask that the sheet names."
    )


def test_flash_point_and_lower_explosive_limit_stand_in_the_cautions():
    """NIOSH Pocket Guide, isopropyl alcohol: flash point 53 °F (12 °C), lower explosive limit 2.0 %."""
    shop = shop_with()
    shop.must(finish("roof", "wipe"), 1)
    found = estimate(shop, 1)
    cautions = caution_texts((found.strengths[0].solvent,), found)
    assert "Propan-2-ol: from 12 °C on it gives off a vapour that a spark lights." in " ".join(cautions)
    assert "From 2 % of the air on the vapour burns or explodes" in " ".join(cautions)
    assert any("closed metal can" in line for line in cautions)
    assert cautions[0].startswith("The product's own safety sheet comes first")


def test_shipped_products_with_solvent_carry_the_published_figures():
    from bayapp.files.library import Library

    found = [p.solvent for p in (Library().load_product(name) for name in ("wipe-solvent", "glass-coat")) if p.solvent]
    assert len(found) == 2
    for solvent in found:
        assert solvent.day_ppm <= 400, "OSHA and NIOSH: 400 ppm over a day"
        assert solvent.short_ppm <= 500, "NIOSH: 500 ppm over 15 minutes"
        assert (solvent.flash_point_c, solvent.lower_explosive_percent) == (12.0, 2.0)


def test_vapour_stays_in_the_room_where_it_was_given_off_and_a_curtained_bay_holds_its_share():
    shop = shop_with(ml_per_m2=50.0, room=(200.0, 0.0, 1.0))
    shop.must(SetUpPlaces(DIVIDED), 0)
    shop.must(MoveCar(CAR, BAY_1), 0)
    shop.must(finish("roof", "wipe"), 1)
    shop.must(MoveCar(CAR, OUTSIDE), 2)
    assert vapour(shop.state, at(1), OUTSIDE) is None

    def around(place, minutes):
        found = vapour(shop.state, at(minutes), place)
        assert found
        return found

    assert around(BAY_2, 1).strengths == ()
    assert around(BAY_1, 1).room.volume_m3 == 100.0
    assert around(BAY_1, 1).strengths[0].now_ppm == pytest.approx(2 * 79.84, abs=0.2), "twice that of 200 m³"
    shop.must(SetUpPlaces(BAYS), 4)
    assert around(BAY_2, 5).room.volume_m3 == 200.0
