import pytest

from bayapp.air import dew_point
from bayapp.job import fold
from bayapp.job.model.product import Product
from bayapp.job.state.events import BaySetUp
from tests.job.builders import MS, Shop, at, code, grounds, job, read_air, recipe, start, step, why


def shop_with(product=None, air="refuse"):
    ladder = recipe(step("coat", product=product.name if product else None), step("buff"), air=air)
    return Shop(job((["roof"], ladder), products=[product] if product else []))


def refusal_of(verdict):
    return code(verdict), why(verdict)


COAT = start("roof", "coat")


def test_a_coat_needs_a_surface_three_degrees_above_the_dew_point():
    # ISO 8502-4's rule for painting steel, borrowed as a careful default.
    dew = dew_point(20, 60)
    shop = shop_with()
    shop.must(read_air(20, 60, dew + 2.999), 0)
    refused = shop.ask(COAT, 0)
    assert refusal_of(refused) == ("air", "dew-point")
    assert grounds(refused).fitness.margin_k == pytest.approx(2.999)
    shop.must(read_air(20, 60, dew + 3), 1)
    assert shop.ask(COAT, 1).accepted


def test_a_cold_car_in_air_that_looks_fine_is_refused():
    # 20 °C and 50 % have a dew point of 9.3 °C (printed tables of the DIN 4108 type, from memory).
    shop = shop_with()
    shop.must(read_air(20, 50, surface_c=8), 0)
    assert refusal_of(shop.ask(COAT, 0)) == ("air", "dew-point")
    assert grounds(shop.ask(COAT, 0)).fitness.dew_c == pytest.approx(9.3, abs=0.05)


def test_without_a_reading_of_the_surface_the_airs_temperature_counts():
    shop = shop_with()
    shop.must(read_air(20, 82.8), 0)
    assert shop.ask(COAT, 0).accepted
    shop.must(read_air(20, 83.0), 1)
    assert refusal_of(shop.ask(COAT, 1)) == ("air", "dew-point")


def test_a_product_may_ask_for_another_margin():
    shop = shop_with(Product(name="wary-coat", dew_margin_c=5.0))
    shop.must(read_air(20, 60, dew_point(20, 60) + 4.9), 0)
    assert refusal_of(shop.ask(COAT, 0)) == ("air", "dew-point")
    shop.must(read_air(20, 60, dew_point(20, 60) + 5), 1)
    assert shop.ask(COAT, 1).accepted


def test_the_shop_may_ask_for_another_margin_and_a_product_only_for_more():
    for product, shop_k, needed in ((None, 5.0, 5.0), (None, 2.0, 2.0), (4.0, 2.0, 4.0), (2.0, 3.0, 3.0)):
        shop = shop_with(Product(name="some-coat", dew_margin_c=product))
        shop.state = fold([BaySetUp(at=at(0), dew_margin_k=shop_k)], shop.state)
        shop.must(read_air(20, 60, dew_point(20, 60) + needed - 0.01), 0)
        assert grounds(shop.ask(COAT, 0)).fitness.limits.margin_k == needed
        shop.must(read_air(20, 60, dew_point(20, 60) + needed), 1)
        assert shop.ask(COAT, 1).accepted


def wiping(*later, product=None):
    ladder = recipe(step("wipe"), *(later or (step("coat", product=product and product.name),)))
    return Shop(job((["roof"], ladder), products=[product] if product else []))


WIPE = start("roof", "wipe")


def warnings(shop, minutes=0):
    verdict = shop.ask(WIPE, minutes)
    assert verdict.accepted, "a wipe is only warned of"
    return [a.grounds.doubt.why for a in verdict.asks]


def test_a_cold_car_in_a_warm_bay_is_warned_of_before_the_wipe():
    shop = wiping()
    shop.must(read_air(20, 50, surface_c=8), 0)
    assert warnings(shop) == ["dew-point"]
    shop.must(read_air(20, 50, surface_c=12.3), 1)
    assert warnings(shop, 1) == []


def test_the_limits_of_the_product_of_the_coat_count_for_the_wipe_before_it():
    shop = wiping(product=Product(name="some-coat", air_c=(22, 30)))
    shop.must(read_air(20, 50), 0)
    assert warnings(shop) == ["air-limit"]


def test_before_the_wipe_a_reading_is_asked_for_where_there_is_none_or_it_is_old():
    shop = wiping()
    assert warnings(shop) == ["no-reading"]
    shop.must(read_air(20, 50), 0)
    assert warnings(shop, 30) == []
    assert warnings(shop, 30 + MS) == ["old-reading"]


@pytest.mark.parametrize("later", [(step("buff"),), (step("polish"), step("wipe-2"), step("coat")), ()])
def test_a_wipe_that_no_coat_follows_is_not_warned_of(later):
    ladder = recipe(step("wipe"), *later)
    shop = Shop(job((["roof"], ladder)))
    shop.must(read_air(20, 99), 0)
    assert warnings(shop) == []


def test_without_a_reading_the_recipe_says_whether_the_gate_refuses_or_only_asks():
    assert refusal_of(shop_with(air="refuse").ask(COAT, 0)) == ("air", "no-reading")
    asked = shop_with(air="ask").ask(COAT, 0)
    assert asked.accepted
    assert [a.why for a in asked.asks] == ["no-reading"]


def test_a_reading_holds_for_thirty_minutes_to_the_millisecond():
    for air in ("refuse", "ask"):
        shop = shop_with(air=air)
        shop.must(read_air(), 0)
        assert shop.ask(COAT, 30).accepted
        assert shop.ask(COAT, 30).asks == ()
    assert shop.ask(COAT, 30 + MS).accepted
    assert [a.why for a in shop.ask(COAT, 30 + MS).asks] == ["old-reading"]
    strict = shop_with()
    strict.must(read_air(), 0)
    assert refusal_of(strict.ask(COAT, 30 + MS)) == ("air", "old-reading")


def test_what_a_reading_forbids_is_not_allowed_by_its_growing_old():
    shop = shop_with(air="ask")
    shop.must(read_air(20, 90), 0)
    assert refusal_of(shop.ask(COAT, 30)) == ("air", "dew-point")
    assert refusal_of(shop.ask(COAT, 31)) == ("air", "dew-point")


def test_what_the_limits_of_a_product_forbid_is_not_allowed_by_the_reading_growing_old_either():
    shop = shop_with(Product(name="some-coat", air_c=(22, 30)), air="ask")
    shop.must(read_air(20, 50), 0)
    refused = shop.ask(COAT, 40)
    assert (code(refused), why(refused)) == ("air", "air-limit")


def test_the_next_reading_takes_the_place_of_the_last():
    shop = shop_with()
    shop.must(read_air(20, 90), 0)
    assert code(shop.ask(COAT, 1)) == "air"
    shop.must(read_air(20, 50), 2)
    assert shop.ask(COAT, 2).accepted


@pytest.mark.parametrize(
    ("limits", "inside", "outside", "reason"),
    [
        ({"air_c": (10, 30)}, [(10, 40), (30, 40)], [(9.9, 40), (30.1, 40)], "air-limit"),
        ({"rh_percent": (30, 70)}, [(20, 30), (20, 70)], [(20, 29.9), (20, 70.1)], "humidity-limit"),
        ({"surface_c": (12, 28)}, [(20, 40, 12), (20, 40, 28)], [(20, 40, 11.9), (20, 40, 28.1)], "surface-limit"),
    ],
)
def test_a_coat_is_laid_within_its_products_limits_edges_included(limits, inside, outside, reason):
    shop = shop_with(Product.model_validate({"name": "glass-coat", "title": "Glass coat", **limits}))
    for reading in inside:
        shop.must(read_air(*reading), 0)
        assert shop.ask(COAT, 0).accepted
    for reading in outside:
        shop.must(read_air(*reading), 0)
        assert refusal_of(shop.ask(COAT, 0)) == ("air", reason)
        assert grounds(shop.ask(COAT, 0)).product == "Glass coat"


def test_only_a_coat_is_judged_by_the_air():
    shop = shop_with()
    shop.must(read_air(), 0)
    shop.work("roof", "coat", 0, 1)
    shop.must(read_air(20, 99), 2)
    assert shop.ask(start("roof", "buff"), 2).accepted


def test_a_reading_of_very_dry_air_is_judged_and_does_not_break_the_gate():
    shop = shop_with()
    shop.must(read_air(20, 1e-9), 0)
    assert shop.ask(COAT, 0).accepted
