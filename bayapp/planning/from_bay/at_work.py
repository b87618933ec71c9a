"""What is under way: how long it still takes, and whose hands and which tools it holds."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime, timedelta

from bayapp.planning.core.problem import Task
from bayapp.planning.from_bay.crew import POOL, Crew
from bayapp.planning.from_bay.remaining_operations import Key, Rung, task_id
from bayapp.planning.from_bay.scatter import LEAST_LEFT, LEAST_SHARE_LEFT

SECOND = timedelta(seconds=1)


def seconds_left(rungs: Iterable[Rung], at: datetime, duration: Callable[[Rung], int]) -> dict[Key, int]:
    """Return how long each step under way still takes; zones begun by one touch end together.

    That is never less than a tenth of the whole touch, nor half a minute.
    """
    touches: dict[tuple[object, ...], list[Rung]] = defaultdict(list)
    for rung in rungs:
        if rung.run is not None:
            touches[rung.job, rung.step.id, rung.run.by, rung.run.started_at].append(rung)
    found: dict[Key, int] = {}
    for group in touches.values():
        whole = SECOND * sum(map(duration, group))
        assert group[0].run
        left = max(whole - (at - group[0].run.started_at), whole * LEAST_SHARE_LEFT, LEAST_LEFT)
        found |= {r.key: -(-left // SECOND) for r in group}
    return found


def tasks_at_work(rungs: Mapping[Key, Rung], left: Mapping[Key, int], crew: Crew, alike: bool) -> Iterator[Task]:
    """Yield what is under way as tasks that begin at once.

    One pair of hands, or one tool, is held by the longest task that is said to occupy it: the gate lets nobody begin
    two steps, but a person who carries on regardless may have.
    """
    hands = crew.hands(alike)
    holds: dict[Key, dict[str, int]] = {key: {} for key in left}
    claims = [claim for key in left for claim in _claims(rungs[key], key, left[key], crew, alike)]
    taken: set[tuple[str, object]] = set()
    used: dict[str, int] = defaultdict(int)
    for resource, _, _, holder, key in sorted(claims, key=lambda claim: claim[:3]):
        if (resource, holder) not in taken and used[resource] < hands.get(resource, 1):
            taken.add((resource, holder))
            used[resource] += 1
            holds[key][resource] = 1
    for key, seconds in left.items():
        yield Task(task_id(key), seconds, holds[key], (), 0, 0)


def _claims(
    rung: Rung, key: Key, seconds: int, crew: Crew, alike: bool
) -> Iterator[tuple[str, bool, int, object, Key]]:
    """Yield each resource that a step holds and who holds it: named people first, and of each resource the longest."""
    assert rung.run
    touch = rung.job, rung.step.id, rung.run.by, rung.run.started_at
    named = rung.run.by if rung.run.by in crew.people else None
    if alike or named is not None:
        yield POOL if alike else str(named), named is None, -seconds, named or touch, key
    if rung.step.tool:
        yield f"tool:{rung.step.tool}", False, -seconds, touch, key
