"""Why a window lapsed: by a touch that the wall warned of or did not, by a rest, or by how long work took.

A window that lapsed began to run with a touch on its zone, and often that touch had to be made within
a window itself, and so on: a coat within minutes of the wipe, its levelling within minutes of the coat. Before the
first touch of this chain the zone was in no hurry, so only what was done from that touch on can have cost it. Of that,
a touch is to blame if more zones must be lost after it than before it, whatever anybody does, as ``keeping`` finds by
expected times; a rest is to blame if it was taken while the gate would have let the same person begin what then lapsed.
What has neither was lost because work took longer than expected, as nobody could know.
"""

from collections.abc import Iterator
from datetime import datetime
from enum import StrEnum
from random import Random

from bayapp.job import BayState, Start, fold, gate
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.state import StepRun
from tests.planning.support.driver import Choose, Look, Missed, Outcome, Touch, takes_the_advice, warns
from tests.planning.support.keeping import PRESSING, fewest_lost

ADVISED, BY_LADDER = 0.5, 0.6
MOST_TRIED = 12


class Cause(StrEnum):
    """What a window lapsed by."""

    UNWARNED = "a touch without a warning"
    WARNED = "a touch with a warning"
    RESTED = "a rest"
    DURATIONS = "durations"
    UNDECIDED = "nobody knows"


def causes(outcome: Outcome) -> dict[Missed, Cause]:
    """Return for each window that lapsed what made it lapse; where several did, one without a warning counts most."""
    found = {}
    for missed in outcome.missed:
        since, until = hurried_since(outcome.state, missed), missed[3]
        touches = [t for t in outcome.touches if since <= t.look.at <= until]
        harm = [(t.warned, harms(t)) for t in touches]
        rested = any(_lets_lapse(look, missed) for look in outcome.rests if since <= look.at <= until)
        found[missed] = _cause([w for w, h in harm if h], [w for w, h in harm if h is None], rested)
    return found


def _cause(harmful: list[bool], unsure: list[bool], rested: bool) -> Cause:
    """Return what it lapsed by, from whether there was a warning of what did harm, and of what perhaps did."""
    if not all(harmful):
        return Cause.UNWARNED
    if not all(unsure):
        return Cause.UNDECIDED
    if rested:
        return Cause.RESTED
    return Cause.WARNED if harmful else Cause.DURATIONS


def hurried_since(state: BayState, missed: Missed) -> datetime:
    """Return the first stroke of the chain of steps, each to be begun soon after the one before, that was broken."""
    job, zone, step, lapsed_at = missed
    runs = [r for r in state.jobs[job].zones[zone].runs if r.started_at <= lapsed_at]
    chain = list(_chain(state, missed, runs, step))
    wait = state.jobs[job].job.recipe_of(zone).named(step).wait
    assert wait
    assert wait.latest
    return min((run.started_at for run in chain), default=lapsed_at - wait.latest)


def _chain(state: BayState, missed: Missed, runs: list[StepRun], step: StepId) -> Iterator[StepRun]:
    """Yield the runs that the waits of a step and of those before it count from, the latest first."""
    recipe = state.jobs[missed[0]].job.recipe_of(missed[1])
    wait = recipe.named(step).wait
    while runs and wait is not None and wait.latest is not None and wait.of is None:
        run = runs.pop()
        yield run
        wait = recipe.named(run.step).wait
        if wait is None or wait.latest is None or wait.latest > PRESSING:
            return


def _lets_lapse(look: Look, missed: Missed) -> bool:
    """Whether somebody rested who might have begun what then lapsed."""
    job, zone, step, lapsed_at = missed
    clock = next((c for c in look.now if (c.job, c.zone) == (job, zone)), None)
    if clock is None or clock.running or clock.step != step or clock.lapses_at != lapsed_at:
        return False
    return gate(look.state, Start(job, (zone,), step, look.person), look.at).accepted


def harms(touch: Touch) -> bool | None:
    """Return whether more must lapse after this than before; None where the look did not come to its end."""
    look = touch.look
    verdict = gate(look.state, touch.start, look.at)
    assert verdict.accepted
    after = fold(verdict.events, look.state)
    least_after, most_after = fewest_lost(after, look.at)
    if most_after == 0:
        return False
    least_before, most_before = fewest_lost(look.state, look.at)
    if least_after > most_before:
        return True
    return False if most_after <= least_before else None


def ignores_half(seed: int, heeds_warnings: bool = True) -> Choose:
    """Return a way of choosing that every other time takes the advice, and else anything.

    That is: something that is offered, or a zone or set by its ladder.

    Args:
        heeds_warnings: else begins nothing of which the wall says that something would, or may, then be too late; what
            the wall itself advises is begun whatever it says.
    """
    random = Random(seed)

    def choose(look: Look) -> Start | None:
        advised = takes_the_advice(look)
        if random.random() < ADVISED:
            return advised
        if random.random() < BY_LADDER:
            return _by_ladder(look, random, heeds_warnings) or advised
        chosen = [c for c in look.recommendations if not (heeds_warnings and warns(c))]
        others = [Start(c.advice.job, c.advice.zones, c.advice.step, look.person) for c in chosen]
        return random.choice(others) if others else advised

    return choose


def _by_ladder(look: Look, random: Random, heeds_warnings: bool) -> Start | None:
    """Return a step of a zone, or of a set in which it comes next everywhere, that the gate would let begin."""
    found = [Start(*touch, look.person) for touch in _ladders(look)]
    random.shuffle(found)
    for start in found[:MOST_TRIED]:
        if gate(look.state, start, look.at).accepted and not (heeds_warnings and warns(look.weighed(start))):
            return start
    return None


def _ladders(look: Look) -> Iterator[tuple[JobId, tuple[ZoneId, ...], StepId]]:
    """Yield what comes next on each zone, and on each set of a work block that has it next on all its zones."""
    due = {(c.job, c.zone): c.step for c in look.now if c.step is not None and not c.running and not c.aside}
    for (name, zone), step in due.items():
        yield name, (zone,), step
    for car in look.state.open_jobs:
        for of in car.job.vehicle.sets:
            zones = car.job.zones_named(of)
            steps = [due.get((car.job.id, zone)) for zone in zones]
            blocks = {car.job.block_of[zone].zones for zone in zones}
            if len(zones) > 1 and len(blocks) == 1 and steps[0] is not None and len(set(steps)) == 1:
                yield car.job.id, zones, steps[0]
