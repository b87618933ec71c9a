"""Where a car can be moved, what stands there, and what would have to be minded."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.bay import Bay
from bayapp.job import JobState, MoveCar, UndoMove, why_not
from bayapp.job.gate.bay_facts import fresh_coat
from bayapp.job.model.ids import JobId, Person, PlaceId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import capital, place_title, zones_in_brief
from bayapp.text.figures import clock_time
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class PlaceChoice:
    """One place: its request, what is there, and whether the car stands there now.

    Attributes:
        warns: ``detail`` says what must be minded.
        hold: it may be, but is so seldom meant that it must be held.
    """

    request: MoveCar | UndoMove
    title: str
    detail: str
    here: bool = False
    warns: bool = False
    hold: bool = False


def place_choices(bay: Bay, job: JobId, by: Person | None, tz: tzinfo) -> tuple[PlaceChoice, ...]:
    """Return the bays in their row and outside, and the way back where the car was just moved."""
    state = bay.state
    places: list[PlaceId | None] = [*(one.id for one in state.places.bays), OUTSIDE]
    if not state.places.bays:
        places.insert(0, None)
    found = [_choice(bay, MoveCar(job, place, by), tz) for place in places]
    back = UndoMove(job, by)
    if bay.judge(back).accepted:
        before = state.jobs[job].stays[-2].place
        words = _("It was not moved: {place}, as before.").format(place=named_place(state, before))
        found.append(PlaceChoice(back, _("Undo the move"), words))
    return tuple(found)


def _choice(bay: Bay, request: MoveCar, tz: tzinfo) -> PlaceChoice:
    state, car = bay.state, bay.state.jobs[request.job]
    title = capital(named_place(state, request.to))
    if car.place == request.to and not car.curing:
        since = clock_time(car.there_since, tz, seconds=False)
        return PlaceChoice(request, title, _("stands here since {time}").format(time=since), here=True)
    verdict = bay.judge(request)
    minded = verdict.refusals or verdict.asks
    if minded:
        words = " ".join(why_not(r, state, tz) for r in minded)
        return PlaceChoice(request, title, words, warns=True, hold=verdict.accepted)
    there = ", ".join(other.job.name for other in state.open_jobs if other.place == request.to)
    if there and request.to in {one.id for one in state.places.bays}:
        words = _("{cars} is there: two in one bay?").format(cars=there)
        return PlaceChoice(request, title, words, warns=True, hold=True)
    if open_coat := _open_coat(car, bay.now()):
        return PlaceChoice(request, title, open_coat, warns=True)
    return PlaceChoice(request, title, _("there: {cars}").format(cars=there) if there else _("free"))


def _open_coat(car: JobState, at: datetime) -> str:
    fresh = [zone for zone, state in car.zones.items() if state.covered is None and fresh_coat(car, zone, at)]
    words = _("No dust or water on the way: a coat lies open on {zones}.")
    return words.format(zones=zones_in_brief(car.job, fresh)) if fresh else ""


def named_place(state: BayState, place: PlaceId | None) -> str:
    """Return what a place is called, also where bays have no names or nobody has told it."""
    if place is not None:
        return place_title(state.places, place)
    return _("a bay nobody named") if state.places.bays else _("in the bay")


def where_text(state: BayState, job: JobId) -> str:
    """Return where a car stands in a few words; empty where all stand in one bay without a name."""
    car = state.jobs[job]
    place = car.place
    if car.curing:
        return curing_text(state, job)
    if place is None and not state.places.bays:
        return ""
    return _("where?") if place is None else capital(place_title(state.places, place))


def curing_text(state: BayState, job: JobId) -> str:
    """Return where a car cures that was moved out to do so, in a few words; empty where it was not."""
    car = state.jobs[job]
    return capital(car.spot or named_place(state, car.place)) if car.curing else ""
