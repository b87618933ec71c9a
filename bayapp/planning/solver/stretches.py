"""An end that no plan can beat where dust and coats keep apart: a small problem of stretches, solved whole.

A fresh coat is open for a while; its guard keeps out the work of a tool that there is one of. Guards that overlap or
touch make one stretch, in which the tool rests. Let the long coats be those in which some work comes late, a certain
wait after their first stroke. Either two stretches hold long coats, and each of them waits so long. Or one does: then
whatever the tool does for these coats comes before it, and the other hands have little to do beside the tool, as what
is wiped must be coated within its window.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import gcd

from bayapp.planning.core.bounds import earliest_starts, least_left
from bayapp.planning.core.problem import Guard, Lag, Problem, Task
from bayapp.planning.core.tails import longest_ways
from bayapp.planning.core.transitive_precedence import leads_to, successors
from bayapp.planning.solver.before_long import BeforeLong, Long, Wiped


@dataclass(frozen=True)
class _Coats:
    """Guards that always make one stretch together.

    Attributes:
        inside: tasks that only ever run in it.
        lasts_s: how long it is at least.
        late_s: of tasks inside, how long after its beginning they start at least.
    """

    guards: tuple[Guard, ...]
    inside: frozenset[str]
    lasts_s: int
    late_s: dict[str, int]


def least_by_stretches(problem: Problem) -> int:
    """Return an end that no plan can beat, in seconds; 0 where the problem has no such guards."""
    return max((_Stretches(problem, tool).least() for tool in _tools(problem)), default=0)


def _tools(problem: Problem) -> list[str]:
    return [r for r, n in problem.capacities.items() if n == 1 and any(t.uses.get(r) for t in problem.tasks)]


class _Stretches:
    """What one tool does, and the guards that keep all of it out."""

    def __init__(self, problem: Problem, tool: str) -> None:
        self.problem = problem
        self.reached = leads_to(problem)
        self.tool_s = {t.id: t.duration_s for t in problem.tasks if t.uses.get(tool) and t.duration_s}
        names = {name for t in problem.tasks for name in t.one_of}
        self.hands = problem.capacities.get("person", 0) + sum(problem.capacities[name] for name in names)
        self.coats = self._together(g for g in problem.guards if self._keeps_out_the_tool(g))
        self._tight: dict[str, list[Lag]] = defaultdict(list)
        for lag in problem.lags:
            self._tight[lag.first].append(lag)
        self.starts, self.left = earliest_starts(problem), least_left(problem)

    def _keeps_out_the_tool(self, guard: Guard) -> bool:
        first, last = guard.first, guard.last
        if first is None or last is None or guard.longer_s < 0 or (last != first and last not in self.reached[first]):
            return False
        behind = self.reached[last] - {last}
        return all(t in guard.against or first in self.reached[t] or t in behind for t in self.tool_s)

    def _together(self, guards: Iterable[Guard]) -> list[_Coats]:
        """Join guards that always overlap: each begins before the other can end."""
        found: list[tuple[list[Guard], set[str]]] = []
        for guard in guards:
            members, inside = [guard], self._inside(guard)
            for known in [k for k in found if not k[1].isdisjoint(inside) or self._overlap(k[0], guard)]:
                found.remove(known)
                members += known[0]
                inside |= known[1]
            found.append((members, inside))
        return [self._coats(members, inside) for members, inside in found]

    def _inside(self, guard: Guard) -> set[str]:
        assert guard.first is not None
        known = self.problem.task_of
        between = {t for t in self.reached[guard.first] if t in known and guard.last in self.reached[t]}
        return {guard.first, guard.last or guard.first, *between}

    def _overlap(self, guards: Iterable[Guard], other: Guard) -> bool:
        return any(self._begins_before_the_end(g, other) and self._begins_before_the_end(other, g) for g in guards)

    def _begins_before_the_end(self, one: Guard, other: Guard) -> bool:
        return one.first == other.last or other.last in self.reached[one.first or ""]

    def _coats(self, guards: list[Guard], inside: set[str]) -> _Coats:
        late: dict[str, int] = {}
        for guard in guards:
            ways = self._ways(guard)
            late |= {t: max(late.get(t, 0), s) for t, s in ways.items()}
        lasts = max(late[g.last or ""] + self.problem.task_of[g.last or ""].duration_s for g in guards)
        return _Coats(tuple(guards), frozenset(inside), lasts, late)

    def _ways(self, guard: Guard) -> dict[str, int]:
        """Return how long after a guard's first task what lies inside the guard starts at least."""
        inside = self._inside(guard)
        moments = {m.id: m for m in self.problem.lasts if not inside.isdisjoint(m.tasks)}
        known = self.problem.task_of
        after = successors(self.problem)
        before: dict[str, list[tuple[str, int]]] = defaultdict(list)
        for lag in self.problem.lags:
            own = known[lag.first].duration_s if lag.first in known and lag.basis == "end-start" else 0
            if lag.first in {*inside, *moments} and lag.then in inside and lag.then in after[lag.first]:
                before[lag.then].append((lag.first, own + lag.min_s))
        for moment in moments.values():
            before[moment.id] += [(t, known[t].duration_s) for t in moment.tasks if t in inside]
        ways = longest_ways([*inside, *moments], before)
        return {t: ways[t] for t in inside}

    def least(self) -> int:
        """Return an end that no plan can beat."""
        late = {t: s for coats in self.coats for t, s in coats.late_s.items()}
        waits = {s for t, s in late.items() if s and self._hands_s(t)}
        if not waits or self.hands < 1:
            return 0
        wait = max(waits, key=lambda s: s * self.hands + self._work(t for t in late if late[t] >= s))
        behind = [t for t in late if late[t] >= wait]
        firsts = [g.first or "" for coats in self.coats for g in coats.guards]
        begins = max(0, min(self.starts[t] for t in (*self.tool_s, *firsts)))
        goes_on = max(0, min(self.left[t] - self.problem.task_of[t].duration_s for t in behind))
        long = Long(wait, self._work(behind), goes_on)
        any_way = begins + sum(self.tool_s.values()) + wait + -(-long.work_s // self.hands)
        those = [coats for coats in self.coats if any(s >= wait for s in coats.late_s.values())]
        once = self._in_one_stretch(those, long, begins)
        return max(any_way, once if len(those) == 1 else min(any_way + wait, once))

    def _step(self, tasks: Iterable[str]) -> int:
        return gcd(*(self.problem.task_of[t].duration_s for t in tasks))

    def _hands_s(self, task: str) -> int:
        return hands_s(self.problem.task_of[task])

    def _work(self, tasks: Iterable[str]) -> int:
        return sum(self._hands_s(t) for t in tasks)

    def _in_one_stretch(self, those: list[_Coats], long: Long, begins: int) -> int:
        """Return the least end where all long coats lie open in one stretch."""
        firsts = {g.first for coats in those for g in coats.guards}
        tool_s = {t: s for t, s in self.tool_s.items() if not firsts.isdisjoint(self.reached[t])}
        pass_one = [t for coats in those for t, s in coats.late_s.items() if s < long.wait_s and self._hands_s(t)]
        goes_on = min((self.left[t] - self.problem.task_of[t].duration_s for t in pass_one), default=0)
        long = replace(long, first_s=self._work(pass_one), goes_on_s=max(0, goes_on))
        told = BeforeLong(self.hands, self._work(self.problem.task_of), long)
        told.tool(begins, sum(tool_s.values()), self._work(tool_s))
        place = {
            id(coats): told.short(coats.lasts_s, self._work(coats.inside), self._step(coats.inside))
            for coats in self.coats
            if coats not in those
        }
        inside = {t for coats in self.coats for t in coats.inside}
        begun_by = {g.first: coats for coats in self.coats for g in coats.guards}
        wiped = set()
        for task in self.problem.tasks:
            if task.id in tool_s or task.id in inside:
                continue
            windows = [w for w in self._windows_before(task) if w[1] in begun_by]
            if windows:
                within, first = min(windows)
                wiped.add(task.id)
                after_tool = any(task.id in self.reached[t] for t in tool_s)
                told.wiped(self._wiped(task, within, first, after_tool), place.get(id(begun_by[first])))
            else:
                after = [c for c in self.coats if any(task.id in self.reached[g.last or ""] for g in c.guards)]
                if all(id(c) in place for c in after):
                    told.beside(hands_s(task), [place[id(c)] for c in after])
        if all(any(t in self.reached[tool] for t in wiped) for tool in tool_s) and tool_s:
            told.the_tool_is_last()
        return told.least()

    def _wiped(self, task: Task, within_s: int, first: str, after_tool: bool) -> Wiped:
        coat = self.problem.task_of[first]
        known = self.problem.task_of
        soon = {
            lag.then: lag.max_s
            for lag in self._tight.get(first, ())
            if lag.max_s is not None and lag.basis == "start-start" and lag.max_s >= 0
        }
        told = tuple((hands_s(known[t]), s, known[t].duration_s) for t, s in soon.items())
        return Wiped(hands_s(task), within_s, coat.duration_s, hands_s(coat), told, after_tool)

    def _windows_before(self, task: Task) -> list[tuple[int, str]]:
        """Return what must follow a task within a window, and how long before that the task begins at most."""
        return [
            (max(0, lag.max_s) + (task.duration_s if lag.basis == "end-start" else 0), lag.then)
            for lag in self._tight.get(task.id, ())
            if lag.max_s is not None
        ]


def hands_s(task: Task) -> int:
    """Return how many seconds of work of people a task is."""
    return task.duration_s * (task.uses.get("person", 0) + (1 if task.one_of else 0))
