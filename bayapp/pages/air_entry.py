"""An air reading typed with a glove: what is typed, what is missing or impossible, what is asked. Knows no pixel."""

from dataclasses import dataclass, replace
from datetime import tzinfo
from enum import StrEnum
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from bayapp.air import dew_point
from bayapp.job import ReadAir
from bayapp.job.events import AirRead
from bayapp.job.figures import clock_time, temperature, warmth
from bayapp.job.language import _
from bayapp.job.product import Celsius, Percent
from bayapp.job.words import Person

BACK, NEXT, MINUS, POINT = "back", "next", "-", "."
KEYS = (*"0123456789", POINT, MINUS, BACK, NEXT)
MOST_DIGITS = 3  # before the point; one behind it, as hand meters show


@cache
def _limits_of(value: Any) -> dict[str, float]:
    """Return the limits that the journal sets; worked out when first typed, for the start has no time to spare."""
    return TypeAdapter(value).json_schema()


class AirField(StrEnum):
    """What is measured, in the order of typing."""

    AIR = "air"
    HUMIDITY = "humidity"
    SURFACE = "surface"


FIELDS = tuple(AirField)


@dataclass(frozen=True, slots=True)
class EntryField:
    """One field as it is shown: what is typed, and what the last reading said."""

    field: AirField
    title: str
    note: str
    unit: str
    typed: str
    last: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class AirEntryView:
    """All that the page shows.

    Attributes:
        trouble: why the reading cannot be recorded yet; empty where it can.
        told: what follows from it once it can.
    """

    title: str
    subtitle: str
    fields: tuple[EntryField, ...]
    trouble: str
    told: str


@dataclass(frozen=True, slots=True)
class AirEntry:
    """What has been typed so far; an empty field has not been read, whatever the last reading said."""

    air: str = ""
    humidity: str = ""
    surface: str = ""
    chosen: AirField = AirField.AIR

    def choose(self, field: AirField) -> "AirEntry":
        """Return the entry with this field to be typed into."""
        return replace(self, chosen=field)

    def press(self, key: str) -> "AirEntry":
        """Return the entry after one of ``KEYS``; a key that would make no number changes nothing."""
        if key not in KEYS:
            raise ValueError(f"there is no key {key!r}; there are {', '.join(KEYS)}")
        if key == NEXT:
            return self.choose(FIELDS[(FIELDS.index(self.chosen) + 1) % len(FIELDS)])
        typed = _typed(self.text(self.chosen), key)
        match self.chosen:
            case AirField.AIR:
                return replace(self, air=typed)
            case AirField.HUMIDITY:
                return replace(self, humidity=typed)
            case AirField.SURFACE:
                return replace(self, surface=typed)

    def text(self, field: AirField) -> str:
        """Return what is typed in a field."""
        return {AirField.AIR: self.air, AirField.HUMIDITY: self.humidity, AirField.SURFACE: self.surface}[field]

    def trouble(self) -> str:
        """Return what is missing or impossible, the first of it; empty when the reading can be recorded."""
        air, humidity, surface = (_number(self.text(field)) for field in FIELDS)
        if air is None:
            return _("Type the temperature of the air.")
        if not _possible(air, _limits_of(Celsius)):
            return _outside(_("The air"), air)
        if humidity is None:
            return _("Type the humidity of the air.")
        if not _possible(humidity, _limits_of(Percent)):
            return _("A humidity of {value:g} % cannot be: it is above {low:g} and at most {high:g} %.").format(
                value=humidity, low=_limits_of(Percent)["exclusiveMinimum"], high=_limits_of(Percent)["maximum"]
            )
        if surface is None:
            return _("Type the temperature of the surface, or take the sign away.") if self.surface else ""
        return "" if _possible(surface, _limits_of(Celsius)) else _outside(_("The surface"), surface)

    def request(self, by: Person | None) -> ReadAir | None:
        """Return what is asked for, or None while there is trouble."""
        air, humidity = _number(self.air), _number(self.humidity)
        if self.trouble() or air is None or humidity is None:
            return None
        return ReadAir(air, humidity, _number(self.surface), by)


def air_entry(entry: AirEntry, last: AirRead | None, tz: tzinfo) -> AirEntryView:
    """Return the page for what has been typed; ``last`` is the last reading, which is only a hint."""
    hints = {
        AirField.AIR: last.air_c if last else None,
        AirField.HUMIDITY: last.rh_percent if last else None,
        AirField.SURFACE: last.surface_c if last else None,
    }
    words = {
        AirField.AIR: (_("Air"), "", _("°C")),
        AirField.HUMIDITY: (_("Humidity"), "", _("%")),
        AirField.SURFACE: (_("Surface"), _("if it was read"), _("°C")),
    }
    fields = tuple(
        EntryField(
            field=field,
            title=words[field][0],
            note=words[field][1],
            unit=words[field][2],
            typed=entry.text(field),
            last="" if hints[field] is None else _("last {value:.1f}").format(value=hints[field]),
            chosen=field is entry.chosen,
        )
        for field in FIELDS
    )
    return AirEntryView(
        title=_("Read the air"),
        subtitle=_("Last read at {time}.").format(time=clock_time(last.measured_at, tz, seconds=False))
        if last
        else _("It has not been read yet."),
        fields=fields,
        trouble=entry.trouble(),
        told=_told(entry.request(None)),
    )


def _typed(text: str, key: str) -> str:
    """Return a field's text after a key."""
    if key == BACK:
        return text[:-1]
    if key == MINUS:
        return text[1:] if text.startswith(MINUS) else MINUS + text
    sign, number = (MINUS, text[1:]) if text.startswith(MINUS) else ("", text)
    if key == POINT:
        return text if POINT in number else f"{sign}{number or '0'}{POINT}"
    whole, point, tenth = number.partition(POINT)
    if (point and tenth) or (not point and len(whole) == MOST_DIGITS):
        return text
    return f"{sign}{'' if number == '0' else number}{key}"


def _number(text: str) -> float | None:
    return float(text) if any(c.isdigit() for c in text) else None


def _possible(value: float, limits: dict[str, float]) -> bool:
    return (
        limits.get("minimum", value) <= value <= limits["maximum"] and limits.get("exclusiveMinimum", value - 1) < value
    )


def _outside(what: str, value: float) -> str:
    return _("{what} cannot have {value:g} °C: from {low:g} to {high:g} °C is possible.").format(
        what=what, value=value, low=_limits_of(Celsius)["minimum"], high=_limits_of(Celsius)["maximum"]
    )


def _told(asked: ReadAir | None) -> str:
    """Return the dew point, below 0 °C the frost point, and how far the surface is from it; without one, the air."""
    if asked is None:
        return ""
    dew = dew_point(asked.air_c, asked.rh_percent)
    margin = (asked.air_c if asked.surface_c is None else asked.surface_c) - dew
    if margin <= 0:
        wet = _("Frost point {dew}: rime settles on the surface.") if dew < 0 else None
        return (wet or _("Dew point {dew}: water settles on the surface.")).format(dew=temperature(dew))
    dry = _("Frost point {dew}, {margin} below the surface.") if dew < 0 else None
    return (dry or _("Dew point {dew}, {margin} below the surface.")).format(
        dew=temperature(dew), margin=warmth(margin)
    )
