"""No plan and no advice breaks what a zone is marked as, and what is left out for a mark is told."""

import pytest
from hypothesis import HealthCheck, given, settings

from bayapp.job import advise, clocks
from bayapp.job.model.ids import StepKind
from bayapp.job.model.mark import MarkKind
from bayapp.planning.core.effort import Effort
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.next.recommendation import recommended
from bayapp.planning.relaxation import relaxed
from bayapp.planning.work import plan_work
from tests.job.builders import START, Shop, at, job, mark, recipe, start, step
from tests.planning.support.any_bay import marked_bays
from tests.planning.support.replays import by_touch, one_by_one, replay
from tests.planning.test_replay_through_gate import steps_of

ANYHOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
HARDENED = 30


def breaks(state, job_id, zone, step_id):
    """Whether a step would break a mark of its zone on the day of the car: said once more, apart from the program."""
    car = state.jobs[job_id]
    ladder = car.job.recipe_of(zone)
    kind, kinds = ladder.named(step_id).kind, {m.kind for m in car.marks.get(zone, ())}
    fresh = any((START.date() - m.date).days < HARDENED for m in car.marks.get(zone, ()) if m.kind == "repainted")
    return (
        MarkKind.LEAVE in kinds
        or (MarkKind.FILM in kinds and "film" not in ladder.suits)
        or (MarkKind.MATT in kinds and kind is StepKind.POLISH)
        or (MarkKind.SENSOR in kinds and kind is StepKind.COAT)
        or (fresh and kind is StepKind.COAT)
    )


def check_plan(bay):
    settled = relaxed(bay)
    if settled.plan.starts_s:
        steps = steps_of(settled.work, settled.plan, bay.state)
        on_the_day = [s for s in steps if not s.running and s.start.date() == START.date()]
        assert not [s for s in on_the_day if breaks(bay.state, s.job, s.zone, s.step)]
        for touches in (one_by_one(steps), by_touch(steps)):
            assert replay(bay.state, touches)[1] == []


def check_advice(bay):
    if bay.at.date() != START.date():
        return
    order = plan_work(bay.state, bay.at, bay.shop, Effort(0.1, workers=1))
    now = clocks(bay.state, bay.at)
    for by in (None, *next(iter(bay.state.jobs.values())).job.crew[:1]):
        offered = [r.advice for r in recommended(bay.state, order, now, by, bay.at)[0]]
        for advice in (*advise(bay.state, now, by, bay.at), *offered):
            assert not [z for z in advice.zones if breaks(bay.state, advice.job, z, advice.step)]
    told = {(f.job, f.zone) for f in order.forbidden}
    assert told <= {(car.job.id, zone) for car in bay.state.open_jobs for zone in car.marks}


@given(marked_bays())
@settings(ANYHOW, max_examples=30)
def test_no_plan_breaks_a_mark_and_the_gate_refuses_nothing_of_it(bay):
    check_plan(bay)


@given(marked_bays())
@settings(ANYHOW, max_examples=12)
def test_no_advice_breaks_a_mark(bay):
    check_advice(bay)


@pytest.mark.slow
@given(marked_bays())
@settings(ANYHOW, max_examples=1000)
def test_no_plan_of_many_breaks_a_mark(bay):
    check_plan(bay)


@pytest.mark.slow
@given(marked_bays())
@settings(ANYHOW, max_examples=200)
def test_no_advice_of_many_breaks_a_mark(bay):
    check_advice(bay)


PANEL = recipe(
    step("decontaminate", minutes=2),
    step("polish", minutes=3),
    step("wipe", minutes=1),
    step("coat", minutes=2),
    step("level", minutes=1, wait={"of": "block", "min": 1, "max": 30, "lapse": "polish"}),
    name="panel",
    title="Panel, one layer",
)


def order_of(shop, minutes=0):
    return plan_work(shop.state, at(minutes), People(), Effort(0.3, workers=1))


def planned(order, zone):
    return [s.step for s in order.steps if s.zone == zone]


@pytest.mark.parametrize(
    ("kind", "done"),
    [
        ("leave", []),
        ("film", []),
        ("matt", ["decontaminate"]),
        ("sensor", ["decontaminate", "polish"]),
        ("damage", ["decontaminate", "polish", "wipe", "coat", "level"]),
    ],
)
def test_a_zone_is_worked_up_to_what_its_mark_forbids_and_not_wiped_for_nothing(kind, done):
    shop = Shop(job((["roof", "bonnet"], PANEL)))
    shop.must(mark(kind, "roof"), 0)
    order = order_of(shop)
    assert planned(order, "roof") == done
    assert planned(order, "bonnet") == ["decontaminate", "polish", "wipe", "coat", "level"]
    assert [(f.zone, f.step) for f in order.forbidden] == [("roof", s.id) for s in PANEL.step if s.id not in done]
    assert order.left_out == ()
    assert order.trouble == ""


def test_what_is_left_out_says_why_and_from_when():
    shop = Shop(job((["roof"], PANEL)))
    shop.must(mark("repainted", "roof", date="2026-11-16"), 0)
    order = order_of(shop)
    assert planned(order, "roof") == ["decontaminate", "polish"]
    assert {f.why for f in order.forbidden} == {
        "Roof was repainted on 16 Nov 2026 and takes no coat for 30 days: coat not before 16 Dec 2026."
    }
    assert {f.until for f in order.forbidden} == {at((20 * 24 + 16) * 60)}


def test_nobody_puts_tape_on_that_nobody_takes_off():
    taped = recipe(step("clean"), step("mask"), step("polish"), step("coat"), step("unmask"), name="taped")
    shop = Shop(job((["roof"], taped)))
    shop.must(mark("sensor", "roof"), 0)
    assert planned(order_of(shop), "roof") == ["clean"]


def test_a_mark_set_between_two_plans_counts_for_the_next():
    shop = Shop(job((["roof"], PANEL)))
    assert "polish" in planned(order_of(shop), "roof")
    shop.work("roof", "decontaminate", 0, 1)
    shop.must(mark("matt", "roof"), 2)
    order = order_of(shop, 3)
    assert order.steps == ()
    assert (order.status, order.stuck) == ("optimal", False)
    assert [f.step for f in order.forbidden] == ["polish", "wipe", "coat", "level"]


def test_a_zone_polished_when_it_was_marked_matt_is_waited_for_as_it_goes_on():
    """The wait of the block counts it: what was under way is done, and what comes after is not forbidden."""
    ladder = recipe(
        step("polish", minutes=1),
        step("wipe", minutes=1),
        step("clean", minutes=1, wait={"of": "block", "after": "wipe", "min": 1, "max": 60}),
        name="late",
    )
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.must(start("roof bonnet", "polish"), 0)
    shop.must(mark("matt", "roof"), 0)
    order = order_of(shop)
    assert planned(order, "roof") == ["polish", "wipe", "clean"]
    assert replay(shop.state, one_by_one(order.steps))[1] == []


def test_what_is_under_way_when_it_is_forbidden_is_planned_to_its_end_and_no_further():
    shop = Shop(job((["roof"], PANEL)))
    shop.work("roof", "decontaminate", 0, 1)
    shop.must(start("roof", "polish"), 2)
    shop.must(mark("matt", "roof"), 3)
    assert planned(order_of(shop, 3), "roof") == ["polish", "wipe", "coat", "level"]
