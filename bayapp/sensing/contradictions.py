"""Finds sensors of the bay's air that contradict each other for longer than open gates explain.

How far working sensors in one bay may differ, and how long its air takes to even out after a gate was open, is common
practice, no source. Panels are left out: two panels may well differ in temperature.

Both sensors are reported. The air page answers by the one that allows less; the gate goes by the first one that is
healthy. Once a typed reading shows which of them is wrong, only that one is reported.
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import combinations

from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.job.state.contradiction import Contradiction, SensorValues

LASTS = timedelta(minutes=10)
ROUNDING = 1e-9
JUDGED = (Quantity.AIR, Quantity.HUMIDITY)

Pair = tuple[str, str, str]


def values_of(sensor: SensorSettings, values: Mapping[Quantity, float]) -> SensorValues:
    """Return the values of a sensor with its tolerances."""
    tolerances = {Quantity.AIR.value: sensor.tolerance_c, Quantity.HUMIDITY.value: sensor.tolerance_percent}
    return SensorValues(
        sensor.id, sensor.name, {quantity.value: value for quantity, value in values.items()}, tolerances
    )


def contradictions(
    said: Sequence[SensorValues], before: Mapping[Pair, datetime], at: datetime
) -> tuple[Contradiction, ...]:
    """Return every pair that differs now; ``before`` holds since when each pair differed at the last call.

    Relative humidity differs by itself where the temperature does: a pair that differs in temperature is reported for
    temperature alone.
    """
    found = []
    for first, second in combinations(said, 2):
        each = (Contradiction(first, second, q.value, at) for q in JUDGED if q in first.values and q in second.values)
        widest = next((one for one in each if one.excess > 1 + ROUNDING), None)
        if widest:
            since = before.get(widest.pair, at)
            found.append(Contradiction(first, second, widest.quantity, since))
    return tuple(found)


def lasting(found: Collection[Contradiction], at: datetime) -> tuple[Contradiction, ...]:
    """Return what has lasted long enough: of each quantity only the pair that differs most."""
    widest = sorted((one for one in found if at - one.since >= LASTS), key=lambda one: -one.excess)
    each = (next((one for one in widest if one.quantity == quantity), None) for quantity in JUDGED)
    return tuple(one for one in each if one)
