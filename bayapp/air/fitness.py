"""Whether the air is fit for a coat, and if not, what would make it fit."""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil, floor
from typing import NamedTuple

import psychrolib

from bayapp.air.dew import ImpossibleAirError, dew_point

DEW_MARGIN_K = 3.0
ROUNDING_K = 1e-9
INVERSION_K = 0.002  # how exactly a dew point is found again from a vapour pressure
WARMEST_C = 200.0
DRIEST_PERCENT = 1e-6  # far below what any meter shows; a humidity of nothing has no dew point

Span = tuple[float, float]


class Hindrance(StrEnum):
    """What about the air or the surface forbids a coat, in the order in which it is reported."""

    DEW_POINT = "dew-point"
    AIR = "air"
    SURFACE = "surface"
    HUMIDITY = "humidity"


class Limits(NamedTuple):
    """What a coat needs: lowest and highest values, °C and %, and how far the surface is above the dew point, K.

    3 K is ISO 8502-4's rule for painting steel, borrowed here as a careful default.
    """

    margin_k: float = DEW_MARGIN_K
    air_c: Span | None = None
    surface_c: Span | None = None
    rh_percent: Span | None = None


USUAL = Limits()


@dataclass(frozen=True, slots=True)
class Remedy:
    """Changes that together make the air fit, each rounded to the safe side; None where nothing has to change.

    Attributes:
        air_to_c: warm or cool the air to this, °C, at constant vapour pressure; a surface that was not read follows it.
        rh_to_percent: then dry or humidify the air to this, %.
        surface_by_k: warm the surface by this, or cool it if negative, K.
    """

    air_to_c: float | None = None
    rh_to_percent: float | None = None
    surface_by_k: float | None = None


@dataclass(frozen=True, slots=True)
class Fitness:
    """The assessment of one state of the air.

    Attributes:
        surface_c: the surface's temperature; the air's if it was not read.
        dew_c: the dew point, °C; below 0 °C the frost point.
        margin_k: how far the surface is above the dew point, K; negative if water condenses on it.
    """

    air_c: float
    rh_percent: float
    surface_c: float
    surface_read: bool
    dew_c: float
    limits: Limits
    hindrances: tuple[Hindrance, ...]

    @property
    def fit(self) -> bool:
        """Whether a coat may be laid."""
        return not self.hindrances

    @property
    def margin_k(self) -> float:
        return self.surface_c - self.dew_c

    @property
    def frost(self) -> bool:
        """Whether it is a frost point: water settles as frost."""
        return self.dew_c < 0

    def remedies(self) -> tuple[Remedy, ...]:
        """Return what would make it fit: warming the panel, drying the air, or warming the air; else all three.

        Each remedy has been tried out: after it, the air is fit.
        """
        if self.fit:
            return ()
        single = [_surface(self), _humidity(self), _warmth(self)]
        working = [r for r in single if r != Remedy() and self.after(r).fit]
        together = _all_three(self)
        if not working and self.after(together).fit:
            working = [together]
        return tuple(dict.fromkeys(working))

    def after(self, remedy: Remedy) -> "Fitness":
        """Return the assessment after a remedy."""
        air, rh, surface = self.air_c, self.rh_percent, self.surface_c
        if remedy.air_to_c is not None:
            rh = min(100.0, max(DRIEST_PERCENT, rh_at(remedy.air_to_c, vapour_pa(air, rh))))
            surface = surface if self.surface_read else remedy.air_to_c
            air = remedy.air_to_c
        if remedy.rh_to_percent is not None:
            rh = remedy.rh_to_percent
        read = self.surface_read or remedy.surface_by_k is not None
        return assess(air, rh, surface + (remedy.surface_by_k or 0) if read else None, self.limits)


def assess(air_c: float, rh_percent: float, surface_c: float | None = None, limits: Limits = USUAL) -> Fitness:
    """Return the assessment of this air for a coat with these limits; exactly at a limit it is still fit.

    Raises:
        ImpossibleAirError: a humidity outside 0 < rh <= 100, or a temperature outside -100..200 °C.
    """
    dew = dew_point(air_c, rh_percent)
    surface = air_c if surface_c is None else surface_c
    if not -WARMEST_C / 2 <= surface <= WARMEST_C:
        raise ImpossibleAirError("surface_c", surface)
    checks = (
        (Hindrance.DEW_POINT, surface - dew < limits.margin_k - ROUNDING_K),
        (Hindrance.AIR, _outside(air_c, limits.air_c)),
        (Hindrance.SURFACE, _outside(surface, limits.surface_c)),
        (Hindrance.HUMIDITY, _outside(rh_percent, limits.rh_percent)),
    )
    found = tuple(hindrance for hindrance, forbids in checks if forbids)
    return Fitness(air_c, rh_percent, surface, surface_c is not None, dew, limits, found)


def vapour_pa(air_c: float, rh_percent: float) -> float:
    """Return the pressure of the water vapour in this air, Pa; PsychroLib's, over ice below 0 °C."""
    return float(psychrolib.GetVapPresFromRelHum(air_c, rh_percent / 100))


def rh_at(air_c: float, pressure_pa: float) -> float:
    """Return the relative humidity, %, of air of this temperature with this pressure of water vapour."""
    return float(100 * pressure_pa / psychrolib.GetSatVapPres(air_c))


def dampest_allowed(air_c: float, surface_c: float, margin_k: float = DEW_MARGIN_K) -> float:
    """Return the highest humidity, %, at which this surface is still so far above the dew point of this air."""
    dew = surface_c - margin_k
    return min(100.0, rh_at(air_c, float(psychrolib.GetSatVapPres(dew)))) if dew < air_c else 100.0


def _outside(value: float, span: Span | None) -> bool:
    return span is not None and not span[0] <= value <= span[1]


def _clamped(value: float, span: Span | None) -> float:
    return value if span is None else min(max(value, span[0]), span[1])


def _up(value: float) -> float:
    """Round up to a tenth."""
    return ceil(round(value * 10, 6)) / 10


def _down(value: float) -> float:
    return floor(round(value * 10, 6)) / 10


def _surface(now: Fitness) -> Remedy:
    """Warm the panel off the dew point and into its limits, or cool it where it is too hot."""
    needed = _clamped(max(now.surface_c, now.dew_c + now.limits.margin_k), now.limits.surface_c)
    by = needed - now.surface_c
    if abs(by) <= ROUNDING_K:
        return Remedy()
    return Remedy(surface_by_k=_up(by) if by > 0 else _down(by))


def _humidity(now: Fitness) -> Remedy:
    """Dry the air at its temperature, or moisten it where it is too dry; to a whole percent."""
    most = dampest_allowed(now.air_c, now.surface_c, now.limits.margin_k)
    needed = min(_clamped(now.rh_percent, now.limits.rh_percent), most)
    if needed == now.rh_percent:
        return Remedy()
    if needed > now.rh_percent:
        return Remedy(rh_to_percent=float(ceil(needed)))
    whole = float(floor(needed))
    return Remedy(rh_to_percent=whole if whole >= 1 else floor(needed * 100) / 100)


def _warmth(now: Fitness) -> Remedy:
    """Warm the air, or cool it where it is too warm; a panel that was read is then warmed or cooled by itself."""
    limits = now.limits
    needed = _clamped(now.air_c, limits.air_c)
    if limits.rh_percent and now.rh_percent > limits.rh_percent[1]:
        needed = max(needed, _warm_enough(now, limits.rh_percent[1]))
    if not now.surface_read:
        needed = _clamped(max(needed, now.dew_c + limits.margin_k), limits.surface_c)
    if needed == now.air_c:
        return Remedy()
    warmed = Remedy(air_to_c=_up(needed) if needed > now.air_c else _down(needed))
    return _with_surface(now, warmed) if now.surface_read else warmed


def _warm_enough(now: Fitness, rh_percent: float) -> float:
    """Return the temperature at which the water that is in the air makes no more than this humidity, °C."""
    pressure = vapour_pa(now.air_c, now.rh_percent) * 100 / rh_percent
    if pressure >= psychrolib.GetSatVapPres(WARMEST_C):
        return WARMEST_C
    return float(psychrolib.GetTDewPointFromVapPres(WARMEST_C, pressure)) + INVERSION_K


def _all_three(now: Fitness) -> Remedy:
    """Bring the air into its limits, then its water, then the panel."""
    warmed = Remedy(air_to_c=_clamped(now.air_c, now.limits.air_c)) if Hindrance.AIR in now.hindrances else Remedy()
    dried = replace(warmed, rh_to_percent=_within(now.after(warmed)))
    return _with_surface(now, dried)


def _within(now: Fitness) -> float | None:
    rh = _clamped(now.rh_percent, now.limits.rh_percent)
    return None if rh == now.rh_percent else float(floor(rh) if rh < now.rh_percent else ceil(rh))


def _with_surface(now: Fitness, remedy: Remedy) -> Remedy:
    return replace(remedy, surface_by_k=_surface(now.after(remedy)).surface_by_k)
