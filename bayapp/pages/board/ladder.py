"""The ladder of a zone or set: what is done, what runs, what comes next and whether it may begin."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from enum import StrEnum

from bayapp.bay import Bay
from bayapp.job import (
    FinishStep,
    Job,
    JobState,
    Recipe,
    Start,
    StepRun,
    TakeUp,
    Undo,
    Verdict,
    ZoneClock,
    ZoneState,
    first_why_not,
    why_not,
    zone_clock,
)
from bayapp.job.clocks import surface
from bayapp.job.doubted_coats import DoubtedCoat, doubted_coats, doubted_mark, doubted_text
from bayapp.job.gate.bay_facts import dust_free_at
from bayapp.job.gate.spoilt_wipes import spoilt_wipe
from bayapp.job.gate.stock import Stock
from bayapp.job.grounds import Why
from bayapp.job.model.ids import JobId, Motion, Stage, StepId, Urgency, ZoneId
from bayapp.job.state.state import Lapse
from bayapp.job.text.mark_words import mark_lines, mark_title
from bayapp.job.text.naming import capital, elapsed_text, left_text, motion_words, step_title, wait_text, zones_title
from bayapp.job.text.spot_words import spot_text
from bayapp.job.text.thickness_words import polish_warning
from bayapp.job.waits.cure import Cure
from bayapp.pages.air.air_words import careful_note, clock_air_text, present_wait_text
from bayapp.pages.board.aids import AidButton, aid_text, aids, covering_caution
from bayapp.pages.board.clock_column import Track, doubt_note, track_of, words_of
from bayapp.pages.board.correction import latest_run, undoes_correction
from bayapp.pages.board.next_step import warned_before_wipe
from bayapp.pages.board.offer_titles import Act, titles, with_name
from bayapp.pages.board.splash_question import splash_text
from bayapp.pages.board.weighing import against_sentence, price_sentence
from bayapp.pages.plan.planned_later import planned_later_text
from bayapp.pages.shelf.shelf import bottle_line
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.next.recommendation import Recommendation
from bayapp.text.figures import clock_time, day_and_time, day_of_month, moment_text
from bayapp.text.language import _, ngettext

MOST_GROUPS = 4


class RungState(StrEnum):
    """Whether a rung is done, running, next or later."""

    DONE = "done"
    RUNNING = "running"
    NEXT = "next"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class RungRow:
    """One step of the ladder, with the surface as it looks once the step is done."""

    step: StepId
    title: str
    detail: str
    time: str
    state: RungState
    stage: Stage
    layers: tuple[Motion, ...]
    deviated: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Zones that can be worked by one touch: one zone, or a set that it belongs to."""

    title: str
    zones: tuple[ZoneId, ...]
    chosen: bool


@dataclass(frozen=True, slots=True)
class SwapChoice:
    """A step that may come next if several may swap."""

    step: StepId
    title: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Button:
    """The large button: enabled, or refused with the reason; a long press on a refusal asks for a deviation.

    ``deviation``: the request that overrides the refusal; ``restful``: there is no hurry to touch it; ``costs``: the
    detail says what it would make too late or keep waiting; ``hold``: it closes the way for others, and must be held.
    """

    title: str
    detail: str
    urgency: Urgency
    action: Start | FinishStep | TakeUp | None
    refused: bool
    deviation: Start | FinishStep | None = None
    costs: bool = False
    hold: bool = False

    @property
    def restful(self) -> bool:
        return isinstance(self.action, TakeUp)


@dataclass(frozen=True, slots=True)
class LadderView:
    """All that a ladder shows at one instant."""

    title: str
    subtitle: str
    job: JobId
    zones: tuple[ZoneId, ...]
    groups: tuple[Group, ...]
    rungs: tuple[RungRow, ...]
    label: str
    digits: str
    urgency: Urgency
    fraction: float
    track: Track | None
    earliest: str
    latest: str
    planned: str
    air: str
    how: str
    caution: str
    covering: str
    notes: tuple[str, ...]
    choices: tuple[SwapChoice, ...]
    aids: tuple[AidButton, ...]
    button: Button
    undo: Undo | None
    undo_text: str
    may_correct: bool
    may_set_aside: bool
    may_note: bool


def ladder(bay: Bay, job_id: JobId, zones: tuple[ZoneId, ...], chosen: StepId | None, seen: Viewpoint) -> LadderView:
    """Return the ladder of these zones, as it is for the one of them that is least advanced.

    Zones that are elsewhere on their ladders are left out: one touch does one step. Zones set aside have a ladder of
    their own.
    ``chosen`` is the step picked among those that may swap.
    """
    by, at, tz = seen.by, seen.at, seen.tz
    state = bay.state.jobs[job_id]
    clocks = [zone_clock(state, zone, at) for zone in zones]
    lead = min(clocks, key=lambda c: (c.out, len(state.zones[c.zone].rungs)))
    zones = tuple(c.zone for c in clocks if _in_step(c, lead))
    recipe = state.job.recipe_of(lead.zone)
    step = chosen if chosen in lead.choices else lead.step
    today = None if lead.aside else step
    button = _button(bay, state, zones, lead, step, seen)
    sure = not bay.clock_watch.unsure  # else the large button says why nothing is taken
    offered = tuple(aids(bay, state, zones, lead.step, seen)) if sure else ()
    label, digits = words_of(lead, at)
    last = state.zones[lead.zone]
    return LadderView(
        title=capital(zones_title(state.job, zones)),
        subtitle=_with_water(last, _subtitle(state, lead, at, tz), at, tz),
        job=job_id,
        zones=zones,
        groups=_groups(state, zones, lead, at),
        rungs=_rungs(state, lead, _doubted_here(bay, state, lead.zone), tz),
        label=label,
        digits=digits,
        urgency=lead.urgency,
        fraction=lead.fraction_left(at),
        track=track_of(lead, at),
        earliest=_("earliest {time}").format(time=clock_time(lead.opens_at, tz)) if lead.opens_at else "",
        latest=_("latest {time}").format(time=clock_time(lead.lapses_at, tz)) if lead.lapses_at else "",
        planned=_planned(bay, button, seen),
        air=" ".join(line for line in (doubt_note(lead), clock_air_text(lead), careful_note(lead)) if line),
        how=_how(bay, recipe, lead, today, at),
        caution=f"{polish_warning(bay.state, state, zones, today)} {_caution(state.job, recipe, today)}".strip(),
        covering=covering_caution(offered),
        notes=(*mark_lines(state, zones, at, tz), *_doubts(bay, state, zones, tz), *_notes(state, zones, tz)),
        choices=_choices(recipe, lead, step),
        aids=offered,
        button=button,
        undo=Undo(job_id, zones, by) if sure and all(state.zones[z].before for z in zones) and not lead.aside else None,
        undo_text=_undo_text(recipe, last, tz),
        may_correct=sure and latest_run(last) is not None,
        may_set_aside=sure and lead.step is not None and not lead.running and not lead.aside,
        may_note=sure,
    )


def _planned(bay: Bay, button: Button, seen: Viewpoint) -> str:
    """Return for what a step waits that could be begun now and that the plan has later."""
    start = button.action
    if not isinstance(start, Start) or button.refused:
        return ""
    found = bay.advice.planned_later(start.job, start.zones[0], start.step, seen.at)
    return planned_later_text(bay.state, found, seen.by, seen.at, seen.tz) if found else ""


def _how(bay: Bay, recipe: Recipe, lead: ZoneClock, step: StepId | None, at: datetime) -> str:
    """Return how a step is done, after its bottle if the shelf knows one."""
    if step is None:
        return ""
    shelf, asked = Stock(bay.state, at), recipe.named(step)
    used = bay.state.shelf.bottles.get(lead.running.bottle) if lead.running and lead.running.bottle else None
    bottle = used or (None if lead.running else shelf.in_hand(asked.product))
    return f"{bottle_line(bottle)}. {asked.how or ''}".strip() if bottle else asked.how or ""


def _missed(recipe: Recipe, clock: ZoneClock, at: datetime, tz: tzinfo) -> str:
    """Return what was missed first, by when it was due, and what that costs."""
    first = clock.lapses[0]
    time = moment_text(first.lapsed_at, at, tz)
    due = _("{step} was due by {time}.").format(step=capital(step_title(recipe, first.step)), time=time)
    if clock.held or clock.step is None:
        return due
    return _("{due} So it is again: {step}.").format(due=due, step=step_title(recipe, StepId(clock.step)))


def _subtitle(state: JobState, clock: ZoneClock, at: datetime, tz: tzinfo) -> str:
    said = _stands(state.job.recipe_of(clock.zone), clock, spoilt_wipe(state, clock.zone), at, tz)
    free = dust_free_at(state, clock.zone, at)
    if free is not None and free > at:
        said = _("No dust until {time}. {said}").format(said=capital(said), time=moment_text(free, at, tz))
    if clock.covered is None:
        return said
    since = moment_text(clock.covered.at, at, tz)
    return _("{said}, covered since {since}").format(said=said.rstrip("."), since=since)


def _done(cure: Cure | None, at: datetime, tz: tzinfo) -> str:
    """Return what holds on a finished zone: until when it is kept dry, and not washed."""
    said = [_("Done.")]
    if cure and cure.dry_until:
        dry = _("Keep dry until {time}.") if at < cure.dry_until else _("May get wet since {time}.")
        said.append(dry.format(time=day_and_time(cure.dry_until, tz)))
    if cure and cure.full_cure_at and at < cure.full_cure_at:
        said.append(_("Fully cured {day}: no wash before.").format(day=day_of_month(cure.full_cure_at, tz)))
    return " ".join(said)


def _spoilt(lapse: Lapse, at: datetime, tz: tzinfo) -> str:
    """Return what came over a wipe, and when."""
    time = moment_text(lapse.lapsed_at, at, tz)
    return _("Dust or water came over it at {time}. So it is wiped again.").format(time=time)


def _with_water(zone: ZoneState, said: str, at: datetime, tz: tzinfo) -> str:
    """Return what is said of a zone after when it got wet, or was seen and found good."""
    if zone.wet and zone.may_have_spots:
        wet = moment_text(zone.wet.at, at, tz)
        return _("Got wet at {time}: look for water spots. {said}").format(time=wet, said=said)
    if zone.passed:
        return _("{said} Seen by light at {time}: good.").format(said=said, time=moment_text(zone.passed.at, at, tz))
    return said


def _stands(recipe: Recipe, clock: ZoneClock, spoilt: Lapse | None, at: datetime, tz: tzinfo) -> str:
    """Return how far the zone has got."""
    if clock.step is None:
        return _done(clock.cure, at, tz)
    if clock.aside:
        return _("Set aside: {reason}.").format(reason=clock.aside)
    if clock.ban:
        return capital(mark_title(clock.ban.mark))
    if clock.lapses:
        return _missed(recipe, clock, at, tz)
    if spoilt:
        return _spoilt(spoilt, at, tz)
    laid = len(clock.layers)
    if recipe.layers == 1 and laid:
        return _("coat laid")
    if recipe.layers and laid:
        return ngettext("{laid} of {layers} coat laid", "{laid} of {layers} coats laid", recipe.layers).format(
            laid=laid, layers=recipe.layers
        )
    return recipe.title or recipe.name.replace("-", " ")


def _in_step(clock: ZoneClock, lead: ZoneClock) -> bool:
    """Whether one touch may do the same for both zones: same next step, begun together, or both out of the work."""
    mine, its = ((c.step, c.aside, c.ban, c.running.started_at if c.running else None) for c in (clock, lead))
    return mine == its


def _groups(state: JobState, zones: tuple[ZoneId, ...], lead: ZoneClock, at: datetime) -> tuple[Group, ...]:
    """Return the zone alone, and of every set of its work block the zones that are at the same step."""
    block, single = state.job.block_of[lead.zone], zones[0] if len(zones) == 1 else lead.zone
    in_step = {z for z in block.zones if _in_step(zone_clock(state, z, at), lead)}
    found: dict[tuple[ZoneId, ...], str] = {(single,): zones_title(state.job, (single,))}
    for name in state.job.vehicle.sets:
        members = tuple(z for z in state.job.zones_named(name) if z in in_step)
        if single in members and len(members) > 1:
            found.setdefault(members, zones_title(state.job, members))
    if len(zones) > 1:
        found.setdefault(zones, zones_title(state.job, zones))
    return tuple(
        Group(title, members, set(members) == set(zones)) for members, title in list(found.items())[:MOST_GROUPS]
    )


def _rungs(state: JobState, clock: ZoneClock, doubted: Mapping[StepId, str], tz: tzinfo) -> tuple[RungRow, ...]:
    recipe, zone = state.job.recipe_of(clock.zone), state.zones[clock.zone]
    fallen = {lapse.step for lapse in clock.lapses}
    done = {run.step: run for run in zone.rungs}
    next_place = recipe.position(clock.step) if clock.step else len(recipe.step)
    rungs, walked = [], list[StepRun]()
    for place, step in enumerate(recipe.step):
        run = done.get(StepId(step.id))
        lost = clock.lapses and place >= next_place
        walked.append(run or StepRun(StepId(step.id), state.opened_at))
        stage, layers = surface(recipe, tuple(walked))
        now, detail, time = RungState.LATER, _waits(state, clock.zone, recipe, place), ""
        if clock.running and clock.running.step == step.id:
            now, detail, time = (
                RungState.RUNNING,
                _("under way"),
                clock_time(clock.running.started_at, tz, seconds=False),
            )
        elif run and run.finished_at and not lost:
            now, detail = RungState.DONE, ", ".join(filter(None, (run.by, doubted.get(run.step))))
            time = clock_time(run.finished_at, tz, seconds=False)
        elif step.id in clock.choices:
            now = RungState.NEXT
            detail = _("again: its moment was missed") if fallen else detail
            detail = _("again: dust or water came over it") if spoilt_wipe(state, clock.zone) else detail
        title = capital(step_title(recipe, StepId(step.id)))
        rungs.append(RungRow(StepId(step.id), title, detail, time, now, stage, layers, bool(run and run.deviation)))
    return tuple(rungs)


def _waits(state: JobState, zone: ZoneId, recipe: Recipe, place: int) -> str:
    """Return the wait before a step in minutes, and in the present air."""
    plain, here = _waits_plain(recipe, place), present_wait_text(state, zone, recipe, place)
    return _("{plain}; {here}").format(plain=plain, here=here) if plain and here else plain


def _waits_plain(recipe: Recipe, place: int) -> str:
    wait = recipe.step[place].wait
    if wait is None or (wait.min == 0 and wait.max is None):
        return ""
    return wait_text(wait.min, wait.max, wait.max_from == "start")


def _caution(job: Job, recipe: Recipe, step: StepId | None) -> str:
    product = job.products.get(recipe.named(step).product or "") if step else None
    return " ".join(product.cautions[:2]) if product else ""


def _doubted_here(bay: Bay, state: JobState, zone: ZoneId) -> dict[StepId, str]:
    """Return what is said beside each coat of a zone whose reading is another now."""
    return {c.run.step: doubted_mark(c) for c in doubted_coats(bay.state, (state,)) if c.zone == zone}


def _doubts(bay: Bay, state: JobState, zones: tuple[ZoneId, ...], tz: tzinfo) -> tuple[str, ...]:
    """Return which coats here lie on a reading that is another now, with both values; coats of one reading once."""
    alike: dict[tuple[object, ...], list[DoubtedCoat]] = {}
    for coat in doubted_coats(bay.state, (state,)):
        if coat.zone in zones:
            alike.setdefault((coat.run.step, coat.was, coat.becomes), []).append(coat)
    return tuple(doubted_text(state, tuple(c.zone for c in same), same[0], tz) + "." for same in alike.values())


def _notes(state: JobState, zones: tuple[ZoneId, ...], tz: tzinfo) -> tuple[str, ...]:
    mine = [n for n in state.notes if n.zone in zones]
    return tuple(f"{clock_time(n.at, tz, seconds=False)}  {n.text}" for n in mine[-2:])


def _choices(recipe: Recipe, clock: ZoneClock, step: StepId | None) -> tuple[SwapChoice, ...]:
    if len(clock.choices) < 2:
        return ()
    return tuple(SwapChoice(s, _choice_title(recipe, clock, s), s == step) for s in clock.choices)


def _choice_title(recipe: Recipe, clock: ZoneClock, step: StepId) -> str:
    if clock.held and step != clock.step:
        return _("{step} again").format(step=step_title(recipe, step))
    motion = recipe.named(step).motion
    return motion_words(motion) if motion else step_title(recipe, step)


def _button(
    bay: Bay, state: JobState, zones: tuple[ZoneId, ...], lead: ZoneClock, step: StepId | None, seen: Viewpoint
) -> Button:
    by, at, tz = seen.by, seen.at, seen.tz
    if step is None:
        return Button(_("All done"), _("Nothing is left to do here."), Urgency.FINISHED, None, refused=False)
    what = step_title(state.job.recipe_of(lead.zone), step)
    if lead.running:
        since = elapsed_text(at - lead.running.started_at)
        detail = _("Begun {since} ago by {by}.").format(since=since, by=lead.running.by or _("nobody named"))
        finish = FinishStep(state.job.id, zones, step, by)
        price = bay.advice.price.told(at)
        told = price is not None and price.undo.job == state.job.id and price.undo.zones == zones
        if price and told:
            detail = price_sentence(bay.state, price, at, tz)
        button = Button(_("Done: {step}").format(step=what), detail, Urgency.WORKING, finish, refused=False, costs=told)
        return _answered(bay, button, what, bay.judge(finish), tz)
    if lead.aside:
        take_up = TakeUp(state.job.id, zones, by)
        detail = _("Then comes: {step}.").format(step=what)
        button = Button(_("Take up again"), detail, Urgency.IDLE, take_up, refused=False)
        return _answered(bay, button, button.title, bay.judge(take_up), tz)
    start = Start(state.job.id, zones, step, by)
    verdict, detail, urgency, weighed = bay.judge(start), "", lead.urgency, None
    paint = f"{polish_warning(bay.state, state, zones, step)} {spot_text(state, zones, step)}".strip()
    if verdict.possible:
        weighed = bay.advice.weighed(start, at)
        detail, urgency = against_sentence(bay.state, weighed, by, at, tz), _weighed_urgency(weighed, urgency)
    against = bool(detail)
    if not detail and lead.lapses_at and not lead.lapses:
        detail = _("Closes in {left}.").format(left=left_text(lead.lapses_at - at))
    hold = weighed is not None and weighed.shuts_out.closes_the_way
    title = titles(Act.HOLD if hold else Act.BEGIN, with_name(what, state.job, by)).first
    detail = f"{paint} {detail}".strip()
    button = Button(title, detail, urgency, start, refused=False, costs=against, hold=hold)
    return _answered(bay, button, what, verdict, tz)


def _weighed_urgency(weighed: Recommendation, urgency: Urgency) -> Urgency:
    return Urgency.LAPSED if weighed.losses else urgency


def _answered(bay: Bay, button: Button, what: str, verdict: Verdict, tz: tzinfo) -> Button:
    """Return the button with what the gate says of its request: what it asks for all the same, or why not."""
    if asks := splash_text(verdict, bay.state, bay.now(), tz):
        return replace(button, detail=f"{asks} {button.detail}".strip())
    if verdict.refusals:
        action = button.action
        return replace(
            button,
            title=_("Not yet: {step}").format(step=what),
            detail=first_why_not(verdict.refusals, bay.state, tz),
            refused=True,
            deviation=action if may_deviate(verdict) and not isinstance(action, TakeUp) else None,
        )
    asked = verdict.asks[0] if verdict.asks else None
    if asked is None:
        return replace(button, detail=button.detail.strip())
    if asked.why is Why.BEFORE_COAT:  # in few words, for they stand before others
        return replace(button, detail=f"{warned_before_wipe(asked)} {button.detail}".strip())
    return replace(button, detail=f"{button.detail} {why_not(asked, bay.state, tz)}".strip())


def may_deviate(verdict: Verdict) -> bool:
    """Whether a person may override these refusals by a long press and a reason."""
    return not any(refusal.final for refusal in verdict.refusals)


def _undo_text(recipe: Recipe, zone: ZoneState, tz: tzinfo) -> str:
    run = latest_run(zone)
    if run is None:
        return ""
    if zone.aid is not None:
        return aid_text(zone.aid, tz)
    if undoes_correction(zone):
        return _("the corrected time of {step}").format(step=step_title(recipe, run.step))
    moment = run.finished_at or run.started_at
    return _("{step} at {time}").format(step=step_title(recipe, run.step), time=clock_time(moment, tz, seconds=False))
