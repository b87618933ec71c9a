"""Zones held by a missed moment that has no rung to fall to: what a person who has looked may do."""

import pytest

from bayapp.job import zone_clock
from bayapp.job.model.ids import ZoneId
from tests.job.builders import Shop, at, code, job, recipe, start, step, undo

ROOF = ZoneId("roof")
PAINT = recipe(
    step("polish"),
    step("wipe"),
    step("coat", wait={"max": 20, "lapse": "wipe"}),
    step("level", wait={"max": 10, "lapse": "polish"}),
    step("buff", wait={"min": 10, "max": 60, "lapse": "inspect"}),
    name="paint",
)
WIPED = recipe(step("wipe"), step("coat"), step("buff", wait={"max": 10, "lapse": "inspect"}), name="wiped")


@pytest.fixture
def shop():
    """The roof was levelled at seven minutes past; its buff may be begun until 67."""
    made = Shop(job((["roof", "bonnet"], PAINT), (["left-rim"], WIPED)))
    for begin, name in ((0, "polish"), (2, "wipe"), (4, "coat"), (6, "level")):
        made.work("roof", name, begin, begin + 1)
    return made


def zone(shop):
    return shop.state.jobs["car"].zones["roof"]


def test_it_is_polished_off_without_a_reason_and_climbs_again(shop):
    assert code(shop.ask(start("roof", "polish"), 67)) == "done", "its window is open"
    assert code(shop.ask(start("roof", "buff"), 68)) == "late"
    shop.work("roof", "polish", 68, 70)
    assert [run.step for run in zone(shop).rungs] == ["polish"]
    assert [(la.step, la.lapsed_at, la.back_to, la.carried_on) for la in zone(shop).lapses] == [
        ("buff", at(67), "polish", False)
    ]
    for begin, name in ((71, "wipe"), (73, "coat"), (75, "level"), (87, "buff")):
        shop.work("roof", name, begin, begin + 1)


def test_or_a_person_carries_on_with_a_reason(shop):
    shop.must(start("roof", "buff", reason="even under the lamp"), 68)
    assert [(la.step, la.back_to, la.carried_on) for la in zone(shop).lapses] == [("buff", None, True)]
    assert [run.step for run in zone(shop).rungs] == ["polish", "wipe", "coat", "level"]


def test_both_are_offered(shop):
    found = zone_clock(shop.state.jobs["car"], ROOF, at(68))
    assert (found.held, found.step, found.choices) == (True, "buff", ("buff", "polish"))


def test_the_other_steps_stay_out_of_turn(shop):
    assert [code(shop.ask(start("roof", name), 68)) for name in ("wipe", "coat", "level")] == ["done", "done", "done"]


def test_a_rework_is_undone(shop):
    shop.must(start("roof", "polish"), 68)
    shop.must(undo("roof"), 69)
    assert zone_clock(shop.state.jobs["car"], ROOF, at(70)).held
    assert zone(shop).lapses == ()


def test_a_coat_that_is_too_hard_to_buff_bars_no_dust(shop):
    assert code(shop.ask(start("bonnet", "polish", "Bo"), 67)) == "bay"
    assert shop.ask(start("bonnet", "polish", "Bo"), 68).accepted


def test_without_a_polish_it_is_wiped_again(shop):
    shop.work("left-rim", "wipe", 8, 9)
    shop.work("left-rim", "coat", 10, 11)
    assert shop.ask(start("left-rim", "wipe"), 22).accepted
