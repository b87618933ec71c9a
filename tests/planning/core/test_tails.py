"""What must still come after by the waits alone; worked out by hand."""

from bayapp.planning.core.problem import Lag, LastOf, Problem, Task
from bayapp.planning.core.tails import tails
from bayapp.planning.core.transitive_precedence import all_successors

TASKS = (Task("wipe", 60), Task("coat", 120), Task("level", 60), Task("other", 500))
CHAIN = (Lag("wipe", "coat", 30), Lag("coat", "level", 90, 300))


def test_a_tail_is_all_work_and_waiting_from_a_tasks_start_on():
    assert tails(Problem(TASKS, CHAIN)) == {"wipe": 60 + 30 + 270, "coat": 270, "level": 60, "other": 500}


def test_the_last_of_several_counts_from_the_longest():
    problem = Problem(TASKS, (Lag("all", "level", 900),), lasts=(LastOf("all", ("wipe", "coat"), -5),))
    assert tails(problem) == {"wipe": 1020, "coat": 1080, "level": 60, "other": 500, "all": 960}


def test_a_wait_from_the_first_stroke_does_not_count_the_work():
    assert tails(Problem(TASKS[:2], (Lag("wipe", "coat", 30, basis="start-start"),)))["wipe"] == 150


def test_waits_in_a_circle_lead_nowhere():
    found = tails(Problem(TASKS[:2], (Lag("wipe", "coat"), Lag("coat", "wipe"))))
    assert min(found.values()) >= 60


def test_a_ladder_of_thousands_of_steps_is_no_trouble():
    tasks = tuple(Task(str(n), 1) for n in range(5000))
    problem = Problem(tasks, tuple(Lag(str(n), str(n + 1)) for n in range(4999)))
    assert tails(problem)["0"] == 5000


def test_more_waits_may_be_looked_at_than_the_problem_has():
    assert tails(Problem(TASKS, CHAIN), [Lag("level", "other")])["level"] == 560


def test_what_a_wait_of_less_than_the_work_follows_is_not_after_it():
    lags = (Lag("wipe", "coat"), Lag("coat", "level", 10, basis="start-start"), Lag("all", "other"))
    problem = Problem(TASKS, lags, lasts=(LastOf("all", ("level",)),))
    assert all_successors(problem) == {"wipe": {"coat"}, "coat": set(), "level": {"all", "other"}, "other": set()}
