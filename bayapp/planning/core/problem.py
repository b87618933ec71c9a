"""What is to be planned: tasks, the lags between them, and what is scarce."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

Basis = Literal["end-start", "start-start"]


def _one_person() -> Mapping[str, int]:
    return {"person": 1}


@dataclass(frozen=True, slots=True)
class Task:
    """A piece of work that is not interrupted; times in whole seconds from the moment the plan begins.

    Attributes:
        uses: how much of each resource it needs while it runs.
        one_of: resources of which exactly one does it, on top of ``uses``: people who differ in what they can do.
        earliest_s: it starts no earlier.
        latest_s: it starts no later; None for no limit.
        kind: what kind of step it is; a search lets tasks of one kind go sooner or later together.
    """

    id: str
    duration_s: int
    uses: Mapping[str, int] = field(default_factory=_one_person)
    one_of: tuple[str, ...] = ()
    earliest_s: int = 0
    latest_s: int | None = None
    kind: str = ""

    def __post_init__(self) -> None:
        if self.duration_s < 0:
            raise ValueError(f"task {self.id!r}: duration_s is {self.duration_s}; it must be 0 or more")
        if any(amount < 0 for amount in self.uses.values()):
            raise ValueError(f"task {self.id!r}: uses less than nothing of a resource")
        if self.earliest_s < 0:
            raise ValueError(f"task {self.id!r}: earliest_s is {self.earliest_s}; a plan begins at 0")


@dataclass(frozen=True, slots=True)
class Lag:
    """A wait: ``then`` starts at least ``min_s`` and at most ``max_s`` seconds after the end (or start) of ``first``.

    ``min_s`` may be negative, as in the RCPSP/max literature: ``then`` may start that much before. ``first`` may
    also name a ``LastOf``, whose start and end are the same moment.
    """

    first: str
    then: str
    min_s: int = 0
    max_s: int | None = None
    basis: Basis = "end-start"

    def __post_init__(self) -> None:
        if self.max_s is not None and self.max_s < self.min_s:
            raise ValueError(
                f"lag {self.first!r} to {self.then!r}: max_s ({self.max_s}) is less than min_s ({self.min_s}); "
                "no moment would be right"
            )
        if self.basis not in ("end-start", "start-start"):
            raise ValueError(f"lag {self.first!r} to {self.then!r}: basis {self.basis!r} is not end-start, start-start")


@dataclass(frozen=True, slots=True)
class LastOf:
    """The moment at which the last of some tasks ends, and never before ``not_before_s`` (which may be negative)."""

    id: str
    tasks: tuple[str, ...]
    not_before_s: int | None = None


@dataclass(frozen=True, slots=True)
class ForbiddenInterval:
    """A period in which certain tasks may not run, because their dust or water would spoil a coat.

    It lasts from the start of ``first`` (from 0 if that is None) until ``longer_s`` after the end of ``last``
    (until ``longer_s`` after 0 if that is None); waits must put ``last`` after ``first``. ``against`` names the
    tasks.
    """

    id: str
    first: str | None
    last: str | None
    against: frozenset[str]
    longer_s: int = 0


@dataclass(frozen=True, slots=True)
class Promise:
    """A moment by which some work was promised to be ready.

    Attributes:
        id: whose work it is.
        by_s: the moment; it may lie before the plan.
        tasks: all of that work.
        ready_after_s: its tasks after which something may be ready, and how long after their end it is: a coat dries.
    """

    id: str
    by_s: int
    tasks: frozenset[str]
    ready_after_s: Mapping[str, int]


@dataclass(frozen=True)
class Problem:
    """Everything that a plan must obey; checked when it is made.

    Attributes:
        capacities: how much there is of each resource; a single tool has capacity 1.
        closed: stretches ``(from_s, to_s)`` in which a resource is not there at all: breaks, nights.
        promises: what was promised; a plan may be late for it, and the least late one is the best.

    Raises:
        ValueError: a task, lag or resource names something that is not there, an id stands twice, or a task uses
            more than there is.
    """

    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...] = ()
    capacities: Mapping[str, int] = field(default_factory=_one_person)
    lasts: tuple[LastOf, ...] = ()
    forbidden: tuple[ForbiddenInterval, ...] = ()
    closed: Mapping[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    promises: tuple[Promise, ...] = ()

    def __post_init__(self) -> None:
        for name in ("tasks", "lags", "lasts", "forbidden", "promises"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        object.__setattr__(self, "closed", {r: _merged(stretches) for r, stretches in self.closed.items()})
        _once("id", [*(t.id for t in self.tasks), *(m.id for m in self.lasts)])
        _once("forbidden interval", [g.id for g in self.forbidden])
        _once("promise", [promise.id for promise in self.promises])
        self._check_waits()
        self._check_forbidden()
        self._check_promises()
        self._check_uses()

    def _check_waits(self) -> None:
        moments = self.task_of.keys() | {m.id for m in self.lasts}
        for lag in self.lags:
            self._known(f"lag {lag.first!r} to {lag.then!r}", (lag.first,), moments)
            self._known(f"lag {lag.first!r} to {lag.then!r}", (lag.then,), self.task_of)
        for last in self.lasts:
            self._known(f"{last.id!r}", last.tasks, self.task_of)
            if not last.tasks and last.not_before_s is None:
                raise ValueError(f"{last.id!r} is the last of no tasks and has no not_before_s; it would be no moment")

    def _check_forbidden(self) -> None:
        for interval in self.forbidden:
            named = [t for t in (interval.first, interval.last) if t is not None]
            self._known(f"forbidden interval {interval.id!r}", [*named, *interval.against], self.task_of)

    def _check_promises(self) -> None:
        for promise in self.promises:
            self._known(f"promise {promise.id!r}", [*promise.tasks, *promise.ready_after_s], self.task_of)

    def _check_uses(self) -> None:
        for task in self.tasks:
            self._known(f"task {task.id!r}", [*task.uses, *task.one_of], self.capacities)
            for resource, amount in task.uses.items():
                there = self.capacities[resource]
                if amount > there:
                    raise ValueError(f"task {task.id!r} uses {amount} of {resource!r}, and there are {there}")

    @staticmethod
    def _known(who: str, names: Iterable[str], known: Iterable[str]) -> None:
        for name in names:
            if name not in known:
                raise ValueError(f"{who} names {name!r}, which this problem does not have")

    @cached_property
    def task_of(self) -> dict[str, Task]:
        """Each task by its id."""
        return {task.id: task for task in self.tasks}


def _once(what: str, names: Iterable[str]) -> None:
    twice = [name for name, n in Counter(names).items() if n > 1]
    if twice:
        raise ValueError(f"{what} {twice[0]!r} stands twice; give each one of its own")


def _merged(stretches: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Return periods in order, with those that touch or overlap merged."""
    found: list[tuple[int, int]] = []
    for begins, ends in sorted(stretches):
        if found and begins <= found[-1][1]:
            found[-1] = found[-1][0], max(found[-1][1], ends)
        else:
            found.append((begins, ends))
    return tuple(found)
