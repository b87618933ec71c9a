"""What the large button offers: to finish the work under way, else to begin the best next step."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.bay.held_back import HeldBack
from bayapp.job import BayState, Cover, FinishStep, Job, JobState, Start, StepRun, ZoneClock, gate, handover_at, why_not
from bayapp.job.gate.air_rules import wipe_warning
from bayapp.job.gate.final_check import against_leaving, to_be_seen
from bayapp.job.gate.setting_aside import awaited
from bayapp.job.grounds import BeforeCoat, DewPoint, OverLimit, TimeUnsure
from bayapp.job.model.ids import CarColour, Code, JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.shut_out.shut_out import NOTHING
from bayapp.job.text.air_sentences import advice_text
from bayapp.job.text.naming import (
    elapsed_text,
    left_text,
    minutes_text,
    of_car,
    step_title,
    zones_in_order,
    zones_title,
)
from bayapp.job.text.spot_words import spot_text
from bayapp.job.text.thickness_words import polish_warning
from bayapp.job.verdict import Refusal
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.pages.air.air_holds import AirHold, air_hold_sentence
from bayapp.pages.board.offer_titles import Act, other_car, titles, with_name
from bayapp.pages.board.splash_question import splash_text
from bayapp.pages.board.weighing import WORTH_SAYING, against_brief, against_sentence, coming_sentence, cost_sentence
from bayapp.pages.plan.held_back import held_back_sentence
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.next.recommendation import Pause, Recommendation
from bayapp.text.figures import day_and_time, moment_text
from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class Offer:
    """One button: its words and its request.

    Attributes:
        action: None where there is nothing to press.
        short: for the NEXT flag on the car.
        second: its title where it stands second, after an "or"; empty where that is the title itself.
        costs: it may be begun, but something else will then be too late, or have to wait; ``detail`` says what.
        loud: ``detail`` is to be read from afar, as a warning is.
        brief: the same warning in few words, for a small button; empty where ``detail`` is none.
        hold: it closes the way for others, and must be held.
        elsewhere: it is for another car than the one that the board shows, and names it first.
        colour: the paint of that car, where somebody has told it.
        opens_plan: a touch shows the plan and the ways out of it.
        takes_in: a touch shows the cars, to take one in.
        looks_over: a touch shows the final check of its car.
        asks_time: a touch shows the question what time it is, before which nothing that hangs on time is accepted.
    """

    title: str
    detail: str
    urgency: Urgency
    action: Start | FinishStep | Cover | None = None
    job: JobId | None = None
    zones: tuple[ZoneId, ...] = ()
    short: str = ""
    second: str = ""
    brief: str = ""
    costs: bool = False
    loud: bool = False
    hold: bool = False
    elsewhere: bool = False
    opens_plan: bool = False
    takes_in: bool = False
    looks_over: bool = False
    asks_time: bool = False
    colour: CarColour | None = None

    @property
    def asks(self) -> tuple[object, ...]:
        """What a touch asks for."""
        return self.action, self.opens_plan, self.takes_in, self.looks_over


LOOKED_AT = 12
FORGOTTEN, FORGOTTEN_TIMES = timedelta(minutes=15), 4
"""A step under way for so long, and for so many times what it takes, has been done, and nobody has touched it."""
MENDED = {
    Code.EXPIRED: lambda: _("Another bottle is needed"),
    Code.AIR: lambda: _("The air is in the way"),
}


@dataclass(frozen=True, slots=True)
class Hindrances:
    """What is in the way of the work, and what was chosen against it.

    Attributes:
        troubled: a plan with which something is wrong that nobody has answered.
        holds: coats whose clock is open, and which the air forbids.
        look: asked where there is nothing to do, what is ready and kept from being begun.
        cover: what was chosen as a way out, to be laid as soon as the coat is done.
    """

    troubled: WorkOrder | None = None
    holds: Sequence[AirHold] = ()
    look: Callable[[], HeldBack | None] = lambda: None
    cover: Cover | None = None


NO_HINDRANCES = Hindrances()


def offers(
    state: BayState,
    clocks: Collection[ZoneClock],
    recommendations: Sequence[Recommendation],
    pause: Pause | None,
    seen: Viewpoint,
    hindrances: Hindrances = NO_HINDRANCES,
) -> tuple[Offer, ...]:
    """Return the main offer and the alternatives; never empty. Every car but the one that is seen is named first.

    Args:
        recommendations: what may be begun now, the best first.
        pause: the plan has nothing for them until then.
    """
    if state.machine.asked:
        return (_time_first(state, clocks, seen),)
    troubled, holds, cover = hindrances.troubled, hindrances.holds, hindrances.cover
    under_way = _touches(clocks)
    mine = [_finish(state, touch, seen) for touch in under_way if not _is_anothers(touch, seen.by)]
    opens = {(c.job, c.zone): c.opens_at for c in clocks}
    begin = [_begin(state, c, opens, seen) for c in _whole_first(recommendations)]
    if cover:
        mine = [_then_covered(offer, cover) for offer in mine]
        mine += [_cover(state, cover, seen)] if gate(state, cover, seen.at).accepted else []
    idle = not mine and not begin
    why = held_back_sentence(state, hindrances.look(), seen.at, seen.tz) if idle else ""
    rest = [_rest(state, pause, seen, why)] if pause and not mine else []
    if idle:
        rest = [*_to_mend(state, clocks, seen), *rest]
    elif pause and rest and holds:
        rest = [_no_air(state, pause, holds[0], seen)]
    others = [_finish(state, touch, seen) for touch in under_way if _is_anothers(touch, seen.by)]
    wrong = [_wrong(troubled, bool(under_way))] if troubled else []
    pressing = bool(begin) and begin[0].urgency is Urgency.CLOSING
    if troubled and not troubled.stuck and (pressing or not troubled.ways_out):
        return (*mine, *rest, *begin[:1], *wrong, *begin[1:], *others)  # it can wait: a window closes, or nothing helps
    return (*mine, *wrong, *rest, *begin, *others) or (_nothing(state, clocks, seen, why),)


def _time_first(state: BayState, clocks: Collection[ZoneClock], seen: Viewpoint) -> Offer:
    """Return the one offer while nobody has said what time it is; what is under way is neither done nor lost."""
    why = why_not(Refusal(Code.CLOCK, TimeUnsure(state.machine.asked[0].since)), state, seen.tz)
    under_way = _touches(clocks)
    if under_way:
        first = under_way[0].clocks[0]
        what = step_and_zones(
            state.jobs[first.job].job, tuple(c.zone for c in under_way[0].clocks), under_way[0].run.step
        )
        why = _("{why} Still under way: {step}.").format(why=why, step=what)
    return Offer(_("First: is the clock right?"), why, Urgency.LAPSED, asks_time=True, loud=True)


def _whole_first(found: Sequence[Recommendation]) -> Sequence[Recommendation]:
    """Return what may be begun with the whole before its part, where the whole costs nothing.

    A plan for two people may give one of them five panes of seven, from all round the car: nobody works like that.
    """
    if len(found) < 2:
        return found
    part, whole, *rest = found
    same = (part.advice.job, part.advice.step) == (whole.advice.job, whole.advice.step)
    harms = bool(whole.at_stake) or whole.shuts_out != NOTHING
    if not same or harms or whole.cost is None or whole.cost >= WORTH_SAYING:
        return found
    if not set(part.advice.zones) < set(whole.advice.zones):
        return found
    return (replace(whole, cost=None), part, *rest)


def _no_air(state: BayState, pause: Pause, hold: AirHold, seen: Viewpoint) -> Offer:
    """Return the offer for a pause in which a clock stands open and the air alone forbids its coat."""
    rest = _("Nothing else for {left}.").format(left=left_text(pause.until - seen.at))
    detail = f"{air_hold_sentence(hold, state, seen.tz)} {rest}"
    job = state.jobs[hold.job].job
    detail = of_car(job, detail, len(state.open_jobs))
    return Offer(MENDED[Code.AIR](), detail, Urgency.LAPSED, None, hold.job, hold.zones, loud=True)


def _wrong(order: WorkOrder, under_way: bool) -> Offer:
    """Return the offer that says what is wrong with the plan, and opens its ways out; some come once work is done."""
    ways = len(order.ways_out)
    touch = ngettext(
        "Touch for {n} way out, with what it costs.", "Touch for {n} ways out, with what each costs.", ways
    )
    later = _("A way out may come once what is under way is done. Touch for the plan.")
    none = later if under_way else _("No way out is known. Touch for the plan.")
    detail = touch.format(n=ways) if ways else none
    return Offer(order.trouble, detail, Urgency.LAPSED, opens_plan=True)


def asks_which(state: JobState, start: Start, at: datetime) -> bool:
    """Whether a person must first say which step it will be: several may swap, or one was missed and must be looked at.

    What was missed is carried on with, or done again, by whoever has looked.
    """
    zone = start.zones[0]
    if _to_look_at(state, zone, at):
        return True
    recipe = state.job.recipe_of(zone)
    done = {run.step for run in state.zones[zone].rungs}
    group = recipe.group_of(recipe.position(start.step))
    return sum(recipe.step[p].id not in done for p in group) > 1


def _to_look_at(state: JobState, zone: ZoneId, at: datetime) -> bool:
    return not state.zones[zone].running and ladder_position(state, zone, at).held


def _to_mend(state: BayState, clocks: Collection[ZoneClock], seen: Viewpoint) -> tuple[Offer, ...]:
    """Return what keeps a ready zone from going on, if a person can change it: its bottle, or the air."""
    free = [c for c in clocks if not c.running and not c.out and not c.lapses and not c.blocked_by]
    ready = [(c, c.step) for c in free if c.step and (c.opens_at is None or c.opens_at <= seen.at)]
    for clock, step in ready[:LOOKED_AT]:
        refusal = gate(state, Start(clock.job, (clock.zone,), step, seen.by), seen.at).refusal
        if refusal and refusal.code in MENDED:
            job = state.jobs[clock.job].job
            detail = of_car(job, why_not(refusal, state, seen.tz), len(state.open_jobs))
            return (Offer(MENDED[refusal.code](), detail, Urgency.LAPSED, None, clock.job, (clock.zone,)),)
    return ()


@dataclass(frozen=True, slots=True)
class _Touch:
    """A step under way, on the zones that were begun by one touch."""

    run: StepRun
    clocks: tuple[ZoneClock, ...]


def _touches(clocks: Collection[ZoneClock]) -> list[_Touch]:
    """Return the steps under way, the oldest first."""
    groups: dict[tuple[object, ...], _Touch] = {}
    for clock in clocks:
        if run := clock.running:
            key = (run.started_at, clock.job, clock.step, run.by)
            before = groups[key].clocks if key in groups else ()
            groups[key] = _Touch(run, (*before, clock))
    return [groups[key] for key in sorted(groups, key=lambda key: (key[0], str(key)))]


def _is_anothers(touch: _Touch, by: Person | None) -> bool:
    """Whether somebody else is at it; work without a name, and work seen by nobody in particular, is nobody else's."""
    return by is not None and touch.run.by not in (by, None)


def _finish(state: BayState, touch: _Touch, seen: Viewpoint) -> Offer:
    run, first, zones = touch.run, touch.clocks[0], tuple(c.zone for c in touch.clocks)
    job = state.jobs[first.job].job
    car = other_car(state, job, seen.car)
    words = titles(Act.DONE, with_name(step_and_zones(job, zones, run.step), job, run.by), car)
    elapsed = elapsed_text(seen.at - run.started_at)
    if first.lapses_at and seen.at <= first.lapses_at:
        detail = _("The levelling window closes in {left}. Touch when the last stroke is laid.").format(
            left=left_text(first.lapses_at - seen.at)
        )
    elif _is_anothers(touch, seen.by):
        template = _("{person} has been at it for {elapsed}. Touch when it is done; {by} is recorded beside.")
        detail = template.format(person=run.by, elapsed=elapsed, by=seen.by)
    else:
        detail = _("Under way for {elapsed}. Touch when it is done.").format(elapsed=elapsed)
    if seen.at - run.started_at > max(FORGOTTEN, FORGOTTEN_TIMES * (usual := _usual(job, zones, run.step))):
        words_of = _(
            "Under way for {elapsed}, usually {usual}. Done long ago? Touch, then put its time right on the zone."
        )
        detail = words_of.format(elapsed=elapsed, usual=minutes_text(max(1, round(usual / timedelta(minutes=1)))))
    action = FinishStep(first.job, zones, run.step, seen.by)
    return Offer(
        words.first,
        detail if car else of_car(job, detail, len(state.open_jobs)),
        Urgency.WORKING,
        action,
        first.job,
        zones,
        _("touch when done"),
        words.second,
        elsewhere=bool(car),
        colour=job.colour,
    )


def _then_covered(offer: Offer, cover: Cover) -> Offer:
    """Return what ends the coat that is to be covered with what is done then."""
    if offer.job != cover.job or not set(offer.zones) & set(cover.zones):
        return offer
    return replace(offer, detail=_("{detail} Then cover it.").format(detail=offer.detail))


def _cover(state: BayState, cover: Cover, seen: Viewpoint) -> Offer:
    """Return the offer to say that a coat is covered, which was chosen as a way out."""
    job = state.jobs[cover.job].job
    zones, car = zones_in_order(job, cover.zones), other_car(state, job, seen.car)
    title = with_name(_("Cover: {zones}").format(zones=zones), job, cover.by)
    title = _("{car}, cover: {zones}").format(car=car, zones=zones) if car else title
    detail = _("Tent it, touch nothing. Touch when it is covered.")
    return Offer(
        title, detail, Urgency.WORKING, cover, cover.job, cover.zones, _("touch when covered"), elsewhere=bool(car)
    )


def _usual(job: Job, zones: tuple[ZoneId, ...], step: StepId) -> timedelta:
    """Return how long a step of these zones takes by their recipe."""
    return timedelta(minutes=job.recipe_of(zones[0]).named(step).minutes) * len(zones)


def step_and_zones(job: Job, zones: tuple[ZoneId, ...], step: StepId) -> str:
    """Return what a person calls a step of these zones: "coat, left side glass"."""
    return _("{step}, {zones}").format(step=step_title(job.recipe_of(zones[0]), step), zones=zones_title(job, zones))


def _begin(
    state: BayState,
    recommendation: Recommendation,
    opens: Mapping[tuple[JobId, ZoneId], datetime | None],
    seen: Viewpoint,
) -> Offer:
    advice, coming = recommendation.advice, recommendation.coming
    job, hold = state.jobs[advice.job].job, recommendation.shuts_out.closes_the_way
    car = other_car(state, job, seen.car)
    what = with_name(step_and_zones(job, advice.zones, advice.step), job, seen.by)
    words = titles(Act.HOLD if hold else Act.BEGIN, what, car)
    against = against_sentence(state, recommendation, seen.by, seen.at, seen.tz)
    fills = coming_sentence(state, recommendation, opens.get((coming.job, coming.zone)), seen.at) if coming else ""
    warned = warned_before_wipe(wipe_warning(state, state.jobs[advice.job], advice.zones[0], advice.step, seen.at))
    for_it = cost_sentence(recommendation) or _reason(state, recommendation, fills, seen.at, how=not warned)
    start = Start(advice.job, advice.zones, advice.step, seen.by)
    asked = _asked(state, start, seen)  # what is asked matters more than how it is done
    detail = f"{asked} {against}".strip() if asked else f"{warned} {against or for_it}".strip()
    paint = polish_warning(state, state.jobs[advice.job], advice.zones, advice.step)
    paint = f"{paint} {spot_text(state.jobs[advice.job], advice.zones, advice.step)}".strip()
    detail = f"{paint} {detail}".strip()
    return Offer(
        words.first,
        detail if car or against else of_car(job, detail, len(state.open_jobs)),
        Urgency.LAPSED if recommendation.losses else advice.urgency,
        start,
        advice.job,
        advice.zones,
        step_title(job.recipe_of(advice.zones[0]), advice.step),
        words.second,
        brief="" if asked else against_brief(state, recommendation, seen.at, seen.tz),
        costs=bool(against),
        loud=bool(against),
        hold=hold,
        elsewhere=bool(car),
        colour=job.colour,
    )


def _asked(state: BayState, start: Start, seen: Viewpoint) -> str:
    """Return what a wet step asks first: whether its water reaches another car."""
    if len(state.open_jobs) < 2 or not state.jobs[start.job].job.recipe_of(start.zones[0]).named(start.step).makes_wet:
        return ""
    return splash_text(gate(state, start, seen.at), state, seen.at, seen.tz)


def warned_before_wipe(warning: Refusal | None) -> str:
    """Return in a few words why the coat after this wipe could not be laid now; empty if it could."""
    if warning is None or not isinstance(warning.grounds, BeforeCoat):
        return ""
    doubt = warning.grounds.doubt
    if isinstance(doubt, DewPoint | OverLimit):
        return _("Not right for its coat yet. {advice}").format(advice=advice_text(doubt.fitness))
    return _("Read the air first: its coat asks for that.")


def _reason(state: BayState, recommendation: Recommendation, fills: str, at: datetime, how: bool = True) -> str:
    """Return why this is next: it closes soonest, fills another's wait, or has waited longest."""
    advice = recommendation.advice
    step = state.jobs[advice.job].job.recipe_of(advice.zones[0]).named(StepId(advice.step))
    how_text = f" {step.how}" if how and step.how else ""
    if _to_look_at(state.jobs[advice.job], advice.zones[0], at):
        return _("Its moment was missed: look at it first. Touch to choose.")
    if advice.urgency is Urgency.LAPSED:
        return _("Its moment was missed; this mends it.") + how_text
    if advice.lapses_at:
        return _("Closes in {left}.").format(left=left_text(advice.lapses_at - at)) + how_text
    if fills:
        return fills + how_text
    waited = at - advice.waited_since
    if waited.total_seconds() < 60:
        return _("Free to begin.") + how_text
    return _("Free to begin for {waited}.").format(waited=elapsed_text(waited)) + how_text


def _rest(state: BayState, pause: Pause, seen: Viewpoint, why: str) -> Offer:
    """Return the offer for a pause that the plan has for this person: until when, what comes then, and ``why``."""
    step = pause.step
    job = state.jobs[step.job].job
    detail = _("Then: {step}, {zones}, at {time}.").format(
        step=step_title(job.recipe_of(step.zone), step.step),
        zones=zones_title(job, (step.zone,)),
        time=moment_text(pause.until, seen.at, seen.tz, seconds=True),
    )
    title = with_name(_("Nothing to do for {left}").format(left=left_text(pause.until - seen.at)), job, seen.by)
    detail = f"{of_car(job, detail, len(state.open_jobs))} {why}".strip()
    return Offer(title, detail, Urgency.WAITING, None, step.job, (step.zone,))


def _nothing(state: BayState, clocks: Collection[ZoneClock], seen: Viewpoint, why: str) -> Offer:
    """Nothing can be begun: say what opens first and ``why``, or from when the car may be handed over."""
    waiting = [(c.opens_at, c.step, c) for c in clocks if c.urgency is Urgency.WAITING and c.opens_at and c.step]
    if waiting:
        opens_at, step, first = min(waiting, key=lambda one: one[0])
        job = state.jobs[first.job].job
        zones = tuple(c.zone for opens, its, c in waiting if (c.job, its, opens) == (first.job, step, opens_at))
        title = _("Nothing to do for {left}").format(left=left_text(opens_at - seen.at))
        detail = _("Next: {step}, {zones}, at {time}.").format(
            step=step_title(job.recipe_of(first.zone), step),
            zones=zones_title(job, zones),
            time=moment_text(opens_at, seen.at, seen.tz, seconds=True),
        )
        return Offer(title, f"{detail} {why}".strip(), Urgency.WAITING, None, first.job, zones)
    return _all_done(state, clocks, seen, why)


def _all_done(state: BayState, clocks: Collection[ZoneClock], seen: Viewpoint, why: str) -> Offer:
    if not state.open_jobs:
        return Offer(_("No car in the bay"), _("Touch here to take one in."), Urgency.IDLE, takes_in=True)
    if any(c.step and not c.out for c in clocks):
        return Offer(_("Nothing can be begun now"), why or _("Touch a zone to see why."), Urgency.IDLE)
    if (look := _to_look_over(state, seen)) is not None:
        return look
    aside = _aside(state)
    moments = [handover_at(job) for job in state.open_jobs]
    if not all(moments):
        unfinished = any(job.aside.keys() & set(awaited(job)) for job in state.open_jobs)
        why = _("There is no moment to hand over: a coat or masking is on a zone that is set aside.")
        return Offer(_("Nothing is left for today"), f"{why} {aside}" if unfinished else aside, Urgency.IDLE)
    latest = max(moment for moment in moments if moment)
    if latest <= seen.at:
        return Offer(_("All done"), f"{_('The car may be handed over.')} {aside}".strip(), Urgency.FINISHED)
    handover = _("The car may be handed over from {time}, in {left}.").format(
        time=day_and_time(latest, seen.tz), left=left_text(latest - seen.at)
    )
    return Offer(_("All done; keep it dry"), f"{handover} {aside}".strip(), Urgency.FINISHED)


def _to_look_over(state: BayState, seen: Viewpoint) -> Offer | None:
    """Return the way to the final check of a car that still wants it, the one that is seen first."""
    wanting = [job for job in state.open_jobs if against_leaving(job)]
    found = sorted(wanting, key=lambda job: job.job.id != seen.car)
    if not found:
        return None
    car = found[0]
    left = len(to_be_seen(car))
    words = ngettext("{n} zone is to be seen by light.", "{n} zones are to be seen by light.", left).format(n=left)
    title = of_car(car.job, _("Final check"), len(state.open_jobs))
    return Offer(title, words, Urgency.OPEN, job=car.job.id, looks_over=True)


def _aside(state: BayState) -> str:
    """Return which zones are set aside, so that nobody thinks that they are done."""
    names = [zones_title(job.job, job.aside) for job in state.open_jobs if job.aside]
    return _("Set aside: {zones}.").format(zones=", ".join(names)) if names else ""
