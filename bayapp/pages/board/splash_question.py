"""The question whether water on one car reaches another that must only be kept dry."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import BayState, Verdict
from bayapp.job.grounds import SplashReach
from bayapp.job.model.ids import JobId
from bayapp.job.text.naming import capital, zones_title
from bayapp.text.figures import moment_text
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class SplashQuestion:
    """One question: what is asked, and what comes of yes and of no; ``wet`` is the car that is to get wet."""

    title: str
    subtitle: str
    yes: str
    no: str
    wet: JobId
    car: str
    dry: str


def splash_question(verdict: Verdict, state: BayState, at: datetime, tz: tzinfo) -> SplashQuestion | None:
    """Return the first question of a verdict; None where it asks nothing, or refuses for more than that."""
    refusal = verdict.refusal
    if refusal is None or not verdict.possible or refusal.job is None or not isinstance(refusal.grounds, SplashReach):
        return None
    dry, wet = state.jobs[refusal.job].job, state.jobs[refusal.grounds.wet].job
    zones = zones_title(dry, refusal.grounds.zones)
    until = _until(refusal.right_from, at, tz)
    return SplashQuestion(
        title=capital(_("{zones} of {car}: out of reach of splash?").format(zones=zones, car=dry.title)),
        subtitle=_("It must be kept dry until {until}. The water is on {wet}.").format(until=until, wet=wet.title),
        yes=_("work goes on; it is written down"),
        no=_("water on {wet} waits until {until}").format(wet=wet.title, until=until),
        wet=wet.id,
        car=wet.title,
        dry=dry.title,
    )


def splash_text(verdict: Verdict, state: BayState, at: datetime, tz: tzinfo) -> str:
    """Return the question in one sentence for a button; empty where there is none."""
    question = splash_question(verdict, state, at, tz)
    return "" if question is None else _("Asks first whether the water reaches {car}.").format(car=question.dry)


def _until(moment: datetime | None, at: datetime, tz: tzinfo) -> str:
    return "" if moment is None else moment_text(moment, at, tz)
