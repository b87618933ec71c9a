"""Why a window lapsed: by a touch that the wall warned of or did not, or by how long work took. Knows no plan."""

from enum import StrEnum
from random import Random

from bayapp.job import Start, fold, gate
from tests.planning.driver import Choose, Look, Missed, Outcome, Touch, takes_the_advice
from tests.planning.keeping import fewest_lost


class Cause(StrEnum):
    """What a window lapsed by."""

    UNWARNED = "a touch without a warning"
    WARNED = "a touch with a warning"
    DURATIONS = "durations"
    UNDECIDED = "nobody knows"


def causes(outcome: Outcome) -> dict[Missed, Cause]:
    """Return for each window that lapsed what made it lapse.

    A touch is to blame if more windows must lapse after it than before it, by expected times, while this window ran or
    was about to. Where several are, one without a warning counts most.
    """
    found = {}
    for missed in outcome.missed:
        harm = [(t.warned, _harms(t)) for t in outcome.touches if _concerns(t, missed)]
        found[missed] = _cause([w for w, harms in harm if harms], [w for w, harms in harm if harms is None])
    return found


def _cause(harmful: list[bool], unsure: list[bool]) -> Cause:
    """Return what it lapsed by, from whether there was a warning of what did harm, and of what perhaps did."""
    if not all(harmful):
        return Cause.UNWARNED
    if not all(unsure):
        return Cause.UNDECIDED
    return Cause.WARNED if harmful else Cause.DURATIONS


def _concerns(touch: Touch, missed: Missed) -> bool:
    """Whether the window ran when this was begun, or counts from work that was under way, or from the touch itself."""
    job, zone, _, lapsed_at = missed
    if touch.look.at > lapsed_at:
        return False
    if (touch.start.job, zone) in {(touch.start.job, z) for z in touch.start.zones} and touch.start.job == job:
        return True
    (clock,) = (c for c in touch.look.now if (c.job, c.zone) == (job, zone))
    return clock.lapses_at == lapsed_at or clock.running is not None


def _harms(touch: Touch) -> bool | None:
    """Return whether more must lapse after this than before; None where the look did not come to its end."""
    look = touch.look
    verdict = gate(look.state, touch.start, look.at, look.state.air)
    assert verdict.accepted
    after = fold(verdict.events, look.state)
    least_before, most_before = fewest_lost(look.state, look.at)
    least_after, most_after = fewest_lost(after, look.at)
    if least_after > most_before:
        return True
    return False if most_after <= least_before else None


def ignores_half(seed: int, heeds_warnings: bool = True) -> Choose:
    """Return a way of choosing that every other time takes the advice, and else anything that is offered.

    Args:
        heeds_warnings: begins nothing of which the wall says that something will then be too late.
    """
    random = Random(seed)

    def choose(look: Look) -> Start | None:
        advised = takes_the_advice(look)
        follows = random.random() < 0.5
        begun = [(Start(a.job, a.zones, a.step, look.person), bool(c.losses)) for c in look.counsels if (a := c.advice)]
        if heeds_warnings:
            begun = [(start, warned) for start, warned in begun if not warned]
        others = [start for start, _ in begun]
        if follows and (advised is None or advised in others):
            return advised
        return random.choice(others) if others else None

    return choose
