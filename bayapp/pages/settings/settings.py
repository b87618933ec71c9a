"""The settings by touch, the first page and those behind it, and what a touch there changes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import ceil, floor

from bayapp.drawing.palette import PALETTES, next_theme
from bayapp.files.shop.settings import USUAL_DISTANCE_M, Settings
from bayapp.pages.settings.cells import Cell
from bayapp.text.figures import DayClock, TemperatureUnit, VolumeUnit, micrometres, percent, short_figure, warmth
from bayapp.text.language import _, ngettext

NEXT_DISTANCE_M = 0.25
FARTHEST_M = 6.0


class Setting(StrEnum):
    """What the pages of settings offer."""

    INCH = "inch"
    DISTANCE = "distance"
    LETTERS = "letters"
    THEME = "theme"
    VOLUME = "volume"
    SPOKEN = "spoken"
    WORDS = "words"
    BAY = "bay"
    LANGUAGE = "language"
    TEMPERATURES = "temperatures"
    VOLUMES = "volumes"
    DAY_CLOCK = "day_clock"
    HOURS = "hours"
    PEOPLE = "people"
    KEYS = "keys"
    BACKUP = "backup"
    SENSORS = "sensors"
    BAY_M3 = "bay_m3"
    AIR_CHANGES = "bay_air_changes"
    MIXING = "bay_mixing_k"
    DEW_MARGIN = "dew_margin_c"
    BAYS = "bays"
    THIN = "thin_um"
    UNLIKE = "unlike_um"
    REPAINT = "repaint_days"
    FINAL_CHECK = "final_check"


@dataclass(frozen=True, slots=True)
class Stepped:
    """A value that goes up and down by touch: from, to, by how much, and where it begins if it was never set."""

    least: float
    most: float
    step: float
    first: float | None = None

    def moved(self, now: float | None, way: int) -> float | None:
        """Return the next value on the grid of the steps; None below the least of one that need not be set."""
        if now is None:
            return self.first if way > 0 else None
        there = (floor(now / self.step + EXACT) + 1 if way > 0 else ceil(now / self.step - EXACT) - 1) * self.step
        if there < self.least and self.first is not None:
            return None
        return round(min(self.most, max(self.least, there)), 6)


EXACT = 1e-9
STEPPED: Mapping[Setting, Stepped] = {
    Setting.VOLUME: Stepped(0.0, 1.0, 0.1),
    Setting.LETTERS: Stepped(1.0, 2.0, 0.1),
    Setting.BAY_M3: Stepped(10.0, 5000.0, 10.0, first=100.0),
    Setting.AIR_CHANGES: Stepped(0.0, 60.0, 0.5, first=1.0),
    Setting.MIXING: Stepped(1.0, 10.0, 0.5),
    Setting.DEW_MARGIN: Stepped(0.0, 10.0, 0.5),
    Setting.THIN: Stepped(20.0, 500.0, 5.0),
    Setting.UNLIKE: Stepped(10.0, 500.0, 5.0),
    Setting.REPAINT: Stepped(0, 365, 5),
}


@dataclass(frozen=True, slots=True)
class Seen:
    """What the page needs beside the settings: the size that the screen reports, the language, last backup, bays."""

    inch: float
    language: str
    backup: str
    sensors: bool = False
    bays: str = ""


def settings_cells(now: Settings, seen: Seen) -> tuple[Cell[Setting], ...]:
    """Return the settings of the first page, group by group."""
    inch = now.screen_diagonal_inch or seen.inch
    return (
        Cell(Setting.INCH, _("Screen"), _("{n} inch").format(n=short_figure(round(inch, 1))), steps=True),
        Cell(Setting.DISTANCE, _("Read from"), _("{n} m").format(n=short_figure(now.reading_distance_m)), steps=True),
        Cell(Setting.LETTERS, _("Letters"), percent(now.letters * 100), steps=True),
        Cell(Setting.VOLUME, _("Loudness"), percent(now.volume * 100), steps=True),
        Cell(Setting.SPOKEN, _("Spoken lines"), _("on") if now.spoken else _("off"), glyph="speech", chosen=now.spoken),
        Cell(Setting.THEME, _("Light or dark"), _(PALETTES[now.theme].title), glyph="light"),
        Cell(Setting.WORDS, _("Language, units"), seen.language, glyph="speech"),
        Cell(Setting.HOURS, _("Working hours"), ", ".join(map(str, now.hours)) or _("at any time"), glyph="clock"),
        Cell(Setting.PEOPLE, _("People"), ", ".join(now.people) or _("nobody named"), glyph="person"),
        Cell(Setting.BAY, _("The bay"), _("names, size, air"), glyph="air"),
        Cell(Setting.KEYS, _("Keys"), _("what a foot switch does"), glyph="pedal"),
        Cell(Setting.BACKUP, _("Backup"), seen.backup, glyph="paper"),
    )


def word_cells(now: Settings, seen: Seen) -> tuple[Cell[Setting], ...]:
    """Return the settings of language, units and times of day."""
    fahrenheit, ounces = now.temperatures is TemperatureUnit.FAHRENHEIT, now.volumes is VolumeUnit.FLUID_OUNCE
    hours_12 = now.day_clock is DayClock.HOURS_12
    return (
        Cell(Setting.LANGUAGE, _("Language"), seen.language, glyph="speech"),
        Cell(Setting.TEMPERATURES, _("Temperatures"), "°F" if fahrenheit else "°C"),
        Cell(Setting.VOLUMES, _("Volumes"), "fl oz" if ounces else "ml"),
        Cell(Setting.DAY_CLOCK, _("Time of day"), _("12 hours") if hours_12 else _("24 hours")),
    )


def bay_cells(now: Settings, seen: Seen) -> tuple[Cell[Setting], ...]:
    """Return the settings of the bay: how dry a coat needs it, its air, thin paint, repaints, names, sensors."""
    size = _("not told") if now.bay_m3 is None else _("{n} m³").format(n=short_figure(now.bay_m3))
    changes = _("not told") if now.bay_air_changes is None else short_figure(now.bay_air_changes)
    repaint = ngettext("{n} day", "{n} days", now.repaint_days).format(n=now.repaint_days)
    cells = (
        Cell(Setting.DEW_MARGIN, _("above the dew point"), warmth(now.dew_margin_c), steps=True),
        Cell(Setting.BAY_M3, _("the bay holds"), size, steps=True),
        Cell(Setting.AIR_CHANGES, _("air changes an hour"), changes, steps=True),
        Cell(Setting.MIXING, _("mixing: 1 is perfect"), short_figure(now.bay_mixing_k), steps=True),
        Cell(Setting.THIN, _("paint is thin below"), micrometres(now.thin_um), steps=True),
        Cell(Setting.UNLIKE, _("unlike its neighbours by"), micrometres(now.unlike_um), steps=True),
        Cell(Setting.REPAINT, _("a repaint takes no coat for"), repaint, steps=True),
        Cell(
            Setting.FINAL_CHECK,
            _("final check before it leaves"),
            _("wanted") if now.final_check else _("not wanted"),
            chosen=now.final_check,
        ),
        Cell(Setting.BAYS, _("Bays"), seen.bays, glyph="car"),
    )
    return (*cells, Cell(Setting.SENSORS, _("Sensors"), _("which to use"), glyph="air")) if seen.sensors else cells


def moved(now: Settings, key: Setting, way: int, inch: float) -> Settings:
    """Return the settings after a - or +; unchanged at an end."""
    if key is Setting.INCH:
        size = round(now.screen_diagonal_inch or inch) + way
        return now.model_copy(update={"screen_diagonal_inch": float(min(100, max(7, size)))})
    if key is Setting.DISTANCE:
        far = min(max(now.reading_distance_m, USUAL_DISTANCE_M), FARTHEST_M) + way * NEXT_DISTANCE_M
        return now.model_copy(update={"reading_distance_m": min(FARTHEST_M, max(USUAL_DISTANCE_M, far))})
    if key in STEPPED:
        return now.model_copy(update={key.value: STEPPED[key].moved(getattr(now, key.value), way)})
    return now


def touched(now: Settings, setting: Setting) -> Settings:
    """Return the settings after a touch on a setting that toggles."""
    swaps: dict[Setting, Callable[[], object]] = {
        Setting.THEME: lambda: next_theme(now.theme).name,
        Setting.SPOKEN: lambda: not now.spoken,
        Setting.FINAL_CHECK: lambda: not now.final_check,
        Setting.TEMPERATURES: lambda: _other(now.temperatures),
        Setting.VOLUMES: lambda: _other(now.volumes),
        Setting.DAY_CLOCK: lambda: _other(now.day_clock),
    }
    return now.model_copy(update={setting.value: swaps[setting]()})


def _other(now: StrEnum) -> StrEnum:
    return next(one for one in type(now) if one != now)
