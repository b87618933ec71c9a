"""The column of clocks, sorted by urgency."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job import BayState, Recipe, ZoneClock
from bayapp.job.model.ids import JobId, StepId, Urgency, ZoneId
from bayapp.job.text.naming import (
    capital,
    elapsed_text,
    kind_words,
    late_text,
    left_text,
    of_car,
    step_title,
    zones_title,
)
from bayapp.job.waits.cure import Cure
from bayapp.pages.air.air_holds import AirHold
from bayapp.pages.air.air_words import NO_TIME, clock_air_text, not_timed
from bayapp.pages.board.car_view import same_clock, time_of
from bayapp.text.language import _

FAR = timedelta(days=3650)
SOON = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Track:
    """A wait as a line from 0 to 1: thin until ``opens``, thick until ``lapses``, then broken; a mark at ``now``.

    ``lapses`` is 1 if there is no latest moment.
    """

    opens: float
    lapses: float
    now: float


@dataclass(frozen=True, slots=True)
class Tile:
    """One clock, for one zone or for all that share it.

    Attributes:
        title: the zone or set.
        detail: the step, with the car if there are several; ``what`` is the step alone.
        label: the verb above the digits, which says what the number means.
        digits: the time.
    """

    job: JobId
    zones: tuple[ZoneId, ...]
    title: str
    detail: str
    label: str
    digits: str
    urgency: Urgency
    fraction: float
    track: Track | None
    what: str = ""


def track_of(clock: ZoneClock, at: datetime) -> Track | None:
    """Return a clock's wait and window as shares of one line; None if none runs."""
    start = clock.since or clock.opens_at
    if clock.lapses:
        return Track(0.3, 0.7, 1.0)
    if start is None or clock.opens_at is None:
        return None
    if clock.lapses_at is None:
        end = clock.opens_at + max((clock.opens_at - start) / 3, timedelta(seconds=1))
        return Track((clock.opens_at - start) / (end - start), 1.0, min(1.0, (at - start) / (end - start)))
    end = clock.lapses_at + (clock.lapses_at - start) / 5
    whole = max(end - start, timedelta(milliseconds=1))
    return Track((clock.opens_at - start) / whole, (clock.lapses_at - start) / whole, min(1.0, (at - start) / whole))


def tiles(
    state: BayState,
    clocks: Collection[ZoneClock],
    at: datetime,
    holds: Collection[AirHold] = (),
    later: Callable[[Sequence[ZoneClock]], str] = lambda group: "",
) -> tuple[Tile, ...]:
    """Return every running clock, merged where zones share one, the most pressing first.

    Of what the air ``holds`` back an open clock says so; ``later`` says of zones that share one for what the plan holds
    them back, and nothing where it does not.
    """
    held = {(hold.job, zone) for hold in holds for zone in hold.zones}
    groups = [g for g in same_clock(clocks) if _runs(g[0], at)]
    groups.sort(key=lambda g: _pressing(g[0], at))
    return tuple(_tile(state, group, at, (group[0].job, group[0].zone) in held, later(group)) for group in groups)


def _runs(clock: ZoneClock, at: datetime) -> bool:
    cure = clock.cure
    timed = clock.urgency not in (Urgency.IDLE, Urgency.FINISHED) or bool(cure and cure.until > at)
    return timed or hangs_on_others(clock)


def hangs_on_others(clock: ZoneClock) -> bool:
    """Whether a coat is laid on the zone, and what comes next waits for work on other zones."""
    return clock.urgency is Urgency.IDLE and bool(clock.layers and clock.blocked_by) and not clock.out


def _pressing(clock: ZoneClock, at: datetime) -> tuple[int, timedelta]:
    """Sort key: closing, lapsed, what opens or closes within the hour, work under way, the rest."""
    if clock.running:
        closing = clock.closing_from is not None and at >= clock.closing_from
        return (0, _left(clock, at)) if closing else (3, at - clock.running.started_at)
    if clock.urgency is Urgency.CLOSING:
        return 0, _left(clock, at)
    if clock.urgency is Urgency.LAPSED:
        return 1, _left(clock, at)
    if clock.urgency in (Urgency.OPEN, Urgency.WAITING):
        left = _left(clock, at)
        return (2 if left <= SOON else 4), left
    return 5, clock.cure.until - at if clock.cure else FAR


def _left(clock: ZoneClock, at: datetime) -> timedelta:
    """Return the time to the clock's next moment: until it opens, else until it lapses, else infinite."""
    moment = clock.opens_at or clock.lapses_at if clock.urgency is Urgency.WAITING else clock.lapses_at
    return moment - at if moment else FAR


def _tile(state: BayState, group: tuple[ZoneClock, ...], at: datetime, held: bool, later: str) -> Tile:
    clock, job = group[0], state.jobs[group[0].job].job
    zones = tuple(c.zone for c in group)
    inside = [state.job.id for state in state.open_jobs]
    title = capital(zones_title(job, zones))
    if len(inside) > 1:  # the number that the car has in the line at the top
        title = _("{number} {zones}").format(number=inside.index(job.id) + 1, zones=title)
    detail = _with_name(capital(detail_of(job.recipe_of(zones[0]), clock)), clock)
    if hangs_on_others(clock):
        detail = _("{step}: waits for {zones}").format(step=detail, zones=zones_title(job, clock.blocked_by))
    if held:
        detail = _("{step}: not in this air").format(step=detail)
    elif later:
        kind = kind_words(job.recipe_of(zones[0]).named(clock.step).kind) if clock.step else detail
        detail = _("{step}: {later}").format(step=capital(kind), later=later)  # what it waits for is read from afar
    cars = 1 if later else len(state.open_jobs)  # where there is much to say, the number in the title tells the car
    what, detail = detail, of_car(job, detail, cars)
    if clock.unsure and clock.urgency is Urgency.WAITING:
        detail = _("{step}: not certain").format(step=detail)
    if air := clock_air_text(clock, short=len(state.open_jobs) > 1):
        detail = _("{detail}: {air}").format(detail=detail, air=air)
    label, digits = words_of(clock, at)
    return Tile(
        job.id,
        zones,
        title,
        detail,
        label,
        digits,
        clock.urgency,
        clock.fraction_left(at),
        track_of(clock, at),
        what,
    )


def _with_name(detail: str, clock: ZoneClock) -> str:
    """Add the name of who works on a step that is under way."""
    by = clock.running.by if clock.running else None
    return _("{step} ({by})").format(step=detail, by=by) if by else detail


def detail_of(recipe: Recipe, clock: ZoneClock) -> str:
    """Return the step that a clock is for, and whether its coat is covered; a lapsed one says what it costs."""
    detail = _step_of(recipe, clock)
    return _("{detail}, covered").format(detail=detail) if clock.covered else detail


def _step_of(recipe: Recipe, clock: ZoneClock) -> str:
    if clock.step is None:
        return _("curing")
    title = step_title(recipe, StepId(clock.step))
    if clock.held:
        return _("inspect, then carry on")
    if clock.lapses:
        missed = _("missed; again: {step}") if not clock.unsure else _("perhaps missed; again: {step}")
        return missed.format(step=title)
    if len(clock.choices) > 1:
        laid = len(clock.layers)
        return _("coat {number} of {layers}").format(number=laid + 1, layers=recipe.layers)
    return title


def doubt_note(clock: ZoneClock) -> str:
    """Return what is not certain of a clock that ran while the machine was off, nobody knows for how long."""
    if not clock.unsure:
        return ""
    if clock.lapses:
        return _("Not certain: the machine was off, nobody knows for how long; the latest moment may have passed.")
    return _("Not certain: the machine was off, nobody knows for how long, be it days; it counts as no time at all.")


def cure_words(cure: Cure, at: datetime) -> tuple[str, str]:
    """Return what still holds on a finished zone and for how long; the car may be driven before it may get wet."""
    for until, words in ((cure.dry_until, _("keep dry")), (cure.drive_from, _("do not drive"))):
        if until is not None and at < until:
            return words, left_text(until - at)
    return (_("may get wet") if cure.dry_until else _("done")), ""


def words_of(clock: ZoneClock, at: datetime) -> tuple[str, str]:
    """Return the verb and the time of a clock; a zone set aside has words only."""
    if clock.aside:
        return _("set aside"), ""
    if hangs_on_others(clock):
        return _("waits for others"), ""
    if clock.cure and clock.step is None:
        return cure_words(clock.cure, at)
    if clock.running and clock.lapses_at:
        late = at > clock.lapses_at
        if late:
            return _("late by"), late_text(at - clock.lapses_at)
        return _("level within"), left_text(clock.lapses_at - at)
    if reason := not_timed(clock):
        return reason, NO_TIME
    digits = time_of(clock, at)
    if clock.urgency is Urgency.OPEN and clock.lapses_at is None and clock.opens_at:
        return _("open since"), elapsed_text(at - clock.opens_at)
    return {
        Urgency.WAITING: _("wait"),
        Urgency.OPEN: _("closes in"),
        Urgency.CLOSING: _("closes in"),
        Urgency.LAPSED: _("late by"),
        Urgency.WORKING: _("under way for"),
    }.get(clock.urgency, ""), digits
