"""An air reading typed with a glove: what is typed, what is missing or impossible, and the request it makes."""

from dataclasses import dataclass, replace
from datetime import tzinfo
from enum import StrEnum
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from bayapp.air import dew_point
from bayapp.job import CorrectAir, ReadAir
from bayapp.job.model.ids import Person, PlaceId
from bayapp.job.model.product import Celsius, Percent
from bayapp.job.model.wait_tables import By
from bayapp.job.state.events import AirRead
from bayapp.job.text.naming import capital, value_text
from bayapp.text.figures import (
    clock_time,
    figure,
    percent,
    short_figure,
    shown_temperature,
    temperature,
    temperature_unit,
    typed_temperature,
    warmth,
)
from bayapp.text.language import _

BACK, NEXT, MINUS, POINT = "back", "next", "-", "."
KEYS = (*"0123456789", POINT, MINUS, BACK, NEXT)
MOST_DIGITS = 3  # before the point; one behind it, as hand meters show


@cache
def _limits_of(value: Any) -> dict[str, float]:
    """Return the limits that the journal sets; worked out when first needed, to keep the start short."""
    return TypeAdapter(value).json_schema()


class AirField(StrEnum):
    """What is measured, in the order of typing."""

    AIR = "air"
    HUMIDITY = "humidity"
    SURFACE = "surface"


FIELDS = tuple(AirField)


@dataclass(frozen=True, slots=True)
class EntryField:
    """One field: what is typed, and the value of the last reading."""

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
        trouble: why the reading cannot be recorded yet; empty if it can.
        note: what follows from the reading once it can be recorded.
        may_withdraw: it is a recorded reading, which may be withdrawn.
    """

    title: str
    subtitle: str
    fields: tuple[EntryField, ...]
    trouble: str
    note: str
    may_withdraw: bool = False


@dataclass(frozen=True, slots=True)
class AirEntry:
    """What has been typed so far, in the shop's units; an empty field means not read.

    Attributes:
        corrects: the recorded reading that is corrected; None for a new one.
        kept: fields that still have that reading's value; the first key typed there replaces it.
    """

    air: str = ""
    humidity: str = ""
    surface: str = ""
    chosen: AirField = AirField.AIR
    corrects: AirRead | None = None
    kept: frozenset[AirField] = frozenset()

    @classmethod
    def correcting(cls, reading: AirRead) -> "AirEntry":
        """Return the entry to correct a recorded reading, with its values."""
        texts = {field: _as_typed(field, value) for field, value in _values_of(reading).items() if value is not None}
        air, humidity, surface = (texts.get(field, "") for field in FIELDS)
        return cls(air, humidity, surface, corrects=reading, kept=frozenset(texts))

    def choose(self, field: AirField) -> "AirEntry":
        """Return the entry with this field to be typed into."""
        return replace(self, chosen=field)

    def press(self, key: str) -> "AirEntry":
        """Return the entry after one of ``KEYS``; a key that would make no number changes nothing."""
        if key not in KEYS:
            raise ValueError(f"there is no key {key!r}; there are {', '.join(KEYS)}")
        if key == NEXT:
            return self.choose(FIELDS[(FIELDS.index(self.chosen) + 1) % len(FIELDS)])
        replaces = self.chosen in self.kept and key != BACK
        typed = _typed("" if replaces else self.text(self.chosen), key)
        if typed == self.text(self.chosen) and not replaces:
            return self
        entry = replace(self, kept=self.kept - {self.chosen})
        match self.chosen:
            case AirField.AIR:
                return replace(entry, air=typed)
            case AirField.HUMIDITY:
                return replace(entry, humidity=typed)
            case AirField.SURFACE:
                return replace(entry, surface=typed)

    def text(self, field: AirField) -> str:
        """Return the text typed in a field."""
        return {AirField.AIR: self.air, AirField.HUMIDITY: self.humidity, AirField.SURFACE: self.surface}[field]

    def value(self, field: AirField) -> float | None:
        """Return the value of a field in °C or %; None if nothing but a sign is typed."""
        if self.corrects and field in self.kept:
            return _values_of(self.corrects)[field]
        number = _number(self.text(field))
        if number is None or field is AirField.HUMIDITY:
            return number
        return round(typed_temperature(number), 2)

    def trouble(self) -> str:
        """Return the first thing that is missing or impossible; empty if the reading can be recorded."""
        air, humidity, surface = (self.value(field) for field in FIELDS)
        if air is None:
            return _("Type the temperature of the air.")
        if not _possible(air, _limits_of(Celsius)):
            return _outside(_("The air"), air)
        if humidity is None:
            return _("Type the humidity of the air.")
        if not _possible(humidity, _limits_of(Percent)):
            low, high = _limits_of(Percent)["exclusiveMinimum"], _limits_of(Percent)["maximum"]
            return _("A humidity of {value} cannot be: it is above {low} and at most {high}.").format(
                value=value_text(By.HUMIDITY, humidity), low=short_figure(low), high=percent(high)
            )
        if surface is None and self.surface:
            return _("Type the temperature of the surface, or take the sign away.")
        if surface is not None and not _possible(surface, _limits_of(Celsius)):
            return _outside(_("The surface"), surface)
        if self.corrects and (air, humidity, surface) == tuple(_values_of(self.corrects).values()):
            return _("Type what it should have been.")
        return ""

    def request(self, by: Person | None, place: PlaceId | None = None) -> ReadAir | CorrectAir | None:
        """Return what is asked for, or None while there is trouble; ``place`` is where a new reading was taken."""
        values = None if self.trouble() else self._reading(by)
        if values is None or self.corrects is None:
            return values and replace(values, place=place)
        return CorrectAir(self.corrects.at, values, self.corrects.source, by)

    def withdrawal(self, by: Person | None) -> CorrectAir | None:
        """Return the request to withdraw the reading; None if none is being corrected."""
        return CorrectAir(self.corrects.at, None, self.corrects.source, by) if self.corrects else None

    def _reading(self, by: Person | None) -> ReadAir | None:
        air, humidity = self.value(AirField.AIR), self.value(AirField.HUMIDITY)
        return None if air is None or humidity is None else ReadAir(air, humidity, self.value(AirField.SURFACE), by)

    def consequence(self) -> str:
        """Return what follows from the reading, once it can be recorded."""
        return "" if self.trouble() else _dew_sentence(self._reading(None))


def air_entry(entry: AirEntry, last: AirRead | None, tz: tzinfo, place: str = "") -> AirEntryView:
    """Return the page for what has been typed; ``last`` is the last reading, which is only a hint.

    ``place`` is what people call where it is taken, empty where bays have no names.
    """
    hinted = entry.corrects or last
    hints = _values_of(hinted) if hinted else {}
    words = {
        AirField.AIR: (_("Air"), "", temperature_unit()),
        AirField.HUMIDITY: (_("Humidity"), "", _("%")),
        AirField.SURFACE: (_("Surface"), _("if it was read"), temperature_unit()),
    }
    hint = _("was {value}") if entry.corrects else _("last {value}")
    fields = tuple(
        EntryField(
            field=field,
            title=words[field][0],
            note=words[field][1],
            unit=words[field][2],
            typed=entry.text(field),
            last="" if (value := hints.get(field)) is None else hint.format(value=_shown(field, value)),
            chosen=field is entry.chosen,
        )
        for field in FIELDS
    )
    title, subtitle = _head(entry, last, tz)
    if place and not entry.corrects:
        subtitle = _("{place}: {words}").format(place=capital(place), words=subtitle) if subtitle else capital(place)
    return AirEntryView(
        title, subtitle, fields, entry.trouble(), entry.consequence(), may_withdraw=entry.corrects is not None
    )


def _head(entry: AirEntry, last: AirRead | None, tz: tzinfo) -> tuple[str, str]:
    if entry.corrects:
        time = clock_time(entry.corrects.measured_at, tz, seconds=False)
        title = _("Correct the reading of {time}").format(time=time)
        return title, _("What it said stays in the record; clocks that run are timed anew.")
    if last is None:
        return _("Read the air"), _("It has not been read yet.")
    time = clock_time(last.measured_at, tz, seconds=False)
    return _("Read the air"), _("Last read at {time}.").format(time=time)


def _values_of(reading: AirRead) -> dict[AirField, float | None]:
    """Return the values of a reading, in the order of the fields."""
    return dict(zip(FIELDS, (reading.air_c, reading.rh_percent, reading.surface_c), strict=True))


def _shown(field: AirField, value: float) -> str:
    return figure(value if field is AirField.HUMIDITY else shown_temperature(value), 1)


def _as_typed(field: AirField, value: float) -> str:
    """Return a value as keys would make it."""
    text = f"{value if field is AirField.HUMIDITY else shown_temperature(value):.1f}"
    return text.removesuffix(".0")


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


def _outside(what: str, celsius: float) -> str:
    low, high = (value_text(By.TEMPERATURE, _limits_of(Celsius)[edge]) for edge in ("minimum", "maximum"))
    return _("{what} cannot have {value}: from {low} to {high} is possible.").format(
        what=what, value=value_text(By.TEMPERATURE, celsius), low=low, high=high
    )


def _dew_sentence(asked: ReadAir | None) -> str:
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
