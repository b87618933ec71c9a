"""For what a step waits that only the plan holds back: on the ladder in a sentence, on a tile in a few words."""

from collections.abc import Collection
from datetime import datetime, tzinfo

from bayapp.job import BayState
from bayapp.job.model.ids import Person
from bayapp.job.text.naming import step_title, zones_in_order
from bayapp.planning.core.work_order import PlannedStep
from bayapp.planning.next.planned_later import PlannedLater
from bayapp.text.figures import moment_text
from bayapp.text.language import _

BRIEF = 20
"""Of zones with longer names together a tile names the last alone."""


def planned_later_text(state: BayState, found: PlannedLater, by: Person | None, at: datetime, tz: tzinfo) -> str:
    """Return when the plan has a step, for whom if for somebody else, and after what: one sentence."""
    when = moment_text(found.step.start, at, tz)
    if found.step.person not in (None, by):
        when = _("{time} ({person})").format(time=when, person=found.step.person)
    if found.after:
        return _after(state, found, when, at, tz)
    if found.then:
        then = _step(state, found.then)
        return _("Planned for {time}, so that its {step} follows in time.").format(time=when, step=then)
    return _("Planned for {time}.").format(time=when)


def _after(state: BayState, found: PlannedLater, when: str, at: datetime, tz: tzinfo) -> str:
    first = min(found.after, key=lambda s: s.start)
    facts = {"time": when, "step": _step(state, first), "zones": _zones(state, found.after)}
    if first.running or first.lapses_at is None:
        return _("Planned for {time}, after {zones}: {step}.").format(**facts)
    latest = moment_text(min(s.lapses_at for s in found.after if s.lapses_at), at, tz)
    return _("Planned for {time}, after {zones}: {step}, by {latest}.").format(**facts, latest=latest)


def planned_later_brief(state: BayState, found: Collection[PlannedLater], at: datetime, tz: tzinfo) -> str:
    """Return for what zones wait that share a clock, by the one whose turn comes first; empty for none."""
    first = min(found, key=lambda one: one.step.start, default=None)
    if first is None:
        return ""
    when = moment_text(first.step.start, at, tz)
    if not first.after:
        return _("planned for {time}").format(time=when)
    zones = _zones(state, first.after)
    if len(zones) > BRIEF:
        zones = _zones(state, [max(first.after, key=lambda s: s.end)])
    return _("after {zones}, {time}").format(zones=zones, time=when)


def _step(state: BayState, planned: PlannedStep) -> str:
    return step_title(state.jobs[planned.job].job.recipe_of(planned.zone), planned.step)


def _zones(state: BayState, steps: Collection[PlannedStep]) -> str:
    job = state.jobs[next(iter(steps)).job].job
    return zones_in_order(job, [step.zone for step in steps])
