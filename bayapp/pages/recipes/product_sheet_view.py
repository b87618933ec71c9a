"""The page of a product sheet: the answers, and the ladder that they make."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from bayapp.job.text.naming import capital, minutes_text, motion_words, value_text
from bayapp.pages.recipes.product_sheet import WAITS, Row, Sheet
from bayapp.pages.recipes.recipe_edit import surface_words
from bayapp.pages.recipes.recipe_rungs import drawn_ladder
from bayapp.pages.recipes.recipe_view import Field, RecipeView
from bayapp.text.figures import (
    short_figure,
    shown_temperature,
    temperature_unit,
    typed_temperature,
)
from bayapp.text.language import _, ngettext

HOURS = ("dry_hours", "drive_hours")
PAIRS = ("air_c", "surface_c", "rh")
SWITCHES = ("polish", "wipe", "solvent", "level_from_last")


@dataclass(frozen=True, slots=True)
class Question:
    """A question for one number of a sheet: its words, unit and present answer."""

    title: str
    unit: str
    now: float | None


def sheet_view(sheet: Sheet, taken_titles: Iterable[str] = ()) -> RecipeView:
    """Return the page."""
    trouble = sheet.trouble()
    ladder = drawn_ladder(sheet.draft("sheet", taken_titles))
    return RecipeView(
        _("New from a product's sheet"),
        _("Type what the sheet says, leave out what it does not; the ladder follows."),
        ladder,
        None,
        tuple(_fields(sheet)),
        "",
        _("Build the steps"),
        sheet.title(taken_titles),
        trouble,
    )


def _fields(sheet: Sheet) -> Iterable[Field]:
    said = _("?")
    yield Field("surface", capital(surface_words()[sheet.surface]) if sheet.surface else said, _("what it is for"))
    layers = ngettext("{n} layer", "{n} layers", sheet.layers).format(n=sheet.layers)
    yield Field("layers", layers, _("laid in all"))
    yield Field("motions", _motions(sheet), _("strokes, layer by layer"))
    yield Field("coat_min", minutes_text(sheet.coat_min), _("to lay one layer"))
    yield Field("flash_min", _minutes(sheet.flash_min), _("flash, before levelling"))
    yield Field("level_within_min", _minutes(sheet.level_within_min), _("level within"))
    if sheet.level_within_min is not None:
        stroke = _("last stroke") if sheet.level_from_last else _("first stroke")
        yield Field("level_from_last", stroke, _("levelling counts from"))
    if sheet.layers > 1:
        yield Field("recoat_min", _minutes(sheet.recoat_min), _("next layer from"))
        yield Field("recoat_max", _minutes(sheet.recoat_max), _("next layer until"))
    yield Field("buff_min", _minutes(sheet.buff_min), _("buff from"))
    yield Field("buff_max", _minutes(sheet.buff_max), _("buff until"))
    yield Field("dry_hours", _hours(sheet.dry_hours), _("keep dry"))
    yield Field("drive_hours", _hours(sheet.drive_hours), _("do not drive"))
    yield Field("polish", _yes(sheet.polish), _("polish first"), sheet.polish)
    yield Field("wipe", _yes(sheet.wipe), _("solvent wipe before"), sheet.wipe)
    yield Field("wipe_holds_min", _minutes(sheet.wipe_holds_min), _("coat within, after the wipe"))
    yield Field("air_c", _celsius(sheet.air_c), _("air from and to"))
    yield Field("surface_c", _celsius(sheet.surface_c), _("surface from and to"))
    yield Field("rh", _pair(sheet.rh, "%"), _("humidity from and to"))
    rows = sum(len(kept) for kept in sheet.rows.values())
    yield Field("rows", ngettext("{n} row", "{n} rows", rows).format(n=rows) if rows else "–", _("rows by the air"))
    coverage = "–" if sheet.coverage is None else _("{ml} ml/m²").format(ml=short_figure(sheet.coverage))
    yield Field("coverage", coverage, _("how far it goes"))
    days = "–" if sheet.opened_days is None else ngettext("{n} day", "{n} days", sheet.opened_days)
    yield Field("opened_days", days.format(n=sheet.opened_days), _("good once opened"))
    yield Field("solvent", _yes(sheet.solvent), _("holds solvent"), sheet.solvent)


def question(sheet: Sheet, key: str, end: int = 0) -> Question:
    """Return the question for a number of the sheet; for a pair, its low (0) or high (1) end."""
    titles = {
        "coat_min": _("How long does one layer take to lay?"),
        "flash_min": _("How long does it flash before it may be levelled?"),
        "level_within_min": _("Within what time must it be levelled?"),
        "recoat_min": _("From when may the next layer be laid?"),
        "recoat_max": _("Until when may the next layer be laid?"),
        "buff_min": _("From when may it be buffed?"),
        "buff_max": _("Until when may it be buffed?"),
        "wipe_holds_min": _("How long does the wipe hold?"),
        "dry_hours": _("How long is it kept dry?"),
        "drive_hours": _("How long is it not driven?"),
        "coverage": _("How much goes on a square metre?"),
        "opened_days": _("How many days is it good once opened?"),
        "air_c": (_("Air: how cold may it be?"), _("Air: how warm may it be?")),
        "surface_c": (_("Surface: how cold may it be?"), _("Surface: how warm may it be?")),
        "rh": (_("How dry may the air be?"), _("How humid may the air be?")),
    }
    title, value = titles[key], getattr(sheet, key)
    if key not in PAIRS:
        return Question(str(title), _unit(key), value)
    shown = value[end] if key == "rh" or value[end] is None else shown_temperature(value[end])
    return Question(title[end], _unit(key), shown)


def answered(sheet: Sheet, key: str, number: float | None, end: int = 0) -> Sheet:
    """Return the sheet with a number answered."""
    if key in PAIRS:
        typed = typed_temperature(number) if number is not None and key != "rh" else number
        pair = (typed, getattr(sheet, key)[1]) if end == 0 else (getattr(sheet, key)[0], typed)
        return _replaced(sheet, key, pair)
    if key == "coat_min" and number is None:
        return sheet
    if key == "opened_days" and number is not None:
        return _replaced(sheet, key, int(number))
    return _replaced(sheet, key, number)


def against(sheet: Sheet, key: str, number: float | None, end: int = 0) -> str:
    """Return what is wrong with an answer while it is typed, if that was not wrong before."""
    known = sheet.wrong()
    return next((problem for problem in answered(sheet, key, number, end).wrong() if problem not in known), "")


def switched(sheet: Sheet, key: str) -> Sheet:
    """Return the sheet with a yes or no toggled."""
    return _replaced(sheet, key, not getattr(sheet, key))


def wait_titles() -> Mapping[str, str]:
    """Return the waits that may have rows, with their words."""
    words = {"flash": _("Flash"), "recoat": _("Next layer"), "buff": _("Buffing")}
    return {wait: words[wait] for wait in WAITS}


def row_text(row: Row) -> str:
    """Return a row in words: "20 °C: 60 min to 240 min"."""
    at = value_text(row.by, row.at)
    if row.most is None:
        return _("{at}: from {least}").format(at=at, least=minutes_text(row.least))
    return _("{at}: {least} to {most}").format(at=at, least=minutes_text(row.least), most=minutes_text(row.most))


def _replaced(sheet: Sheet, key: str, value: object) -> Sheet:
    return replace(sheet, **{key: value})  # type: ignore[arg-type]  # the keys are fields, the values theirs


def _unit(key: str) -> str:
    if key in ("air_c", "surface_c"):
        return temperature_unit()
    units = {"rh": "%", "coverage": _("ml/m²"), "opened_days": _("days")}
    return units.get(key, _("h") if key in HOURS else _("min"))


def _motions(sheet: Sheet) -> str:
    motions = [sheet.motion_of(layer) for layer in range(sheet.layers)]
    if not any(motions):
        return "–"
    return ", ".join(motion_words(motion) if motion else _("as one likes") for motion in motions)


def _minutes(minutes: float | None) -> str:
    return "–" if minutes is None else minutes_text(minutes)


def _hours(hours: float | None) -> str:
    return _("{h} h").format(h=short_figure(hours)) if hours else _("not said")


def _yes(on: bool) -> str:
    return _("yes") if on else _("no")


def _celsius(pair: tuple[float | None, float | None]) -> str:
    low, high = (None if end is None else shown_temperature(end) for end in pair)
    return _pair((low, high), temperature_unit())


def _pair(pair: tuple[float | None, float | None], unit: str) -> str:
    low, high = (None if end is None else short_figure(round(end, 1)) for end in pair)
    if low is None and high is None:
        return "–"
    if low is None:
        return _("at most {value} {unit}").format(value=high, unit=unit)
    if high is None:
        return _("at least {value} {unit}").format(value=low, unit=unit)
    return _("{low} to {high} {unit}").format(low=low, high=high, unit=unit)
