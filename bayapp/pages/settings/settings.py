"""The settings page, and what a touch there changes."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import time
from enum import StrEnum

from bayapp.drawing.palette import PALETTES, next_theme
from bayapp.files.shop.hours import DAY_ENDS, WorkingHours
from bayapp.files.shop.settings import USUAL_DISTANCE_M, Settings
from bayapp.text.figures import DayClock, TemperatureUnit, VolumeUnit, figure, percent, short_figure
from bayapp.text.language import _

QUARTER = 15
DAY = 24 * 60
MORNING = WorkingHours(time(8), time(12, 30))
AFTERNOON = WorkingHours(time(13), time(17))
NEXT_DISTANCE_M = 0.25
FARTHEST_M = 6.0


class Setting(StrEnum):
    """What the first page of settings offers."""

    INCH = "inch"
    DISTANCE = "distance"
    THEME = "theme"
    VOLUME = "volume"
    SPOKEN = "spoken"
    LANGUAGE = "language"
    TEMPERATURES = "temperatures"
    VOLUMES = "volumes"
    DAY_CLOCK = "day_clock"
    HOURS = "hours"
    PEOPLE = "people"
    KEYS = "keys"
    BACKUP = "backup"
    SENSORS = "sensors"


@dataclass(frozen=True, slots=True)
class Stretches:
    """So many stretches of work a day."""

    count: int


@dataclass(frozen=True, slots=True)
class HourEdge:
    """Where a stretch begins or ends, counted through the day from 0."""

    place: int


CellKey = Setting | Stretches | HourEdge


@dataclass(frozen=True, slots=True)
class Cell:
    """One setting: its name and value; ``steps`` where it is moved by - and +, else a touch changes or opens it.

    Without a key it is an empty place.
    """

    key: CellKey | None
    title: str
    value: str
    steps: bool = False
    glyph: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Seen:
    """What the page needs beside the settings: the size that the screen reports, the language, the last backup."""

    inch: float
    language: str
    backup: str
    sensors: bool = False


def settings_cells(now: Settings, seen: Seen) -> tuple[Cell, ...]:
    """Return every setting on the page, group by group."""
    inch = now.screen_diagonal_inch or seen.inch
    fahrenheit, ounces = now.temperatures is TemperatureUnit.FAHRENHEIT, now.volumes is VolumeUnit.FLUID_OUNCE
    hours_12 = now.day_clock is DayClock.HOURS_12
    cells = [
        Cell(Setting.INCH, _("Screen"), _("{n} inch").format(n=short_figure(round(inch, 1))), steps=True),
        Cell(Setting.DISTANCE, _("Read from"), _("{n} m").format(n=short_figure(now.reading_distance_m)), steps=True),
        Cell(Setting.THEME, _("Light or dark"), _(PALETTES[now.theme].title), glyph="light"),
        Cell(Setting.VOLUME, _("Loudness"), percent(now.volume * 100), steps=True),
        Cell(Setting.SPOKEN, _("Spoken lines"), _("on") if now.spoken else _("off"), glyph="speech", chosen=now.spoken),
        Cell(Setting.LANGUAGE, _("Language"), seen.language, glyph="speech"),
        Cell(Setting.TEMPERATURES, _("Temperatures"), "°F" if fahrenheit else "°C"),
        Cell(Setting.VOLUMES, _("Volumes"), "fl oz" if ounces else "ml"),
        Cell(Setting.DAY_CLOCK, _("Time of day"), _("12 hours") if hours_12 else _("24 hours")),
        Cell(Setting.HOURS, _("Working hours"), ", ".join(map(str, now.hours)) or _("at any time"), glyph="clock"),
        Cell(Setting.PEOPLE, _("People"), ", ".join(now.people) or _("nobody named"), glyph="person"),
        Cell(Setting.KEYS, _("Keys"), _("what a foot switch does"), glyph="pedal"),
        Cell(Setting.BACKUP, _("Backup"), seen.backup, glyph="paper"),
    ]
    return (
        (*cells, Cell(Setting.SENSORS, _("Sensors"), _("which to use"), glyph="air")) if seen.sensors else tuple(cells)
    )


def moved(now: Settings, key: CellKey, way: int, inch: float) -> Settings:
    """Return the settings after a - or +; unchanged at an end."""
    if key is Setting.INCH:
        size = round(now.screen_diagonal_inch or inch) + way
        return now.model_copy(update={"screen_diagonal_inch": float(min(100, max(7, size)))})
    if key is Setting.DISTANCE:
        far = min(max(now.reading_distance_m, USUAL_DISTANCE_M), FARTHEST_M) + way * NEXT_DISTANCE_M
        return now.model_copy(update={"reading_distance_m": min(FARTHEST_M, max(USUAL_DISTANCE_M, far))})
    if key is Setting.VOLUME:
        return now.model_copy(update={"volume": min(1.0, max(0.0, round(now.volume * 10 + way) / 10))})
    return _hour_moved(now, key.place, way) if isinstance(key, HourEdge) else now


def touched(now: Settings, setting: Setting) -> Settings:
    """Return the settings after a touch on a setting that toggles."""
    swaps: dict[Setting, Callable[[], object]] = {
        Setting.THEME: lambda: next_theme(now.theme).name,
        Setting.SPOKEN: lambda: not now.spoken,
        Setting.TEMPERATURES: lambda: _other(now.temperatures),
        Setting.VOLUMES: lambda: _other(now.volumes),
        Setting.DAY_CLOCK: lambda: _other(now.day_clock),
    }
    return now.model_copy(update={setting.value: swaps[setting]()})


def _other(now: StrEnum) -> StrEnum:
    return next(one for one in type(now) if one != now)


# Working hours.


def hours_cells(now: Settings) -> tuple[Cell, ...]:
    """Return the cells of the working hours: begin and end of each stretch, and how many there are."""
    names = (_("First begins"), _("First ends"), _("Second begins"), _("Second ends"))
    edges = [edge for stretch in now.hours[:2] for edge in stretch]
    cells = [Cell(HourEdge(n), names[n], _shown(edge), steps=True) for n, edge in enumerate(edges)]
    cells = [*cells[:2], Cell(None, "", ""), *cells[2:]]  # a stretch a row
    many = len(now.hours)
    choices = (_("At any time"), _("One stretch"), _("Two stretches"))
    return (*(Cell(Stretches(n), title, "", chosen=many == n) for n, title in enumerate(choices)), *cells)


def with_stretches(now: Settings, count: int) -> Settings:
    """Return the settings with so many stretches of work a day; existing ones stay if they fit."""
    had = now.hours[:count]
    if len(had) == count:
        return now.model_copy(update={"hours": had})
    if not had:
        return now.model_copy(update={"hours": (MORNING, AFTERNOON)[:count]})
    ends = _minutes(had[0].ends)
    begins = min(ends + 2 * QUARTER, DAY - QUARTER)
    if begins < ends:
        return now
    second = WorkingHours(_time(begins), _time(min(max(begins + 4 * QUARTER, _minutes(AFTERNOON.ends)), DAY)))
    return now.model_copy(update={"hours": (had[0], second)})


def _hour_moved(now: Settings, place: int, way: int) -> Settings:
    """Move an edge to the next quarter of an hour; it stops at its neighbours, a quarter away from its own other."""
    edges = [_minutes(edge) for stretch in now.hours for edge in stretch]
    least = 0 if place == 0 else edges[place - 1] + (QUARTER if place % 2 else 0)
    most = DAY if place == len(edges) - 1 else edges[place + 1] - (0 if place % 2 else QUARTER)
    target = ((edges[place] - 1) // QUARTER if way < 0 else edges[place] // QUARTER + 1) * QUARTER
    if least <= target <= most:
        edges[place] = target
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return now.model_copy(update={"hours": tuple(WorkingHours(_time(a), _time(b)) for a, b in pairs)})


def _minutes(edge: time) -> int:
    return DAY if edge == DAY_ENDS else edge.hour * 60 + edge.minute


def _time(minutes: int) -> time:
    return DAY_ENDS if minutes == DAY else time(minutes // 60, minutes % 60)


def _shown(edge: time) -> str:
    return "24:00" if edge == DAY_ENDS else f"{edge:%H:%M}"


# People.


def with_person(now: Settings, typed: str) -> Settings:
    """Return the settings with one more person; a name in capitals is written as names are."""
    name = typed.strip().title() if typed.isupper() else typed.strip()
    if not name or name in now.people:
        return now
    return now.model_copy(update={"people": (*now.people, name)})


def without_person(now: Settings, name: str) -> Settings:
    """Return the settings without a person, and without what that person does not do."""
    cannot = {who: what for who, what in now.cannot.items() if who != name}
    return now.model_copy(update={"people": tuple(p for p in now.people if p != name), "cannot": cannot})


def size_text(size: int) -> str:
    """Return how large a file is: "34 kB", "1.2 MB"."""
    return f"{figure(size / 1e6, 1)} MB" if size >= 1e6 else f"{figure(max(1.0, size / 1e3))} kB"
