"""The line at the top: car, who works at it, air, sound, clock, time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from bayapp.bay import Bay
from bayapp.job import Job, ZoneClock
from bayapp.job.model.ids import CarColour, Person
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import READING_HOLDS
from bayapp.pages.air.contradiction_words import said_by_both
from bayapp.pages.board.bays import BayFace, bays
from bayapp.pages.board.clock_column import Tile
from bayapp.pages.board.clock_question import ClockNotice, clock_notice
from bayapp.pages.board.people import doings, people_at_hand
from bayapp.pages.board.store_notice import store_words
from bayapp.pages.plan.promise import broken_promises
from bayapp.pages.viewpoint import Viewpoint
from bayapp.text.days import same_day
from bayapp.text.figures import clock_time, percent, temperature
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class Strip:
    """The line at the top.

    Attributes:
        bays: the cars inside, each with its most pressing clock, where there are several.
        people: the crew, then who works on the other cars; ``by`` is the one who works at the car now, chosen by touch.
        doings: what each is doing, or does next.
        sound_due: today's sound check has not been made; ``sound_unheard``: it was made, but not heard.
        air, air_detail: the reading and its time; a request to read the air if there is none or it is old.
        promise: a warning if the shown car will not be ready as promised.
        colour: the paint of the shown car, where somebody has told it.
        clock: what is to be said of the machine's clock, where it was moved.
        store: that nothing can be recorded just now, or that the journal is not whole; stands in the clock's place.
    """

    title: str
    time: str
    bays: tuple[BayFace, ...] = ()
    people: tuple[Person, ...] = ()
    by: Person | None = None
    doings: Mapping[Person, str] = field(default_factory=dict)
    air: str = ""
    air_detail: str = ""
    clock: ClockNotice | None = None
    store: str = ""
    sound_due: bool = False
    sound_unheard: bool = False
    promise: str = ""
    colour: CarColour | None = None


def strip(
    bay: Bay,
    job: Job | None,
    clocks: tuple[ZoneClock, ...],
    all_tiles: tuple[Tile, ...],
    seen: Viewpoint,
    no_coat: bool = False,
) -> Strip:
    """Return the line at the top, over the board of this car; ``no_coat``: the air forbids one whose clock is open."""
    state, at, tz = bay.state, seen.at, seen.tz
    place = state.jobs[job.id].place if job and job.id in state.jobs else None
    air, air_detail = _air(
        state.air_at(place),
        any(c.ripening for c in clocks),
        bool(bay.sensors.troubles),
        bay.sensors.contradictions_at(place),
        seen,
        no_coat,
    )
    promises = broken_promises(state, bay.advice.order, at, tz)
    checked = state.sound_checked_at
    today = checked is not None and same_day(checked, at, tz)
    people = people_at_hand(state, job) if job else ()
    return Strip(
        title=job.name if job else _("No car"),
        time=clock_time(at, tz),
        bays=bays(state, all_tiles, clocks, job.id if job else None, promises) if len(state.open_jobs) > 1 else (),
        people=people,
        by=seen.by,
        doings=doings(bay, people, clocks, at, tz, [p for p in people if not job or p not in job.crew]),
        air=air,
        air_detail=air_detail,
        clock=clock_notice(state, at, tz),
        store=store_words(bay),
        sound_due=not today,
        sound_unheard=today and not state.sound_heard,
        promise=promises[job.id].short if job and job.id in promises else "",
        colour=job.colour if job else None,
    )


def _air(
    reading: AirRead | None,
    ripening: bool,
    doubted: bool,
    apart: Sequence[Contradiction],
    seen: Viewpoint,
    no_coat: bool,
) -> tuple[str, str]:
    """Return the air and when it was read; ``ripening``: clocks go by it, also by a reading that is no longer sure.

    ``doubted``: something is wrong with a sensor, and stays in sight also when its alert has been answered. Where
    sensors are ``apart``, what both say stands there.
    """
    if reading is None:
        return _("Read the air"), _("not read yet")
    said = _("{air}, {humidity}").format(air=temperature(reading.air_c), humidity=percent(reading.rh_percent))
    time = clock_time(reading.measured_at, seen.tz, seconds=False)
    if seen.at - reading.measured_at > READING_HOLDS:
        if ripening:
            return _("Read the air"), _("clocks go by {time}").format(time=time)
        return _("Read the air"), _("{said} at {time}").format(said=said, time=time)
    if apart:
        return said_by_both(apart[0]), _("{time}, sensors differ").format(time=time)
    told = _("{time}, look to sensor") if doubted else _("{time}, do not coat") if no_coat else _("read {time}")
    return said, told.format(time=time)
