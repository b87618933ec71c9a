"""Days off the plan by the shipped recipes: where rules of ours held each other, an ordinary touch leads on."""

from collections.abc import Sequence

import pytest

from tests.job.builders import Shop, close_set, code, cover, read_air, start, why
from tests.recipes.shipped import job_of

GLASS = ("glass-left-front", "glass-left-rear")


def shop_of(*work: tuple[Sequence[str], str]) -> Shop:
    """Take a car in, and read air that is right."""
    made = Shop(job_of(*work).model_copy(update={"crew": ("Ash",)}))
    made.must(read_air(), 0)
    return made


@pytest.fixture
def shop() -> Shop:
    """A windscreen in three layers and two panes in one."""
    return shop_of((["windscreen"], "glass-three-layers"), (GLASS, "glass-one-layer"))


def climb(shop: Shop, zones: str, begin: float, *steps: str) -> float:
    """Carry steps out one after the other, six minutes each and six apart; return when the last ends."""
    for name in steps:
        if name.startswith("coat"):
            shop.must(read_air(), begin)
        shop.work(zones, name, begin, begin + 6)
        begin += 12
    return begin - 6


def coated_too_soon(shop: Shop) -> float:
    """The windscreen has all its layers before the side glass is so much as washed."""
    return climb(shop, "windscreen", 1, "decontaminate", "polish", "wipe", "coat-1", "coat-2", "coat-3")


def test_a_windscreen_coated_before_the_side_glass_was_polished_is_covered_and_all_are_buffed_together(shop: Shop):
    end = coated_too_soon(shop)
    side = " ".join(GLASS)
    assert why(shop.ask(start(side, "decontaminate"), end)) == "water-on-coat"
    assert why(shop.ask(start("windscreen", "buff"), end)) == "others-first"
    shop.must(cover("windscreen"), end)
    end = climb(shop, side, end, "decontaminate", "polish", "wipe", "coat-1")
    end = climb(shop, "windscreen", end + 15, "buff", "glass-clean")
    climb(shop, side, end, "buff", "glass-clean")


def test_or_it_is_buffed_by_itself_and_the_side_glass_follows_when_it_need_not_be_kept_dry(shop: Shop):
    end = coated_too_soon(shop)
    shop.must(close_set("windscreen"), end)
    assert code(shop.ask(start("windscreen", "buff"), end)) == "early"
    end = climb(shop, "windscreen", end + 15, "buff", "glass-clean")
    side = " ".join(GLASS)
    assert why(shop.ask(start(side, "decontaminate"), end)) == "keep-dry"
    end = climb(shop, side, end + 12 * 60, "decontaminate", "polish", "wipe", "coat-1")
    climb(shop, side, end + 15, "buff", "glass-clean")


def test_it_is_the_same_for_any_pane_done_before_the_others_are_washed(shop: Shop):
    end = climb(shop, GLASS[0], 1, "decontaminate", "polish", "wipe", "coat-1")
    ten_days = end + 10 * 24 * 60
    assert why(shop.ask(start(GLASS[0], "buff"), ten_days)) == "others-first", "no clock runs that would end it"
    shop.must(close_set(GLASS[0]), end)
    end = climb(shop, GLASS[0], end + 15, "buff", "glass-clean")
    shop.must(cover(GLASS[0]), end)
    climb(shop, "windscreen", end, "decontaminate", "polish", "wipe")


def test_a_missed_buff_of_one_layer_paint_is_polished_off_and_bars_nobody_meanwhile():
    shop = shop_of((["bonnet", "roof"], "paint-one-layer"))
    climb(shop, "bonnet", 1, "decontaminate", "polish", "wipe", "coat")
    end = climb(shop, "bonnet", 46, "level")
    assert code(shop.ask(start("bonnet", "buff"), end + 60 + 1)) == "late"
    end = climb(shop, "roof", end + 61, "decontaminate", "polish")
    climb(shop, "bonnet", end, "polish", "wipe")
