"""Look-ahead in a partial plan: whether every running window can still be kept once a task is begun."""

from collections.abc import Iterator, Mapping, Sequence

from bayapp.planning.core.look_ahead import Due, LookAhead
from bayapp.planning.core.problem import ForbiddenInterval, Lag, Task
from bayapp.planning.heuristic.partial_schedule import FAR, PartialSchedule

Tight = Mapping[str, Sequence[Lag]]


def takes_hands(task: Task) -> bool:
    """Whether a person is needed for a task."""
    return bool(task.uses.get("person") or task.one_of)


def keeps_all(
    at: PartialSchedule, task: Task, tight: Tight, begun_by: Mapping[str, Sequence[ForbiddenInterval]], hands: int
) -> bool:
    """Whether every wait that is running once a task is begun now can be kept, soonest lapse first.

    Args:
        tight: waits with a latest moment, by the task that they count from.
        begun_by: forbidden intervals, by the task that they begin with.
        hands: how many pairs of hands there are.
    """
    running = [
        Due(other, 0, lapses, (other,)) for other, lapses in at.all_lapse().items() if lapses < FAR and other != task.id
    ]
    if not running and not tight[task.id]:
        return True
    ahead = _TaskLookAhead(at, task, tight, begun_by)
    end = at.now + task.duration_s
    free = [max(at.now, e) for e, _, t in at.running if takes_hands(t)]
    free += [at.now] * (hands - len(free))
    if takes_hands(task) and free:
        free.remove(min(free))
        free.append(end)
    return not any(ahead.late((*running, *ahead.follow(task.id, at.now, end)), free))


class _TaskLookAhead(LookAhead[int, str]):
    """What follows a task that is begun now."""

    def __init__(
        self, at: PartialSchedule, task: Task, tight: Tight, begun_by: Mapping[str, Sequence[ForbiddenInterval]]
    ) -> None:
        self._at, self._task, self._tight, self._begun_by = at, task, tight, begun_by
        self._end = at.now + task.duration_s
        self._over = {task.id: self._end}
        self._tools = {r: e for e, _, t in [*at.running, (self._end, task.id, task)] for r in self._single(t)}

    def takes_hands(self, what: str) -> bool:
        return takes_hands(self._at.problem.task_of[what])

    def touch_of(self, what: str) -> str:
        return what

    def begins(self, due: Due[int, str], free_from: int | None) -> int:
        task = self._at.problem.task_of[due.what]
        opens = max(self._at.opens_at_least(task), due.opens_at, self._quiet_from(task))
        start = max(
            [self._at.now if free_from is None else free_from, opens, *(self._tools.get(r, 0) for r in task.uses)]
        )
        if any(self._task.id in interval.against for interval in self._begun_by.get(task.id, ())):
            start = max(start, self._end)
        return self._there(task, start)

    def ends(self, what: str, begins: int) -> int:
        task = self._at.problem.task_of[what]
        end = self._over[what] = begins + task.duration_s
        self._tools |= dict.fromkeys(self._single(task), end)
        return end

    def follow(self, what: str, begins: int, ends: int) -> Iterator[Due[int, str]]:
        for lag in self._tight[what]:
            if lag.then in self._at.left and lag.max_s is not None and lag.then != self._task.id:
                anchor = ends if lag.basis == "end-start" else begins
                after_it = ends if anchor + lag.max_s >= ends else anchor  # else both are begun together
                yield Due(lag.then, max(anchor + lag.min_s, after_it), anchor + lag.max_s, (lag.then,))

    def _single(self, task: Task) -> list[str]:
        """Return the resources of capacity 1 that a task uses, besides hands."""
        capacities = self._at.problem.capacities
        return [r for r, n in task.uses.items() if n and r != "person" and capacities[r] == 1]

    def _quiet_from(self, task: Task) -> int:
        """Return from when a task is not kept out by anything under way or open, as far as can be foreseen."""
        shut = [
            end
            for interval in self._begun_by.get(task.id, ())
            for end, t, _ in self._at.running
            if t in interval.against
        ]
        opens = [
            self._over[g.last] + g.longer_s
            if g.last is not None and g.last in self._over
            else self._at.interval_ends(g)
            for g in self._at.ties.forbidden_against.get(task.id, ())
        ]
        return max([0, *opens, *shut])

    def _there(self, task: Task, start: int) -> int:
        """Return the first moment from ``start`` on at which people are there for a whole task."""
        for resource in (*task.uses, *task.one_of[:1]):
            for begins, ends in sorted(self._at.problem.closed.get(resource, ())):
                if begins < start + task.duration_s and start < ends:
                    start = ends
        return start
