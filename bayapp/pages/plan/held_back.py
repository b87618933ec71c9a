"""Why what is ready is not begun, for whoever has nothing to do: the coat that keeps dust and water away from it."""

from collections.abc import Collection
from datetime import datetime, tzinfo

from bayapp.bay.held_back import HeldBack
from bayapp.job import BayState, Refusal, ZoneClock
from bayapp.job.grounds import Why
from bayapp.job.model.ids import StepId
from bayapp.job.text.naming import capital, of_car, step_title, zones_in_order
from bayapp.text.figures import moment_text
from bayapp.text.language import _, ngettext


def held_back_sentence(state: BayState, held: HeldBack | None, at: datetime, tz: tzinfo) -> str:
    """Return what must wait, and which coat it waits for; empty where nothing is held back."""
    if held is None:
        return ""
    sentence = _("{what} must wait: {why}")
    return capital(sentence.format(what=_what(state, held.waiting), why=_why(state, held.refusal, at, tz)))


def _what(state: BayState, waiting: Collection[ZoneClock]) -> str:
    """Return what waits: a step on its zones, or of how many cars."""
    cars = list(dict.fromkeys(clock.job for clock in waiting))
    if len(cars) > 1:
        return ngettext("{n} car", "{n} cars", len(cars)).format(n=len(cars))
    first = next(iter(waiting))
    job = state.jobs[first.job].job
    step = first.step
    zones = zones_in_order(job, [clock.zone for clock in waiting if clock.step == step])
    words = _("{step} ({zones})").format(step=step_title(job.recipe_of(first.zone), StepId(step or "")), zones=zones)
    return of_car(job, words, len(state.open_jobs))


def _why(state: BayState, refusal: Refusal, at: datetime, tz: tzinfo) -> str:
    job = state.jobs[refusal.job].job if refusal.job else None
    coat = zones_in_order(job, (refusal.zone,)) if job and refusal.zone else ""
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
