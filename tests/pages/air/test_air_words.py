"""What is said of waits that hang on the air."""

from typing import Any

import pytest

from bayapp.job import ReadAir, ZoneClock, clocks
from bayapp.job.model.product import Product
from bayapp.pages.air.air_words import NO_TIME, careful_note, clock_air_text, not_timed, present_wait_text
from bayapp.pages.board.clock_column import tiles, words_of
from tests.job.builders import Shop, at, job, read_air, recipe, step, two_step

BY_C = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [20, 40], [30, 20]]}
RULED = Product(name="pane", temperature_rule="halves-per-10-c", temperature_rule_at_c=20)


def shop(wait: dict[str, Any], air: ReadAir | None, product: Product | None = None) -> Shop:
    ladder = recipe(step("coat", product="pane"), step("level", wait=wait)) if product else two_step(wait)
    bay = Shop(job((["roof"], ladder), products=[product] if product else []))
    if air:
        bay.must(air, 0)
    bay.work("roof", "coat", 0, 1)
    return bay


def clock(bay: Shop, minutes: float = 2) -> ZoneClock:
    found: ZoneClock = clocks(bay.state, at(minutes))[0]
    return found


@pytest.mark.parametrize(
    ("wait", "air", "said"),
    [
        (BY_C, read_air(12), "5:00 at 20 °C, here 7:24 at 12 °C"),
        (BY_C, read_air(13.5, surface_c=12.5), "5:00 at 20 °C, here 7:15 at 12.5 °C"),
        (BY_C, None, "5:00 at 20 °C; read the air"),
        (BY_C, read_air(8), "5:00 at 20 °C; not timed at 8 °C"),
        ({"min_by_rh": [[30, 12], [50, 8], [80, 5]]}, read_air(20, 45), "8:00 at 50 %, here 9:00 at 45 %"),
        ({"max_by_c": [[10, 60], [20, 40]]}, read_air(15), "latest 40:00 at 20 °C, here 50:00 at 15 °C"),
        ({"min": 5, "max": 20}, read_air(15), ""),
    ],
)
def test_base_and_adjusted_wait_are_both_said(wait: dict[str, Any], air: ReadAir | None, said: str) -> None:
    assert clock_air_text(clock(shop(wait, air))) == said


def test_a_rule_of_thumb_is_said_to_be_one_on_plate_and_ladder() -> None:
    bay = shop({"min": 6, "max": 25}, read_air(10), RULED)
    assert clock_air_text(clock(bay)) == "6:00 at 20 °C, by rule of thumb 12:00 at 10 °C"
    (tile,) = tiles(bay.state, [clock(bay)], at(2))
    assert tile.detail == "Level: 6:00 at 20 °C, by rule of thumb 12:00 at 10 °C"
    state = bay.state.jobs["car"]
    assert present_wait_text(state, "roof", state.job.recipe_of("roof"), 1) == "by rule of thumb 12:00 to 50:00 here"  # type: ignore[arg-type]


def test_a_ladder_says_what_the_present_air_makes_of_each_wait() -> None:
    for air, said in ((read_air(15), "here 6:30 to 50:00"), (read_air(8), ""), (None, "")):
        state = shop(BY_C, air).state.jobs["car"]
        assert present_wait_text(state, "roof", state.job.recipe_of("roof"), 1) == said  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wait", "air", "said"),
    [
        (BY_C, None, "read the air"),
        (BY_C, read_air(8), "too cold to time"),
        (BY_C, read_air(31), "too warm to time"),
        ({"min_by_rh": [[30, 12], [80, 5]]}, read_air(20, 20), "too dry to time"),
        ({"min_by_rh": [[30, 12], [80, 5]]}, read_air(20, 82), "too damp to time"),
    ],
)
def test_a_clock_without_a_time_says_why_instead_of_one(wait: dict[str, Any], air: ReadAir | None, said: str) -> None:
    now = clock(shop(wait, air))
    assert not_timed(now) == said
    assert words_of(now, at(2)) == (said, NO_TIME)


def test_a_latest_moment_that_was_counted_on_the_careful_side_says_so() -> None:
    assert careful_note(clock(shop(BY_C, None))).startswith("The air was not known for some time")
    assert careful_note(clock(shop(BY_C, read_air(20)))) == ""
