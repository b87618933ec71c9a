"""Every plan is carried out through the gate, exactly as planned, and nothing is refused.

The gate is the judge: it knows nothing of plans, and the planner does not ask it.
"""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bayapp.files.library import Library
from bayapp.job import BayState, Job, fold, gate
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import SetAside
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.paths import resource
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.work_order import PlannedStep
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.orders import Ways, people_of, planned_steps
from bayapp.planning.relaxation import Relaxed, relaxed
from bayapp.planning.remedies import Touch, request_of
from bayapp.planning.solver.solve import solve
from bayapp.planning.work import plan_work
from bayapp.practice import practice_scenario
from tests.job import builders
from tests.planning.support.any_bay import bays
from tests.planning.support.checker import faults
from tests.planning.support.replays import by_touch, one_by_one, replay

ANYHOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
SECOND = timedelta(seconds=1)


def steps_of(work: Work, plan: Plan, state: BayState) -> tuple[PlannedStep, ...]:
    return planned_steps(work, plan, people_of(work, plan, Ways(work, state)))


def assert_carried_out(state: BayState, steps: Sequence[PlannedStep]) -> BayState:
    """Carry steps out zone by zone, and touch by touch; return the bay after the first."""
    end, refused = replay(state, one_by_one(steps))
    assert refused == []
    touched, refused = replay(state, by_touch(steps))
    assert refused == []
    done = {(s.job, s.zone, s.step) for s in steps}
    for job, zone, step in done:
        assert end.jobs[job].zones[zone].last_finished(step)
        assert touched.jobs[job].zones[zone].last_finished(step)
    return end


def assert_lapsed(end: BayState, settled: Relaxed) -> None:
    """What a zone is planned anew for has passed its latest moment, on the second, by the time that it is redone."""
    redone = {(r.job, r.zone, r.not_before - SECOND) for r in settled.work.rung_of.values() if r.not_before}
    for loss in settled.losses:
        if (loss.job, loss.zone, loss.lapses_at) in redone:
            job = end.jobs[loss.job]
            lapses = [lapse for lapse in job.zones[loss.zone].lapses if lapse.step == loss.step]
            assert any(loss.lapses_at <= lapse.lapsed_at < loss.lapses_at + SECOND for lapse in lapses), (loss, lapses)


def assert_holds(bay: Situation, settled: Relaxed, plan: Plan) -> None:
    assert faults(settled.work.problem, plan) == []
    if plan.starts_s:
        end = assert_carried_out(bay.state, steps_of(settled.work, plan, bay.state))
        assert_lapsed(end, settled)


def check_first_answer(bay: Situation) -> None:
    settled = relaxed(bay)
    if settled.plan.starts_s:
        assert_holds(bay, settled, settled.plan)


def check_search(bay: Situation) -> None:
    settled = relaxed(bay)
    if settled.work.problem.tasks:
        assert_holds(bay, settled, solve(settled.work.problem, Effort(0.3, workers=1), explain=False))


def check_order(bay: Situation) -> None:
    order = plan_work(bay.state, bay.at, bay.shop, Effort(0.2, workers=1))
    state = bay.state
    if order.stuck and order.ways_out:  # the order is then the plan of the first way out
        if order.ways_out[0].once:
            return  # it begins when the coat is done: ``test_ways_out`` knows when, and carries it out
        request = request_of(Touch.of(order.ways_out[0]), None)
        state = fold(gate(state, request, bay.at).events, state) if request else state
    if order.steps:
        assert_carried_out(state, order.steps)


@given(bays())
@settings(ANYHOW, max_examples=80)
def test_the_first_answer_is_never_refused(bay):
    check_first_answer(bay)


def test_a_coat_that_nobody_will_go_on_with_waits_for_dust_that_flies_now():
    """The ladder cannot be planned to its end, so it had no interval at all, not even against what flies already."""
    steps = [builders.step(name, "coat", minutes=0.01) for name in ("first", "second", "third")]
    polish = builders.step("polish", minutes=0.01, wait={"of": "block"})
    car = builders.job((["roof", "bonnet"], builders.recipe(*steps, polish, builders.step("last", "coat"))))
    bench = builders.Shop(car)
    bench.work("roof", "first", 0, 0, by=None)
    bench.must(builders.start("bonnet", "polish", None, reason="told to"), 0)
    settled = relaxed(Situation(bench.state, builders.at(0), Shop()))
    assert settled.plan.starts_s
    assert_carried_out(bench.state, steps_of(settled.work, settled.plan, bench.state))


def test_a_bay_for_which_no_plan_and_no_way_out_is_found_has_an_order_without_steps():
    """The wait of the third step is over as the second begins, and giving it up costs no rung."""
    steps = [builders.step(f"s{n}", "decontaminate", minutes=0.01) for n in range(2)]
    last = builders.step("s2", "decontaminate", minutes=0.01, wait={"min": 0, "max": 0, "max_from": "start"})
    bench = builders.Shop(builders.job((["roof"], builders.recipe(*steps, last)), crew=()))
    bench.must(builders.start("roof", "s0", None), 0)
    assert plan_work(bench.state, builders.at(0), Shop(), Effort(0.2, workers=1)).steps == ()


@given(bays())
@settings(ANYHOW, max_examples=8)
def test_what_the_search_finds_is_never_refused(bay):
    check_search(bay)


@given(bays())
@settings(ANYHOW, max_examples=8)
def test_a_work_order_is_never_refused(bay):
    check_order(bay)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@given(bays())
@settings(ANYHOW, max_examples=3000)
def test_no_first_answer_of_many_is_refused(bay):
    check_first_answer(bay)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@given(bays())
@settings(ANYHOW, max_examples=300)
def test_nothing_that_many_searches_find_is_refused(bay):
    check_search(bay)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@given(bays())
@settings(ANYHOW, max_examples=300)
def test_no_work_order_of_many_is_refused(bay):
    check_order(bay)


CREWS = ((), ("Ash",), ("Ash", "Bo"), ("Ash", "Bo", "Cy"))


def opened(job: Job) -> BayState:
    return fold([JobOpened(at=job.start, job=job.id, opened=job)])


@pytest.mark.parametrize("crew", CREWS)
@pytest.mark.parametrize("file", sorted(path.name for path in resource("jobs").glob("*.toml")))
def test_a_shipped_job_is_carried_out_as_planned(file, crew):
    job = Library().load_job(resource("jobs", file), "car").model_copy(update={"crew": crew})
    settled = relaxed(Situation(opened(job), job.start, Shop()))
    assert settled.whole
    assert not settled.work.left_out
    assert faults(settled.work.problem, settled.plan) == []
    end = assert_carried_out(opened(job), steps_of(settled.work, settled.plan, opened(job)))
    for zone in end.jobs[job.id].zones:
        assert ladder_position(end.jobs[job.id], zone, end.last_at or job.start).next_places == ()
        assert end.jobs[job.id].zones[zone].lapses == ()


def carried_on(job: Job, until: timedelta, slower: float, aside: int) -> tuple[BayState, datetime]:
    """A day that went by its plan, only more slowly, up to a moment; what the gate then refused was not done."""
    state = opened(job)
    steps = steps_of((settled := relaxed(Situation(state, job.start, Shop()))).work, settled.plan, state)
    late = [
        s.model_copy(update={"start": _later(job, s.start, slower), "end": _later(job, s.end, slower)}) for s in steps
    ]
    at = job.start + until
    begun = [touch for touch in by_touch(late) if touch.begin <= at]
    state, _ = replay(state, begun, until=at)
    for zone in list(job.block_of)[:aside]:
        verdict = gate(state, SetAside(job.id, (zone,), "not today"), at)
        state = fold(verdict.events, state)
    return state, at


def _later(job: Job, moment: datetime, slower: float) -> datetime:
    return to_millisecond(job.start + (moment - job.start) * slower)


def check_carried_on(file: str, crew: int, share: float, slower: float, aside: int) -> None:
    job = Library().load_job(resource("jobs", file), "car").model_copy(update={"crew": CREWS[crew]})
    state, at = carried_on(job, timedelta(hours=9 * share), slower, aside)
    settled = relaxed(Situation(state, at, Shop()))
    if settled.work.problem.tasks:
        assert settled.plan.starts_s
        assert faults(settled.work.problem, settled.plan) == []
        assert_lapsed(assert_carried_out(state, steps_of(settled.work, settled.plan, state)), settled)


ESTATES = st.sampled_from(["estate-glass-and-rims.toml", "estate-whole-car.toml"])


@given(ESTATES, st.integers(0, 3), st.floats(0, 1), st.sampled_from([1, 1.05, 1.3, 2]), st.sampled_from([0, 0, 3]))
@settings(ANYHOW, max_examples=8)
def test_a_day_on_an_estate_that_goes_slowly_is_planned_anew_from_wherever_it_stands(file, crew, share, slower, aside):
    check_carried_on(file, crew, share, slower, aside)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@given(ESTATES, st.integers(0, 3), st.floats(0, 1), st.floats(1, 3), st.sampled_from([0, 0, 3]))
@settings(ANYHOW, max_examples=200)
def test_many_slow_days_on_an_estate_are_planned_anew(file, crew, share, slower, aside):
    check_carried_on(file, crew, share, slower, aside)


@pytest.mark.parametrize("crew", CREWS[1:])
def test_the_practice_car_is_carried_on_with_as_planned(crew):
    opening = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)
    job, asked = practice_scenario(opening)
    job = job.model_copy(update={"crew": tuple(dict.fromkeys([*job.crew, *crew]))})
    state = opened(job)
    for moment, request in asked:
        verdict = gate(state, request, moment)
        assert verdict.accepted, verdict.refusals
        state = fold(verdict.events, state)
    settled = relaxed(Situation(state, opening, Shop()))
    assert settled.plan.starts_s
    assert faults(settled.work.problem, settled.plan) == []
    end = assert_carried_out(state, steps_of(settled.work, settled.plan, state))
    assert_lapsed(end, settled)
