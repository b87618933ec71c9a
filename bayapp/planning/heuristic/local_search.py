"""Local search: the same plan with fewer walks, fewer changes and no needless wait, by single moves, each checked."""

from collections.abc import Callable
from itertools import pairwise

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.table import Table

REACH = 8
ROUNDS = 6

Way = Callable[[str, str], int]


def local_search(
    problem: Problem, plan: Plan, way: Way, person_of: Callable[[str], str], stopped: Callable[[], bool]
) -> Plan:
    """Return a plan that ends no later, is no less safe, and needs no more walking and changing than this one.

    Args:
        way: what it costs a person to change from one task to another.
        person_of: who does a task; tasks swap places only within one person's work.
    """
    table = Table(problem, plan)
    _squeeze(table, person_of)
    for _ in range(ROUNDS):
        if stopped() or sum(_swap(table, line, way, stopped) for line in _lines(table, person_of)) == 0:
            break
    _squeeze(table, person_of)
    return table.read()


def _lines(table: Table, person_of: Callable[[str], str]) -> list[list[str]]:
    """Return each person's tasks in order; those under way, or that must begin at once, keep their place."""
    lines: dict[str, list[str]] = {}
    for task in sorted(table.starts, key=lambda t: (table.starts[t], t)):
        if table.problem.task_of[task].latest_s != 0:
            lines.setdefault(person_of(task), []).append(task)
    return list(lines.values())


def _squeeze(table: Table, person_of: Callable[[str], str]) -> None:
    """Let each task begin as soon as it can without changing anybody's order or making anything less safe.

    What begins together stays so.
    """
    with_it, led = _together(table)
    free: dict[str, int] = {}
    for task in sorted(table.starts.keys() - led, key=lambda t: (table.starts[t], t)):
        group = [task, *with_it.get(task, ())]
        now, safe, person = table.starts[task], table.shortfall(group), person_of(task)
        moments = {0, *map(table.end, table.starts), *(m for member in group for m in _openings(table, member, now))}
        for moment in sorted(m for m in moments if free.get(person, 0) <= m < now):
            if table.moved(dict.fromkeys(group, moment)):
                if table.shortfall(group) <= safe:
                    break
                table.starts.update(dict.fromkeys(group, now))
        free[person] = max(free.get(person, 0), table.end(task))


def _together(table: Table) -> tuple[dict[str, list[str]], set[str]]:
    """Return the groups of tasks that begin at one instant, by their leading task, and all tasks in such groups."""
    with_it: dict[str, list[str]] = {}
    for lag in table.problem.lags:
        if lag.basis == "start-start" and lag.min_s == 0 and lag.max_s == 0:
            with_it.setdefault(lag.first, []).append(lag.then)
    return with_it, {task for tasks in with_it.values() for task in tasks}


def _openings(table: Table, task: str, now: int) -> list[int]:
    opens = [table.anchor(lag) + lag.min_s for lag in table.problem.lags if lag.then == task]
    return [m for m in [*opens, table.problem.task_of[task].earliest_s] if 0 <= m < now]


def _swap(table: Table, line: list[str], way: Way, stopped: Callable[[], bool]) -> bool:
    """Try to bring each task of a person's line next to a nearer one; return whether anything moved."""
    better = False
    for here in range(1, len(line)):
        if stopped():
            break
        for there in range(here + 1, min(here + REACH, len(line))):
            if _pull(table, line, here, there, way):
                better = True
                break
    return better


def _pull(table: Table, line: list[str], here: int, there: int, way: Way) -> bool:
    """Move the task at ``there`` before the one at ``here`` if that shortens the walk."""
    part = line[here : there + 1]
    turned = [part[-1], *part[:-1]]
    after = line[there + 1 : there + 2]
    before_cost, after_cost = _cost([line[here - 1], *part, *after], way), _cost([line[here - 1], *turned, *after], way)
    if after_cost >= before_cost:
        return False
    moment = table.starts[part[0]]
    moves: dict[str, int] = {}
    gaps = [max(0, table.starts[b] - table.end(a)) for a, b in pairwise(part)]
    for task, gap in zip(turned, [*gaps, 0], strict=True):
        moves[task] = moment
        moment += table.problem.task_of[task].duration_s + gap
    safe, old = table.shortfall(part), {t: table.starts[t] for t in part}
    if not table.moved(moves):
        return False
    if table.shortfall(part) > safe:
        table.starts.update(old)
        return False
    line[here : there + 1] = turned
    return True


def _cost(tasks: list[str], way: Way) -> int:
    return sum(way(a, b) for a, b in pairwise(tasks))
