"""When a step may start: the anchor of its wait and the window that follows.

A wait of a set counts from the last zone of the set to finish that step of its own recipe; a set with nothing to do in
the job gives no wait. That is how paint waits for masking and glass for unmasking. Where a zone has not done yet what
is counted from, the gate refuses with ``order`` and names it. A zone that is set aside holds up no other, and a person
may close a set early: the wait of one zone then counts no other. Nor does a zone hold up others that a mark keeps from
what they count.

Another zone counts by the run that stands: one that fell back counts again when it has done the step anew, so nobody
unmasks while a bonnet is polished again. A wait with a latest moment that has begun neither stops nor moves for it.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial

from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.model.recipe import Recipe, Wait
from bayapp.job.state.state import JobState, StepRun, ZoneState
from bayapp.job.waits.bans import out_of_reach
from bayapp.job.waits.ripening_waits import Ripening, edges_of, moments

CLOSING_SHARE = 0.25
"""How much of the open window, at its end, is closing; never less than ``CLOSING_AT_LEAST``."""
CLOSING_AT_LEAST = timedelta(seconds=60)


@dataclass(frozen=True, slots=True)
class Window:
    """A running wait: counted from ``since``, open from ``opens_at`` to ``lapses_at``, both inclusive.

    Attributes:
        opens_at: None while it does not ripen in the air there is: not read, or such as the sheet says nothing about.
        ripening: how it stands, where it depends on the air; its moments then hold until another reading.
        anchor: what its latest moment counts from, where it depends on the air.
        unsure: nobody knows how long the machine was off while it ran; it may open sooner, and may have lapsed.
    """

    since: datetime
    opens_at: datetime | None
    lapses_at: datetime | None
    ripening: Ripening | None = None
    anchor: datetime | None = None
    unsure: bool = False

    @property
    def closing_from(self) -> datetime | None:
        """When the last share of the open window begins; a window shorter than that is closing as it opens."""
        if self.lapses_at is None or self.opens_at is None:
            return None
        share = (self.lapses_at - self.opens_at) * CLOSING_SHARE
        return max(self.opens_at, self.lapses_at - max(share, CLOSING_AT_LEAST))

    def lapsed(self, at: datetime) -> bool:
        """Whether the latest moment has passed."""
        return self.lapses_at is not None and at > self.lapses_at


@dataclass(frozen=True, slots=True)
class NotBegun:
    """A wait whose anchor has not happened yet: these zones have not finished what it counts from."""

    missing: tuple[ZoneId, ...]
    anchor_step: StepId | None


@dataclass(frozen=True, slots=True)
class Anchor:
    """What a wait of a block or set counts from on one zone: the moment when ``needed`` of these steps are done.

    Fewer than all where steps may swap: a block is then asked for the turn, whichever step that was on each zone.
    """

    zone: ZoneId
    steps: tuple[StepId, ...]
    needed: int


Stands = Callable[[ZoneId, StepId], StepRun | None]
"""The finished run of a step that stands on a zone's ladder at an instant; None where none does."""


def turn_in_group(recipe: Recipe, place: int, rungs: tuple[StepRun, ...]) -> int:
    """Return how many of the steps that may swap with the one at ``place`` stand on the ladder already."""
    group = recipe.group_of(place)
    if len(group) == 1:
        return 0
    names = {recipe.step[p].id for p in group}
    return sum(run.step in names for run in rungs)


def waiting_place(recipe: Recipe, turn: int, place: int) -> int:
    """Return the place whose wait holds for the step at ``place``.

    Among steps that may swap, waits belong to the turn, not to the step: whichever layer is laid
    second keeps the second layer's wait.
    """
    group = recipe.group_of(place)
    return min(group.start + turn, group.stop - 1)


def wait_of(recipe: Recipe, turn: int, place: int) -> Wait | None:
    """Return the wait that holds for the step at ``place`` in this turn."""
    return recipe.step[waiting_place(recipe, turn, place)].wait


def window_under(
    state: JobState, zone: ZoneId, place: int, zone_state: ZoneState, stands: Stands
) -> Window | NotBegun | None:
    """Return the window of the step at ``place`` on a zone's ladder.

    ``zone_state`` is the zone as it would stand when the step is asked for; ``stands`` says how the others do. None
    means that the step has no wait, or waits of a set that has nothing to do in this job. Other zones that are set
    aside are not counted.
    """
    recipe = state.job.recipe_of(zone)
    turn = turn_in_group(recipe, place, zone_state.rungs)
    wait = wait_of(recipe, turn, place)
    if wait is None:
        return None
    step = counts_from(recipe, wait, recipe.group_of(place).start, turn, zone_state)
    if wait.of is not None:
        anchors = anchors_of(state, zone, wait, place, zone_state)
        return _of_zones(state, zone, wait, anchors, stands) if anchors else None
    run = zone_state.last_finished(step)
    if run is None or run.finished_at is None:
        return NotBegun((zone,), step)
    return _window(state, zone, wait, run)


def anchors_of(state: JobState, own: ZoneId, wait: Wait, place: int, zone_state: ZoneState) -> list[Anchor]:
    """Return what a wait of a block or set counts from, for the step at ``place``; none where there is nothing.

    Of a step of its own that was left out the zone itself is not asked.
    """
    if wait.of == "block":
        return _of_block(state, own, wait, place, zone_state)
    found: list[Anchor] = []
    for zone in _counted(state, own, zone_state, state.job.counted(wait)):
        recipe = state.job.recipe_of(zone)
        steps = recipe.counted_for_set(wait)
        if zone == own:
            steps = tuple(s for s in steps if not left_out(recipe, zone_state, s))
        if steps and (zone == own or not _kept_from(state, zone, steps, len(steps), wait)):
            found.append(Anchor(zone, steps, len(steps)))
    return found


def _kept_from(state: JobState, zone: ZoneId, steps: tuple[StepId, ...], needed: int, wait: Wait) -> bool:
    """Whether a mark keeps another zone from what a wait counts, of which it has not done as much as is needed."""
    if zone not in state.marks:
        return False
    zone_state = state.zones[zone]
    counted = zone_state.runs if wait.can_lapse else zone_state.rungs
    done = {run.step for run in counted}
    return sum(step in done for step in steps) < needed and out_of_reach(state, zone, steps, zone_state.climbed)


def _of_block(state: JobState, own: ZoneId, wait: Wait, place: int, zone_state: ZoneState) -> list[Anchor]:
    recipe = state.job.recipe_of(own)
    turn, group = turn_in_group(recipe, place, zone_state.rungs), recipe.group_of(place)
    step = counts_from(recipe, wait, group.start, turn, zone_state)
    before = group if turn else recipe.group_of(group.start - 1)
    others = (step,) if wait.after else tuple(StepId(recipe.step[p].id) for p in before)
    needed = len(others) if wait.after or not turn else turn
    found: list[Anchor] = []
    for zone in _counted(state, own, zone_state, state.job.block_of[own].zones):
        if zone != own:
            if not _kept_from(state, zone, others, needed, wait):
                found.append(Anchor(zone, others, needed))
        elif not left_out(recipe, zone_state, step):
            found.append(Anchor(zone, (step,), 1))
    return found


def left_out(recipe: Recipe, zone_state: ZoneState, step: StepId) -> bool:
    """Whether a step was never done on a zone that stands on a later rung."""
    if any(run.step == step for run in (*zone_state.runs, *zone_state.rungs)):
        return False
    beyond = recipe.group_of(recipe.position(step)).stop
    return any(recipe.position(run.step) >= beyond for run in zone_state.rungs)


def counts_from(recipe: Recipe, wait: Wait, first: int, turn: int, zone_state: ZoneState) -> StepId:
    """Return the step whose end the wait counts from: the one named, else the one done just before.

    A step that was left out, by a deviation, never ends: the wait of its own zone counts from the last that was done.
    """
    if wait.after is not None:
        after = StepId(wait.after)
        return zone_state.rungs[-1].step if wait.of is None and left_out(recipe, zone_state, after) else after
    before = recipe.group_of(first - 1) if turn == 0 else recipe.group_of(first)
    swapped = {recipe.step[p].id for p in before}
    for run in reversed(zone_state.rungs):
        if run.step in swapped:
            return run.step
    return StepId(recipe.step[before.stop - 1].id)


def _counted(state: JobState, own: ZoneId, zone_state: ZoneState, zones: tuple[ZoneId, ...]) -> tuple[ZoneId, ...]:
    """Return the zones that count.

    Those do not that are set aside, or were when the wait that runs now began, or without which it was closed early.
    """
    out = state.aside.keys() | zone_state.uncounted | zone_state.without
    return tuple(z for z in zones if z == own or z not in out) if out else zones


def _of_zones(
    state: JobState, own: ZoneId, wait: Wait, anchors: list[Anchor], stands: Stands
) -> Window | NotBegun | None:
    """Count from the last of several zones; None where a mark keeps all of them from it.

    Of the zone itself the latest run counts, of the others the one that stands. Where there is a latest moment that
    costs something the first one does: work that one zone has to redo after a fall neither stops nor moves the wait
    that runs on another.
    """
    ends: list[tuple[ZoneId, StepRun]] = []
    missing: list[tuple[ZoneId, StepId]] = []
    for anchor in anchors:
        zone = state.zones[anchor.zone]
        of_others = zone.first_finished if wait.can_lapse else partial(stands, anchor.zone)
        done = zone.last_finished if anchor.zone == own else of_others
        found = {step: done(step) for step in anchor.steps}
        runs = sorted((run for run in found.values() if run), key=ended)
        if len(runs) >= anchor.needed:
            ends.append((anchor.zone, runs[anchor.needed - 1]))
        elif anchor.zone == own or not fell_below(state, anchor, wait, stands):
            missing.append((anchor.zone, next(step for step, run in found.items() if run is None)))
    if missing:
        return NotBegun(tuple(zone for zone, _ in missing), missing[0][1])
    if not ends:
        return None
    zone_id, last = max(ends, key=lambda of: ended(of[1]))
    return _window(state, zone_id, wait, last)


def fell_below(state: JobState, anchor: Anchor, wait: Wait, stands: Stands) -> bool:
    """Whether another zone has fallen to below what a mark forbids, and will not do any more what is counted.

    How it stands is not asked of a wait with a latest moment: such a set has to be closed early.
    """
    if anchor.zone not in state.marks:
        return False
    rungs = state.zones[anchor.zone].climbed
    if wait.latest is None:
        rungs = tuple(run for run in rungs if run.finished_at is None or stands(anchor.zone, run.step))
    return out_of_reach(state, anchor.zone, anchor.steps, rungs)


def ended(run: StepRun) -> datetime:
    """Return when a run ended; one under way has at least begun."""
    return run.finished_at or run.started_at


def _window(state: JobState, zone: ZoneId, wait: Wait, run: StepRun) -> Window:
    """Return the window that follows on a run of a zone."""
    finished_at = run.finished_at or run.started_at
    counts_from = run.started_at if wait.max_from == "start" else finished_at
    edges = edges_of(state.job, zone, run.step, wait)
    if edges is None:
        lapses = None if wait.latest is None else counts_from + wait.latest
        return in_doubt(Window(finished_at, finished_at + wait.earliest, lapses), counts_from, state.unsure_since)
    opens, lapses, ripening = moments(edges, wait, state.readings, finished_at, counts_from)
    window = Window(finished_at, opens, lapses, ripening, counts_from)
    return in_doubt(window, counts_from, state.unsure_since)


def in_doubt(window: Window, counts_from: datetime, unsure_since: tuple[datetime, ...]) -> Window:
    """Return the window where nobody knows how long the machine was off while it ran.

    No time has passed then towards the earliest moment, and all of it towards the latest: that one passed unseen.
    """
    if not unsure_since:
        return window
    ran = [moment for moment in unsure_since if moment >= counts_from]
    lapses = window.lapses_at
    if lapses is not None and ran and ran[0] < lapses:
        return replace(window, lapses_at=ran[0], unsure=True)
    waited = window.opens_at is None or any(window.since <= moment < window.opens_at for moment in ran)
    return replace(window, unsure=True) if waited and ran else window
