"""Judges readings of the air and their corrections, and waits that do not ripen."""

from datetime import datetime

from pydantic import ValidationError

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, ImpossibleAir, ImpossibleReadingTime, NoSuchReading, OfPlace, RipensOutside, Why
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.events import AirCorrected, AirRead, AirValues
from bayapp.job.state.readings import READING_HOLDS, recorded, values_of
from bayapp.job.state.requests import CorrectAir, ReadAir
from bayapp.job.state.state import BayState, JobState
from bayapp.job.verdict import Refusal, Verdict
from bayapp.job.waits.waits import Window


def judge_reading(request: ReadAir, facts: BayFacts) -> Verdict:
    """Record a reading, unless it says what cannot be or is dated to when it cannot have been taken."""
    values = _values(request, facts.at)
    refusal = values if isinstance(values, Refusal) else _in_time(values, facts.state, facts.at)
    if refusal or isinstance(values, Refusal):
        return Verdict(refusals=(refusal,) if refusal else ())
    place = request.place or facts.state.places.sensors.get(request.source)
    if place is not None and not facts.state.places.knows(place):
        return Verdict(refusals=(Refusal(Code.UNKNOWN, OfPlace(Why.NO_SUCH_PLACE, place)),))
    read = AirRead(at=facts.at, by=request.by, source=request.source, place=place, **dict(values))
    return Verdict(events=(read,))


def judge_air_correction(request: CorrectAir, facts: BayFacts) -> Verdict:
    """Give a reading other values or withdraw it, where there is such a reading and the values can be."""
    corrects = to_millisecond(request.corrects)
    reading = recorded(facts.state.readings, corrects, request.source)
    if reading is None:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, NoSuchReading(corrects)),))
    becomes = None if request.becomes is None else _values(request.becomes, reading.at, reading.read_at)
    refusal = becomes if isinstance(becomes, Refusal) else becomes and _in_time(becomes, facts.state, reading.at)
    if refusal or isinstance(becomes, Refusal):
        return Verdict(refusals=(refusal,) if refusal else ())
    event = AirCorrected(
        at=facts.at, by=request.by, corrects=corrects, source=request.source, was=values_of(reading), becomes=becomes
    )
    return Verdict(events=(event,))


def not_ripening(job: JobState, zone: ZoneId, step: StepId, window: Window) -> Refusal:
    """Return why nobody can say that a wait is over: its air was not read, or the sheet says nothing about such air."""
    ripening = window.ripening
    if ripening is None or ripening.value is None:
        return Refusal(Code.AIR, Bare(Why.RIPENS_UNREAD), job.job.id, zone, step)
    outside = RipensOutside(ripening.by, ripening.value, ripening.low, ripening.high, ripening.thumb)
    return Refusal(Code.AIR, outside, job.job.id, zone, step)


def _values(request: ReadAir, recorded_at: datetime, else_read_at: datetime | None = None) -> AirValues | Refusal:
    """Return what a reading says, or which of its values cannot be."""
    read_at = else_read_at if request.read_at is None else to_millisecond(request.read_at)
    try:
        return AirValues(
            air_c=request.air_c,
            rh_percent=request.rh_percent,
            surface_c=request.surface_c,
            read_at=None if read_at == recorded_at else read_at,
        )
    except ValidationError as error:
        wrong = error.errors(include_url=False)[0]
        return Refusal(Code.AIR, ImpossibleAir(str(wrong["loc"][0]), float(wrong["input"])))


def _in_time(values: AirValues, state: BayState, recorded_at: datetime) -> Refusal | None:
    """A reading is not from the future, nor from before anything was known of this bay."""
    if values.read_at is None:
        return None
    reaches_back = recorded_at - READING_HOLDS
    earliest = reaches_back if state.first_at is None else min(state.first_at, reaches_back)
    if earliest <= values.read_at <= recorded_at:
        return None
    return Refusal(Code.CLOCK, ImpossibleReadingTime(values.read_at, earliest, recorded_at))
