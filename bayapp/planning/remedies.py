"""What might help where not every wait can be kept, one row a remedy: what to try it on, and what one touch asks."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from bayapp.job.gate.bay_facts import fresh_coat
from bayapp.job.model.ids import JobId, Person, PlaceId, StepId, StepKind, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.requests import (
    CloseSet,
    Cover,
    MoveCar,
    Request,
    SendBack,
    SetAside,
    StayLonger,
    TakeUp,
    Undo,
    UndoMove,
)
from bayapp.job.state.state import BayState, JobState
from bayapp.job.waits.bans import bans, stopped
from bayapp.job.waits.ladder_position import ladder_position, rework_rung
from bayapp.job.waits.waits import NotBegun
from bayapp.planning.circles import Circle
from bayapp.planning.core.work_order import Remedy, WayOut
from bayapp.planning.from_bay.situation import Situation
from bayapp.text.language import _

if TYPE_CHECKING:  # the wall loads this for its buttons, and searches for nothing
    from bayapp.planning.relaxation import Relaxed

MINUTE_S = 60
STAY_STEP_S = 5 * MINUTE_S


@dataclass(frozen=True, slots=True)
class Trouble:
    """What cannot be kept in a situation.

    Attributes:
        settled: the plan that gives up least; without steps where there is none.
        circles: open coats and the work that waits for them and that they wait for.
    """

    situation: Situation
    settled: "Relaxed"
    circles: tuple[Circle, ...] = ()


@dataclass(frozen=True, slots=True)
class Touch:
    """One touch that might help: the remedy, and what it is done to; ``once``: as soon as that step of it is done."""

    remedy: Remedy
    job: JobId
    zones: tuple[ZoneId, ...] = ()
    step: StepId | None = None
    to: PlaceId | None = None
    until: datetime | None = None
    once: StepId | None = None

    @classmethod
    def of(cls, way: WayOut) -> "Touch":
        """Return the touch that a way out is."""
        return cls(way.remedy, way.job, way.zones, way.step, way.to, way.until, way.once)


@dataclass(frozen=True, slots=True)
class Row:
    """One remedy.

    Attributes:
        tried_on: what it might be done to, the most promising first.
        request: what the touch asks for; None where it only says that the loss is taken.
        back: what takes it back, on the state before it.
        price_s, zone_price_s: what the touch and each of its zones cost on top of time lost and work done twice.
    """

    tried_on: Callable[[Trouble], Iterator[Touch]]
    request: Callable[[Touch, Person | None], Request | None]
    back: Callable[[Touch, JobState, Person | None], Request | None]
    price_s: int = 0
    zone_price_s: int = 0


def request_of(touch: Touch, by: Person | None) -> Request | None:
    """Return what a touch on a way out asks the gate for; None where nothing is to be asked, or not yet."""
    return None if touch.once else REMEDIES[touch.remedy].request(touch, by)


def back_from(touch: Touch, state: BayState, by: Person | None) -> Request | None:
    """Return what takes a touch back that is about to be made on this state; None where it asks for nothing yet."""
    return None if touch.once else REMEDIES[touch.remedy].back(touch, state.jobs[touch.job], by)


def _lost(trouble: Trouble) -> Iterator[Touch]:
    """Take the loss, where a plan goes on without it."""
    settled = trouble.settled
    for job in dict.fromkeys(loss.job for loss in settled.losses):
        zones = tuple(dict.fromkeys(loss.zone for loss in settled.losses if loss.job == job))
        first = min((loss for loss in settled.losses if loss.job == job), key=lambda loss: loss.lapses_at)
        yield Touch(Remedy.GO_ON, job, zones, first.step)
        return  # all losses are taken together


def _left_lying(trouble: Trouble) -> Iterator[Touch]:
    """Work zones again that were set aside: those with an open coat first, then all of a car."""
    for job in trouble.situation.state.open_jobs:
        coated = tuple(zone for zone in job.aside if fresh_coat(job, zone, trouble.situation.at))
        yield from _touches(Remedy.TAKE_UP, job, coated, tuple(job.aside))


def _covered(trouble: Trouble) -> Iterator[Touch]:
    """Cover the coats that wait in a circle, all of a car and each by itself; then every fresh coat, even set aside.

    A coat that is just being laid is covered as soon as it is done.
    """
    coated = [circle.coated for circle in trouble.circles]
    for job in trouble.situation.state.open_jobs:
        lying = tuple(zone for zone in job.zones if fresh_coat(job, zone, trouble.situation.at))
        fresh = tuple(zone for zone in lying if zone not in job.aside)
        mine = tuple(zone for zone in fresh if (job.job.id, zone) in coated)
        for touch in _touches(Remedy.COVER, job, mine, *((zone,) for zone in mine), fresh, lying):
            yield replace(touch, once=_being_laid(job, touch.zones))


def _being_laid(job: JobState, zones: tuple[ZoneId, ...]) -> StepId | None:
    """Return the coat that is under way on one of these zones, if any is."""
    for zone in zones:
        run = job.zones[zone].running
        if run and job.job.recipe_of(zone).named(run.step).kind is StepKind.COAT:
            return run.step
    return None


def _by_itself(trouble: Trouble) -> Iterator[Touch]:
    """Close a set early for the coats that wait in a circle, those that wait for the same step by one touch."""
    for job in trouble.situation.state.open_jobs:
        steps: dict[StepId, list[ZoneId]] = {}
        for of, zone in (circle.coated for circle in trouble.circles):
            if of == job.job.id and not job.zones[zone].running:
                stands = ladder_position(job, zone, trouble.situation.at)
                if isinstance(stands.window, NotBegun):
                    step = StepId(job.job.recipe_of(zone).step[stands.next_places[0]].id)
                    steps.setdefault(step, []).append(zone)
        for step, zones in steps.items():
            yield Touch(Remedy.BY_ITSELF, job.job.id, tuple(zones), step)


def _again(trouble: Trouble) -> Iterator[Touch]:
    """Take the coats off again that wait in a circle, those of one rung by one touch."""
    for job in trouble.situation.state.open_jobs:
        rungs: dict[StepId, list[ZoneId]] = {}
        for of, zone in (circle.coated for circle in trouble.circles):
            if of != job.job.id:
                continue
            recipe = job.job.recipe_of(zone)
            first = next((p for p, s in enumerate(recipe.step) if s.kind is StepKind.COAT), 0)
            back = recipe.step[rework_rung(recipe, first)]
            if first and not bans(job, zone, back, trouble.situation.at):
                rungs.setdefault(StepId(back.id), []).append(zone)
        for step, zones in rungs.items():
            yield Touch(Remedy.REWORK, job.job.id, tuple(zones), step)


def _longer(trouble: Trouble) -> Iterator[Touch]:
    """Stay until the work is done that a plan has after hours, rounded up to five minutes."""
    settled = trouble.settled
    if settled.overtime and settled.plan.makespan_s is not None and not settled.losses:
        until = settled.work.moment(-(-settled.plan.makespan_s // STAY_STEP_S) * STAY_STEP_S)
        for job in trouble.situation.state.open_jobs[:1]:
            yield Touch(Remedy.STAY, job.job.id, until=until)


def _elsewhere(trouble: Trouble) -> Iterator[Touch]:
    """Move a car away from another, to a free bay, or outside if no coat lies open on it."""
    state = trouble.situation.state
    taken = {job.place for job in state.open_jobs}
    free = [bay.id for bay in state.places.bays if bay.id not in taken]
    if len(state.open_jobs) < 2 or not state.places.bays:
        return
    for job in state.open_jobs:
        bare = not any(fresh_coat(job, zone, trouble.situation.at) for zone in job.zones)
        for place in (*free, *([OUTSIDE] if bare and job.place != OUTSIDE else [])):
            yield Touch(Remedy.MOVE, job.job.id, to=place)


def _not_today(trouble: Trouble) -> Iterator[Touch]:
    """Leave out what waits in a circle, then what is lost, then a block, then all of a car that can be left."""
    state, settled = trouble.situation.state, trouble.settled
    barred = [(r.job, r.zone) for circle in trouble.circles for r in circle.barred]
    lost = [(loss.job, loss.zone) for loss in settled.losses]
    for job in state.open_jobs:
        free = [zone for zone in job.zones if _may_wait(job, zone, trouble.situation.at)]
        name = job.job.id
        groups = [
            [zone for zone in free if (name, zone) in barred],
            [zone for zone in free if (name, zone) in lost],
            *([zone] for zone in free if (name, zone) in lost),
            *([zone for zone in free if zone in block.zones] for block in job.job.blocks),
            free,
        ]
        yield from _touches(Remedy.ASIDE, job, *(tuple(group) for group in groups))


def _may_wait(job: JobState, zone: ZoneId, at: datetime) -> bool:
    """Whether a zone that is worked today can be left for another day without a coat lying open on it."""
    if zone in job.aside or job.zones[zone].running or fresh_coat(job, zone, at):
        return False
    return stopped(job, zone, ladder_position(job, zone, at).next_places, at) is None


def _touches(remedy: Remedy, job: JobState, *groups: tuple[ZoneId, ...]) -> Iterator[Touch]:
    for zones in dict.fromkeys(group for group in groups if group):
        yield Touch(remedy, job.job.id, zones)


REMEDIES: Mapping[Remedy, Row] = {
    Remedy.GO_ON: Row(_lost, lambda touch, by: None, lambda touch, job, by: None),
    Remedy.TAKE_UP: Row(
        _left_lying,
        lambda touch, by: TakeUp(touch.job, touch.zones, by),
        lambda touch, job, by: SetAside(touch.job, touch.zones, job.aside.get(touch.zones[0], _("another day")), by),
    ),
    Remedy.COVER: Row(
        _covered,
        lambda touch, by: Cover(touch.job, touch.zones, by),
        lambda touch, job, by: Undo(touch.job, touch.zones, by),
        zone_price_s=5
        * MINUTE_S,  # to put it on, to take it off, and to fear for the coat (common practice, no source)
    ),
    Remedy.BY_ITSELF: Row(
        _by_itself,
        lambda touch, by: CloseSet(touch.job, touch.zones, by),
        lambda touch, job, by: Undo(touch.job, touch.zones, by),
        zone_price_s=2 * MINUTE_S,  # light falls otherwise on what is buffed alone (common practice, no source)
    ),
    Remedy.REWORK: Row(
        _again,
        lambda touch, by: SendBack(touch.job, touch.zones, touch.step or StepId(""), _("coated too soon"), by),
        lambda touch, job, by: Undo(touch.job, touch.zones, by),
        zone_price_s=5 * MINUTE_S,  # what is in the bottle, and the surface once more (common practice, no source)
    ),
    Remedy.STAY: Row(
        _longer,
        lambda touch, by: StayLonger(touch.until, by),
        lambda touch, job, by: StayLonger(None, by),
        price_s=15 * MINUTE_S,  # an evening is dearer than an hour of the day (common practice, no source)
    ),
    Remedy.MOVE: Row(
        _elsewhere,
        lambda touch, by: MoveCar(touch.job, touch.to, by),
        lambda touch, job, by: UndoMove(touch.job, by),
        price_s=10 * MINUTE_S,  # somebody drives it over, and its dust with it (common practice, no source)
    ),
    Remedy.ASIDE: Row(
        _not_today,
        lambda touch, by: SetAside(touch.job, touch.zones, _("not every wait could be kept"), by),
        lambda touch, job, by: TakeUp(touch.job, touch.zones, by),
        zone_price_s=30 * MINUTE_S,  # somebody comes again for it (common practice, no source)
    ),
}
