"""Coats laid on a reading of the air that was corrected or withdrawn later, with both values."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job.gate.air_rules import assessed
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import values_of
from bayapp.job.state.state import BayState, JobState, StepRun
from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.text.figures import clock_time, percent, temperature
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class DoubtedCoat:
    """A coat of a zone, and the reading it was laid on: as it was then, and as it is now.

    Attributes:
        becomes: None where the reading was withdrawn.
        corrected_at, times: when the reading was last corrected, and how often.
        unfit: in the air as it is known now the coat was not fit to be laid.
    """

    job: JobId
    zone: ZoneId
    run: StepRun
    was: AirRead
    becomes: AirRead | None
    corrected_at: datetime
    times: int
    unfit: bool


def doubted_coats(state: BayState, jobs: Iterable[JobState] | None = None) -> tuple[DoubtedCoat, ...]:
    """Return the coats on these cars, by default those in the bays, whose reading is another now.

    A coat that has been taken off since, or done again, lies there no more.
    """
    if not state.air_corrections:
        return ()
    now = {(reading.at, reading.source): reading for reading in state.readings}
    found = []
    for job in state.open_jobs if jobs is None else jobs:
        for zone, zone_state in job.zones.items():
            for run in zone_state.climbed:
                was = run.laid_on
                becomes = now.get((was.at, was.source)) if was else None
                if was and (becomes is None or values_of(becomes) != values_of(was)):
                    when = [c.at for c in state.air_corrections if (c.corrects, c.source) == (was.at, was.source)]
                    unfit = becomes is not None and _unfit(state, job, zone, run.step, becomes)
                    found.append(DoubtedCoat(job.job.id, zone, run, was, becomes, when[-1], len(when), unfit))
    return tuple(found)


def _unfit(state: BayState, job: JobState, zone: ZoneId, step: StepId, reading: AirRead) -> bool:
    product = job.job.products.get(job.job.recipe_of(zone).named(step).product or "")
    return not assessed(product, reading, state.dew_margin_k).fit


def doubted_text(job: JobState, zones: tuple[ZoneId, ...], coat: DoubtedCoat, tz: tzinfo | None = None) -> str:
    """Return what coat lies on what reading, and what became of that; with the time of the reading where ``tz`` is."""
    step = step_title(job.job.recipe_of(coat.zone), coat.run.step)
    time = f"{clock_time(coat.was.measured_at, tz, seconds=False)}, " if tz else ""
    told = {"zones": zones_title(job.job, zones), "step": step, "was": time + _values(coat.was)}
    if coat.becomes is None:
        return capital(_("{zones}, {step}: laid on a reading that was withdrawn ({was})").format(**told))
    said = (
        _("{zones}, {step}: laid on a reading ({was}) that was put right to {now}, not right for it")
        if coat.unfit
        else _("{zones}, {step}: laid on a reading ({was}) that was put right to {now}")
    )
    return capital(said.format(now=_values(coat.becomes), **told))


def doubted_mark(coat: DoubtedCoat) -> str:
    """Return both values in few words, of the coat's temperature and the humidity: "air 20 °C 50 %, now 11 °C 50 %"."""
    if coat.becomes is None:
        return _("air {was}, withdrawn").format(was=_in_short(coat.was))
    return _("air {was}, now {now}").format(was=_in_short(coat.was), now=_in_short(coat.becomes))


def _in_short(reading: AirRead) -> str:
    return f"{temperature(reading.coat_c, 0)} {percent(reading.rh_percent)}"


def _values(reading: AirRead) -> str:
    said = f"{temperature(reading.air_c)}, {percent(reading.rh_percent)}"
    if reading.surface_c is None:
        return said
    return _("{air}, surface {surface}").format(air=said, surface=temperature(reading.surface_c))
