"""Sets closed early: a zone that goes on by itself, without those that its wait still waits for."""

from dataclasses import replace
from datetime import datetime

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, IsAside, OthersFirst, Why, ZoneBusy
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.state.events import SetClosed
from bayapp.job.state.requests import CloseSet
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position, window_of
from bayapp.job.waits.waits import NotBegun, Window, turn_in_group, wait_of


def judge_closing_early(request: CloseSet, facts: BayFacts) -> Verdict:
    """Let each zone that was named go on by itself, or none; tells the window that each has from then on.

    A window that has passed by then has its price, as any other.
    """
    job = facts.state.jobs[request.job]
    events: list[SetClosed] = []
    refusals: list[Refusal] = []
    windows: dict[ZoneId, Window] = {}
    for zone in request.zones:
        found = _closing(job, zone, facts.at)
        if isinstance(found, Refusal):
            refusals.append(found)
            continue
        without, step, window = found
        events.append(SetClosed(at=facts.at, job=job.job.id, by=request.by, zone=zone, step=step, without=without))
        if window is not None:
            windows[zone] = window
    return Verdict(refusals=tuple(refusals)) if refusals else Verdict(events=tuple(events), windows=windows)


def _closing(job: JobState, zone: ZoneId, at: datetime) -> Refusal | tuple[tuple[ZoneId, ...], StepId, Window | None]:
    """Return the zones that the wait goes on without, the step that waits, and its window then; or why not."""
    running = job.zones[zone].running
    if zone in job.aside:
        return Refusal(Code.ORDER, IsAside(job.aside[zone]), job.job.id, zone)
    if running:
        return Refusal(Code.BUSY, ZoneBusy(running.step), job.job.id, zone, running.step)
    ladder = ladder_position(job, zone, at)
    if not isinstance(ladder.window, NotBegun) or set(ladder.window.missing) == {zone}:
        return Refusal(Code.ORDER, Bare(Why.WAITS_FOR_NOBODY), job.job.id, zone)
    place = ladder.next_places[0]
    step = StepId(job.job.recipe_of(zone).step[place].id)
    without = _others(job, zone, ladder, ladder.window.missing)
    alone = replace(job.zones[zone], rungs=ladder.rungs, without=frozenset(without))
    window = window_of(job, zone, place, alone, at)
    if isinstance(window, NotBegun):
        return Refusal(Code.ORDER, OthersFirst(window.missing, window.anchor_step), job.job.id, zone, step)
    return without, step, window


def _others(job: JobState, zone: ZoneId, ladder: LadderPosition, missing: tuple[ZoneId, ...]) -> tuple[ZoneId, ...]:
    """Return the zones that no longer count: all others of its set, else those that are not there yet.

    A zone of the set counts from its own last coat. One that only waits for others has none: it counts from those
    that are there.
    """
    recipe, place = job.job.recipe_of(zone), ladder.next_places[0]
    wait = wait_of(recipe, turn_in_group(recipe, place, ladder.rungs), place)
    assert wait, "what has not begun is a wait"
    members = job.job.block_of[zone].zones if wait.of == "block" else job.job.counted(wait)
    counted = members if zone in members else missing
    return tuple(z for z in counted if z != zone)
