"""The charts of the day's air: the readings, how long each was valid, and the limits of the coats."""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

from bayapp.air import Fitness, Limits, dew_point
from bayapp.air.fitness import Span
from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import READING_HOLDS
from bayapp.text.figures import figure, percent, short_figure, shown_temperature, temperature, temperature_unit, warmth
from bayapp.text.language import _

APART = timedelta(minutes=1)
"""Of readings that lie closer together, as a sensor's do, the last one of each minute is drawn."""

ROOM = 0.18
LEAST_RANGE = {"temperature": 8.0, "humidity": 20.0, "margin": 8.0}


class Stroke(StrEnum):
    """The stroke of a line, so that lines differ by more than their colour."""

    THIN = "thin"
    THICK = "thick"
    DOTTED = "dotted"


class HeldValue(NamedTuple):
    """A value that holds for a while; it counts as known until ``known``, half an hour after it was read."""

    begins: datetime
    ends: datetime
    value: float
    known: bool


class Line(NamedTuple):
    """One quantity over the day, and its present value in words."""

    words: str
    stroke: Stroke
    stretches: tuple[HeldValue, ...]


class Limit(NamedTuple):
    """A limit on a chart: its value, its words, and the side of it on which no coat is laid."""

    value: float
    words: str
    forbids_above: bool


class Panel(NamedTuple):
    """One chart: a large figure, its lines, its limits, and the range of its axis."""

    title: str
    large: str
    lines: tuple[Line, ...]
    limits: tuple[Limit, ...]
    bottom: float
    top: float
    outside: bool


def panels(
    readings: Sequence[AirRead], found: Fitness | None, limits: Limits, begins: datetime, now: datetime
) -> tuple[Panel, ...]:
    """Return the three charts; ``found`` is the assessment of the last reading, None if none holds any more."""
    kept = _thinned(readings)

    def line(words: str, stroke: Stroke, value: Callable[[AirRead], float | None]) -> Line:
        return Line(words, stroke, _stretches(kept, value, begins, now))

    words = _words(found)
    air = line(words[0], Stroke.THIN, lambda r: shown_temperature(r.air_c))
    panel = line(words[1], Stroke.THICK, lambda r: None if r.surface_c is None else shown_temperature(r.surface_c))
    dew = line(words[2], Stroke.DOTTED, lambda r: shown_temperature(_dew(r)))
    humidity = line(_("humidity"), Stroke.THICK, lambda r: r.rh_percent)
    margin = line(words[2], Stroke.THICK, lambda r: _shown_kelvin(r.coat_c - _dew(r)))
    needed = _shown_kelvin(limits.margin_k)
    return (
        _panel(
            "temperature",
            _("Temperature"),
            temperature(found.surface_c) if found else "–",
            (air, panel, dew),
            _degree_limits(limits),
        ),
        _panel(
            "humidity",
            _("Humidity"),
            percent(found.rh_percent) if found else "–",
            (humidity,),
            _limits(limits.rh_percent, lambda v: v, percent),
        ),
        _panel(
            "margin",
            _("Above the frost point") if found and found.frost else _("Above the dew point"),
            warmth(found.margin_k) if found else "–",
            (margin,),
            (Limit(needed, f"{short_figure(round(needed, 1))} {temperature_unit()}", forbids_above=False),),
        ),
    )


def _words(found: Fitness | None) -> tuple[str, str, str]:
    """Return the names of the three temperatures, with their present values if known."""
    if found is None:
        return _("air"), _("panel"), _("dew point")
    panel = temperature(found.surface_c) if found.surface_read else _("not read")
    point = _("frost point {value}") if found.frost else _("dew point {value}")
    return (
        _("air {value}").format(value=temperature(found.air_c)),
        _("panel {value}").format(value=panel),
        point.format(value=temperature(found.dew_c)),
    )


def _panel(kind: str, title: str, large: str, lines: tuple[Line, ...], limits: tuple[Limit, ...]) -> Panel:
    values = [s.value for line in lines for s in line.stretches] + [limit.value for limit in limits]
    low, high = (min(values), max(values)) if values else (0.0, LEAST_RANGE[kind])
    missing = max(0.0, LEAST_RANGE[kind] - (high - low)) / 2
    low, high = low - missing, high + missing
    room = (high - low) * ROOM
    last = [line.stretches[-1].value for line in lines if line.stretches]
    outside = (
        any(_forbids(limit, last[-1] if kind != "temperature" else last[0]) for limit in limits) if last else False
    )
    if kind == "humidity":
        return Panel(title, large, lines, limits, max(0.0, low - room), min(100.0, high + room), outside)
    return Panel(title, large, lines, limits, low - room, high + room, outside)


def _forbids(limit: Limit, value: float) -> bool:
    return value > limit.value if limit.forbids_above else value < limit.value


def _degree_limits(limits: Limits) -> tuple[Limit, ...]:
    """Return the narrower of the limits of air and surface: there is room for one pair only."""
    spans = [span for span in (limits.air_c, limits.surface_c) if span]
    if not spans:
        return ()
    narrow = max(s[0] for s in spans), min(s[1] for s in spans)
    return _limits(narrow, shown_temperature, lambda v: f"{figure(shown_temperature(v))} {temperature_unit()}")


def _limits(span: Span | None, shown: Callable[[float], float], words: Callable[[float], str]) -> tuple[Limit, ...]:
    if span is None:
        return ()
    low, high = span
    return Limit(shown(low), words(low), forbids_above=False), Limit(shown(high), words(high), forbids_above=True)


def _shown_kelvin(kelvin: float) -> float:
    """Return a difference in the unit that is shown."""
    return shown_temperature(kelvin) - shown_temperature(0.0)


def _thinned(readings: Sequence[AirRead]) -> list[AirRead]:
    kept: list[AirRead] = []
    for reading in readings:
        if len(kept) > 1 and reading.measured_at - kept[-2].measured_at < APART:
            kept[-1] = reading
        else:
            kept.append(reading)
    return kept


def _stretches(
    readings: Sequence[AirRead], value: Callable[[AirRead], float | None], begins: datetime, now: datetime
) -> tuple[HeldValue, ...]:
    """Return how long each reading held: known for half an hour, then only assumed until the next one."""
    found = []
    for n, reading in enumerate(readings):
        amount = value(reading)
        until = readings[n + 1].measured_at if n + 1 < len(readings) else now
        until, since = min(until, now), max(reading.measured_at, begins)
        if amount is None or until < since or (until == since and n + 1 < len(readings)):
            continue
        holds = min(max(reading.measured_at + READING_HOLDS, since), until)
        found += [HeldValue(since, holds, amount, True)] if holds > since or until == since else []
        found += [HeldValue(holds, until, amount, False)] if until > holds else []
    return tuple(found)


def _dew(reading: AirRead) -> float:
    return _dew_of(reading.air_c, reading.rh_percent)


@lru_cache(maxsize=4096)
def _dew_of(air_c: float, rh_percent: float) -> float:
    return dew_point(air_c, rh_percent)
