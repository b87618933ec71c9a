"""The first page of settings, and what a touch there changes."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from bayapp.drawing.palette import PALETTES, next_theme
from bayapp.files.shop.settings import USUAL_DISTANCE_M, Settings
from bayapp.pages.settings.cells import Cell
from bayapp.text.figures import DayClock, TemperatureUnit, VolumeUnit, percent, short_figure
from bayapp.text.language import _

NEXT_DISTANCE_M = 0.25
FARTHEST_M = 6.0


class Setting(StrEnum):
    """What the first page of settings offers."""

    INCH = "inch"
    DISTANCE = "distance"
    LETTERS = "letters"
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
class Seen:
    """What the page needs beside the settings: the size that the screen reports, the language, the last backup."""

    inch: float
    language: str
    backup: str
    sensors: bool = False


def settings_cells(now: Settings, seen: Seen) -> tuple[Cell[Setting], ...]:
    """Return every setting on the page, group by group."""
    inch = now.screen_diagonal_inch or seen.inch
    fahrenheit, ounces = now.temperatures is TemperatureUnit.FAHRENHEIT, now.volumes is VolumeUnit.FLUID_OUNCE
    hours_12 = now.day_clock is DayClock.HOURS_12
    cells = [
        Cell(Setting.INCH, _("Screen"), _("{n} inch").format(n=short_figure(round(inch, 1))), steps=True),
        Cell(Setting.DISTANCE, _("Read from"), _("{n} m").format(n=short_figure(now.reading_distance_m)), steps=True),
        Cell(Setting.LETTERS, _("Letters"), percent(now.letters * 100), steps=True),
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


def moved(now: Settings, key: Setting, way: int, inch: float) -> Settings:
    """Return the settings after a - or +; unchanged at an end."""
    if key is Setting.INCH:
        size = round(now.screen_diagonal_inch or inch) + way
        return now.model_copy(update={"screen_diagonal_inch": float(min(100, max(7, size)))})
    if key is Setting.DISTANCE:
        far = min(max(now.reading_distance_m, USUAL_DISTANCE_M), FARTHEST_M) + way * NEXT_DISTANCE_M
        return now.model_copy(update={"reading_distance_m": min(FARTHEST_M, max(USUAL_DISTANCE_M, far))})
    if key is Setting.LETTERS:
        return now.model_copy(update={"letters": min(2.0, max(1.0, round(now.letters * 10 + way) / 10))})
    if key is Setting.VOLUME:
        return now.model_copy(update={"volume": min(1.0, max(0.0, round(now.volume * 10 + way) / 10))})
    return now


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
