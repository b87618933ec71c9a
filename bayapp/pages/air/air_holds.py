"""Coats whose clock is open, and which the air forbids all the same: clock, button and top line say so."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import BayState, ZoneClock, why_not
from bayapp.job.gate.air_rules import air_for_coat
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import DewPoint, OverLimit
from bayapp.job.model.ids import JobId, StepId, StepKind, Urgency, ZoneId
from bayapp.job.text.air_sentences import advice_text
from bayapp.job.text.naming import step_title, zones_title
from bayapp.job.verdict import Refusal
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class AirHold:
    """A coat of some zones that may be laid by the clock and not in this air."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    refusal: Refusal


def air_holds(state: BayState, clocks: Collection[ZoneClock], at: datetime) -> tuple[AirHold, ...]:
    """Return what the air holds back, the soonest to close first; one for each work block and step."""
    facts, groups = BayFacts(state, at), dict[tuple[JobId, StepId, ZoneId], list[ZoneClock]]()
    for clock in clocks:
        if clock.step and _is_open_coat(state, clock):
            first = state.jobs[clock.job].job.block_of[clock.zone].zones[0]
            groups.setdefault((clock.job, clock.step, first), []).append(clock)
    found = []
    for (job, step, _first), group in groups.items():
        recipe = state.jobs[job].job.recipe_of(group[0].zone)
        forbidden, _asked = air_for_coat(recipe, recipe.named(step), state.jobs[job], facts)
        if forbidden:
            closes = min((clock.lapses_at for clock in group if clock.lapses_at), default=None)
            found.append((closes, AirHold(job, tuple(clock.zone for clock in group), step, forbidden[0])))
    found.sort(key=lambda one: (one[0] is None, one[0] or at))
    return tuple(hold for _closes, hold in found)


def air_hold_sentence(hold: AirHold, state: BayState, tz: tzinfo) -> str:
    """Return in few words which coat the air forbids, and what would make it right, else why it is not."""
    job, grounds = state.jobs[hold.job].job, hold.refusal.grounds
    what = step_title(job.recipe_of(hold.zones[0]), hold.step)
    if isinstance(grounds, DewPoint | OverLimit):
        advice = advice_text(grounds.fitness)
    else:
        advice = why_not(hold.refusal, state, tz)
    zones = zones_title(job, hold.zones)
    return _("No {step} on {zones} yet. {advice}").format(step=what, zones=zones, advice=advice)


def _is_open_coat(state: BayState, clock: ZoneClock) -> bool:
    if clock.urgency not in (Urgency.OPEN, Urgency.CLOSING) or clock.running or clock.step is None:
        return False
    return state.jobs[clock.job].job.recipe_of(clock.zone).named(clock.step).kind is StepKind.COAT
