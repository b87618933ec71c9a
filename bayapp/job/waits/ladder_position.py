"""Where a zone stands on its ladder at an instant, falls included.

A lapse is charged when the zone is next touched: the lapsed step is ``late``, and the rung that it costs comes next.
Where the recipe has no such rung the zone is held until a person has looked: either they carry on with a reason, or the
work is done again from the rung that takes the coat off.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.state import JobState, Lapse, StepRun, ZoneState
from bayapp.job.waits.bans import Ban, stopped
from bayapp.job.waits.waits import NotBegun, Stands, Window, turn_in_group, wait_of, waiting_place, window_under


@dataclass(frozen=True, slots=True)
class LadderPosition:
    """A zone at an instant.

    Attributes:
        rungs: what counts as done now; a lapse has taken away what lies above the rung it costs.
        next_places: places of the steps that come next; several where they may swap, none when all is done.
        window: the wait of the next step.
        lapses: latest moments that have passed since the last accepted event, oldest first.
        held: a lapse has no rung to fall back to, so a person must look and carry on with a reason.
        stood: for each lapse, what counted as done until it came.
        rework: a held zone as it stands for whoever does the work again; None where no rung is below.
    """

    rungs: tuple[StepRun, ...]
    next_places: tuple[int, ...]
    window: Window | NotBegun | None
    lapses: tuple[Lapse, ...] = ()
    held: bool = False
    stood: tuple[tuple[StepRun, ...], ...] = ()
    rework: "LadderPosition | None" = None

    def for_step(self, place: int) -> "LadderPosition":
        """Return where the zone stands for whoever begins the step at ``place``: as it is, or reworked up to there."""
        again = self.rework
        while again is not None and place not in again.next_places:
            again = again.rework
        return again or self


def next_places(recipe: Recipe, rungs: tuple[StepRun, ...]) -> tuple[int, ...]:
    """Return the places of the steps that may come next after these rungs, in recipe order."""
    if not rungs:
        return tuple(recipe.group_of(0))
    last = recipe.position(rungs[-1].step)
    group = recipe.group_of(last)
    if len(group) > 1:
        done = {run.step for run in rungs}
        left = tuple(p for p in group if recipe.step[p].id not in done)
        if left:
            return left
    return tuple(recipe.group_of(group.stop)) if group.stop < len(recipe.step) else ()


def ladder_position(state: JobState, zone: ZoneId, at: datetime) -> LadderPosition:
    """Return where a zone that is not being worked stands at ``at``."""
    return _FallingZone(state, zone, at, stands_at(state, at)).position(state.zones[zone])


def stopped_at(state: JobState, zone: ZoneId, ladder: LadderPosition, at: datetime) -> Ban | None:
    """Return the mark that leaves nothing to do on a zone, however it is gone on with from where it stands."""
    ban = stopped(state, zone, ladder.next_places, at)
    again = ladder.rework
    while ban is not None and again is not None:
        ban, again = stopped(state, zone, again.next_places, at), again.rework
    return ban


def window_of(
    state: JobState, zone: ZoneId, place: int, zone_state: ZoneState, at: datetime
) -> Window | NotBegun | None:
    """Return the window of the step at ``place`` on a zone's ladder, as the other zones stand at ``at``.

    ``zone_state`` is the zone as it would stand when the step is asked for. None means that the step has no wait.
    """
    return window_under(state, zone, place, zone_state, stands_at(state, at))


def stands_at(state: JobState, at: datetime) -> Stands:
    """Return which runs stand on the zones at an instant, falls included; each zone is looked at once, when asked for.

    Only waits with a latest moment make a zone fall, and those do not ask how others stand: nothing goes in a circle.
    """
    known: dict[ZoneId, tuple[StepRun, ...]] = {}

    def stands(zone: ZoneId, step: StepId) -> StepRun | None:
        zone_state = state.zones[zone]
        if all(run.step != step for run in zone_state.rungs):
            return None
        if zone not in known:
            fallen = _FallingZone(state, zone, at, lambda other, of: None).position(zone_state)
            known[zone] = zone_state.rungs if zone_state.running else fallen.rungs
        return next((run for run in reversed(known[zone]) if run.step == step), None)

    return stands


@dataclass(frozen=True, slots=True)
class _FallingZone:
    """A zone that is not being worked, at an instant, and how the other zones stand then."""

    state: JobState
    zone: ZoneId
    at: datetime
    stands: Stands

    def position(
        self, zone_state: ZoneState, lapses: Sequence[Lapse] = (), stood: Sequence[tuple[StepRun, ...]] = ()
    ) -> LadderPosition:
        """Let the zone fall as far as what has lapsed on it costs, after what it has lost already."""
        recipe = self.state.job.recipe_of(self.zone)
        lapses, stood = list(lapses), list(stood)
        while True:
            places = due_places(recipe, zone_state.rungs, stood)
            window = window_under(self.state, self.zone, places[0], zone_state, self.stands) if places else None
            lapsed = isinstance(window, Window) and window.lapsed(self.at) and self._costs(recipe, places, zone_state)
            if not isinstance(window, Window) or window.lapses_at is None or not lapsed:
                return LadderPosition(zone_state.rungs, places, window, tuple(lapses), stood=tuple(stood))
            stood.append(zone_state.rungs)
            turn = turn_in_group(recipe, places[0], zone_state.rungs)
            back = recipe.falls_back_to(waiting_place(recipe, turn, places[0]))
            step = StepId(recipe.step[places[0]].id)
            air_was_unknown = window.ripening is not None and window.ripening.air_was_unknown
            lapse = Lapse(step, window.lapses_at, None, False, window.anchor, air_was_unknown, window.unsure)
            fallen = zone_state if back is None else fall(recipe, zone_state, back)
            if back is None or fallen.rungs == zone_state.rungs:
                held = (*lapses, lapse)
                rework = self._rework(zone_state, held, stood)
                return LadderPosition(zone_state.rungs, places, window, held, True, tuple(stood), rework)
            lapses.append(_charged(recipe, lapse, back, fallen, stood))
            zone_state = fallen

    @staticmethod
    def _costs(recipe: Recipe, places: tuple[int, ...], zone_state: ZoneState) -> bool:
        """Whether the latest moment of what comes next costs anything when it is missed."""
        wait = wait_of(recipe, turn_in_group(recipe, places[0], zone_state.rungs), places[0])
        return wait is not None and wait.can_lapse

    def _rework(
        self, zone_state: ZoneState, lapses: Sequence[Lapse], stood: Sequence[tuple[StepRun, ...]]
    ) -> LadderPosition | None:
        recipe = self.state.job.recipe_of(self.zone)
        back = rework_rung(recipe, recipe.position(lapses[-1].step))
        fallen = fall(recipe, zone_state, back)
        if fallen.rungs == zone_state.rungs:
            return None
        return self.position(fallen, [*lapses[:-1], _charged(recipe, lapses[-1], back, fallen, stood)], stood)


def _charged(recipe: Recipe, lapse: Lapse, back: int, fallen: ZoneState, stood: Sequence[tuple[StepRun, ...]]) -> Lapse:
    """Return the lapse with the step that has to be done again."""
    rung = recipe.group_of(back)
    again = next((p for p in due_places(recipe, fallen.rungs, stood) if p in rung), rung.start)
    return replace(lapse, back_to=StepId(recipe.step[again].id))


def rework_rung(recipe: Recipe, place: int) -> int:
    """Return the rung from which the work is done again where a missed moment leaves that to whoever looks.

    A polish takes off what was laid; without one a wipe, and without that the ladder is climbed from its foot (common
    practice, no source).
    """
    for kind in (StepKind.POLISH, StepKind.WIPE):
        rungs = [p for p in range(place) if recipe.step[p].kind is kind]
        if rungs:
            return rungs[-1]
    return 0


def due_places(recipe: Recipe, rungs: tuple[StepRun, ...], stood: Sequence[tuple[StepRun, ...]]) -> tuple[int, ...]:
    """Return the places that come next after falls from what ``stood``: of steps that may swap not those missed.

    Where the layer before is laid again, the one that was missed would otherwise pass for a first one.
    """
    places = next_places(recipe, rungs)
    missed_places = {place for before in stood for place in next_places(recipe, before)}
    return tuple(place for place in places if place not in missed_places) or places


def missed(recipe: Recipe, ladder: LadderPosition, step: StepId) -> int | None:
    """Return which of the lapses makes this step late: the one that came when it was due.

    None when the zone has fallen and the step is what comes next, or when it was never due.
    """
    place = recipe.position(step)
    if place in ladder.next_places and not ladder.held:
        return None
    return next((i for i, rungs in enumerate(ladder.stood) if place in next_places(recipe, rungs)), None)


def carried_through(recipe: Recipe, ladder: LadderPosition, step: StepId) -> int | None:
    """Return which of the lapses a person carries on through by beginning this step; None when none is."""
    through = missed(recipe, ladder, step)
    return len(ladder.lapses) - 1 if through is None and ladder.held else through


def fall(recipe: Recipe, zone_state: ZoneState, back: int) -> ZoneState:
    """Return the zone with everything at and above the rung ``back`` taken off; its waits count every zone again."""
    return replace(zone_state, without=frozenset(), rungs=below(recipe, zone_state.rungs, recipe.group_of(back).start))


def below(recipe: Recipe, rungs: tuple[StepRun, ...], first: int) -> tuple[StepRun, ...]:
    """Return the rungs without those from the place ``first`` of a group on.

    They stand in the order of their groups, so what is taken off lies at the end, and the rest need not be looked at.
    """
    left = len(rungs)
    while left and recipe.position(rungs[left - 1].step) >= first:
        left -= 1
    return rungs[:left]
