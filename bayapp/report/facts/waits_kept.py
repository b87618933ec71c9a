"""Each step's required wait against the actual one, judged with corrected times."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from bayapp.job.gate.fold import apply, fold
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.model.recipe import Recipe, Wait
from bayapp.job.state.events import JobOpened, StepStarted
from bayapp.job.state.readings import Readings, until
from bayapp.job.state.state import JobState, StepRun, ZoneState
from bayapp.job.state.stays import Stay, readings_over
from bayapp.job.text.naming import sets_title, step_title, zones_title
from bayapp.job.waits.ladder_position import carried_through, ladder_position, window_of
from bayapp.job.waits.waits import NotBegun, Window, turn_in_group, wait_of
from bayapp.report.facts.day_record import RipeningRecord, WaitKept
from bayapp.report.facts.work_history import Held
from bayapp.text.language import _

RunKey = tuple[ZoneId, StepId, datetime]


def waits_kept(
    opened: JobOpened, acts: Iterable[Held], readings: Readings = (), stays: tuple[Stay, ...] = ()
) -> Mapping[RunKey, WaitKept]:
    """Return the wait of every start that had one, by zone, step and start.

    Folds the acts one by one and asks before each start which window holds, under the ``readings`` of the air around
    the car until then: as they were measured and corrected, whenever that was recorded. ``stays`` is where it stood.
    """
    state = fold([opened])
    job_id = opened.opened.id
    stays = stays or state.jobs[job_id].stays
    kept: dict[RunKey, WaitKept] = {}
    for act in acts:
        if opened.opened.waits_on_air:
            there = tuple(stay for stay in stays if stay.since <= act.at) or stays[:1]
            held = readings_over(there, until(readings, act.at))
            state = replace(state, jobs={job_id: replace(state.jobs[job_id], readings=held)})
        if isinstance(act, StepStarted):
            wait = _wait_kept(state.jobs[job_id], act)
            if wait:
                kept[act.zone, act.step, act.at] = wait
        state = apply(state, act)
    return kept


def _wait_kept(job: JobState, start: StepStarted) -> WaitKept | None:
    recipe, place = job.job.recipe_of(start.zone), job.job.recipe_of(start.zone).position(start.step)
    zone = _as_it_stands(job, start)
    wait = wait_of(recipe, turn_in_group(recipe, place, zone.rungs), place)
    window = window_of(job, start.zone, place, zone, start.at)
    if wait is None or window is None or (wait.min == 0 and wait.max is None and isinstance(window, Window)):
        return None
    if isinstance(window, NotBegun):
        return WaitKept(_counted_from(job, start.zone, wait, window, zone), wait.max_from, start.at, None, None, None)
    words = _counted_from(job, start.zone, wait, window, zone)
    edges = (window.since, window.opens_at, window.lapses_at)
    return WaitKept(words, wait.max_from, start.at, *edges, _ripened(window))


def _ripened(window: Window) -> RipeningRecord | None:
    """Return the sheet's base and what the air made of it, of the moment that hangs on the air."""
    by_air = window.ripening
    if by_air is None:
        return None
    counted, over = (window.anchor, window.lapses_at) if by_air.latest else (window.since, window.opens_at)
    in_this_air = over - counted if over and counted else None
    return RipeningRecord(by_air.latest, by_air.base, by_air.base_at, by_air.by, in_this_air, by_air.thumb)


def _as_it_stands(job: JobState, start: StepStarted) -> ZoneState:
    """Return the zone as the gate saw it: after its falls, unless a person carried on through the lapse."""
    recipe = job.job.recipe_of(start.zone)
    stands = ladder_position(job, start.zone, start.at).for_step(recipe.position(start.step))
    through = carried_through(recipe, stands, start.step)
    zone = job.zones[start.zone]
    without = frozenset[ZoneId]() if stands.lapses and through is None else zone.without
    return replace(zone, rungs=stands.rungs if through is None else stands.stood[through], without=without)


def _counted_from(job: JobState, zone: ZoneId, wait: Wait, window: Window | NotBegun, at: ZoneState) -> str:
    """Say what the wait counts from: "coat 1 of 3", "all glass, last coat", "the last of the rims, coat"."""
    recipe = job.job.recipe_of(zone)
    if wait.of not in (None, "block"):
        where = sets_title(job.job, wait)
        what = _last_words(wait) if wait.after is None else _after_title(job, wait, zone)
        if at.without:
            return _("by itself, {what}").format(what=what)
        return _("{where}, {what}").format(where=where, what=what)
    others = [other for z in job.job.block_of[zone].zones for other in job.zones[z].runs] if wait.of else []
    title = _own_anchor(recipe, wait, window, [*others, *at.runs])
    if wait.of == "block":
        out = job.aside.keys() | at.without
        counted = [z for z in job.job.block_of[zone].zones if z == zone or z not in out]
        return _("the last of {where}, {what}").format(where=zones_title(job.job, counted), what=title)
    return title


def _last_words(wait: Wait) -> str:
    """Say which step of each zone a wait of a set counts from, where the recipe does not name it."""
    words = {"polish": _("last polish"), "level": _("last level"), None: _("last coat")}
    return words[wait.after_last]


def _after_title(job: JobState, wait: Wait, zone: ZoneId) -> str:
    """Return the title of the step waited for, on the first zone of the set that has it."""
    after = StepId(wait.after or "")
    for member in (*job.job.counted(wait), zone):
        if job.job.recipe_of(member).has(after):
            return step_title(job.job.recipe_of(member), after)
    return after


def _own_anchor(recipe: Recipe, wait: Wait, window: Window | NotBegun, runs: Sequence[StepRun]) -> str:
    """Return the title of the step whose end the window counts from."""
    if isinstance(window, NotBegun):
        return step_title(recipe, window.anchor_step) if window.anchor_step else ""
    if wait.after is not None:
        return step_title(recipe, StepId(wait.after))
    return next(step_title(recipe, run.step) for run in reversed(runs) if run.finished_at == window.since)
