"""What was promised to the owners of the cars in the bay, as promises of a problem."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from bayapp.job.gate.setting_aside import awaited
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.state import BayState, JobState
from bayapp.job.waits.cure import cure_of
from bayapp.planning.core.problem import Promise
from bayapp.planning.from_bay.left_out import whole_s


def promises(state: BayState, at: datetime, ahead: Mapping[tuple[JobId, ZoneId], Sequence[str]]) -> tuple[Promise, ...]:
    """Return a promise for each open job that has one and something left to do.

    A car is ready when the last of its zones is done, dry and fit to drive. What is only drying keeps a promise from
    being earlier than that.

    Args:
        ahead: the tasks of each zone, in the order of its ladder.
    """
    return tuple(promise for job in state.open_jobs for promise in _promise(job, at, ahead))


def _promise(job: JobState, at: datetime, ahead: Mapping[tuple[JobId, ZoneId], Sequence[str]]) -> Iterator[Promise]:
    promised, car, zones = job.job.promised, job.job.id, awaited(job)
    left = {zone: tasks for zone in zones if (tasks := ahead.get((car, zone)))}
    if promised is None or not left:
        return
    dries = {zone: job.job.recipe_of(zone).finish.duration for zone in zones}
    cures = {zone: cure for zone in zones if (cure := cure_of(job, zone))}
    soonest = max([promised, *(cure.finished_at + dries[zone] for zone, cure in cures.items())])
    yield Promise(
        car,
        whole_s(soonest - at),
        frozenset(task for tasks in left.values() for task in tasks),
        {tasks[-1]: whole_s(dries[zone], up=True) for zone, tasks in left.items()},
    )
