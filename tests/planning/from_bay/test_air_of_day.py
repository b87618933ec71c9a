"""Plans with waits that ripen: made for the air of the day, and carried out through the gate without a refusal."""

from datetime import timedelta
from typing import Any

import pytest

from bayapp.job import ReadAir
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.product import Product
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.air_of_day import Assumed, in_this_air
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.work import plan_work
from tests.job.builders import Shop, at, finish, job, read_air, recipe, start, step
from tests.planning.support.replays import by_touch, one_by_one, replay

BY_C = [[10, 8.0], [20, 5.0], [30, 3.0]]
TABLES = {"min_by_c": BY_C, "max_by_c": [[10, 40.0], [30, 12.0]], "lapse": "wipe"}
LADDER = recipe(
    step("wipe", minutes=1),
    step("coat", minutes=2, product="pane", wait={"max": 30}),
    step("level", minutes=1, wait=TABLES),
)
RULED = Product(name="pane", temperature_rule="halves-per-10-c", temperature_rule_at_c=20)


def shop(air: ReadAir | None, ladder: Any = LADDER, products: tuple[Product, ...] = ()) -> Shop:
    bay = Shop(job((["roof", "bonnet", "left-door", "windscreen"], ladder), products=products, crew=("Ash",)))
    if air:
        bay.must(air, 0)
    return bay


def plan(bay: Shop, minutes: float = 0) -> WorkOrder:
    return plan_work(bay.state, at(minutes), People(), Effort(1.0, workers=1))


@pytest.mark.parametrize("air_c", [10.0, 13.3, 20.0, 29.9])
@pytest.mark.parametrize(
    ("ladder", "products"),
    [
        (LADDER, ()),
        (
            recipe(step("coat", minutes=2, product="pane"), step("level", minutes=1, wait={"min": 6, "max": 20})),
            (RULED,),
        ),
        (recipe(step("coat", minutes=2), step("level", minutes=1, wait={**TABLES, "max_from": "start"})), ()),
        (recipe(step("coat", minutes=2), step("level", minutes=1, wait={"of": "block", **TABLES})), ()),
    ],
)
def test_a_plan_in_the_air_of_the_day_is_carried_out_without_a_refusal(
    air_c: float, ladder: Any, products: tuple[Product, ...]
) -> None:
    air = ReadAir(air_c, 40.0)
    bay = shop(air, ladder, products)
    order = plan(bay)
    assert order.status in ("optimal", "feasible")
    assert order.assumed == ()
    for touches in (one_by_one(order.steps), by_touch(order.steps)):
        end, refused = replay(bay.state, touches, air=air)
        assert refused == []
        zones = end.jobs[JobId("car")].zones
        assert all(zone.last_finished(StepId("level")) for zone in zones.values())


def test_in_colder_air_the_plan_waits_longer() -> None:
    single = recipe(step("coat", minutes=2), step("level", minutes=1, wait=TABLES))
    ends = {}
    for air_c in (30.0, 20.0, 10.0):
        bay = Shop(job((["roof"], single), crew=("Ash",)))
        bay.must(read_air(air_c), 0)
        ends[air_c] = plan(bay).finish
    assert ends == {30.0: at(2 + 3 + 1), 20.0: at(2 + 5 + 1), 10.0: at(2 + 8 + 1)}


def test_a_clock_that_runs_is_planned_by_what_has_ripened_so_far() -> None:
    single = recipe(step("coat", minutes=2), step("level", minutes=1, wait=TABLES))
    bay = Shop(job((["roof"], single), crew=("Ash",)))
    bay.must(read_air(30), 0)
    bay.work("roof", "coat", 0, 2)
    bay.must(read_air(10), 3.5)  # half is over; half of 8 minutes are 4
    (planned,) = plan(bay, 4).steps
    assert planned.start == at(7.5)
    _, refused = replay(bay.state, one_by_one((planned,)), air=ReadAir(10.0, 50.0))
    assert refused == []


def test_levelling_that_counts_from_a_stroke_under_way_is_planned_by_the_air() -> None:
    single = recipe(
        step("coat", minutes=5), step("level", minutes=1, wait={"max_by_c": [[10, 40], [30, 12]], "max_from": "start"})
    )
    bay = Shop(job((["roof"], single), crew=("Ash",)))
    bay.must(read_air(30), 0)
    bay.must(start("roof", "coat"), 0)
    found = work_of(Situation(bay.state, at(1), People()))
    assert found.problem.task_of["car/roof/level"].latest_s == 11 * 60


@pytest.mark.parametrize(
    ("air", "said"),
    [
        (None, "The air has not been read; the plan takes 20 °C for granted."),
        (ReadAir(7.0, 50.0), "No sheet times a wait at 7 °C; the plan takes 20 °C for granted."),
    ],
)
def test_where_no_wait_can_be_timed_the_plan_goes_by_the_base_and_says_so(air: ReadAir | None, said: str) -> None:
    single = recipe(step("coat", minutes=2), step("level", minutes=1, wait=TABLES))
    bay = Shop(job((["roof"], single), crew=("Ash",)))
    if air:
        bay.must(air, 0)
    order = plan(bay)
    assert order.assumed == (said,)
    assert order.finish == at(8)
    bay.must(finish("roof", "coat"), 2)
    order = plan(bay, 4)
    assert order.assumed == (said,)
    assert order.steps[0].start == at(9), "nothing has counted so far"


def test_a_wait_that_counts_from_several_takes_the_worst_of_them() -> None:
    slow = RULED.model_copy(update={"name": "slow", "temperature_rule_at_c": 30.0})
    quick, late = (
        recipe(step("coat", product=p), step("level", wait={"of": "panels", "min": 10, "max": 40}), name=p)
        for p in ("pane", "slow")
    )
    bay = Shop(job((["roof"], quick), (["bonnet"], late), products=[RULED, slow]))
    bay.must(read_air(20), 0)
    wait = quick.step[1].wait
    assert wait
    counted = [(ZoneId("roof"), StepId("coat")), (ZoneId("bonnet"), StepId("coat"))]
    plain, assumed = in_this_air(bay.state.jobs["car"], wait, counted)
    assert (plain.min, plain.max, plain.by_table, assumed) == (20, 40, False, None)
    assert plain.earliest == timedelta(minutes=20)


def test_a_plain_wait_is_left_as_it_is() -> None:
    bay = shop(None)
    wait = LADDER.step[1].wait
    assert wait
    assert in_this_air(bay.state.jobs["car"], wait, [(ZoneId("roof"), StepId("wipe"))]) == (wait, None)
    found = in_this_air(bay.state.jobs["car"], LADDER.step[2].wait, [(ZoneId("roof"), StepId("coat"))])  # type: ignore[arg-type]
    assert isinstance(found[1], Assumed)
