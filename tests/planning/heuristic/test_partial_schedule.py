"""A plan in the making: what has been decided, what may start next, when something changes."""

from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.heuristic.partial_schedule import FAR, PartialSchedule, Ties

COAT, LEVEL, WASH = Task("coat", 120), Task("level", 60), Task("wash", 60)


def begun(problem: Problem) -> PartialSchedule:
    return PartialSchedule(Ties.of(problem))


def test_a_wait_opens_and_lapses_from_its_anchor():
    at = begun(Problem((COAT, LEVEL), (Lag("coat", "level", 30, 300), Lag("coat", "level", 0, 400, "start-start"))))
    assert (at.opens(LEVEL), at.lapses(LEVEL), at.opens_at_least(LEVEL)) == (None, FAR, 0)
    at.advance(10)
    at.start(COAT)
    assert (at.opens(LEVEL), at.lapses(LEVEL), at.opens_at_least(LEVEL)) == (160, 410, 160)
    assert (at.starts, list(at.left), at.end("coat")) == ({"coat": 10}, ["level"], 130)


def test_hands_come_back_when_a_step_ends():
    at = begun(Problem((COAT, LEVEL)))
    at.start(COAT)
    assert at.hands_for(LEVEL) is False
    assert at.next_change([]) == 120
    at.advance(120)
    assert at.hands_for(LEVEL) is None
    assert at.running == []


def test_the_first_who_is_free_and_there_for_all_of_it_is_named():
    polish = Task("polish", 60, {}, ("Ash", "Bo"))
    at = begun(Problem((polish,), capacities={"Ash": 1, "Bo": 1}, closed={"Ash": ((59, 80),)}))
    assert at.hands_for(polish) == "Bo"
    at.start(polish, "Bo")
    assert at.done_by == {"polish": "Bo"}


def test_nobody_begins_what_would_run_into_a_break():
    at = begun(Problem((COAT,), closed={"person": ((119, 200),)}))
    assert at.hands_for(COAT) is False
    assert at.next_change([]) == 200
    at.advance(200)
    assert at.hands_for(COAT) is None


def test_the_last_of_several_is_known_when_all_have_begun():
    problem = Problem(
        (COAT, LEVEL, WASH), (Lag("both", "wash", 10),), {"person": 2}, (LastOf("both", ("coat", "level"), 5),)
    )
    at = begun(problem)
    at.start(COAT)
    assert at.opens(WASH) is None
    at.start(LEVEL)
    assert at.opens(WASH) == 130


def test_an_interval_shuts_out_from_its_first_task_until_so_long_after_its_last():
    at = begun(
        Problem((COAT, LEVEL, WASH), forbidden=(ForbiddenInterval("dry", "coat", "level", frozenset({"wash"}), 30),))
    )
    assert at.forbidden_until(WASH) == 0
    at.start(COAT)
    assert at.forbidden_until(WASH) == FAR
    at.advance(120)
    at.start(LEVEL)
    assert at.forbidden_until(WASH) == 210


def test_what_begins_an_interval_waits_for_what_it_is_against():
    interval = ForbiddenInterval("dry", "coat", "coat", frozenset({"wash"}))
    at = begun(Problem((COAT, WASH), capacities={"person": 2}, forbidden=(interval,)))
    assert not at.kept_out([interval])
    at.start(WASH)
    assert at.kept_out([interval])


def test_a_wait_of_less_than_nothing_is_a_latest_moment_the_other_way_round():
    at = begun(Problem((COAT, LEVEL), (Lag("coat", "level", -100),), {"person": 2}))
    assert at.opens(LEVEL) == 0  # coat may still begin later
    at.start(LEVEL)
    assert at.lapses(COAT) == -20  # level began at 0, so coat had to end by 100
