"""What is wrong with the plan in one sentence, and up to three ways out with what each costs."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

from bayapp.job import BayState, Job
from bayapp.job.model.ids import Person
from bayapp.job.model.place import NO_PLACES, Places
from bayapp.job.state.requests import Request
from bayapp.job.text.naming import capital, kind_words, of_car, place_title, zones_in_order
from bayapp.planning.core.work_order import Remedy, WayOut, WorkOrder
from bayapp.planning.remedies import Touch, back_from, request_of
from bayapp.text.figures import clock_time, length_text, moment_text
from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class WayButton:
    """One way out: its words, what it asks for, and what takes it back.

    It asks for nothing where a loss is taken, nor where it is ``later``: once what is under way is done, the board
    offers it.
    """

    title: str
    detail: str
    request: Request | None
    back: Request | None
    later: WayOut | None = None


@dataclass(frozen=True, slots=True)
class WaysOutView:
    """What is wrong, and the ways out, the cheapest first."""

    sentence: str
    ways: tuple[WayButton, ...]


def ways_out_page(state: BayState, order: WorkOrder, by: Person | None, at: datetime, tz: tzinfo) -> WaysOutView:
    """Return what stands on the page; a way out about a car that has left is left out."""
    known = [way for way in order.ways_out if way.job in state.jobs and state.jobs[way.job].closed_at is None]
    return WaysOutView(order.trouble, tuple(_button(state, way, by, at, tz) for way in known))


def _button(state: BayState, way: WayOut, by: Person | None, at: datetime, tz: tzinfo) -> WayButton:
    touch = Touch.of(way)
    crew = state.jobs[way.job].job.crew
    who = by if by in crew else None  # somebody of another car's crew may stand here
    job = state.jobs[way.job].job
    title = way_title(job, way, state.places, tz)
    if way.zones:  # of a car; another names its car itself, or is about none
        title = of_car(job, title, len(state.open_jobs))
    detail, request, back = cost_text(way, at, tz), request_of(touch, who), back_from(touch, state, who)
    if way.once:
        detail = _("{costs} The board offers it once the coat is done.").format(costs=detail)
    return WayButton(title, detail, request, back, way if way.once else None)


def way_title(job: Job, way: WayOut, places: Places = NO_PLACES, tz: tzinfo = UTC) -> str:
    """Return what a way out does: "Set aside: left side glass"."""
    zones = zones_in_order(job, way.zones) if way.zones else ""
    if way.remedy is Remedy.GO_ON:
        step = job.recipe_of(way.zones[0]).named(way.step) if way.step else None
        return _("Let it go: {step}, {zones}").format(step=kind_words(step.kind), zones=zones) if step else zones
    if way.remedy is Remedy.MOVE:
        return _("Move {car}: {place}").format(car=job.name, place=place_title(places, way.to))
    if way.remedy is Remedy.COVER:
        words = _("Cover as soon as coated: {zones}") if way.once else _("Cover: {zones}")
        return words.format(zones=zones)
    if way.remedy is Remedy.BY_ITSELF and way.step:
        step = job.recipe_of(way.zones[0]).named(way.step)
        return _("{step} by itself: {zones}").format(step=capital(kind_words(step.kind)), zones=zones)
    if way.remedy is Remedy.REWORK and way.step:
        step = job.recipe_of(way.zones[0]).named(way.step)
        return _("{step} again: {zones}").format(step=capital(kind_words(step.kind)), zones=zones)
    if way.remedy is Remedy.STAY and way.until:
        return _("Stay until {time}").format(time=clock_time(way.until, tz, seconds=False))
    if way.remedy is Remedy.TAKE_UP:
        return _("Take up again: {zones}").format(zones=zones)
    return _("Set aside: {zones}").format(zones=zones)


def cost_text(way: WayOut, at: datetime, tz: tzinfo) -> str:
    """Return what a way out costs, then when all would be finished: "6 zones another day. Work done at 08:58"."""
    costs, zones = [], len(way.zones)
    if way.remedy is Remedy.STAY:
        costs.append(_("work after hours"))
    if way.remedy is Remedy.MOVE:
        costs.append(_("a car moved"))
    if way.remedy is Remedy.COVER:
        costs.append(ngettext("{n} zone covered", "{n} zones covered", zones).format(n=zones))
    if way.remedy is Remedy.ASIDE:
        costs.append(ngettext("{n} zone another day", "{n} zones another day", zones).format(n=zones))
    if way.rework_s:
        costs.append(_("{length} of work done twice").format(length=_minutes(way.rework_s)))
    if way.later_s >= 60:
        costs.append(_("{length} later").format(length=_minutes(way.later_s)))
    cost = _("Costs: {costs}.").format(costs=", ".join(costs)) if costs else _("Costs nothing.")
    finished = _("Work done at {time}.").format(time=moment_text(way.finish, at, tz))
    return " ".join(part for part in (cost, finished, way.still) if part)


def _minutes(seconds: int) -> str:
    """Return a length in whole minutes, rounded up: what it costs is never understated."""
    return length_text(timedelta(minutes=-(-seconds // 60)))
