"""Why what is ready is not begun, for whoever has nothing to do: the coat that keeps dust and water away from it."""

from collections.abc import Collection
from datetime import datetime, tzinfo

from bayapp.job import BayState, Start, ZoneClock
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.grounds import Why
from bayapp.job.model.ids import Code, JobId, Person, StepId, ZoneId
from bayapp.job.text.naming import capital, of_car, step_title, zones_by_sets
from bayapp.job.verdict import Refusal
from bayapp.pages.plan.plan_words import moment_text
from bayapp.text.language import _, ngettext

MOST_ASKED = 24
Key = tuple[Why, JobId | None, ZoneId | None]


def held_back(state: BayState, clocks: Collection[ZoneClock], by: Person | None, at: datetime, tz: tzinfo) -> str:
    """Return what keeps most of what is ready from being begun; empty where nothing that could be is kept from it."""
    facts = BayFacts(state, at)
    ready: dict[tuple[JobId, StepId], list[ZoneClock]] = {}
    for clock in clocks:
        if clock.step and _is_ready(clock, at):
            ready.setdefault((clock.job, clock.step), []).append(clock)
    kept: dict[Key, list[tuple[JobId, StepId]]] = {}
    reasons: dict[Key, Refusal] = {}
    for (job, step), waiting in list(ready.items())[:MOST_ASKED]:
        verdict = judge(Start(job, (waiting[0].zone,), step, by), facts)
        refusal = next((r for r in verdict.refusals if r.code is Code.BAY and not r.asks), None)
        if refusal:
            key = refusal.why, refusal.job, refusal.zone
            reasons.setdefault(key, refusal)
            kept.setdefault(key, []).append((job, step))
    if not kept:
        return ""
    worst = max(kept, key=lambda key: sum(len(ready[one]) for one in kept[key]))
    waiting = [clock for one in kept[worst] for clock in ready[one]]
    return capital(
        _("{what} must wait: {why}").format(what=_what(state, waiting), why=_why(state, reasons[worst], at, tz))
    )


def _is_ready(clock: ZoneClock, at: datetime) -> bool:
    """Whether only the bay can stand in the way of a zone's next step."""
    open_now = clock.opens_at is None or clock.opens_at <= at
    return open_now and not (clock.running or clock.aside or clock.blocked_by or clock.held)


def _what(state: BayState, waiting: Collection[ZoneClock]) -> str:
    """Return what waits: a step on its zones, or of how many cars."""
    cars = list(dict.fromkeys(clock.job for clock in waiting))
    if len(cars) > 1:
        return ngettext("{n} car", "{n} cars", len(cars)).format(n=len(cars))
    first = next(iter(waiting))
    job = state.jobs[first.job].job
    step = first.step
    zones = zones_by_sets(job, [clock.zone for clock in waiting if clock.step == step])
    words = _("{step} ({zones})").format(step=step_title(job.recipe_of(first.zone), StepId(step or "")), zones=zones)
    return of_car(job, words, len(state.open_jobs))


def _why(state: BayState, refusal: Refusal, at: datetime, tz: tzinfo) -> str:
    job = state.jobs[refusal.job].job if refusal.job else None
    coat = zones_by_sets(job, (refusal.zone,)) if job and refusal.zone else ""
    coat = of_car(job, coat, len(state.open_jobs)) if job else coat
    if refusal.why is Why.DUST_ON_COAT:
        return _("dust would fall on a fresh coat ({coat}).").format(coat=coat)
    if refusal.why is Why.WATER_ON_COAT:
        return _("water would spoil a fresh coat ({coat}).").format(coat=coat)
    if refusal.why is Why.KEEP_DRY and refusal.right_from:
        return _("{coat} is to be kept dry until {time}.").format(
            coat=coat, time=moment_text(refusal.right_from, at, tz)
        )
    return _("dust is flying ({coat}).").format(coat=coat)
