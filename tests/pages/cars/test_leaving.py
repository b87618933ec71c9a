"""What is told of a car before it leaves."""

from datetime import UTC

from bayapp.pages.cars.leaving import unfinished_and_wet
from tests.job.builders import Shop, at, form, job, read_air, recipe, start, step

COAT = recipe(step("coat"), step("buff"), finish={"keep_dry_hours": 12, "no_drive_hours": 24})
DRIES = recipe(step("wipe"), name="wiped")


def told(shop: Shop, minutes: float) -> tuple[str, ...]:
    return unfinished_and_wet(shop.state.jobs["car"], at(minutes), UTC)


def coated() -> Shop:
    shop = Shop(job((["roof", "bonnet"], COAT), (["left-rim"], DRIES)))
    shop.must(read_air(), 0)
    shop.work("left-rim", "wipe", 1, 2)
    shop.work("roof", "coat", 3, 4)
    return shop


def test_what_is_unfinished_and_what_lies_open_is_named():
    assert told(coated(), 5) == (
        "Not finished, 2 of 3 zones: panels.",
        "A coat lies open on roof: neither water nor dust.",
    )


def test_many_zones_are_named_by_the_sets_they_fill_and_the_rest_counted():
    zones = ["windscreen", *(f"part-{n}" for n in range(9)), "left-rim", "right-rim"]
    vehicle = form([*zones, "roof"], {"rims": ("left-rim", "right-rim")})
    shop = Shop(job((zones, DRIES), (["roof"], DRIES), vehicle=vehicle))
    shop.work("roof", "wipe", 0, 1)
    assert told(shop, 1) == ("Not finished, 12 of 13 zones: rims, windscreen, part 0, part 1, part 2, 6 more.",)


def test_a_car_on_which_nothing_is_finished_is_not_named_after_a_set_that_happens_to_hold_its_zones():
    """Rims and glass are all there is of "whole exterior" in their job, and nobody would call them that."""
    shop = Shop(
        job((["left-rim", "right-rim"], DRIES), vehicle=form(sets={"whole": ("left-rim", "right-rim", "roof")}))
    )
    assert told(shop, 1) == ("Not finished: none of 2 zones is done.",)


def test_what_is_under_way_comes_first():
    shop = coated()
    shop.must(start("bonnet", "coat"), 6)
    assert told(shop, 7)[0] == "Under way: bonnet, coat."


def test_until_when_what_is_kept_dry_and_from_when_the_car_is_driven_is_told_with_the_day():
    shop = coated()
    shop.work("roof", "buff", 10, 20)
    shop.work("bonnet", "coat", 21, 22)
    shop.work("bonnet", "buff", 30, 40)
    assert told(shop, 50) == (
        "Keep dry until 20:40: panels.",
        "Not to be driven before Thu 26 Nov 08:40.",
    )
    assert told(shop, 41 + 24 * 60) == ("All its work is done, and nothing on it is wet.",)
