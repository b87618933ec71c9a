"""Every zone's clock at an instant: what runs, when it opens, when it lapses."""

from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial

from bayapp.job.gate.setting_aside import awaited
from bayapp.job.model.ids import JobId, Motion, Stage, StepId, StepKind, Urgency, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.state import BayState, Covered, JobState, Lapse, StepRun, ZoneState
from bayapp.job.waits.bans import Ban
from bayapp.job.waits.cure import Cure, cure_of
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position, stopped_at
from bayapp.job.waits.ripening_waits import Ripening, edges_of, moments
from bayapp.job.waits.waits import NotBegun, Window, in_doubt

STAGE_AFTER = {
    StepKind.WASH: Stage.CLEAN,
    StepKind.DECONTAMINATE: Stage.CLEAN,
    StepKind.RINSE: Stage.CLEAN,
    StepKind.DRY: Stage.CLEAN,
    StepKind.CLEAN: Stage.CLEAN,
    StepKind.POLISH: Stage.POLISHED,
    StepKind.WIPE: Stage.WIPED,
    StepKind.COAT: Stage.COATED,
    StepKind.LEVEL: Stage.BUFFED,
    StepKind.BUFF: Stage.BUFFED,
    StepKind.CURE: Stage.BUFFED,
    StepKind.DRESS: Stage.BUFFED,
}
RANK = {stage: rank for rank, stage in enumerate(Stage)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneClock:
    """One zone at one instant.

    Attributes:
        urgency: how the clock stands.
        stage, layers: how far the surface has got, and the motions of the coats that lie on it, oldest first.
        step: the step that is running, or that comes next; None when all is done.
        choices: every step that may come next: where steps may swap, and where a held zone may be worked again.
        since, opens_at, closing_from, lapses_at: the running wait; None where there is none.
        blocked_by: zones whose work the wait counts from and that are not there yet.
        running: the run under way.
        lapses: latest moments missed since the last accepted event.
        held: the last of these has no rung to fall back to, so a person must look: carry on with a reason, or do the
            work again.
        cure: what still holds once the ladder is done.
        ripening, anchor: how a wait that depends on the air stands, and what its latest moment counts from.
        covered: the cover over its coat, or None.
        aside: why the zone is set aside, empty where it is not; a zone set aside has no clock.
        ban: the mark that leaves nothing to do on the zone, or None; such a zone has no clock either.
        unsure: nobody knows how long the machine was off while this wait ran.
    """

    job: JobId
    zone: ZoneId
    urgency: Urgency
    stage: Stage
    layers: tuple[Motion, ...]
    step: StepId | None
    choices: tuple[StepId, ...] = ()
    since: datetime | None = None
    opens_at: datetime | None = None
    closing_from: datetime | None = None
    lapses_at: datetime | None = None
    blocked_by: tuple[ZoneId, ...] = ()
    running: StepRun | None = None
    lapses: tuple[Lapse, ...] = ()
    held: bool = False
    cure: Cure | None = None
    covered: Covered | None = None
    aside: str = ""
    ban: Ban | None = None
    ripening: Ripening | None = None
    anchor: datetime | None = None
    unsure: bool = False

    @property
    def out(self) -> bool:
        """Whether the zone is out of today's work: set aside, or marked so that nothing is left to do."""
        return bool(self.aside) or self.ban is not None

    def fraction_left(self, at: datetime) -> float:
        """Return how much of the wait, or of the open window, is left, from 1 down to 0."""
        start, end = (self.since, self.opens_at) if self.urgency is Urgency.WAITING else (self.opens_at, self.lapses_at)
        if start is None or end is None or end <= start:
            return 0.0
        return min(1.0, max(0.0, (end - at) / (end - start)))


def zone_clock(state: JobState, zone: ZoneId, at: datetime) -> ZoneClock:
    """Return a worked zone's clock at ``at``."""
    zone_state, recipe = state.zones[zone], state.job.recipe_of(zone)
    if zone_state.running:
        return _working(state, zone, zone_state, zone_state.running, at)
    ladder = ladder_position(state, zone, at)
    stage, layers = surface(recipe, ladder.rungs)
    step = StepId(recipe.step[ladder.next_places[0]].id) if ladder.next_places else None
    again = ladder.rework.next_places if ladder.rework else ()
    choices = tuple(StepId(recipe.step[p].id) for p in dict.fromkeys((*ladder.next_places, *again)))
    clock = partial(ZoneClock, job=state.job.id, zone=zone, layers=layers, step=step, covered=zone_state.covered)
    if step is None:
        cure = cure_of(state, zone)
        cured = cure is None or at >= cure.until
        return clock(urgency=Urgency.FINISHED, stage=Stage.FINISHED if cured else stage, cure=cure)
    if zone in state.aside:
        return clock(urgency=Urgency.IDLE, stage=stage, aside=state.aside[zone])
    if (ban := stopped_at(state, zone, ladder, at)) is not None:
        return clock(urgency=Urgency.IDLE, stage=stage, ban=ban)
    if ladder.lapses:
        return _lapsed(clock(urgency=Urgency.LAPSED, stage=stage, choices=choices), ladder)
    window = ladder.window
    if not isinstance(window, Window):
        blocked = window.missing if isinstance(window, NotBegun) else ()
        return clock(urgency=Urgency.IDLE, stage=stage, choices=choices, blocked_by=blocked)
    if window.opens_at == window.since and window.lapses_at is None:
        return clock(urgency=Urgency.IDLE, stage=stage, choices=choices, since=window.since)
    return clock(
        urgency=_urgency(window, at),
        stage=stage,
        choices=choices,
        since=window.since,
        opens_at=window.opens_at,
        closing_from=window.closing_from,
        lapses_at=window.lapses_at,
        ripening=window.ripening,
        anchor=window.anchor,
        unsure=window.unsure,
    )


def _urgency(window: Window, at: datetime) -> Urgency:
    if window.opens_at is None or at < window.opens_at:
        return Urgency.WAITING
    if window.lapsed(at):
        return Urgency.LAPSED
    return Urgency.CLOSING if window.closing_from is not None and at >= window.closing_from else Urgency.OPEN


def _lapsed(due: ZoneClock, ladder: LadderPosition) -> ZoneClock:
    """Return the clock of a zone that has fallen, or is held, from what is due on it now."""
    first = ladder.lapses[0]
    return replace(
        due,
        lapses_at=first.lapsed_at,
        lapses=ladder.lapses,
        held=ladder.held,
        anchor=first.anchor,
        unsure=first.unsure,
    )


def _working(state: JobState, zone: ZoneId, zone_state: ZoneState, run: StepRun, at: datetime) -> ZoneClock:
    """A zone under way; where the next step's latest moment counts from this first stroke, that is shown."""
    recipe = state.job.recipe_of(zone)
    stage, layers = surface(recipe, zone_state.rungs)
    place = recipe.position(run.step) + 1
    following = recipe.step[place] if place < len(recipe.step) else None
    wait = following.wait if following else None
    lapses_at = closing_from = anchor = None
    unsure = False
    if (
        wait
        and wait.latest is not None
        and wait.max_from == "start"
        and wait.of is None
        and wait.after in (None, run.step)
    ):
        edges = edges_of(state.job, zone, run.step, wait)
        lapses_at = run.started_at + wait.latest
        if edges and edges.latest:
            lapses_at = moments(edges, wait, state.readings, run.started_at, run.started_at)[1]
            anchor = run.started_at
        shown = in_doubt(Window(run.started_at, run.started_at, lapses_at), run.started_at, state.unsure_since)
        lapses_at, closing_from, unsure = shown.lapses_at, shown.closing_from, shown.unsure
    return ZoneClock(
        job=state.job.id,
        zone=zone,
        urgency=Urgency.WORKING,
        stage=stage,
        layers=layers,
        step=run.step,
        choices=(run.step,),
        since=run.started_at,
        closing_from=closing_from,
        lapses_at=lapses_at,
        running=run,
        anchor=anchor,
        unsure=unsure,
    )


def surface(recipe: Recipe, rungs: tuple[StepRun, ...]) -> tuple[Stage, tuple[Motion, ...]]:
    """Return how far these rungs have brought a surface, and the motions of the coats on it, oldest first.

    A later clean or wipe never makes a coated surface look less far.
    """
    stage, layers = Stage.UNTOUCHED, []
    for run in rungs:
        step = recipe.named(run.step)
        reached = STAGE_AFTER.get(step.kind, stage)
        if step.kind is StepKind.COAT:
            layers.append(step.motion or Motion.VERTICAL)
            stage = Stage.COATED
        elif RANK[reached] > RANK[stage]:
            stage = reached
    return stage, tuple(layers)


def clocks(state: BayState, at: datetime) -> tuple[ZoneClock, ...]:
    """Return the clock of every worked zone of every open job, in the order of the jobs."""
    return tuple(zone_clock(job, zone, at) for job in state.open_jobs for zone in job.zones)


def handover_at(state: JobState) -> datetime | None:
    """Return the moment from which the car may be handed over, or None while any ladder is not done.

    A zone that is set aside is not waited for, unless a coat or masking lies on it that was never finished or taken
    off: what its cure asks for cannot be known, so there is no moment. Nor is there one where no zone is left, or
    where water came on a coat and nobody has looked for water spots yet.
    """
    zones = awaited(state)
    if any(state.zones[zone].may_have_spots for zone in zones):
        return None
    cures = [cure_of(state, zone) for zone in zones]
    return max(cure.until for cure in cures if cure) if cures and all(cures) else None
