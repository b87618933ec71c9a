"""A first plan without a search: forward in time, never starting a step that would make another one late."""

from collections import defaultdict
from collections.abc import Mapping
from functools import cached_property
from itertools import pairwise

from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, Problem, Task
from bayapp.planning.core.tails import tails
from bayapp.planning.core.transitive_precedence import all_successors
from bayapp.planning.heuristic.look_ahead import keeps_all
from bayapp.planning.heuristic.partial_schedule import FAR, PartialSchedule, Ties

LONG_GUARD_S = 3600
PRESSING_S = 30 * 60
"""A running window that lapses within this goes before everything else."""
LONG_IDLE_S = 3600
"""Before everybody idles so long, somebody begins what would rather wait for others."""
HURRY_S = 3600
"""Dust and water of others go first unless what follows takes at least so much longer."""


def list_schedule(problem: Problem, prefer: Mapping[str, int] | None = None, cautious: bool = False) -> Plan:
    """Return a plan that obeys every rule, or one of status "unknown" if list scheduling finds none.

    Of what may start, steps with a window that is running go first, soonest lapse first; then whatever has most work
    and waiting after it. Water and dust go before the coats that they would spoil. An unknown plan's clash names what
    came too late.

    Args:
        prefer: starts of an earlier plan, whose order is kept as far as it can be.
        cautious: begin nothing that must soon be followed by a step for which other work is still to be begun. It often
            ends later, and gets through where haste runs into a dead end.
    """
    return (_Cautious if cautious else ListScheduler)(with_implied(problem), prefer).run()


class ListScheduler:
    """Runs forward in time; ``rank`` says which task goes first."""

    def __init__(self, problem: Problem, prefer: Mapping[str, int] | None = None) -> None:
        self._prefer = prefer or {}
        self._problem = problem
        self.ties = Ties.of(problem)
        self.at = PartialSchedule(self.ties)
        self._tails = tails(problem)
        self._reached = all_successors(problem)
        self.order = {task.id: place for place, task in enumerate(problem.tasks)}
        self._forbidden_begun_by: dict[str, list[ForbiddenInterval]] = defaultdict(list)
        for interval in problem.forbidden:
            if interval.first is not None:
                self._forbidden_begun_by[interval.first].append(interval)
        self.hands = max((problem.capacities[r] for r in ("person",) if r in problem.capacities), default=0) or len(
            {name for t in problem.tasks for name in t.one_of}
        )
        self._patient = True
        self._shut_out_at = -1, 0
        self._known_shut_out: dict[str, tuple[frozenset[str | None], bool]] = {}
        self._weights: Mapping[str, float] = {}
        self._ranks: Mapping[str, int] = {}
        self._first_against = self._to_be_done_first()
        self._urgent = tails(problem, [*self._put_first(), *self._queues()])
        self._tight = {
            t.id: [lag for lag in self.ties.after.get(t.id, ()) if lag.max_s is not None] for t in problem.tasks
        }

    def _to_be_done_first(self) -> dict[str, dict[str, bool]]:
        """Return what to do before each task that begins an interval, or that must soon be followed by such a task.

        These are the tasks that the interval would shut out: for long (marked True), or for a short while, unless what
        follows it takes so much longer that it is in a hurry.
        """
        after = self._reached
        first: dict[str, dict[str, bool]] = {}
        for begins, forbidden in self._forbidden_begun_by.items():
            for interval in forbidden:
                long = interval.longer_s >= LONG_GUARD_S
                for task in interval.against - after[begins] - {begins}:
                    if long or self._tails[task] + HURRY_S > self._tails[begins]:
                        shut = first.setdefault(begins, {})
                        shut[task] = shut.get(task, False) or long
        ahead = list(first)
        while ahead:
            task = ahead.pop()
            for lag in self.ties.before.get(task, ()):
                if lag.max_s is None or lag.first not in self._problem.task_of:
                    continue
                known = first.setdefault(lag.first, {})
                new = {t: long for t, long in first[task].items() if t != lag.first and known.get(t) is not long}
                if new:
                    known |= new
                    ahead.append(lag.first)
        return first

    def run(
        self, weights: Mapping[str, float] | None = None, by_s: int = FAR, ranks: Mapping[str, int] | None = None
    ) -> Plan:
        """Work forward until everything is done, a latest moment is missed, or it cannot end by ``by_s`` any more.

        Args:
            weights: how many times as much as usual the work and waiting after each task counts.
            ranks: a task of a higher rank does not wait until those of a lower one, which it shuts out, are done; 0
                where none is said.
        """
        at = self.at = PartialSchedule(self.ties)
        self._patient, self._weights, self._ranks = True, weights or {}, ranks or {}
        self._shut_out_at = -1, 0
        while at.left:
            opens, lapses = at.all_open(), at.all_lapse()
            late = tuple(at.left[i] for i, moment in lapses.items() if moment < at.now)
            if late:
                return Plan("unknown", clash=late)
            if self._start_one(opens):
                self._patient = True
                continue
            moment = at.next_change([*(m for m in opens.values() if m is not None), *lapses.values()])
            if self._patient and (moment is None or moment - at.now >= LONG_IDLE_S):
                self._patient = False  # steps wait for each other in a circle: somebody has to begin
            elif moment is not None:
                self._patient = True
                at.advance(moment)
                if any(moment + self._tails[task] > by_s for task in at.left):
                    return Plan("unknown")
            else:  # all that is ready would make another step late: those that lapse first stand in the way
                pressing = min(lapses.values())
                return Plan("unknown", clash=tuple(at.left[i] for i, m in lapses.items() if m == pressing < FAR))
        makespan = max((at.end(t) for t in at.starts), default=0)
        return Plan("feasible", makespan, None, at.starts, at.done_by)

    def _start_one(self, opens: Mapping[str, int | None]) -> bool:
        at = self.at
        ready = [at.left[i] for i, m in opens.items() if m is not None and m <= at.now]
        for next_one in sorted((t for t in ready if at.hands_for(t) is not False), key=self.rank):
            task = self._fitted_in_before(next_one) or next_one
            if not self._keeps_apart(task) or not self.may_begin(task):
                continue
            if at.lapses(task) > at.now and not self._keeps_all(task):  # now or never: then another one is given up
                continue
            hands = at.hands_for(task)
            at.start(task, hands if isinstance(hands, str) else None)
            self.has_begun(task)
            return True
        return False

    def _fitted_in_before(self, task: Task) -> Task | None:
        """Return what a task whose window runs would shut out for long, and what can still be done before it now."""
        if self.at.lapses(task) == FAR:  # one without a window waits for all that it would shut out
            return None
        shut_out = (other for other, long in self._first_against.get(task.id, {}).items() if long)
        left = (self.at.left[o] for o in shut_out if o in self.at.left and not self._outranks(task, o))
        return next((other for other in left if self._fits_in(other)), None)

    def _fits_in(self, task: Task) -> bool:
        """Whether a task can begin now, and every window that runs be kept all the same."""
        at, opens = self.at, self.at.opens(task)
        ready = opens is not None and opens <= at.now and at.hands_for(task) is not False
        return ready and self._keeps_apart(task) and self._keeps_all(task)

    def rank(self, task: Task) -> tuple[float, ...]:
        """Return the sort key of a task; the smallest goes first."""
        if task.id in self._prefer:
            return (self._prefer[task.id], 0)
        lapses = self.at.lapses(task)
        pressing = lapses - self.at.now <= PRESSING_S
        now_or_never = lapses <= self.at.now  # what is under way stands first in the problem
        urgent = 0 if now_or_never else -self._urgent[task.id] * self._weights.get(task.id, 1)
        return (not pressing, lapses if pressing else 0, urgent, self.order[task.id])

    def has_begun(self, task: Task) -> None:
        """Hear that a task has begun; for subclasses that remember where people are."""

    def may_begin(self, task: Task) -> bool:
        """Whether a task that is ready may begin now; for subclasses that restrict this."""
        return True

    def _keeps_apart(self, task: Task) -> bool:
        """Whether water, dust and coats keep apart, and everything that could still be washed or polished has been."""
        at = self.at
        if at.forbidden_until(task) > at.now or at.kept_out(self._forbidden_begun_by.get(task.id, ())):
            return False
        if not self._patient:
            return True
        if at.lapses(task) < FAR:  # a window that runs waits for nobody
            return True
        return not any(
            other in at.left and not self._outranks(task, other) and self._worth_waiting(task, at.left[other], long)
            for other, long in self._first_against.get(task.id, {}).items()
        )

    def _outranks(self, task: Task, other: str) -> bool:
        return self._ranks.get(task.id, 0) > self._ranks.get(other, 0)

    def _worth_waiting(self, task: Task, other: Task, long: bool) -> bool:
        """Whether another task can go first: not if it is shut out until after this task, or for long."""
        lasts, for_long = self._shut_out(other)
        return lasts.isdisjoint(self._reached[task.id]) and not (long and for_long)

    def _shut_out(self, task: Task) -> tuple[frozenset[str | None], bool]:
        """Return the last tasks of the intervals that shut a task out now, and whether one of these lasts for long.

        Asked for each pair of tasks: what is found is kept until a task begins or time passes.
        """
        moment = self.at.now, len(self.at.starts)
        if moment != self._shut_out_at:
            self._shut_out_at, self._known_shut_out = moment, {}
        if task.id not in self._known_shut_out:
            against = self.ties.forbidden_against.get(task.id, ())
            shut = [g for g in against if self.at.interval_ends(g) > self.at.now]
            for_long = any(g.longer_s >= LONG_GUARD_S for g in shut)
            self._known_shut_out[task.id] = frozenset(g.last for g in shut), for_long
        return self._known_shut_out[task.id]

    def _put_first(self) -> list[Lag]:
        """Return a precedence for each pair in which one task goes before another that would shut it out."""
        return [Lag(other, task) for task, others in self._first_against.items() for other in others]

    def _queues(self) -> list[Lag]:
        """Return a precedence for tasks that share a single tool: each must begin in time for all that queue behind it.

        With one pair of hands the tools need no queues.
        """
        if self.hands < 2:
            return []
        found = []
        for resource, capacity in self._problem.capacities.items():
            users = [t.id for t in self._problem.tasks if capacity == 1 and t.uses.get(resource)]
            if resource != "person":
                users.sort(key=lambda t: (-self._tails[t], self.order[t]))
                found += [Lag(a, b) for a, b in pairwise(users)]
        return found

    def _keeps_all(self, task: Task) -> bool:
        return keeps_all(self.at, task, self._tight, self._forbidden_begun_by, self.hands)


class _Cautious(ListScheduler):
    """Wipes nothing before what its coat waits for has begun."""

    def may_begin(self, task: Task) -> bool:
        soon = (lag.then for lag in self._tight[task.id] if lag.then in self.at.left)
        return not any(
            first in self.at.left and first != task.id and first not in self._reached[task.id]
            for then in soon
            for lag in self.ties.before.get(then, ())
            for first in self._of_last.get(lag.first, (lag.first,))
        )

    @cached_property
    def _of_last(self) -> Mapping[str, tuple[str, ...]]:
        return {last.id: last.tasks for last in self._problem.lasts}
