"""A problem that makes no sense is refused when it is made, with what would be right."""

from collections.abc import Callable
from typing import Any

import pytest

from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task

A, B = Task("a", 60), Task("b", 60)


def one(*tasks: Task, **more: Any) -> Problem:
    return Problem(tasks or (A, B), **more)


WRONG: dict[str, tuple[Callable[[], object], str]] = {
    "a length below nothing": (lambda: Task("a", -1), "duration_s is -1; it must be 0 or more"),
    "less than nothing of a tool": (lambda: Task("a", 1, {"lamp": -1}), "less than nothing"),
    "a start before the plan": (lambda: Task("a", 1, earliest_s=-1), "a plan begins at 0"),
    "a window that closes before it opens": (lambda: Lag("a", "b", 60, 59), r"max_s \(59\) is less than min_s \(60\)"),
    "a wait from nowhere": (lambda: Lag("a", "b", basis="end-end"), "is not end-start, start-start"),  # type: ignore[arg-type]
    "two tasks of one name": (lambda: one(A, A), "id 'a' stands twice"),
    "a moment named like a task": (lambda: one(lasts=(LastOf("a", ("b",)),)), "id 'a' stands twice"),
    "a wait for what is not there": (lambda: one(lags=(Lag("x", "b"),)), "names 'x', which this problem does not have"),
    "a wait of what is not there": (lambda: one(lags=(Lag("a", "x"),)), "names 'x'"),
    "a wait of a moment": (lambda: one(lags=(Lag("a", "m"),), lasts=(LastOf("m", ("a",)),)), "names 'm'"),
    "a moment of what is not there": (lambda: one(lasts=(LastOf("m", ("x",)),)), "'m' names 'x'"),
    "a forbidden interval of what is not there": (
        lambda: one(forbidden=(ForbiddenInterval("g", "x", "a", frozenset()),)),
        "forbidden interval 'g' names 'x'",
    ),
    "a forbidden interval against it": (
        lambda: one(forbidden=(ForbiddenInterval("g", None, None, frozenset({"x"})),)),
        "forbidden interval 'g' names 'x'",
    ),
    "a tool that is not there": (lambda: one(Task("a", 1, {"lamp": 1})), "task 'a' names 'lamp'"),
    "a person who is not there": (lambda: one(Task("a", 1, {}, ("Ash",))), "task 'a' names 'Ash'"),
}


@pytest.mark.parametrize(("make", "reason"), WRONG.values(), ids=WRONG.keys())
def test_what_makes_no_sense_is_refused_with_what_would_be_right(make: Callable[[], object], reason: str):
    with pytest.raises(ValueError, match=reason):
        make()


def test_a_wait_may_count_from_a_moment_and_may_be_negative():
    problem = one(lags=(Lag("m", "b", 5), Lag("b", "a", -30)), lasts=(LastOf("m", ("a",), -9),))
    assert problem.task_of == {"a": A, "b": B}


def test_lists_become_tuples_so_that_nothing_can_be_added_later():
    assert Problem([A], [Lag("a", "a")]).lags == (Lag("a", "a"),)  # type: ignore[arg-type]
