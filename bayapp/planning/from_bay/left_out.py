"""Which steps can be planned at all, and which must wait until a person looks."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.recipe import Wait
from bayapp.job.state.state import BayState, JobState, StepRun
from bayapp.job.waits.ladder_position import stands_at
from bayapp.job.waits.waits import Anchor, ended, fell_below
from bayapp.planning.from_bay.crew import Crew
from bayapp.planning.from_bay.forbidden_intervals import left_open
from bayapp.planning.from_bay.remaining_operations import CountedFrom, Key, Ladder, Rung

SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Counted:
    """What a wait counts from: steps to come, runs that have ended, and whether any of it will never happen."""

    ahead: tuple[Key, ...]
    over: tuple[tuple[ZoneId, StepRun], ...]
    missing: bool


Ends = tuple[tuple[Key, ...], tuple[StepRun, ...]]
"""Runs of one zone that a wait counts from: those to come, and those over."""


class Planned:
    """The steps that can be planned.

    Attributes:
        rungs: the steps, in the order of their ladders.
        left_out: the others: nobody can do them, or what they wait for will not happen, or they come after such steps.
    """

    def __init__(self, state: BayState, ladders: Sequence[Ladder], at: datetime, crew: Crew) -> None:
        self._state, self._ladders, self._at, self._crew = state, ladders, at, crew
        self.rungs: dict[Key, Rung] = {r.key: r for ladder in ladders for r in ladder.rungs}
        self.left_out: list[Key] = []
        self._all = tuple(self.rungs.values())
        self._order = {key: number for number, key in enumerate(self.rungs)}
        self._stands = {job.job.id: stands_at(job, at) for job in state.open_jobs}
        self._runs: dict[tuple[JobId, ZoneId, StepId], list[Key]] = {}
        for key in self.rungs:
            self._runs.setdefault(key[:3], []).append(key)
        self._never_covered: dict[tuple[JobId, ZoneId], Rung | None] = {}
        while self._leave_out():
            pass

    def counted(self, rung: Rung) -> Counted:
        """Return what a rung's wait counts from, on its own zone and on others."""
        job = self._state.jobs[rung.job]
        ahead: list[Key] = []
        over: list[tuple[ZoneId, StepRun]] = []
        missing = False
        for counted in rung.anchors:
            own = counted.anchor.zone == rung.zone
            ends = self._of_own(job, counted) if own else self._of_other(job, rung, counted.anchor)
            if ends is None and not own and rung.wait:
                missing = missing or not fell_below(job, counted.anchor, rung.wait, self._stands[rung.job])
                continue
            missing = missing or ends is None or any(key not in self.rungs for key in ends[0])
            if ends is not None:
                ahead += ends[0]
                over += [(counted.anchor.zone, run) for run in ends[1]]
        return Counted(tuple(ahead), tuple(over), missing)

    @staticmethod
    def _of_own(job: JobState, counted: CountedFrom) -> Ends | None:
        ahead = {key[2] for key in counted.ahead}
        runs = [job.zones[counted.anchor.zone].last_finished(s) for s in counted.anchor.steps if s not in ahead]
        over = tuple(run for run in runs if run)
        return (counted.ahead, over) if len(over) == len(runs) else None

    def _of_other(self, job: JobState, rung: Rung, anchor: Anchor) -> Ends | None:
        """Return all that must be done, or of a turn the run that completes it; None where that will never be."""
        latest = rung.wait is not None and rung.wait.latest is not None
        found = [self._end(job, rung, anchor.zone, step, latest) for step in anchor.steps]
        keys = sorted((end for end in found if isinstance(end, tuple)), key=self._order.__getitem__)
        runs = sorted((end for end in found if isinstance(end, StepRun)), key=ended)
        if len(keys) + len(runs) < anchor.needed:
            return None
        if anchor.needed == len(anchor.steps):
            return tuple(keys), tuple(runs)
        if len(runs) >= anchor.needed:
            return (), (runs[anchor.needed - 1],)
        return (keys[anchor.needed - len(runs) - 1],), ()

    def _end(self, job: JobState, rung: Rung, zone: ZoneId, step: StepId, latest: bool) -> Key | StepRun | None:
        """Return the run of a step of another zone that counts: to come, or over.

        Where there is a latest moment it is the first. Else it is the last, for a zone that falls on the way counts
        when it has done the step anew; but one that itself waits for what is asked here must have done with it before.
        """
        to_come = self._runs.get((job.job.id, zone, step), ())
        if latest:
            return job.zones[zone].first_finished(step) or next(iter(to_come), None)
        stands = self._stands[job.job.id](zone, step)
        if not to_come or (stands and self._waits_for(rung, (job.job.id, zone), to_come[-1])):
            return stands
        if len(to_come) > 1 and self._waits_for(rung, (job.job.id, zone), to_come[-1]):
            return to_come[0]
        return to_come[-1]

    def _waits_for(self, rung: Rung, zone: tuple[JobId, ZoneId], until: Key) -> bool:
        """Whether a zone waits for the zone of a rung before it comes to one of its own."""
        before = (r for r in self._all if (r.job, r.zone) == zone and self._order[r.key] < self._order[until])
        return any(counted.anchor.zone == rung.zone for other in before for counted in other.anchors)

    def _leave_out(self) -> bool:
        """Cut ladders below what cannot be done, and below a coat that would stay open; return whether any was cut."""
        before = len(self.left_out)
        self._never_covered = left_open(self._state, self._ladders, self.rungs, self._at)
        for ladder in self._ladders:
            kept = [r for r in ladder.rungs if r.key in self.rungs]
            stuck = next((i for i, r in enumerate(kept) if not self._can_be(r)), len(kept))
            begins = self._never_covered.get((ladder.job.job.id, ladder.zone))
            if begins is not None and begins in kept:
                stuck = min(stuck, kept.index(begins))
            for rung in kept[stuck:]:
                del self.rungs[rung.key]
                self.left_out.append(rung.key)
        return len(self.left_out) > before

    def _can_be(self, rung: Rung) -> bool:
        if rung.run is not None:
            return True
        if self._crew.people and not self._crew.able(self._state.jobs[rung.job], rung.step):
            return False
        if (rung.step.makes_dust or rung.step.makes_wet) and self._open_around(rung):
            return False
        return _has_a_second(rung) and not self.counted(rung).missing

    def _open_around(self, rung: Rung) -> bool:
        """Whether a coat that nobody goes on with lies open in the same air."""
        return any(
            begins is None and (job, zone) != (rung.job, rung.zone) and self._state.share_air(job, rung.job)
            for (job, zone), begins in self._never_covered.items()
        )


def _has_a_second(rung: Rung) -> bool:
    """Whether a whole second lies in the window; a plan has no finer ones."""
    if rung.wait is None:
        return True
    low, high = window_s(rung.wait)
    return high is None or low <= high or rung.wait.max_from == "start"


def window_s(wait: Wait) -> tuple[int, int | None]:
    """Return a wait in whole seconds, rounded to the safe side."""
    return whole_s(wait.earliest, up=True), None if wait.latest is None else whole_s(wait.latest)


def whole_s(length: timedelta, up: bool = False) -> int:
    """Return whole seconds, rounded down or up."""
    return -(-length // SECOND) if up else length // SECOND
