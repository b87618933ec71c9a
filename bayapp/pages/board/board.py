"""The board: car, clocks, next step, the strip at the top, and the alerts."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, tzinfo

from bayapp.bay import Bay
from bayapp.bay.held_back import HeldBack
from bayapp.job import Job, ZoneClock
from bayapp.job.gate.stock import Stock
from bayapp.job.model.ids import Urgency, ZoneId
from bayapp.job.moved_clocks import moved_clocks_text
from bayapp.job.text.naming import capital
from bayapp.pages.air.air_holds import air_holds
from bayapp.pages.board.alert_band import Band, band
from bayapp.pages.board.car_view import Face, faces
from bayapp.pages.board.clock_column import Tile, tiles
from bayapp.pages.board.next_step import Hindrances, Offer, offers, step_and_zones
from bayapp.pages.board.strip import Strip, strip
from bayapp.pages.board.undo_last import LastMove, LastTouch, last_move, last_touch
from bayapp.pages.board.weighing import price_sentence
from bayapp.pages.cars.places import where_text
from bayapp.pages.plan.planned_later import planned_later_brief
from bayapp.pages.plan.planner_words import planner_sentence, without_plan
from bayapp.pages.shelf.shelf import order_count
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.next.recommendation import Recommendation

MOVED_CLOCKS_SHOWN = timedelta(minutes=2)
JUST_MADE = timedelta(seconds=20)
PLANNER_MISSED_SHOWN = timedelta(minutes=10)
TOLD_SHOWN = timedelta(minutes=5)
SHOWN = 2  # one large offer, and one that could be taken instead


@dataclass(frozen=True, slots=True)
class BoardView:
    """All that the board shows at one instant.

    ``order`` says how many products run low, without an alert; ``place`` where the shown car stands.
    """

    at: datetime
    strip: Strip
    job: Job | None
    main: Offer
    faces: Mapping[ZoneId, Face] = field(default_factory=dict)
    tiles: tuple[Tile, ...] = ()
    instead: Offer | None = None
    band: Band | None = None
    order: str = ""
    place: str = ""


def board(bay: Bay, clocks: tuple[ZoneClock, ...], seen: Viewpoint) -> BoardView:
    """Return the board for the shown car; the column has the clocks of all cars in the bay."""
    state, at = bay.state, seen.at
    car = state.jobs.get(seen.car) if seen.car else None
    shown = car.job if car else None
    recommendations, pause = bay.advice.for_person(clocks, seen.by, at)
    told = bay.advice.told(recommendations, seen.by, at)[:SHOWN]
    holds = air_holds(state, clocks, at)

    def look() -> HeldBack | None:
        return bay.advice.held_back.look(state, clocks, seen.by, at)

    hindrances = Hindrances(bay.advice.troubled, holds, look, bay.advice.cover.to_come(seen.by))
    found = offers(state, clocks, told, pause, seen, hindrances)
    main = found[0]
    all_tiles = tiles(state, clocks, at, holds, _later(bay, recommendations, main, seen))
    flagged = main.zones if shown and main.job == shown.id and main.action else ()
    return BoardView(
        at=at,
        strip=strip(bay, shown, clocks, all_tiles, seen, no_coat=bool(holds)),
        job=shown,
        faces=faces(car, clocks, at, next_up=flagged) if car else {},
        tiles=all_tiles,
        main=main,
        instead=found[1] if len(found) > 1 else None,
        band=_band(bay, seen),
        order=order_count(Stock(state, at).short()),
        place=where_text(state, shown.id) if shown else "",
    )


def _later(
    bay: Bay, recommendations: Collection[Recommendation], main: Offer, seen: Viewpoint
) -> Callable[[Sequence[ZoneClock]], str]:
    """Return what says for what zones wait that could be begun now and that the plan has later."""
    free = {(one.advice.job, zone) for one in recommendations for zone in one.advice.zones}
    free -= {(main.job, zone) for zone in main.zones if main.job}

    def later(group: Sequence[ZoneClock]) -> str:
        if not free.issuperset((clock.job, clock.zone) for clock in group):
            return ""
        found = [bay.advice.planned_later(c.job, c.zone, c.step, seen.at) for c in group if c.step]
        kept = [one for one in found if one]
        return planned_later_brief(bay.state, kept, seen.at, seen.tz) if len(kept) == len(group) else ""

    return later


def _band(bay: Bay, seen: Viewpoint) -> Band | None:
    """Return the unanswered alerts, and with them what the last touch cost, else which clocks the air has moved."""
    alerts = bay.alerts.unanswered()
    price = None if bay.clock_watch.unsure else bay.advice.price.told(seen.at)
    if price is None:
        notice = _retimed(bay, seen.at, seen.tz) or _without_planner(bay, seen.at) or _told(bay, seen.at)
        touch = _just_made(bay, seen)
        if touch is None:
            return band(alerts, notice)
        return band(alerts, notice, Urgency.WAITING if notice else touch.urgency, touch.request, touch.text)
    job, zones = bay.state.jobs[price.undo.job].job, price.undo.zones
    said = price_sentence(bay.state, price, seen.at, seen.tz)
    if not price.trouble:  # which says itself what it is about
        said = f"{capital(step_and_zones(job, zones, price.step))}. {said}"
    urgency = Urgency.LAPSED if price.losses or price.trouble else Urgency.WAITING
    return band(alerts, said, urgency, price.undo, capital(step_and_zones(job, zones, price.step)))


def _just_made(bay: Bay, seen: Viewpoint) -> LastTouch | LastMove | None:
    """Return the touch that whoever works at the car has just made, so that a slip is taken back where it was seen."""
    last = bay.state.last_at
    if bay.clock_watch.unsure or last is None or seen.at - last > JUST_MADE * bay.speed:
        return None
    made = [one for one in (last_touch(bay.state, seen.by, seen.tz), last_move(bay.state, seen.by)) if one]
    last_made = max(made, key=lambda one: one.at, default=None)
    return last_made if last_made and seen.at - last_made.at <= JUST_MADE * bay.speed else None


def _without_planner(bay: Bay, at: datetime) -> str:
    """Return that there is no plan, for a while; the plan page says it as long as it is so."""
    out = bay.advice.planner_out
    if out is None or at - out.since > PLANNER_MISSED_SHOWN * bay.speed:
        return ""
    return f"{planner_sentence(out)} {without_plan()}"


def _told(bay: Bay, at: datetime) -> str:
    """Return what is said once of something beside the work, for a while."""
    told = bay.told
    return told.sentence if told and at - told.at < TOLD_SHOWN * bay.speed else ""


def _retimed(bay: Bay, at: datetime, tz: tzinfo) -> str:
    """Return which waits a reading of the last two minutes has moved, or nothing."""
    found = bay.alerts.moved_clocks
    return moved_clocks_text(found, bay.state, tz) if found and at - found.event.at < MOVED_CLOCKS_SHOWN else ""
