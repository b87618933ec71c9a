"""The problem as a CP-SAT model: one method per rule. Builds and reads the model; does not search."""

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from bayapp.planning.core.implied import families
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, Problem, Task
from bayapp.planning.core.transitive_precedence import all_successors
from bayapp.planning.solver.ortools_alone import cp_model

if TYPE_CHECKING:
    from collections.abc import Iterable

Starts = Mapping[str, int]


class PlanModel:
    """A problem's variables and rules; the makespan is not yet an objective.

    Args:
        horizon_s: nothing ends later.
        soft: give every wait and every latest start a literal, so that a clash can be explained; see ``literals``.

    Attributes:
        literals: if ``soft``, what must hold for each wait and latest start.
        makespan: the end of the last task.
    """

    def __init__(self, problem: Problem, horizon_s: int, soft: bool = False) -> None:
        self.problem, self.horizon_s, self.soft = problem, horizon_s, soft
        self.model = cp_model.CpModel()
        self.literals: dict[int, Task | Lag] = {}
        self.starts: dict[str, cp_model.IntVar] = {}
        self._lasts: dict[str, cp_model.IntVar] = {}
        self._intervals: dict[str, cp_model.IntervalVar] = {}
        self._by: dict[tuple[str, str], tuple[cp_model.IntVar, cp_model.IntervalVar]] = {}
        self.makespan = self.model.new_int_var(0, horizon_s, "makespan")
        self._reached = all_successors(problem)
        self._tasks()
        self._latest_starts()
        self._one_of()
        self._moments()
        self._waits()
        self._capacities()
        self._ends_with_the_last()
        self._forbidden()

    def _tasks(self) -> None:
        for task in self.problem.tasks:
            last_start = self.horizon_s - task.duration_s
            start = self.model.new_int_var(task.earliest_s, max(task.earliest_s, last_start), task.id)
            self.starts[task.id] = start
            self._intervals[task.id] = self.model.new_fixed_size_interval_var(start, task.duration_s, task.id)

    def _latest_starts(self) -> None:
        for task in self.problem.tasks:
            if task.latest_s is not None:
                self._hold(self.model.add(self.starts[task.id] <= task.latest_s), task)

    def _one_of(self) -> None:
        """Let exactly one of the people who can do a task do it."""
        for task in self.problem.tasks:
            chosen = []
            for name in task.one_of if task.duration_s else ():
                does = self.model.new_bool_var(f"{task.id} by {name}")
                span = self.model.new_optional_fixed_size_interval_var(
                    self.starts[task.id], task.duration_s, does, f"{task.id} by {name}"
                )
                self._by[task.id, name] = does, span
                chosen.append(does)
            if chosen:
                self.model.add_exactly_one(chosen)

    def _moments(self) -> None:
        for last in self.problem.lasts:
            moment = self.model.new_int_var(min(0, last.not_before_s or 0), self.horizon_s, last.id)
            ends: list[cp_model.LinearExprT] = [self._end(t) for t in last.tasks]
            if last.not_before_s is not None or not ends:
                ends.append(last.not_before_s or 0)
            self.model.add_max_equality(moment, ends)
            self._lasts[last.id] = moment

    def _waits(self) -> None:
        for lag in self.problem.lags:
            after = self.anchor(lag)
            self._hold(self.model.add(self.starts[lag.then] >= after + lag.min_s), lag)
            if lag.max_s is not None:
                self._hold(self.model.add(self.starts[lag.then] <= after + lag.max_s), lag)

    def anchor(self, lag: Lag) -> cp_model.LinearExpr:
        """Return the moment that a wait counts from."""
        if lag.first in self._lasts:
            return self._lasts[lag.first]
        return self._end(lag.first) if lag.basis == "end-start" else self.starts[lag.first]

    def _capacities(self) -> None:
        for resource, capacity in self.problem.capacities.items():
            users = [t for t in self.problem.tasks if t.uses.get(resource) and t.duration_s]
            spans = [self._intervals[t.id] for t in users]
            demands = [t.uses[resource] for t in users]
            optional = [span for (_, name), (_, span) in self._by.items() if name == resource]
            closed = [
                self.model.new_fixed_size_interval_var(begins, ends - begins, f"{resource} away")
                for begins, ends in self.problem.closed.get(resource, ())
            ]
            if capacity == 1 and all(d == 1 for d in demands):
                self.model.add_no_overlap([*spans, *optional, *closed])
            elif spans or optional:
                needs = [*demands, *[1] * len(optional), *[capacity] * len(closed)]
                self.model.add_cumulative([*spans, *optional, *closed], needs, capacity)

    def _forbidden(self) -> None:
        """Let no task run inside an interval that forbids it.

        Tasks that exclude each other anyway share one cumulative over all intervals, which reasons better than pairs:
        each forbidden interval takes 1, such a task takes everything. What can only come before or after needs no rule.
        """
        for family in families(self.problem.forbidden):
            self._family(family)

    def _family(self, forbidden: list[ForbiddenInterval]) -> None:
        """Keep tasks out of forbidden intervals that are all against the same kind of work."""
        spans = {g.id: self._span(g) for g in forbidden}
        shared: dict[str, list[str]] = {}
        for task in sorted({t for g in forbidden for t in g.against if self.problem.task_of[t].duration_s}):
            against = [g for g in forbidden if task in g.against and not self._settled(task, g)]
            clique = self._clique(self.problem.task_of[task])
            if clique and against and all(g in against or self._settled(task, g) for g in forbidden):
                shared.setdefault(clique, []).append(task)
            else:
                for interval in against:
                    self.model.add_no_overlap([self._intervals[task], spans[interval.id]])
        for tasks in shared.values():
            full = len(spans)
            intervals = [*spans.values(), *(self._intervals[t] for t in tasks)]
            self.model.add_cumulative(intervals, [*[1] * full, *[full] * len(tasks)], full)
            self._work_inside(forbidden, tasks)

    def _settled(self, task: str, interval: ForbiddenInterval) -> bool:
        """Whether the waits alone keep a task out of a forbidden interval, on one side or the other."""
        before = interval.first is not None and interval.first in self._reached[task]
        return before or (interval.last is not None and not interval.longer_s and task in self._reached[interval.last])

    def _work_inside(self, forbidden: list[ForbiddenInterval], tasks: list[str]) -> None:
        """Say once more what follows from forbidden intervals and hands, as it makes bounds better.

        While one of these tasks runs, nobody does what lies inside intervals against it: it takes all hands of that.
        """
        hands = self.problem.capacities.get("person", 0)
        if hands < 2:
            return
        after = self._reached
        inside = set()
        for interval in forbidden:
            if interval.first is not None and interval.last is not None:
                between = {t for t in after[interval.first] & self.problem.task_of.keys() if interval.last in after[t]}
                apart = all(task in interval.against or interval.first in after[task] for task in tasks)
                inside |= {interval.first, interval.last, *between} if apart else set()
        work = [t for t in sorted(inside) if self.problem.task_of[t].uses.get("person")]
        intervals = [self._intervals[t] for t in (*work, *tasks)]
        self.model.add_cumulative(intervals, [*[1] * len(work), *[hands] * len(tasks)], hands)
        known = self.problem.task_of
        self.model.add(
            hands * self.makespan
            >= sum(known[t].duration_s for t in work) + hands * sum(known[t].duration_s for t in tasks)
        )

    def _clique(self, task: Task) -> str | None:
        """Return a resource that two such tasks can never share, or None."""
        return next((r for r, n in sorted(task.uses.items()) if 2 * n > self.problem.capacities[r]), None)

    def _span(self, interval: ForbiddenInterval) -> cp_model.IntervalVar:
        begin: cp_model.LinearExprT = 0 if interval.first is None else self.starts[interval.first]
        end: cp_model.LinearExprT = interval.longer_s + (0 if interval.last is None else self._end(interval.last))
        size = self.model.new_int_var(0, self.horizon_s + interval.longer_s, f"{interval.id} lasts")
        return self.model.new_interval_var(begin, size, end, interval.id)

    def _ends_with_the_last(self) -> None:
        ends: list[cp_model.LinearExprT] = [self._end(t.id) for t in self.problem.tasks]
        self.model.add_max_equality(self.makespan, ends or [0])

    def _end(self, task: str) -> cp_model.LinearExpr:
        return self.starts[task] + self.problem.task_of[task].duration_s

    def _hold(self, rule: cp_model.Constraint, named: Task | Lag) -> None:
        if self.soft:
            literal = next((i for i, n in self.literals.items() if n is named), None)
            if literal is None:
                literal = self.model.new_bool_var("holds").index
                self.literals[literal] = named
            rule.only_enforce_if(self.model.get_bool_var_from_proto_index(literal))

    def keep_to(self, starts: Mapping[str, int], left: Mapping[str, int]) -> None:
        """Add known bounds: each task's earliest start, and the least time from there to the end of the plan."""
        for task, start in self.starts.items():
            self.model.add(start >= starts[task])
            self.model.add(self.makespan - start >= left[task])
        for last, moment in self._lasts.items():
            self.model.add(moment >= starts[last])
            self.model.add(self.makespan - moment >= left[last])

    def minimize_lateness(self) -> None:
        """Make it the objective to be late for the promises by the least in all, and then to end soon."""
        late = []
        for promise in self.problem.promises:
            most = self.horizon_s + max(promise.ready_after_s.values(), default=0) - promise.by_s
            by = self.model.new_int_var(0, max(0, most), f"{promise.id} late")
            for task, after in promise.ready_after_s.items():
                self.model.add(by >= self._end(task) + after - promise.by_s)
            late.append(by)
        self.model.minimize(sum(late) * (self.horizon_s + 1) + self.makespan)

    def hint(self, starts: Starts, done_by: Mapping[str, str]) -> None:
        """Hint where the search begins: starts of any of the tasks, and who does them."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for task, start in starts.items():
            if task in self.starts:
                self.model.add_hint(self.starts[task], start)
        for (task, name), (does, _) in self._by.items():
            if task in done_by:
                self.model.add_hint(does, done_by[task] == name)

    def around(self, plan: Plan, free: Collection[str], later: Collection[str]) -> cp_model.CpModel:
        """Return a copy in which only some tasks are free, and the plan ends no later.

        Of the others, those that are ``later`` move as one, by as much as they can; the rest stays where it is.
        """
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        model, makespan_s = self.model.clone(), plan.makespan_s or 0
        sooner = model.new_int_var(0, makespan_s, "sooner")
        model.add_hint(sooner, 0)
        model.add(self.makespan <= makespan_s)
        for task, start in self.starts.items():
            if task not in free:
                model.add(start + sooner * (task in later) == plan.starts_s[task])
        for (task, name), (does, _) in self._by.items():
            if task not in free:
                model.add(does == (plan.done_by[task] == name))
        return model

    def read_starts(self, value: "cp_model.CpSolver | cp_model.CpSolverSolutionCallback") -> dict[str, int]:
        """Return each task's start in a solution."""
        return {task: value.value(start) for task, start in self.starts.items()}

    def read_done_by(self, value: "cp_model.CpSolver | cp_model.CpSolverSolutionCallback") -> dict[str, str]:
        """Return who does each task that one of several does."""
        at_no_time = {t.id: t.one_of[0] for t in self.problem.tasks if t.one_of and not t.duration_s}
        return at_no_time | {task: name for (task, name), (does, _) in self._by.items() if value.value(does)}


def assumed(model: cp_model.CpModel, literals: "Iterable[int]") -> None:
    """Assume these literals; no others need hold."""
    model.clear_assumptions()
    model.add_assumptions([model.get_bool_var_from_proto_index(i) for i in literals])
