"""The board: car, clocks, next step, and the strip at the top."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, tzinfo

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertState
from bayapp.bay import Bay
from bayapp.job import Job, ZoneClock
from bayapp.job.gate.air_rules import READING_HOLDS
from bayapp.job.gate.stock import Stock
from bayapp.job.model.ids import JobId, Person, Urgency, ZoneId
from bayapp.job.retimed import retiming_text
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.state.events import AirRead
from bayapp.pages.air.contradiction_words import said_by_both
from bayapp.pages.board.bays import BayFace, bays
from bayapp.pages.board.car_view import Face, faces
from bayapp.pages.board.clock_column import Tile, tiles
from bayapp.pages.board.clock_question import ClockNotice, clock_notice
from bayapp.pages.board.next_step import Offer, offers
from bayapp.pages.board.people import doings
from bayapp.pages.plan.promise import broken_promises
from bayapp.pages.shelf.shelf import order_count
from bayapp.text.figures import clock_time, percent, temperature
from bayapp.text.language import _

MANY = 3
RETIMED_SHOWN = timedelta(minutes=2)
SHOWN = 2  # one large offer, and one that could be taken instead


@dataclass(frozen=True, slots=True)
class Strip:
    """The line at the top.

    Attributes:
        bays: the cars inside, each with its most pressing clock, where there are several.
        people: the crew; ``by`` is the one who works at the car now, chosen by touch.
        doings: what each is doing, or does next.
        sound_due: today's sound check has not been made; ``sound_unheard``: it was made, but not heard.
        air, air_detail: the reading and its time; a request to read the air if there is none or it is old.
        promise: a warning if the shown car will not be ready as promised.
        clock: what is to be said of the machine's clock, where it was moved.
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
    sound_due: bool = False
    sound_unheard: bool = False
    promise: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """The unanswered alerts: the most pressing in full, the others after it; one touch answers all."""

    text: str
    others: str
    urgency: Urgency
    subjects: tuple[str, ...]
    may_snooze: bool


@dataclass(frozen=True, slots=True)
class BoardView:
    """All that the board shows at one instant; ``order`` says how many products run low, without an alert."""

    at: datetime
    strip: Strip
    job: Job | None
    main: Offer
    faces: Mapping[ZoneId, Face] = field(default_factory=dict)
    tiles: tuple[Tile, ...] = ()
    instead: Offer | None = None
    band: Band | None = None
    order: str = ""


def board(
    bay: Bay, job_id: JobId | None, by: Person | None, clocks: tuple[ZoneClock, ...], at: datetime, tz: tzinfo
) -> BoardView:
    """Return the board for the shown car; the column has the clocks of all cars in the bay."""
    state = bay.state
    shown = state.jobs[job_id].job if job_id and job_id in state.jobs else None
    recommendations, pause = bay.advice.for_person(clocks, by, at)
    found = offers(state, clocks, recommendations[:SHOWN], pause, by, at, tz)
    main, all_tiles = found[0], tiles(state, clocks, at)
    flagged = main.zones if shown and main.job == shown.id and main.action else ()
    return BoardView(
        at=at,
        strip=_strip(bay, shown, by, clocks, all_tiles, at, tz),
        job=shown,
        faces=faces(shown, clocks, at, next_up=flagged) if shown else {},
        tiles=all_tiles,
        main=main,
        instead=found[1] if len(found) > 1 else None,
        band=band(bay.alerts.unanswered(), _retimed(bay, at, tz)),
        order=order_count(Stock(state, at).short()),
    )


def _strip(
    bay: Bay,
    job: Job | None,
    by: Person | None,
    clocks: tuple[ZoneClock, ...],
    all_tiles: tuple[Tile, ...],
    at: datetime,
    tz: tzinfo,
) -> Strip:
    state = bay.state
    air, air_detail = _air(
        state.air, any(c.ripens for c in clocks), bool(bay.sensors.troubles), bay.sensors.contradictions, at, tz
    )
    promises = broken_promises(state, bay.advice.order, at, tz)
    checked = state.sound_checked_at
    today = checked is not None and _today(checked, at, tz)
    return Strip(
        title=job.title if job else _("No car"),
        time=clock_time(at, tz),
        bays=bays(state, all_tiles, clocks, job.id if job else None, promises) if len(state.open_jobs) > 1 else (),
        people=job.crew if job else (),
        by=by,
        doings=doings(bay, job.crew, clocks, at, tz) if job else {},
        air=air,
        air_detail=air_detail,
        clock=clock_notice(state, bay.clock_watch.unsure, at, tz),
        sound_due=not today,
        sound_unheard=today and not state.sound_heard,
        promise=promises[job.id].short if job and job.id in promises else "",
    )


def _air(
    reading: AirRead | None, ripening: bool, doubted: bool, apart: Sequence[Contradiction], at: datetime, tz: tzinfo
) -> tuple[str, str]:
    """Return the air and when it was read; ``ripening``: clocks go by it, also by a reading that is no longer sure.

    ``doubted``: something is wrong with a sensor, and stays in sight also when its alert has been answered. Where
    sensors are ``apart``, what both say stands there.
    """
    if reading is None:
        return _("Read the air"), _("not read yet")
    said = _("{air}, {humidity}").format(air=temperature(reading.air_c), humidity=percent(reading.rh_percent))
    time = clock_time(reading.measured_at, tz, seconds=False)
    if at - reading.measured_at > READING_HOLDS:
        if ripening:
            return _("Read the air"), _("clocks go by {time}").format(time=time)
        return _("Read the air"), _("{said} at {time}").format(said=said, time=time)
    if apart:
        return said_by_both(apart[0]), _("{time}, sensors differ").format(time=time)
    return said, (_("{time}, look to sensor") if doubted else _("read {time}")).format(time=time)


def _today(moment: datetime, at: datetime, tz: tzinfo) -> bool:
    return moment.astimezone(tz).date() == at.astimezone(tz).date()


def _retimed(bay: Bay, at: datetime, tz: tzinfo) -> str:
    """Return which waits a reading of the last two minutes has moved, or nothing."""
    found = bay.alerts.retimed
    return retiming_text(found, bay.state, tz) if found and at - found.event.at < RETIMED_SHOWN else ""


def band(alerts: tuple[Alert, ...], notice: str = "") -> Band | None:
    """Return the unanswered alerts, the most pressing first and the missed ones marked, or None.

    Of several lapses the newest comes first: whoever is at the wall has seen the older ones. A second alert is shown in
    full, of more only their number: they could not be read from afar, and the clocks show them. A notice follows them;
    by itself it needs no answer.
    """
    if not alerts:
        return Band(notice, "", Urgency.WAITING, (), may_snooze=False) if notice else None
    newest = sorted(alerts, key=lambda a: a.condition.since, reverse=True)
    lapsed = [a for a in newest if a.condition.kind is AlertKind.LAPSED]
    rest = [a for a in reversed(newest) if a.condition.kind is not AlertKind.LAPSED]
    ordered = sorted([*lapsed, *rest], key=lambda a: -a.condition.kind.row.priority)
    labels = list(dict.fromkeys(_label_of(a) for a in ordered))
    others = labels[1:] if len(labels) < MANY else [_("and {count} more: see the clocks").format(count=len(labels) - 1)]
    may_snooze = any(a.state is AlertState.RAISED for a in alerts)
    subjects = tuple(a.condition.subject for a in alerts)
    return Band(
        labels[0],
        "; ".join([*others, *([notice] if notice else [])]),
        Urgency(ordered[0].condition.kind.row.shown_as),
        subjects,
        may_snooze,
    )


def _label_of(alert: Alert) -> str:
    if not alert.missed:
        return alert.condition.label
    return _("Came due while the screen was off: {label}").format(label=alert.condition.label)
