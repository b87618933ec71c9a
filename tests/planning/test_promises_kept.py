"""No promise is missed where an order keeps it; where none is given, or all hold anyway, plans stay as they are."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bayapp.files.library import Library
from bayapp.job import BayState, Job, fold
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import JobOpened
from bayapp.paths import resource
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.ready import beside
from bayapp.planning.relaxation import relaxed
from bayapp.planning.work import plan_work
from tests.bench.plan_jobs import held_back_state
from tests.job.builders import Shop as Bay
from tests.job.builders import at, job, recipe, step

SHIPPED = "estate-glass-and-rims", "van-paint-and-glass"
TODAY, TOMORROW = JobId("saloon"), JobId("hatchback")
SHORT = recipe(step("wipe", minutes=60.0), name="short", finish={"keep_dry_hours": 1, "no_drive_hours": 0})
LONG = recipe(step("wipe", minutes=60.0), step("buff", minutes=10.0, wait={"min": 240}), name="long")


def promised(car: Job, moment: datetime | None) -> Job:
    return car.model_copy(update={"promised": moment})


def two_cars(today: datetime | None, tomorrow: datetime | None) -> BayState:
    """Four hours of wiping for one person on the first car; on the other a wait of four hours, so it would go first."""
    first = job((["roof", "bonnet", "left-rim", "right-rim"], SHORT), name=TODAY, crew=("Ash",))
    second = job((["roof", "bonnet"], LONG), name=TOMORROW, crew=("Ash",))
    state: BayState = Bay(promised(first, today), promised(second, tomorrow)).state
    return state


def done_at(order: WorkOrder, car: JobId) -> datetime:
    return max(planned.end for planned in order.steps if planned.job == car)


def test_a_car_promised_tomorrow_does_not_let_the_promise_of_today_go():
    """Worked out by hand: 4 h of wiping and an hour to dry are over at 13:00; nothing of the other fits in before."""
    free = plan_work(two_cars(None, None), at(0), Shop(), Effort(1.0))
    assert done_at(free, TODAY) > at(240), "else the promise would be kept by itself"
    kept = plan_work(two_cars(at(300), at(24 * 60)), at(0), Shop(), Effort(1.0))
    assert done_at(kept, TODAY) == at(240)
    assert kept.finish
    assert free.finish
    assert kept.finish > free.finish


def test_the_first_order_keeps_it_already_before_any_search():
    state = two_cars(at(300), at(24 * 60))
    settled = relaxed(Situation(state, at(0), Shop()))
    ends = [settled.plan.starts_s[t.id] + t.duration_s for t in settled.work.problem.tasks if TODAY in t.id]
    assert max(ends) == 240 * 60


def test_a_plan_that_comes_after_another_keeps_it_too():
    """The order of the one car goes on as before; the car that has come in is not put before it."""
    alone = plan_work(Bay(promised(two_cars(None, None).jobs[TODAY].job, at(300))).state, at(0), Shop(), Effort(0.5))
    both = plan_work(two_cars(at(300), at(24 * 60)), at(0), Shop(), Effort(0.5), last=alone)
    assert done_at(both, TODAY) == at(240)


def test_a_promise_that_cannot_be_kept_is_late_by_the_least_and_the_other_is_kept():
    both = plan_work(two_cars(at(30), at(24 * 60)), at(0), Shop(), Effort(1.0))
    assert done_at(both, TODAY) == at(240)


def test_a_car_that_comes_in_is_told_ready_after_what_was_promised_before_it():
    new = two_cars(None, None).jobs[TOMORROW].job
    alone, second = beside(BayState(), new, at(0), Shop()), beside(inside(at(300)), new, at(0), Shop())
    assert alone.ready
    assert second.ready
    assert second.ready >= alone.ready + timedelta(hours=4)
    assert second.let_down == ()


def test_a_car_that_must_come_first_is_told_to_let_the_other_down():
    """The new one is ready by 14:10 only if it is wiped from 8:00 on for two hours: then 13:00 cannot be kept."""
    new = promised(two_cars(None, None).jobs[TOMORROW].job, at(6 * 60 + 10))
    assert beside(inside(at(300)), new, at(0), Shop()).let_down == (TODAY,)
    assert beside(inside(at(30)), new, at(0), Shop()).let_down == (), "it is late without the new car, too"
    assert beside(inside(None), new, at(0), Shop()).let_down == ()


def inside(today: datetime | None) -> BayState:
    state: BayState = Bay(promised(two_cars(None, None).jobs[TODAY].job, today)).state
    return state


def test_promises_that_hold_anyway_change_nothing():
    plain, far = two_cars(None, None), two_cars(at(48 * 60), at(72 * 60))
    one, other = (plan_work(state, at(0), Shop(), Effort(0.5, patience=400)) for state in (plain, far))
    assert other == one.model_copy(update={"promised": True})


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_day_of_the_bench_whose_promises_hold_anyway_has_the_same_plan_as_one_without():
    state, moment = held_back_state("estate's glass and motorcycle", 2)
    promised_all = all_promised(state, moment + timedelta(days=30))
    plain, given = (plan_work(one, moment, Shop(), Effort(0.3, patience=400)) for one in (state, promised_all))
    assert given == plain.model_copy(update={"promised": True})


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_shipped_estate_is_ready_within_minutes_of_when_it_is_alone_though_a_van_is_beside_it():
    """No list schedule finds that order: the estate's work is searched by itself, and the van's is put after it."""
    estate, van = (Library().load_job(resource("jobs", f"{name}.toml")) for name in SHIPPED)
    begins = max(estate.start, van.start)
    alone = plan_work(fold((JobOpened(at=begins, job=estate.id, opened=estate),)), begins, Shop(), Effort(patience=50))
    assert alone.finish
    by = alone.finish + timedelta(hours=12, minutes=5)  # its rims dry for twelve hours
    cars = [promised(estate, by), promised(van, begins + timedelta(hours=40))]
    opened = tuple(JobOpened(at=begins, job=car.id, opened=car) for car in cars)
    assert plan_work(fold(opened), begins, Shop(), Effort(patience=50)).late_s == 0


def test_the_days_of_the_bench_have_no_promises():
    for name, people in (("van", 2), ("estate's glass and motorcycle", 1)):
        state, moment = held_back_state(name, people)
        assert work_of(Situation(state, moment, Shop())).problem.promises == ()


def all_promised(state: BayState, by: datetime) -> BayState:
    jobs = {car: replace(known, job=promised(known.job, by)) for car, known in state.jobs.items()}
    return replace(state, jobs=jobs)
