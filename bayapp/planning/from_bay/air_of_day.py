"""Waits as the air of the day makes them: the readings so far, the last one held.

Where the air is not known, or the sheet says nothing about it, no wait can be timed; the plan then goes by the base of
the sheet and says so, while the gate goes on refusing.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.model.recipe import Wait
from bayapp.job.model.wait_tables import By
from bayapp.job.state.state import JobState, StepRun
from bayapp.job.text.naming import value_text
from bayapp.job.waits.ripening_waits import WaitEdge, edges_of, moments, opens_with, value_of
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class Assumed:
    """What a plan assumes about the air: what was read (None if nothing was), and what it goes by instead."""

    by: By
    value: float | None
    base_at: float


def in_this_air(job: JobState, wait: Wait, counted: Iterable[tuple[ZoneId, StepId]]) -> tuple[Wait, Assumed | None]:
    """Return a wait as it would be from now on in the air of the last reading, and what had to be assumed.

    If zones differ in what it counts from, it takes the longest least and the shortest latest time of all.
    """
    found = [edges for zone, step in counted if (edges := edges_of(job.job, zone, step, wait))]
    if not found:
        return wait, None
    assumed: list[Assumed] = []
    least = [_minutes(job, edges.earliest, assumed) for edges in found if edges.earliest]
    most = [_minutes(job, edges.latest, assumed) for edges in found if edges.latest]
    tables = dict.fromkeys(("min_by_c", "max_by_c", "min_by_rh", "max_by_rh"))
    shortest = min(most, default=wait.max) if wait.max is not None else None
    plain = wait.model_copy(update={**tables, "min": max(least, default=wait.min), "max": shortest})
    return plain, assumed[0] if assumed else None


def _minutes(job: JobState, edge: WaitEdge, assumed: list[Assumed]) -> float:
    value = value_of(job.readings[-1], edge.by) if job.readings else None
    minutes = None if value is None else edge.curve.minutes_at(value)
    if minutes is None:
        assumed.append(Assumed(edge.by, value, edge.base_at))
        minutes = edge.curve.minutes_at(edge.base_at)
    assert minutes is not None
    return minutes


def limits(
    job: JobState, zone: ZoneId, run: StepRun, wait: Wait, at: datetime
) -> tuple[datetime, datetime | None, Assumed | None]:
    """Return when a wait that counts from this run opens and lapses; one under way is taken to end now."""
    finished_at = run.finished_at or at
    counts_from = run.started_at if wait.max_from == "start" else finished_at
    edges = edges_of(job.job, zone, run.step, wait)
    if edges is None:
        latest = None if wait.latest is None else counts_from + wait.latest
        return finished_at + wait.earliest, latest, None
    opens, lapses, ripens = moments(edges, wait, job.readings, finished_at, counts_from)
    if opens is not None:
        return opens, lapses, None
    assert edges.earliest
    assumed = Assumed(ripens.by, ripens.value, ripens.base_at)
    return opens_with(edges.earliest, job.readings, finished_at, max(at, finished_at)), lapses, assumed


def assumption_sentences(assumed: Iterable[Assumed]) -> tuple[str, ...]:
    """Say what the plan assumes, each assumption once."""
    words = {
        (By.TEMPERATURE, False): _("The air has not been read; the plan takes {base} for granted."),
        (By.HUMIDITY, False): _("The air has not been read; the plan takes {base} humidity for granted."),
        (By.TEMPERATURE, True): _("No sheet times a wait at {value}; the plan takes {base} for granted."),
        (By.HUMIDITY, True): _("No sheet times a wait at {value} humidity; the plan takes {base} for granted."),
    }
    said = [
        words[a.by, a.value is not None].format(
            value="" if a.value is None else value_text(a.by, a.value), base=value_text(a.by, a.base_at)
        )
        for a in assumed
    ]
    return tuple(dict.fromkeys(said))
