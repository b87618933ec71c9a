import pytest

from bayapp.air import dew_point
from bayapp.job.product import Product
from tests.job.builders import MS, Shop, code, facts, job, read_air, recipe, start, step, why


def shop_with(product=None, air="refuse"):
    ladder = recipe(step("coat", product=product.name if product else None), step("buff"), air=air)
    return Shop(job((["roof"], ladder), products=[product] if product else []))


def told(verdict):
    return code(verdict), why(verdict)


COAT = start("roof", "coat")


def test_a_coat_needs_a_surface_three_degrees_above_the_dew_point():
    # ISO 8502-4's rule for painting steel, borrowed as a careful default.
    dew = dew_point(20, 60)
    shop = shop_with()
    shop.must(read_air(20, 60, dew + 2.999), 0)
    refused = shop.ask(COAT, 0)
    assert told(refused) == ("air", "dew-point")
    assert facts(refused)["margin"] == pytest.approx(2.999)
    shop.must(read_air(20, 60, dew + 3), 1)
    assert shop.ask(COAT, 1).accepted


def test_a_cold_car_in_air_that_looks_fine_is_refused():
    # 20 °C and 50 % have a dew point of 9.3 °C (printed tables of the DIN 4108 type, from memory).
    shop = shop_with()
    shop.must(read_air(20, 50, surface_c=8), 0)
    assert told(shop.ask(COAT, 0)) == ("air", "dew-point")
    assert facts(shop.ask(COAT, 0))["dew"] == pytest.approx(9.3, abs=0.05)


def test_without_a_reading_of_the_surface_the_airs_temperature_counts():
    shop = shop_with()
    shop.must(read_air(20, 82.8), 0)
    assert shop.ask(COAT, 0).accepted
    shop.must(read_air(20, 83.0), 1)
    assert told(shop.ask(COAT, 1)) == ("air", "dew-point")


def test_a_product_may_ask_for_another_margin():
    shop = shop_with(Product(name="wary-coat", dew_margin_c=5.0))
    shop.must(read_air(20, 60, dew_point(20, 60) + 4.9), 0)
    assert told(shop.ask(COAT, 0)) == ("air", "dew-point")
    shop.must(read_air(20, 60, dew_point(20, 60) + 5), 1)
    assert shop.ask(COAT, 1).accepted


def test_without_a_reading_the_recipe_says_whether_the_gate_refuses_or_only_asks():
    assert told(shop_with(air="refuse").ask(COAT, 0)) == ("air", "no-reading")
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
    assert told(strict.ask(COAT, 30 + MS)) == ("air", "old-reading")


def test_what_a_reading_forbids_is_not_allowed_by_its_growing_old():
    shop = shop_with(air="ask")
    shop.must(read_air(20, 90), 0)
    assert told(shop.ask(COAT, 30)) == ("air", "dew-point")
    assert told(shop.ask(COAT, 31)) == ("air", "dew-point")


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
        assert told(shop.ask(COAT, 0)) == ("air", reason)
        assert facts(shop.ask(COAT, 0))["product"] == "Glass coat"


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
