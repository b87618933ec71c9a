"""Numbers, units and times of day as this shop writes them.

Stored values are always °C, per cent, millilitres and UTC; only what people read and type is converted.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum
from functools import lru_cache

from bayapp.text.days import same_day
from bayapp.text.language import USUAL, _, language, ngettext

ML_PER_FL_OZ = 29.5735295625
"""One US fluid ounce: 231 cubic inches to the gallon of 128 (NIST Handbook 44, appendix C; from memory)."""

FAHRENHEIT_PER_KELVIN = 1.8


class TemperatureUnit(StrEnum):
    """What temperatures are shown and typed in."""

    CELSIUS = "c"
    FAHRENHEIT = "f"


class VolumeUnit(StrEnum):
    """What volumes are shown and typed in."""

    MILLILITRE = "ml"
    FLUID_OUNCE = "fl-oz"


class DayClock(StrEnum):
    """How times of day are written."""

    HOURS_24 = "24h"
    HOURS_12 = "12h"


@dataclass(frozen=True, slots=True)
class Units:
    """In which units and on which clock a shop reads and types values."""

    temperature: TemperatureUnit = TemperatureUnit.CELSIUS
    volume: VolumeUnit = VolumeUnit.MILLILITRE
    day_clock: DayClock = DayClock.HOURS_24


class _Kept:
    units = Units()


def use_units(units: Units) -> None:
    """Write everything in this way from now on; set at the start, and again when somebody changes the setting."""
    _Kept.units = units


def units() -> Units:
    """Return the units and clock in use."""
    return _Kept.units


def figure(value: float, digits: int = 0, *, signed: bool = False) -> str:
    """Return a number with so many decimals, as the shop's language writes it: "1,234.5", "1 234,5"."""
    text = _decimal(round(value, digits) + 0.0, digits, language())
    return f"+{text}" if signed and value > 0 else text


def short_figure(value: float) -> str:
    """Return a number with the decimals that it needs, three at most: "5", "2.5"."""
    text = f"{value:.3f}".rstrip("0")
    return figure(value, max(0, len(text.partition(".")[2])))


def temperature(celsius: float, digits: int = 1) -> str:
    """Return a temperature with its unit: "21.0 °C", "69.8 °F"."""
    return f"{figure(shown_temperature(celsius), digits)} {temperature_unit()}"


def warmth(kelvin: float, digits: int = 1) -> str:
    """Return a difference of temperatures with its unit: 3 K are "3.0 °C" or "5.4 °F"."""
    factor = FAHRENHEIT_PER_KELVIN if units().temperature is TemperatureUnit.FAHRENHEIT else 1.0
    return f"{figure(kelvin * factor, digits)} {temperature_unit()}"


def temperature_unit() -> str:
    """Return the unit that temperatures are shown in."""
    return "°F" if units().temperature is TemperatureUnit.FAHRENHEIT else "°C"


def shown_temperature(celsius: float) -> float:
    """Return a temperature in the unit that is shown."""
    return celsius * FAHRENHEIT_PER_KELVIN + 32 if units().temperature is TemperatureUnit.FAHRENHEIT else celsius


def typed_temperature(value: float) -> float:
    """Return the °C that somebody means who types this number."""
    return (value - 32) / FAHRENHEIT_PER_KELVIN if units().temperature is TemperatureUnit.FAHRENHEIT else value


def percent(value: float, digits: int = 0) -> str:
    """Return per cent: "48 %"."""
    return f"{figure(value, digits)} %"


def volume(millilitres: float) -> str:
    """Return a volume with its unit: "120 ml", "4.1 fl oz"."""
    shown = shown_volume(millilitres)
    fluid = units().volume is VolumeUnit.FLUID_OUNCE
    return f"{figure(shown, 1 if shown and (fluid or abs(shown) < 10) else 0)} {volume_unit()}"


def volume_unit() -> str:
    """Return the unit that volumes are shown in."""
    return "fl oz" if units().volume is VolumeUnit.FLUID_OUNCE else "ml"


def shown_volume(millilitres: float) -> float:
    """Return a volume in the unit that is shown."""
    return millilitres / ML_PER_FL_OZ if units().volume is VolumeUnit.FLUID_OUNCE else millilitres


def typed_volume(value: float) -> float:
    """Return the millilitres that somebody means who types this number."""
    return value * ML_PER_FL_OZ if units().volume is VolumeUnit.FLUID_OUNCE else value


def micrometres(um: float) -> str:
    """Return a thickness with its unit, with one decimal where it has any: "112 µm", "78.5 µm"."""
    return f"{figure(um, 0 if abs(um - round(um)) < 0.05 else 1)} µm"


def size_text(size: int) -> str:
    """Return how large a file is: "34 kB", "1.2 MB"."""
    return f"{figure(size / 1e6, 1)} MB" if size >= 1e6 else f"{figure(max(1.0, size / 1e3))} kB"


def length_text(length: timedelta) -> str:
    """Return a length of time in whole minutes, rounded down: "less than a minute", "25 min", "2 h 10", "1 day 3 h"."""
    minutes = length // timedelta(minutes=1)
    if minutes < 1:
        return _("less than a minute")
    if minutes < 60:
        return _("{m} min").format(m=minutes)
    hours = minutes // 60
    if hours < 24:
        return _("{h} h {m:02d}").format(h=hours, m=minutes % 60)
    days = ngettext("{n} day", "{n} days", hours // 24).format(n=hours // 24)
    return _("{days} {h} h").format(days=days, h=hours % 24) if hours % 24 else days


def distance_text(distance: int, unit: str | None) -> str:
    """Return what a car's counter shows, with its unit: "mi" for miles, else kilometres."""
    number = figure(distance)
    return _("{n} miles").format(n=number) if unit == "mi" else _("{n} km").format(n=number)


def clock_time(moment: datetime, zone: tzinfo, seconds: bool = True) -> str:
    """Return the time of day on the shop's wall: "14:26:10", "2:26:10 pm"."""
    local = moment.astimezone(zone)
    if units().day_clock is DayClock.HOURS_24:
        return local.strftime("%H:%M:%S" if seconds else "%H:%M")
    rest = local.strftime(":%M:%S" if seconds else ":%M")
    return f"{local.hour % 12 or 12}{rest} {'am' if local.hour < 12 else 'pm'}"


def day_and_time(moment: datetime, zone: tzinfo) -> str:
    """Return the day in figures and the time of day: "25 Nov 14:26"."""
    return f"{day_of_month(moment, zone)} {clock_time(moment, zone, seconds=False)}"


def moment_text(moment: datetime, at: datetime, zone: tzinfo, seconds: bool = False) -> str:
    """Return the time of day, with its day where that is not the day of ``at``: "16:40", "26 Nov 09:15"."""
    return clock_time(moment, zone, seconds) if same_day(moment, at, zone) else day_and_time(moment, zone)


def day_of_month(moment: datetime, zone: tzinfo) -> str:
    """Return day and month in figures as the language writes them: "25.11.", "11/25"; in English "25 Nov"."""
    return _skeleton("MMMd" if language() == USUAL else "Md", moment.astimezone(zone), language())


@lru_cache(maxsize=2048)
def _decimal(value: float, digits: int, tag: str) -> str:
    from babel.numbers import format_decimal  # noqa: PLC0415 (a twentieth of a second that no start should pay)

    pattern = "#,##0." + "0" * digits if digits else "#,##0"
    return str(format_decimal(value, format=pattern, locale=_locale(tag)))


def _skeleton(skeleton: str, local: datetime, tag: str) -> str:
    from babel.dates import format_skeleton  # noqa: PLC0415 (see above)

    return str(format_skeleton(skeleton, local, tzinfo=local.tzinfo, locale=_locale(tag)))


@lru_cache(maxsize=8)
def _locale(tag: str) -> str:
    """Return the name of the nearest locale that Babel knows; English is written as in Britain, day before month."""
    from babel.core import Locale, UnknownLocaleError  # noqa: PLC0415 (see above)

    if tag == USUAL:
        return "en_GB"
    for name in (tag.replace("-", "_"), tag.split("-", maxsplit=1)[0]):
        try:
            return str(Locale.parse(name))
        except (UnknownLocaleError, ValueError):
            continue
    return "en_GB"
