"""Where two sensors of the bay's air contradict each other for so long that it is told. Pure.

How far apart sound sensors of one bay may be, and how long its air takes to even out after a gate was open, is common
practice, no source. Panels are left out: two panels may well be of different warmth.

Both are told, and the air page answers by the one that allows less; the gate goes on by the first of them that is fit.
A typed reading says which one is wrong, and then that one alone is told.
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import combinations

from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.job.state.contradiction import Contradiction, Says

LASTS = timedelta(minutes=10)
ROUNDING = 1e-9
JUDGED = (Quantity.AIR, Quantity.HUMIDITY)

Pair = tuple[str, str, str]


def saying(sensor: SensorSettings, values: Mapping[Quantity, float]) -> Says:
    """Return what a sensor says, with how far off it may be."""
    tolerances = {Quantity.AIR.value: sensor.tolerance_c, Quantity.HUMIDITY.value: sensor.tolerance_percent}
    return Says(sensor.id, sensor.name, {quantity.value: value for quantity, value in values.items()}, tolerances)


def contradictions(said: Sequence[Says], before: Mapping[Pair, datetime], at: datetime) -> tuple[Contradiction, ...]:
    """Return every pair that differs now; ``before`` holds since when each that differed just now has done so.

    Air of another warmth holds another humidity by itself: a pair apart in temperature is told of that alone.
    """
    found = []
    for first, second in combinations(said, 2):
        each = (Contradiction(first, second, q.value, at) for q in JUDGED if q in first.values and q in second.values)
        apart = next((one for one in each if one.excess > 1 + ROUNDING), None)
        if apart:
            since = before.get(apart.pair, at)
            found.append(Contradiction(first, second, apart.quantity, since))
    return tuple(found)


def lasting(found: Collection[Contradiction], at: datetime) -> tuple[Contradiction, ...]:
    """Return what has lasted, of each quantity the two that differ most: a third one between them is not told, too."""
    widest = sorted((one for one in found if at - one.since >= LASTS), key=lambda one: -one.excess)
    each = (next((one for one in widest if one.quantity == quantity), None) for quantity in JUDGED)
    return tuple(one for one in each if one)
