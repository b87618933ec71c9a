"""The correction of a recorded time: a step's start and finish moved by minutes, and the requests for it."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta, tzinfo
from functools import reduce
from typing import Literal

from bayapp.bay import Bay
from bayapp.job import CorrectTime, JobState, Refusal, StepRun, ZoneState, apply, gate, why_not
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.text.figures import clock_time
from bayapp.text.language import _

RunEdge = Literal["start", "finish"]
EDGES: tuple[RunEdge, ...] = ("start", "finish")
SHIFTS = (-5, -1, 1, 5)  # minutes


@dataclass(frozen=True, slots=True)
class TimeEntry:
    """A recorded step of some zones, and by how many minutes its times are to move.

    Attributes:
        run: the step as it was when the page was opened.
    """

    job: JobId
    zones: tuple[ZoneId, ...]
    run: StepRun
    start: timedelta = timedelta()
    finish: timedelta = timedelta()

    def shift(self, edge: RunEdge, minutes: int) -> "TimeEntry":
        """Return the entry with one time moved by so many minutes more."""
        more = timedelta(minutes=minutes)
        if edge == "start":
            return replace(self, start=self.start + more)
        return self if self.run.finished_at is None else replace(self, finish=self.finish + more)

    def becomes(self, edge: RunEdge) -> datetime | None:
        """Return what a time will be; None for the finish of a step that is under way."""
        if edge == "start":
            return self.run.started_at + self.start
        return None if self.run.finished_at is None else self.run.finished_at + self.finish

    def requests(self, by: Person | None) -> tuple[CorrectTime, ...]:
        """Return the requests, ordered so that no start ever lies after its finish."""
        moved = [edge for edge in EDGES if (self.start if edge == "start" else self.finish)]
        if self.run.finished_at and self.run.started_at + self.start > self.run.finished_at:
            moved.reverse()
        return tuple(
            CorrectTime(self.job, zone, self.run.step, edge, becomes, by)
            for zone in self.zones
            for edge in moved
            if (becomes := self.becomes(edge))
        )


@dataclass(frozen=True, slots=True)
class TimeRow:
    """One time on the page; it has no buttons if ``digits`` is empty."""

    edge: RunEdge
    label: str
    digits: str
    note: str


@dataclass(frozen=True, slots=True)
class CorrectionView:
    """All that the page shows; ``trouble`` is why nothing can be recorded, or empty.

    ``requests``: the requests that record these times.
    """

    title: str
    subtitle: str
    rows: tuple[TimeRow, TimeRow]
    trouble: str
    note: str
    requests: tuple[CorrectTime, ...]


def latest_run(zone: ZoneState) -> StepRun | None:
    """Return the step that is under way, or the last that was finished, or None."""
    return zone.running or (zone.runs[-1] if zone.runs else None)


def time_entry(state: JobState, zones: tuple[ZoneId, ...]) -> TimeEntry | None:
    """Return the entry for the latest step of these zones, for those of them that share its times."""
    found = [(zone, run) for zone in zones if (run := latest_run(state.zones[zone]))]
    if not found:
        return None
    lead = max((run for _zone, run in found), key=lambda run: run.finished_at or run.started_at)
    return TimeEntry(state.job.id, tuple(zone for zone, run in found if _same(run, lead)), lead)


def correction(bay: Bay, entry: TimeEntry, by: Person | None, at: datetime, tz: tzinfo) -> CorrectionView:
    """Return the page for an entry, by the present record."""
    job = bay.state.jobs[entry.job].job
    recipe = job.recipe_of(entry.zones[0])
    return CorrectionView(
        title=_("Correct a time"),
        subtitle=_("{zones}: {step}").format(
            zones=capital(zones_title(job, entry.zones)), step=step_title(recipe, entry.run.step)
        ),
        rows=(
            _row(entry, "start", _("Start"), entry.run.started_at, tz),
            _row(entry, "finish", _("Finish"), entry.run.finished_at, tz),
        ),
        trouble=against_recording(bay, entry, entry.requests(by), at, tz),
        note=" ".join((_also_at(bay, entry, at), _("Both times stay in the record."))).strip(),
        requests=entry.requests(by),
    )


def _also_at(bay: Bay, entry: TimeEntry, at: datetime) -> str:
    """Return where else the person would have been at work in these times; empty if nowhere."""
    begins, ends, who = entry.becomes("start"), entry.becomes("finish") or at, entry.run.by
    if who is None or begins is None:
        return ""
    for state in bay.state.open_jobs:
        for zone, known in state.zones.items():
            if state.job.id == entry.job and zone in entry.zones:
                continue
            for run in (*known.runs, *([known.running] if known.running else ())):
                one_touch = bool(run.touch) and run.touch == entry.run.touch
                if run.by == who and not one_touch and begins < (run.finished_at or at) and run.started_at < ends:
                    step = step_title(state.job.recipe_of(zone), run.step)
                    words = _("{name} was then also at: {zone}, {step}.")
                    return words.format(name=who, zone=state.job.zone_names[zone], step=step)
    return ""


def still_there(bay: Bay, entry: TimeEntry) -> bool:
    """Whether the step is still recorded as it was when the page was opened."""
    state = bay.state.jobs[entry.job]
    return all((run := latest_run(state.zones[z])) is not None and _same(run, entry.run) for z in entry.zones)


def undoes_correction(zone: ZoneState) -> bool:
    """Whether the last event of a zone, which an undo would take back first, is a corrected time."""
    return zone.before is not None and _corrections(zone) > _corrections(zone.before)


def _corrections(zone: ZoneState) -> int:
    return sum(len(run.corrected) for run in (*zone.runs, *([zone.running] if zone.running else ())))


def _same(run: StepRun, other: StepRun) -> bool:
    return (run.step, run.started_at, run.finished_at) == (other.step, other.started_at, other.finished_at)


def _row(entry: TimeEntry, edge: RunEdge, label: str, was: datetime | None, tz: tzinfo) -> TimeRow:
    becomes = entry.becomes(edge)
    if was is None or becomes is None:
        return TimeRow(edge, label, "", _("still under way"))
    moved = _("was {time}").format(time=clock_time(was, tz)) if becomes != was else _("as recorded")
    return TimeRow(edge, label, clock_time(becomes, tz), moved)


def against_recording(bay: Bay, entry: TimeEntry, asked: tuple[CorrectTime, ...], at: datetime, tz: tzinfo) -> str:
    """Return why the requests of this entry cannot be recorded now; empty if they can."""
    if not still_there(bay, entry):
        return _("The record of this step has changed meanwhile: go back and open it again.")
    if not asked:
        return _("Move a time first.")
    refusal = _refusal(bay, asked, at)
    return why_not(refusal, bay.state, tz) if refusal else ""


def _refusal(bay: Bay, asked: tuple[CorrectTime, ...], at: datetime) -> Refusal | None:
    """Return the first refusal of these requests, tried one after the other."""
    state = bay.state
    for request in asked:
        verdict = gate(state, request, at)
        if verdict.refusal:
            return verdict.refusal
        state = reduce(apply, verdict.events, state)
    return None
