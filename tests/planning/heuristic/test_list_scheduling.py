"""The first answer: forward in time, never beginning what would make another step late."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.heuristic.list_scheduling import ListScheduler, list_schedule
from tests.planning.support.any_problem import any_order, planned_problems
from tests.planning.support.checker import faults

WIPE, COAT, LEVEL, LONG = Task("wipe", 60), Task("coat", 120), Task("level", 60), Task("long", 600)


def first(problem: Problem, **more: object) -> Plan:
    plan = list_schedule(problem, **more)  # type: ignore[arg-type]
    assert faults(problem, plan) == []
    assert plan.status == "feasible"
    return plan


def order(plan: Plan) -> list[str]:
    return sorted(plan.starts_s, key=lambda task: plan.starts_s[task])


@given(planned_problems(shortest=1), st.integers(0, 9))
@settings(max_examples=60, deadline=None)
def test_whatever_the_problem_and_the_order_preferred_an_answer_obeys_it(planned: tuple[Problem, Plan], seed: int):
    plan = list_schedule(planned[0], prefer=any_order(planned[0], seed))
    if plan.starts_s:
        assert faults(planned[0], plan) == []
    else:
        assert plan.status == "unknown"


@given(planned_problems(shortest=1))
@settings(max_examples=60, deadline=None)
def test_an_earlier_plan_that_is_preferred_is_never_made_into_a_wrong_one(planned: tuple[Problem, Plan]):
    plan = list_schedule(planned[0], prefer=planned[1].starts_s)
    assert not plan.starts_s or faults(planned[0], plan) == []


def test_the_order_of_an_earlier_plan_is_kept():
    problem = Problem((WIPE, COAT, LONG))
    assert order(first(problem)) == ["long", "coat", "wipe"]
    assert order(first(problem, prefer={"wipe": 0, "long": 60, "coat": 660})) == ["wipe", "long", "coat"]


def test_what_counts_more_goes_sooner():
    problem = Problem((WIPE, COAT, LONG))
    assert order(ListScheduler(problem).run({"wipe": 11})) == ["wipe", "long", "coat"]


def test_a_run_is_given_up_once_it_cannot_end_in_time_and_the_next_one_begins_anew():
    scheduler = ListScheduler(Problem((WIPE, COAT, LONG)))
    assert scheduler.run(by_s=779).status == "unknown"
    assert scheduler.run(by_s=780).makespan_s == 780


def test_what_lapses_soonest_goes_first():
    tasks = (LONG, Task("rim", 60, latest_s=900), Task("glass", 60, latest_s=700))
    assert order(first(Problem(tasks))) == ["glass", "rim", "long"]


def test_nothing_is_begun_that_would_make_a_running_window_lapse():
    plan = first(Problem((Task("glass", 60, earliest_s=300, latest_s=500), LONG, WIPE)))
    assert plan.starts_s == {"wipe": 0, "glass": 300, "long": 360}


def test_no_coat_is_begun_that_could_not_be_levelled_in_time():
    lags = (Lag("coat", "level", 60, 200),)
    plan = first(Problem((COAT, LEVEL, Task("glass", 300, latest_s=150)), lags))
    assert order(plan) == ["glass", "coat", "level"]


def test_a_window_over_a_step_between_is_foreseen():
    # Each zone is worked on for 2 minutes within 6 of its first step, a step of its own in between: three zones at once
    # can be kept by one person, the fourth must wait.
    zones = ("a", "b", "c", "d")
    tasks = [t for z in zones for t in (Task(f"{z} wipe", 1), Task(f"{z} look", 1), Task(f"{z} coat", 120))]
    lags = [
        lag
        for z in zones
        for lag in (
            Lag(f"{z} wipe", f"{z} look"),
            Lag(f"{z} look", f"{z} coat"),
            Lag(f"{z} wipe", f"{z} coat", 60, 360),
        )
    ]
    first(Problem(tuple(tasks), tuple(lags)))


def test_a_tool_that_two_windows_need_is_foreseen():
    tasks = [t for z in "ab" for t in (Task(f"{z} wipe", 60), Task(f"{z} polish", 300, {"person": 1, "polisher": 1}))]
    lags = tuple(Lag(f"{z} wipe", f"{z} polish", 0, 60) for z in "ab")
    first(Problem(tuple(tasks), lags, {"person": 2, "polisher": 1}))


def test_a_break_is_foreseen():
    shut = {"person": ((200, 900),)}
    plan = first(Problem((COAT, LEVEL, WIPE), (Lag("coat", "level", 30, 120),), closed=shut))
    assert plan.starts_s["coat"] >= 900


def test_the_last_of_several_may_be_over_already():
    problem = Problem((LEVEL,), (Lag("coated", "level", 100, 200),), lasts=(LastOf("coated", (), -40),))
    assert first(problem).starts_s == {"level": 60}


def test_dust_goes_before_the_coat_that_it_would_spoil():
    forbidden = (ForbiddenInterval("no dust", "coat", "level", frozenset({"long"})),)
    assert (
        order(first(Problem((COAT, LEVEL, LONG), (Lag("coat", "level", 60, 300),), forbidden=forbidden)))[0] == "long"
    )


@pytest.mark.parametrize(("window_s", "goes_first"), [(480, "wash"), (419, "coat")])
def test_what_a_coat_would_shut_out_for_long_goes_before_it_while_its_window_leaves_time(
    window_s: int, goes_first: str
):
    """Wiped panes, and a rim of the same car that is still to be washed: after the coat it would wait for 12 hours."""
    wash, polish = Task("wash", 420), Task("polish", 3000)  # there is always something longer to do elsewhere
    coated = ForbiddenInterval("kept dry", "coat", "coat", frozenset({"wash"}), 12 * 3600)
    due = Task("coat", 120, earliest_s=0, latest_s=window_s)
    plan = first(Problem((due, wash, polish), forbidden=(coated,), capacities={"person": 1}))
    assert order(plan)[0] == goes_first


def test_where_everything_waits_for_each_other_somebody_begins():
    # Each coat would rather have the other's wash before it, and each wash stands behind the other's coat.
    tasks = (Task("coat a", 60), Task("wash a", 60), Task("coat b", 60), Task("wash b", 60))
    forbidden = (
        ForbiddenInterval("a", "coat a", "wash a", frozenset({"wash b"}), 30),
        ForbiddenInterval("b", "coat b", "wash b", frozenset({"wash a"}), 30),
    )
    first(
        Problem(tasks, (Lag("coat a", "wash a"), Lag("coat b", "wash b"), Lag("wash a", "coat b")), forbidden=forbidden)
    )


def test_what_is_under_way_begins_at_once_although_a_window_is_lost_by_it():
    running, glass = Task("long", 600, latest_s=0), Task("glass", 60, latest_s=40)
    plan = list_schedule(Problem((running, glass)))
    assert (plan.status, plan.clash) == ("unknown", (glass,))


def test_hands_are_chosen_among_those_who_can():
    tasks = (Task("polish", 300, {}, ("Ash",)), Task("coat", 60, {}, ("Ash", "Bo")), Task("buff", 60, {}, ("Bo",)))
    plan = first(Problem(tasks, capacities={"Ash": 1, "Bo": 1}))
    assert plan.makespan_s == 300
    assert plan.done_by["polish"] == "Ash"


@pytest.mark.parametrize("zones", [1, 40])
def test_many_zones_are_no_trouble(zones: int):
    tasks = [t for z in range(zones) for t in (Task(f"coat {z}", 120), Task(f"level {z}", 60))]
    lags = tuple(Lag(f"coat {z}", f"level {z}", 60, 480) for z in range(zones))
    plan = first(Problem(tuple(tasks), lags, {"person": 2}))
    assert plan.makespan_s is not None
    assert plan.makespan_s >= zones * 180 / 2


def test_nobody_idles_for_half_a_day_where_coats_and_dust_wait_for_each_other():
    # Each coat would rather have the dust of the other zones before it, which comes after their own coats; and a zone
    # that is coated must be kept dry for 12 h, the end of which is no reason to wait for the next coat.
    zones = "abc"
    tasks = [Task("wash", 60), *(Task(f"{work} {z}", 60) for z in zones for work in ("coat", "vacuum"))]
    lags = [Lag(f"coat {z}", f"vacuum {z}") for z in zones]
    forbidden = [
        *(ForbiddenInterval(z, f"coat {z}", f"coat {z}", frozenset({f"vacuum {y}" for y in zones if y != z}), 30)
          for z in zones),
        *(ForbiddenInterval(f"dry {z}", f"coat {z}", f"coat {z}", frozenset({"wash"}), 43_200) for z in zones),
    ]  # fmt: skip
    plan = first(Problem(tuple(tasks), tuple(lags), forbidden=tuple(forbidden)))
    assert plan.starts_s["wash"] == 0
    assert plan.makespan_s is not None
    assert plan.makespan_s < 3600
