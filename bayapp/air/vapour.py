"""How much solvent is in the air of a room, by the well-mixed box.

The box gives the room's average. At the panel being wiped the vapour is many times as strong.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, inf, log
from typing import NamedTuple

GAS_CONSTANT = 8.314462618  # J/(mol K), CODATA
ATMOSPHERE_PA = 101_325.0
KELVIN = 273.15
HOUR_S = 3600.0


def molar_volume_l(air_c: float = 25.0) -> float:
    """Return the volume of a mole of vapour in litres at this temperature and 101.325 kPa; 24.465 at 25 °C."""
    return GAS_CONSTANT * (air_c + KELVIN) / ATMOSPHERE_PA * 1000


def to_ppm(milligrams_per_m3: float, molar_mass: float, air_c: float = 25.0) -> float:
    """Return parts per million by volume for milligrams in a cubic metre; ``molar_mass`` in g/mol."""
    return milligrams_per_m3 * molar_volume_l(air_c) / molar_mass


@dataclass(frozen=True, slots=True)
class Room:
    """A room whose air is one well-mixed box.

    Attributes:
        air_changes: how often its air is renewed in an hour.
        mixing_k: the K of poor mixing: only air changes / K count. 1 is perfect; 1 to 10 are
            usual (ACGIH Industrial Ventilation, from memory).
    """

    volume_m3: float
    air_changes: float
    mixing_k: float = 1.0

    def __post_init__(self) -> None:
        if not 0 < self.volume_m3 < inf:
            raise ValueError(f"the room holds {self.volume_m3:g} m³; it must be more than 0")
        if not 0 <= self.air_changes < inf:
            raise ValueError(f"{self.air_changes:g} air changes an hour cannot be; 0 or more can")
        if not 1 <= self.mixing_k < inf:
            raise ValueError(f"K for poor mixing is {self.mixing_k:g}; 1 is perfect mixing, and it is never less")

    @property
    def flow_m3_s(self) -> float:
        """The fresh air that counts, m³/s."""
        return self.volume_m3 * self.air_changes / HOUR_S / self.mixing_k

    @property
    def decay_per_s(self) -> float:
        """The share of the vapour that leaves in a second."""
        return self.air_changes / HOUR_S / self.mixing_k


class VapourSource(NamedTuple):
    """An amount that evaporates evenly between two moments, s; at once where they are the same."""

    begins_s: float
    ends_s: float
    amount: float


def level_after(room: Room, seconds: float, per_s: float, start: float = 0.0) -> float:
    """Return the level, amount per m³, after a steady source of ``per_s`` has run for so long.

    V dC/dt = G - QC, so C(t) = G/Q + (C0 - G/Q) exp(-Qt/V); without fresh air C0 + Gt/V.
    """
    flow = room.flow_m3_s
    if flow == 0:
        return start + per_s * seconds / room.volume_m3
    steady = per_s / flow
    return steady + (start - steady) * exp(-room.decay_per_s * seconds)


def seconds_until(room: Room, level: float, per_s: float, start: float = 0.0) -> float | None:
    """Return after how many seconds a steady source brings the air to a level; None where it never does."""
    flow = room.flow_m3_s
    if start == level:
        return 0.0
    if flow == 0:
        seconds = (level - start) * room.volume_m3 / per_s if per_s else -1.0
        return seconds if seconds >= 0 else None
    steady = per_s / flow
    share = (steady - start) / (steady - level) if steady != level else -1.0
    return log(share) / room.decay_per_s if share >= 1 else None


def purge_s(room: Room, level: float, limit: float) -> float | None:
    """Return how many seconds without any source bring a level down to a limit; None where no fresh air comes."""
    return 0.0 if level <= limit else seconds_until(room, limit, 0.0, level)


def level_at(room: Room, sources: Iterable[VapourSource], at_s: float) -> float:
    """Return the level at a moment, amount per m³: the box is linear, so each source adds its own share."""
    return sum(_share(room, source, at_s) for source in sources)


def _share(room: Room, source: VapourSource, at_s: float) -> float:
    if at_s < source.begins_s:
        return 0.0
    lasts = source.ends_s - source.begins_s
    if lasts <= 0:
        return source.amount / room.volume_m3 * exp(-room.decay_per_s * (at_s - source.begins_s))
    per_s = source.amount / lasts
    risen = level_after(room, min(at_s, source.ends_s) - source.begins_s, per_s)
    return risen * exp(-room.decay_per_s * max(0.0, at_s - source.ends_s))


def average(room: Room, sources: Sequence[VapourSource], from_s: float, to_s: float) -> float:
    """Return the mean level between two moments: what has evaporated is in the room or has left with the air."""
    if to_s <= from_s:
        return level_at(room, sources, to_s)
    return max(0.0, _dose(room, sources, to_s) - _dose(room, sources, from_s)) / (to_s - from_s)


def _dose(room: Room, sources: Sequence[VapourSource], at_s: float) -> float:
    """Return the level added up over all time until a moment."""
    if room.flow_m3_s > 0:
        return sum(_given(s, at_s) - _share(room, s, at_s) * room.volume_m3 for s in sources) / room.flow_m3_s
    return sum(_given_over_time(s, at_s) for s in sources) / room.volume_m3


def _given(source: VapourSource, at_s: float) -> float:
    if at_s <= source.begins_s:
        return source.amount if at_s == source.begins_s == source.ends_s else 0.0
    if at_s >= source.ends_s:
        return source.amount
    return source.amount * (at_s - source.begins_s) / (source.ends_s - source.begins_s)


def _given_over_time(source: VapourSource, at_s: float) -> float:
    rising = max(0.0, min(at_s, source.ends_s) - source.begins_s) * _given(source, at_s) / 2
    return rising + max(0.0, at_s - source.ends_s) * source.amount


def air_changes_to_hold(room: Room, per_s: float, limit: float) -> float:
    """Return how many air changes an hour keep a steady source under a limit in the end: Q = K G / L."""
    return room.mixing_k * per_s / limit / room.volume_m3 * HOUR_S


def mixture_share(levels_and_limits: Iterable[tuple[float, float]]) -> float:
    """Return the sum of every level by its limit; above 1 the mixture is too strong although no part may be."""
    return sum(level / limit for level, limit in levels_and_limits)
