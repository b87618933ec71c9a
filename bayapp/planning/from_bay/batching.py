"""Batching: which steps are begun by one touch because their latest moments would pass one after the other.

The plan goes zone by zone; where zones of a work block would lapse one after the other they are begun by one touch, as
the gate allows.
"""

from collections.abc import Collection, Iterable, Mapping

from bayapp.planning.from_bay.remaining_operations import Key, Ladder, Rung


def led_by(ladders: Iterable[Ladder], rungs: Mapping[Key, Rung], together: Collection[Key]) -> dict[Key, Key]:
    """Return the leading step for each step that is begun by another's touch.

    Args:
        rungs: the steps that are planned.
        together: steps to be begun with the same step of all zones of their work block that stand before it.
    """
    touched = {_touch(rungs[key]) for key in together if key in rungs}
    leaders: dict[tuple[object, ...], Key] = {}
    found: dict[Key, Key] = {}
    for ladder in ladders:
        rung = next(iter(ladder.rungs), None)
        if rung is None or rung.run is not None or rung.key not in rungs or _touch(rung) not in touched:
            continue
        leader = leaders.setdefault(_touch(rung), rung.key)
        if leader != rung.key:
            found[rung.key] = leader
    return found


def _touch(rung: Rung) -> tuple[object, ...]:
    return rung.job, rung.block, rung.step.id
