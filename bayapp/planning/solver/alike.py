"""Ladders that are the same but for their names: they may go in turn."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Guard, Problem
from bayapp.planning.core.transitive_precedence import leads_to

Chain = tuple[str, ...]


def alike(problem: Problem) -> list[tuple[Chain, ...]]:
    """Return groups of chains of tasks that may change places.

    The chains of a group have the same tasks and waits, wait for the same others and are waited for by the same, and
    keep out, and are kept out by, the same. Where the n-th task of each is given the n-th start among all of them,
    what was a plan still is one: waits and windows hold in order if they held at all, and the hands, tools and
    stretches taken by all of them together are what they were.
    """
    groups: dict[object, list[Chain]] = defaultdict(list)
    told = _Told(problem)
    for chain in _chains(problem):
        groups[told.signature(chain)].append(chain)
    reached = leads_to(problem)
    return [tuple(group) for group in groups.values() if len(group) > 1 and told.guarded_alike(group, reached)]


def in_turn(plan: Plan, groups: Iterable[tuple[Chain, ...]]) -> Plan:
    """Return the same plan with the chains of each group in turn: the first is first with every task of its own."""
    starts, done_by = dict(plan.starts_s), dict(plan.done_by)
    for group in groups:
        for same in zip(*group, strict=True):
            order = sorted(same, key=lambda task: (plan.starts_s[task], task))
            for task, given in zip(same, order, strict=True):
                starts[task] = plan.starts_s[given]
                if given in plan.done_by:
                    done_by[task] = plan.done_by[given]
    return replace(plan, starts_s=starts, done_by=done_by)


def _chains(problem: Problem) -> list[Chain]:
    """Return the tasks in chains: two are joined where the one waits for no other task and the other lets no other."""
    after: dict[str, set[str]] = defaultdict(set)
    before: dict[str, set[str]] = defaultdict(set)
    for lag in problem.lags:
        if lag.first in problem.task_of:
            after[lag.first].add(lag.then)
            before[lag.then].add(lag.first)
    follows = {t: next(iter(a)) for t, a in after.items() if len(a) == 1 and len(before[next(iter(a))]) == 1}
    chains, behind = [], set(follows.values())
    for task in problem.task_of:
        if task not in behind:
            chain = [task]
            while chain[-1] in follows:
                chain.append(follows[chain[-1]])
            chains.append(tuple(chain))
    return chains


class _Told:
    """What is said of each task, gathered once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.lags: dict[str, list[tuple[str, str, object]]] = defaultdict(list)
        for lag in problem.lags:
            kind = (lag.min_s, lag.max_s, lag.basis)
            self.lags[lag.first].append(("then", lag.then, kind))
            self.lags[lag.then].append(("first", lag.first, kind))
        self.lasts: dict[str, set[str]] = defaultdict(set)
        for last in problem.lasts:
            for task in last.tasks:
                self.lasts[task].add(last.id)
        self.guards: dict[str, list[Guard]] = defaultdict(list)
        self.against: dict[str, list[Guard]] = defaultdict(list)
        for guard in problem.guards:
            for end in {guard.first, guard.last} - {None}:
                self.guards[end or ""].append(guard)
            for task in guard.against:
                self.against[task].append(guard)

    def signature(self, chain: Chain) -> object:
        """Return what chains that may change places have in common, guards aside; their own tasks stand as numbers."""
        place = {task: n for n, task in enumerate(chain)}
        told = []
        for name in chain:
            task = self.problem.task_of[name]
            limits = (task.duration_s, tuple(sorted(task.uses.items())), task.one_of, task.earliest_s, task.latest_s)
            lags = sorted(str((way, place.get(other, other), kind)) for way, other, kind in self.lags[name])
            told.append((limits, tuple(lags), frozenset(self.lasts[name]), self._kinds(name, place)))
        return tuple(told)

    def _kinds(self, task: str, place: dict[str, int]) -> tuple[str, ...]:
        own = (
            (place.get(g.first or "", g.first), place.get(g.last or "", g.last), g.longer_s) for g in self.guards[task]
        )
        return tuple(sorted(map(str, own)))

    def guarded_alike(self, group: list[Chain], reached: dict[str, set[str]]) -> bool:
        """Whether the chains keep out the same tasks and each other's same, and are kept out by the same guards."""
        place = {task: n for chain in group for n, task in enumerate(chain)}
        told = set()
        for chain in group:
            keeps_out = []
            for guard in {g.id: g for task in chain for g in self.guards[task]}.values():
                inside = {
                    tuple(n for n, t in enumerate(other) if t in guard.against) for other in group if other != chain
                }
                own = {n for n, t in enumerate(chain) if t in guard.against}.union(*inside)
                if len(inside) > 1 or any(guard.first not in reached[chain[n]] for n in own):
                    return False
                ends = [place.get(guard.first or "", guard.first), place.get(guard.last or "", guard.last)]
                outside = sorted(t for t in guard.against if t not in place)
                keeps_out.append(str((ends, guard.longer_s, outside, inside)))
            kept_out = [(n, g.id) for n, t in enumerate(chain) for g in self.against[t] if not self._of(g, place)]
            told.add((tuple(sorted(keeps_out)), tuple(sorted(kept_out))))
        return len(told) == 1

    @staticmethod
    def _of(guard: Guard, place: dict[str, int]) -> bool:
        return guard.first in place or guard.last in place
