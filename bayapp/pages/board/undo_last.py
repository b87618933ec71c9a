"""What "undo" without a zone takes back: the last touch of whoever works at the car, and the last move of a car."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import Undo, UndoMove
from bayapp.job.model.ids import Person, Urgency, ZoneId
from bayapp.job.state.state import Aid, BayState, JobState, StepRun
from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.pages.board.aids import aid_text
from bayapp.pages.board.correction import latest_run, undoes_correction
from bayapp.pages.cars.places import where_text
from bayapp.text.figures import clock_time
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class LastTouch:
    """The request for an undo, what it takes back in words, when that was touched, and what it wears as its sign."""

    request: Undo
    text: str
    at: datetime
    urgency: Urgency


def last_touch(state: BayState, by: Person | None, tz: tzinfo) -> LastTouch | None:
    """Return the last touch of a person on a zone of any car in the bay; None if there is nothing to undo.

    Zones that were touched together are undone together.
    """
    found = [one for job in state.open_jobs for one in _touched(job, by)]
    if not found:
        return None
    last = max(found, key=lambda one: one.at)
    job = last.state.job
    zones = tuple(one.zone for one in found if one.state is last.state and one.what == last.what)
    words: dict[str, str] = {"zones": capital(zones_title(job, zones))}
    if last.aid is not None:
        return LastTouch(
            Undo(job.id, zones, by),
            _("{zones}: {what}").format(**words, what=aid_text(last.aid, tz)),
            last.at,
            Urgency.IDLE,
        )
    words |= {"step": step_title(job.recipe_of(last.zone), last.run.step), "time": clock_time(last.at, tz, False)}
    sign = Urgency.FINISHED if last.run.finished_at else Urgency.WORKING
    if undoes_correction(last.state.zones[last.zone]):
        text = _("{zones}: the corrected time of {step}")
    elif last.run.finished_at:
        text = _("{zones}: {step}, done at {time}")
    else:
        text = _("{zones}: {step}, begun at {time}")
    return LastTouch(Undo(job.id, zones, by), text.format(**words), last.at, sign)


@dataclass(frozen=True, slots=True)
class LastMove:
    """The request that takes a car's move back, what was moved in words, when, and its sign."""

    request: UndoMove
    text: str
    at: datetime
    urgency: Urgency = Urgency.IDLE


def last_move(state: BayState, by: Person | None) -> LastMove | None:
    """Return the last move of a car in the bay, whoever made it; None if none can be taken back."""
    moved = [job for job in state.open_jobs if len(job.stays) > 1 and job.stays[-1].moved]
    if not moved:
        return None
    last = max(moved, key=lambda job: job.there_since)
    text = _("{car}: {place}").format(car=capital(last.job.name), place=where_text(state, last.job.id))
    return LastMove(UndoMove(last.job.id, by), text, last.there_since)


@dataclass(frozen=True, slots=True)
class _Touched:
    """A zone with its latest run, and what was said of it since."""

    state: JobState
    zone: ZoneId
    run: StepRun
    aid: Aid | None

    @property
    def at(self) -> datetime:
        """When it was last touched."""
        return self.aid.at if self.aid else self.run.finished_at or self.run.started_at

    @property
    def by(self) -> Person | None:
        """Who touched it last."""
        if self.aid:
            return self.aid.by
        return self.run.finished_by or self.run.by if self.run.finished_at else self.run.by

    @property
    def what(self) -> tuple[object, ...]:
        """What zones that were touched together have in common."""
        return (self.aid,) if self.aid else (self.run.step, self.run.started_at, self.run.finished_at)


def _touched(job: JobState, by: Person | None) -> Iterator[_Touched]:
    for zone, state in job.zones.items():
        run = latest_run(state)
        if zone not in job.aside and state.before is not None and run is not None:
            touched = _Touched(job, zone, run, state.aid)
            if touched.by == by:
                yield touched
