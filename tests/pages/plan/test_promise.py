"""A promise is held against the newest plan for as long as the car is inside, also when its job is changed."""

from datetime import UTC
from pathlib import Path
from typing import Any

import pytest

from bayapp.bay import Bay
from bayapp.job.model.ids import JobId
from bayapp.pages.board.bays import bays
from bayapp.pages.board.board import board
from bayapp.pages.plan.plan import plan_page
from bayapp.pages.plan.promise import broken_promise, broken_promises
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import WorkOrder
from tests.job.builders import START, Shop, at, job, recipe, set_aside, start, step
from tests.job.gate.test_changes import add
from tests.pages.bays import HandBay
from tests.pages.orders import order_of, planned

RIM = recipe(step("wipe"), step("coat"), name="rim", finish={"keep_dry_hours": 2, "no_drive_hours": 1})
CAR = JobId("car")


def shop_of(promised: float | None, *zones: str) -> Shop:
    car = job((zones or ("left-rim",), RIM))
    return Shop(car.model_copy(update={"promised": None if promised is None else at(promised)}))


def plan(*zones: str, end: float = 30, **more: Any) -> WorkOrder:
    """Each zone is wiped and coated, the last one until ``end``."""
    steps = [planned(z, s, at(end - 4 + 2 * n), 2, job="car") for z in zones for n, s in enumerate(("wipe", "coat"))]
    return order_of(START, *steps, **more)


def said(shop: Shop, order: WorkOrder | None, minutes: float = 0, zone: Any = UTC) -> str:
    found = broken_promise(shop.state.jobs["car"], order, at(minutes), zone)
    return found.sentence if found else ""


def test_done_dry_and_driven_by_the_promised_minute_it_holds_and_a_minute_earlier_it_does_not():
    """The last step ends at 08:30, and it must be kept dry for 2 h: ready at 10:30, worked out by hand."""
    assert said(shop_of(150), plan("left-rim")) == ""
    sentence = "Promised for 10:29, but it will not be ready before 10:30: 1 min late."
    assert said(shop_of(149), plan("left-rim")) == sentence


def test_without_a_promise_there_is_nothing_to_say():
    assert said(shop_of(None), plan("left-rim")) == ""


def test_work_added_to_a_running_job_breaks_a_promise_once_it_is_planned():
    shop = shop_of(160)
    assert said(shop, plan("left-rim")) == ""
    shop.must(add("right-rim", RIM), 1)
    assert said(shop, plan("left-rim"), 1) == "", "the plan does not know the new zone yet"
    assert "not be ready before 11:00: 20 min late" in said(shop, plan("left-rim", "right-rim", end=60), 1)


def test_a_zone_set_aside_is_not_waited_for():
    shop = shop_of(160, "left-rim", "right-rim")
    late = order_of(START, *plan("left-rim").steps, *plan("right-rim", end=90).steps)
    assert said(shop, late)
    shop.must(set_aside("right-rim"), 1)
    assert said(shop, late, 1) == ""


def test_what_is_done_counts_from_when_it_was_done():
    shop = shop_of(140)
    shop.work("left-rim", "wipe", 1, 2)
    shop.work("left-rim", "coat", 3, 21)
    assert "not be ready before 10:21: 1 min late" in said(shop, None, 30)
    assert said(shop, None, 141) == "", "it is ready"


def test_a_step_under_way_past_its_planned_end_is_not_over_yet():
    shop = shop_of(155)
    shop.work("left-rim", "wipe", 1, 2)
    shop.must(start("left-rim", "coat"), 3)
    assert said(shop, plan("left-rim", end=30), 35) == ""
    assert "not be ready before 10:40" in said(shop, plan("left-rim", end=30), 40)


def test_what_is_late_on_one_day_of_ten_is_said_to_be_so():
    assert said(shop_of(160), plan("left-rim", finish_p90=at(40))) == ""
    sentence = "Promised for 10:40: on a slow day it will not be ready before 10:55."
    assert said(shop_of(160), plan("left-rim", finish_p90=at(55))) == sentence


def test_past_its_promise_a_car_that_nobody_can_time_is_warned_of():
    shop = shop_of(10)
    assert said(shop, None, 10) == ""
    assert said(shop, None, 11) == "Promised for 08:10, and it is not known when it will be ready."


def test_a_promise_of_another_day_bears_its_date():
    sentence = said(shop_of(24 * 60), plan("left-rim", end=24 * 60))
    assert sentence == "Promised for 26 Nov 08:00, but it will not be ready before 26 Nov 10:00: 2 h 00 late."


# Where it is shown.


@pytest.fixture
def hand(tmp_path: Path):
    found = HandBay(tmp_path, START)
    for name in ("car", "other"):
        car = job((["left-rim"], RIM), name=name)
        found.bay.open_job(car.model_copy(update={"promised": at(120) if name == "car" else None}), START)
    yield found
    found.journal.close()


def plan_of_both(bay: Bay) -> WorkOrder:
    other = [planned("left-rim", s, at(2 * n), 2, job="other") for n, s in enumerate(("wipe", "coat"))]
    order = order_of(START, *plan("left-rim").steps, *other)
    bay.advice.take_order(order)
    return order


def test_the_plan_page_says_it_first_and_of_which_car(hand: HandBay):
    order = plan_of_both(hand.bay)
    first, *rest = plan_page(hand.bay.state, order, True, Viewpoint(None, hand.bay.now(), UTC)).sentences
    assert first == "Green car: Promised for 10:00, but it will not be ready before 10:30: 30 min late."
    assert not [sentence for sentence in rest if "romised" in sentence]


def test_the_top_line_says_it_beside_the_cars_name_also_where_several_share_it(hand: HandBay):
    plan_of_both(hand.bay)
    strip = board(hand.bay, hand.clocks(), Viewpoint(None, hand.bay.now(), UTC, CAR)).strip
    assert strip.promise == "promised 10:00, ready 10:30"
    assert [face.name for face in strip.bays] == ["1 Green car, not by 10:00", "2 Green car"]
    other = board(hand.bay, hand.clocks(), Viewpoint(None, hand.bay.now(), UTC, JobId("other"))).strip
    assert other.promise == ""


def test_a_plan_that_keeps_every_promise_changes_no_name(hand: HandBay):
    state, now = hand.bay.state, hand.bay.now()
    early = order_of(START, *plan("left-rim", end=0).steps)
    assert broken_promises(state, early, now, UTC).keys() == set()
    assert [face.name for face in bays(state, (), (), None)] == ["1 Green car", "2 Green car"]
