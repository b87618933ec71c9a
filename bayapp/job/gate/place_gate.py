"""Judges where cars stand: bays named and curtained off, a car moved, and whether water on one reaches another."""

from dataclasses import replace

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.bay_rules import against_coming_into, out_in_the_weather
from bayapp.job.gate.deviation import deviation_from
from bayapp.job.grounds import Bare, NoSuchJob, OfPlace, SplashReach, Why
from bayapp.job.model.ids import Code, Person, PlaceId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.events import CarMoved, CarMoveUndone, PlacesSetUp, SplashAnswered
from bayapp.job.state.requests import AnswerSplash, MoveCar, SetUpPlaces, UndoMove
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.naming import zones_title
from bayapp.job.verdict import Refusal, Verdict
from bayapp.text.language import _


def first_free(state: BayState) -> PlaceId | None:
    """Return where a car stands that nobody has given a place: the first free bay, else outside; None without bays."""
    taken = {job.place for job in state.open_jobs}
    free = (bay.id for bay in state.places.bays if bay.id not in taken)
    return next(free, OUTSIDE) if state.places.bays else None


def judge_move(request: MoveCar, facts: BayFacts) -> Verdict:
    """Move a car nobody is at work on; with a deviation, also to where dust or water would spoil its coats.

    Of a car whose place nobody has told it is only said where it stands, also while somebody is at work on it.
    """
    job, state = facts.state.jobs[request.job], facts.state
    if not state.places.knows(request.to):
        return Verdict(refusals=(Refusal(Code.UNKNOWN, OfPlace(Why.NO_SUCH_PLACE, request.to or ""), request.job),))
    if (job.place, job.curing, job.spot) == (request.to, request.curing, request.spot.strip()):
        return Verdict(refusals=(Refusal(Code.DONE, Bare(Why.ALREADY_THERE), request.job),))
    told = job.place is None and bool(state.places.bays)
    if not told and (busy := _at_work(job)):
        return Verdict(refusals=(busy,))
    moved = CarMoved(
        at=facts.at,
        job=request.job,
        by=request.by,
        was=job.place,
        to=request.to,
        curing=request.curing,
        spot=request.spot.strip(),
    )
    after = facts.after((moved,))
    refusals = against_coming_into(request.job, after)
    if refusals and not request.deviation:
        return Verdict(refusals=refusals)
    moved = moved.model_copy(update={"deviation": deviation_from(refusals, after.state, request.deviation)})
    return Verdict(events=(moved,), asks=out_in_the_weather(request.job, after))


def judge_move_back(request: UndoMove, facts: BayFacts) -> Verdict:
    """Take the last move back, as long as nobody is at work on the car and no curtain was moved since."""
    job = facts.state.jobs[request.job]
    if not (len(job.stays) > 1 and job.stays[-1].moved):
        return Verdict(refusals=(Refusal(Code.ORDER, Bare(Why.NO_MOVE), request.job),))
    if busy := _at_work(job):
        return Verdict(refusals=(busy,))
    return Verdict(events=(CarMoveUndone(at=facts.at, job=request.job, by=request.by),))


def _at_work(job: JobState) -> Refusal | None:
    """Return that somebody is at work on a car, or None."""
    running = ((zone, state.running.step) for zone, state in job.zones.items() if state.running)
    found = next(running, None)
    return Refusal(Code.BUSY, Bare(Why.CAR_WORKED), job.job.id, *found) if found else None


def judge_splash(request: AnswerSplash, facts: BayFacts) -> Verdict:
    """Write down what a person sees: whether water on one car can reach zones of another."""
    other = facts.state.jobs.get(request.of)
    if other is None or other.closed_at is not None or request.of == request.job:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, NoSuchJob(request.of)),))
    zones = tuple(zone for zone in request.zones if zone in other.zones)
    if not zones:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.NO_ZONE), request.of),))
    answered = SplashAnswered(
        at=facts.at,
        job=request.job,
        by=request.by,
        of=request.of,
        zones=zones,
        out_of_reach=request.out_of_reach,
        zones_text=_("{zone} of {car}").format(zone=zones_title(other.job, zones), car=other.job.name),
    )
    return Verdict(events=(answered,))


def answers_to(verdict: Verdict, out_of_reach: bool, by: Person | None = None) -> tuple[AnswerSplash, ...]:
    """Return the answers that a refused step asks for, all with the same word."""
    return tuple(
        AnswerSplash(r.grounds.wet, r.job, r.grounds.zones, out_of_reach, by)
        for r in verdict.refusals
        if isinstance(r.grounds, SplashReach) and r.job is not None
    )


def judge_places(request: SetUpPlaces, facts: BayFacts) -> Verdict:
    """Take the bays as they are named, unless two have one name or a car stands in one that is taken away."""
    bays = tuple(bay.model_copy(update={"name": " ".join(bay.name.split())}) for bay in request.bays)
    state, names, ids = facts.state, [bay.name.casefold() for bay in bays], [bay.id for bay in bays]
    for bay in reversed(bays):
        twice = names.count(bay.name.casefold()) > 1 or ids.count(bay.id) > 1
        if not bay.name or twice or bay.id == OUTSIDE:
            return Verdict(refusals=(Refusal(Code.UNKNOWN, OfPlace(Why.BAY_NAME, bay.name)),))
    for job in state.open_jobs:
        if job.place not in (None, OUTSIDE, *ids):
            name = state.places.names.get(job.place, job.place) if job.place else ""
            return Verdict(refusals=(Refusal(Code.BUSY, OfPlace(Why.OCCUPIED_BAY, name), job.job.id),))
    sensors = {sensor: place for sensor, place in request.sensors.items() if place in (OUTSIDE, *ids)}
    holds = replace(state.places, bays=bays, sensors=sensors)
    if holds == state.places:
        return Verdict()
    return Verdict(events=(PlacesSetUp(at=facts.at, bays=bays, sensors=sensors),))
