"""Which steps can be planned at all, and which must wait until a person looks."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.recipe import Wait
from bayapp.job.state.state import BayState, JobState, StepRun
from bayapp.planning.from_bay.crew import Crew
from bayapp.planning.from_bay.forbidden_intervals import left_open
from bayapp.planning.from_bay.remaining_operations import Anchor, Key, Ladder, Rung

SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Counted:
    """What a wait counts from: steps to come, runs that have ended, and whether any of it will never happen."""

    ahead: tuple[Key, ...]
    over: tuple[tuple[ZoneId, StepRun], ...]
    missing: bool


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
        self._first: dict[tuple[JobId, ZoneId, StepId], Key] = {}
        for key in self.rungs:
            self._first.setdefault(key[:3], key)
        self._never_covered: dict[tuple[JobId, ZoneId], Rung | None] = {}
        while self._leave_out():
            pass

    def counted(self, rung: Rung) -> Counted:
        """Return what a rung's wait counts from: the latest run of its own zone, the first of other zones."""
        job = self._state.jobs[rung.job]
        ahead: list[Key] = []
        over: list[tuple[ZoneId, StepRun]] = []
        missing = False
        for anchor in rung.anchors:
            key, run = self._of_own(job, anchor) if anchor.zone == rung.zone else self._of_other(job, anchor)
            if key in self.rungs:
                ahead.append(key)
            elif key is None and run is not None:
                over.append((anchor.zone, run))
            else:
                missing = True
        return Counted(tuple(ahead), tuple(over), missing)

    @staticmethod
    def _of_own(job: JobState, anchor: Anchor) -> tuple[Key | None, StepRun | None]:
        return anchor.key, job.zones[anchor.zone].last_finished(anchor.step)

    def _of_other(self, job: JobState, anchor: Anchor) -> tuple[Key | None, StepRun | None]:
        run = job.zones[anchor.zone].first_finished(anchor.step)
        return (None if run else self._first.get((job.job.id, anchor.zone, anchor.step))), run

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
