"""Turns pydantic's validation errors into plain words; no other module knows its error types."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from difflib import get_close_matches
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from bayapp.files.bounds import MOST_FINDINGS
from bayapp.files.parsed_text import ParsedText
from bayapp.files.problems import Finding
from bayapp.files.toml_positions import KeyPath
from bayapp.job.model.misfit import KeyMisfitError
from bayapp.text.language import _, later, ngettext

EXAMPLES: Mapping[str, object] = {
    "title": "Green estate",
    "vehicle": "estate",
    "start": "2026-11-25T08:00:00Z",
    "at": "2026-11-25T08:00:00Z",
    "corrects": "2026-11-25T08:00:00Z",
    "zones": ["windscreen"],
    "zone": "windscreen",
    "recipe": "glass-three-layers",
    "id": "coat-1",
    "kind": "coat",
    "name": "glass-three-layers",
    "drawing": "estate.svg",
    "surface": "glass",
    "area_m2": 1.3,
    "step": "coat-1",
    "text": "door edge had a chip",
    "topic": "bay/air",
    "gives": "air_c",
    "air_c": 20.5,
    "rh_percent": 55,
}
_TABLES = {
    "work": "[[work]]",
    "mark": "[[mark]]",
    "step": "[[step]]",
    "zone": "[[zone]]",
    "sensor": "[[sensor]]",
}
_UNITS = {
    "minutes": later("minutes as a number, e.g. 5"),
    "min": later("minutes as a number, e.g. 5"),
    "max": later("minutes as a number, e.g. 30"),
    "dust_free_minutes": later("minutes as a number, e.g. 60"),
    "keep_dry_hours": later("hours as a number, e.g. 12"),
    "no_drive_hours": later("hours as a number, e.g. 12"),
    "full_cure_days": later("days as a whole number, e.g. 7"),
    "protects_months": later("months as a whole number, e.g. 24"),
    "air_c": later("degrees Celsius as a number, e.g. 20.5"),
    "surface_c": later("degrees Celsius as a number, e.g. 20.5"),
    "dew_margin_c": later("degrees Celsius as a number, e.g. 3"),
    "rh_percent": later("per cent as a number, e.g. 55"),
    "area_m2": later("square metres as a number, e.g. 1.3"),
    "coverage_ml_per_m2": later("millilitres for each square metre as a number, e.g. 8"),
    "opened_life_days": later("days as a whole number, e.g. 90"),
    "low_ml": later("millilitres as a number, e.g. 30"),
    "density_g_per_ml": later("grams per millilitre as a number, e.g. 0.8"),
    "empty_bottle_g": later("grams as a number, e.g. 45"),
    "share": later("a share from 0 to 1, e.g. 0.7"),
    "molar_mass_g": later("grams per mole as a number, e.g. 60.1"),
    "day_ppm": later("parts per million as a number, e.g. 200"),
    "short_ppm": later("parts per million as a number, e.g. 400"),
    "flash_point_c": later("degrees Celsius as a number, e.g. 12"),
    "lower_explosive_percent": later("per cent as a number, e.g. 2"),
    "bay_m3": later("cubic metres as a number, e.g. 180"),
    "bay_air_changes": later("how often in an hour as a number, e.g. 3"),
    "layer": later("a whole number, e.g. 1"),
}
_MEASURES = {
    "minutes": later("minutes"),
    "min": later("minutes"),
    "max": later("minutes"),
    "dust_free_minutes": later("minutes"),
    "keep_dry_hours": later("hours"),
    "no_drive_hours": later("hours"),
    "full_cure_days": later("days"),
    "protects_months": later("months"),
    "air_c": later("degrees Celsius"),
    "surface_c": later("degrees Celsius"),
    "dew_margin_c": later("degrees Celsius"),
    "rh_percent": later("per cent"),
    "area_m2": later("square metres"),
    "coverage_ml_per_m2": later("millilitres for each square metre"),
    "opened_life_days": later("days"),
    "low_ml": later("millilitres"),
    "density_g_per_ml": later("grams per millilitre"),
    "empty_bottle_g": later("grams"),
    "molar_mass_g": later("grams per mole"),
    "day_ppm": later("parts per million"),
    "short_ppm": later("parts per million"),
    "flash_point_c": later("degrees Celsius"),
    "lower_explosive_percent": later("per cent"),
    "bay_m3": later("cubic metres"),
    "bay_air_changes": later("how often in an hour"),
}
_ROWS = {
    "_by_c": later("rows of degrees Celsius and minutes, e.g. [[10, 8], [20, 5], [30, 3]]"),
    "_by_rh": later("rows of per cent humidity and minutes, e.g. [[30, 12], [60, 8]]"),
}
_NO_ROWS = ("missing", "tuple_type", "too_long", "float_type", "float_parsing")
"""pydantic's error types for a table whose rows are not two numbers each."""


def findings_of(error: ValidationError, model: type[BaseModel], source: ParsedText, at: KeyPath = ()) -> list[Finding]:
    """Return a validation error as findings, each at its key; ``at`` is the model's own path in the source.

    Beyond ``MOST_FINDINGS`` only their number is told.
    """
    found = []
    wrong = [details for details in error.errors(include_url=False) if not _only_follows(details)]
    for details in wrong[:MOST_FINDINGS]:
        path = (*at, *(part for part in details["loc"] if part != "[key]"))
        reason = _reason(details, model, source)
        table = next((n for n, part in enumerate(path) if isinstance(part, str) and part.endswith(tuple(_ROWS))), None)
        if table is not None and path[table + 1 :]:
            reason = _("row {number}: {reason}").format(number=int(path[table + 1]) + 1, reason=reason)
            path = path[: table + 1]
        naming = _named_in(reason, details["ctx"]["error"]) if details["type"] == "value_error" else None
        found.append(source.finding(path, reason, naming))
    more = len(wrong) - MOST_FINDINGS
    if more > 0:
        found.append(source.finding((), and_more(more)))
    return found


def and_more(more: int) -> str:
    """Return the words for findings that are not told one by one."""
    return ngettext("and {n} more thing is wrong", "and {n} more things are wrong", more).format(n=more)


def _only_follows(details: ErrorDetails) -> bool:
    """Whether a list counts as too short only because entries were refused, which are reported on their own."""
    return details["type"] == "too_short" and len(details["input"]) >= details["ctx"]["min_length"]


def shown(value: object) -> str:
    """Return a value as the person wrote it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "null"
    if isinstance(value, list):
        return _("a list")
    if isinstance(value, Mapping):
        return _("a table")
    if isinstance(value, str):
        return repr(value if len(value) <= 40 else value[:37] + "...")
    return str(value)


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """Return "; did you mean 'x'?" for the nearest known word, else the list of known words."""
    choices = list(known)
    near = get_close_matches(str(word), choices, 1, 0.6)
    if near:
        return _("; did you mean {nearest!r}?").format(nearest=near[0])
    return _("; known here: {listed}").format(listed=", ".join(choices)) if choices else ""


def slug(text: str) -> str:
    """Return text as lower-case letters and digits joined by hyphens; empty if nothing is left."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return "-".join(re.findall(r"[a-z0-9]+", plain))[:60].strip("-")


def _reason(details: ErrorDetails, model: type[BaseModel], source: ParsedText) -> str:
    kind, loc = details["type"], details["loc"]
    key = next((part for part in reversed(loc) if isinstance(part, str) and part != "[key]"), "")
    rows = next((rows for ending, rows in _ROWS.items() if key.endswith(ending)), None)
    if rows and kind in _NO_ROWS:
        return _("{key} is no table of a wait here; write {rows}").format(key=key, rows=_(rows))
    if kind == "extra_forbidden":
        return _unknown_key(str(loc[-1]), model, loc[:-1])
    if kind == "missing":
        return _missing(loc, source)
    say = _SAY.get(kind)
    if say is None:
        return _("{value} will not do: {reason}").format(value=shown(details["input"]), reason=details["msg"])
    return say(details["input"], str(key), details.get("ctx", {}))


def _unknown_key(key: str, model: type[BaseModel], loc: tuple[int | str, ...]) -> str:
    inside = _model_at(model, loc)
    return _("unknown key {key!r}{hint}").format(key=key, hint=did_you_mean(key, inside.model_fields if inside else ()))


def _model_at(model: type[BaseModel], loc: tuple[int | str, ...]) -> type[BaseModel] | None:
    """Return the model at a path; keys of a dict and indices of a list lead to its entries."""
    here: type[BaseModel] | None = model
    names = iter(part for part in loc if isinstance(part, str))
    for name in names:
        field = here.model_fields.get(name) if here else None
        here = _held(field.annotation) if field else None
        if field and get_origin(field.annotation) is dict:
            next(names, None)
    return here


def _held(annotation: object) -> type[BaseModel] | None:
    """Return the model inside an Optional, tuple or dict annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_held(part) for part in get_args(annotation))
    return next((part for part in inner if part is not None), None)


def _missing(loc: tuple[int | str, ...], source: ParsedText) -> str:
    key = loc[-1]
    if isinstance(key, int):
        return _("two numbers belong here: the lowest, then the highest")
    if key in _TABLES and source.positions and key not in source.data:
        return _("key {key!r} is missing; write at least one {table} table").format(key=key, table=_TABLES[key])
    return _("key {key!r} is missing; write e.g. {example}").format(
        key=key, example=source.example(key, _example(key, str(loc[0]) if len(loc) > 1 else source.data.get("act")))
    )


def _example(key: str, inside: object) -> object:
    """Return what a key may say, in a table or in a line of events of this name."""
    return "film" if key == "kind" and inside in ("mark", "lift-mark") else EXAMPLES.get(key, "...")


def _one_of(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    known = re.findall(r"'([^']*)'", str(ctx.get("expected", "")))
    close = get_close_matches(str(value), known, 1, 0.6)
    listed = (
        _("write {word}").format(word=known[0])
        if len(known) == 1
        else _("write one of {listed}").format(listed=", ".join(known))
    )
    if close:
        text = _("{value} is not known here; did you mean {nearest!r}? Or {listed}")
        return text.format(value=shown(value), nearest=close[0], listed=listed)
    return _("{value} is not known here; {listed}").format(value=shown(value), listed=listed)


def _no_number(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    right = _(_UNITS[key]) if key in _UNITS else _("a number, e.g. 5")
    return _("{value} is not a number; write {right}").format(value=shown(value), right=right)


def _no_whole_number(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    right = _(_UNITS[key]) if key in _UNITS else _("a whole number, e.g. 1")
    return _("{value} is not a whole number; write {right}").format(value=shown(value), right=right)


def _no_text(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    example = EXAMPLES.get(key)
    hint = _(', e.g. "{example}"').format(example=example) if isinstance(example, str) else ""
    return _("{value} is not text; write text in double quotes{told}").format(value=shown(value), told=hint)


def _no_slug(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    if "svg" in str(ctx.get("pattern")):
        return _("{value} is no SVG file beside this one; write its bare name, e.g. estate.svg").format(
            value=shown(value)
        )
    near = slug(str(value))
    hint = _("write {word!r}").format(word=near) if near else _("write e.g. 'coat-1'")
    return _("{value} is no id; ids are lower-case letters and digits joined by hyphens: {told}").format(
        value=shown(value), told=hint
    )


def _beyond(ctx_key: str) -> Callable[[object, str, Mapping[str, Any]], str]:
    def text_now() -> str:
        return {
            "gt": _("{value} is too small; {key} must be more than {limit:g} {unit}"),
            "ge": _("{value} is too small; {key} must be at least {limit:g} {unit}"),
            "lt": _("{value} is too large; {key} must be less than {limit:g} {unit}"),
            "le": _("{value} is too large; {key} must be at most {limit:g} {unit}"),
        }[ctx_key]

    def said(value: object, key: str, ctx: Mapping[str, Any]) -> str:
        unit = _(_MEASURES[key]) if key in _MEASURES else ""
        text = text_now()
        return text.format(value=shown(value), key=key, limit=ctx[ctx_key], unit=unit).rstrip()

    return said


def _too_few(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    what = _("one {table} table").format(table=_TABLES[key]) if key in _TABLES else _("one entry")
    return _("{key} is empty; write at least {what}").format(key=key, what=what)


def _too_many(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    return _("{key} has {n} entries; at most {most} belong here").format(
        key=key, n=ctx.get("actual_length"), most=ctx.get("max_length")
    )


def _own_words(value: object, key: str, ctx: Mapping[str, Any]) -> str:
    if isinstance(value, date) and not isinstance(value, datetime):
        return _("{value} has no time of day; write e.g. {value}T08:00:00Z").format(value=value)
    return str(ctx["error"])


_SAY: Mapping[str, Callable[[object, str, Mapping[str, Any]], str]] = {
    "literal_error": _one_of,
    "enum": _one_of,
    "float_type": _no_number,
    "float_parsing": _no_number,
    "finite_number": _no_number,
    "int_type": _no_whole_number,
    "int_parsing": _no_whole_number,
    "int_from_float": _no_whole_number,
    "string_type": _no_text,
    "string_pattern_mismatch": _no_slug,
    "string_too_short": lambda v, k, c: _("{key} is empty; write at least {limit} letter").format(
        key=k, limit=c["min_length"]
    ),
    "string_too_long": lambda v, k, c: _("{key} is longer than {limit} letters; shorten it").format(
        key=k, limit=c["max_length"]
    ),
    "greater_than": _beyond("gt"),
    "greater_than_equal": _beyond("ge"),
    "less_than": _beyond("lt"),
    "less_than_equal": _beyond("le"),
    "too_short": _too_few,
    "too_long": _too_many,
    "tuple_type": lambda v, k, c: _("{value} is not a list; write {key} in square brackets, e.g. [...]").format(
        value=shown(v), key=k
    ),
    "dict_type": lambda v, k, c: _("{value} is not a table; write [{key}] and its keys below it").format(
        value=shown(v), key=k
    ),
    "model_type": lambda v, k, c: _("{value} is not a table; write its keys below a [table] or in {{ }}").format(
        value=shown(v)
    ),
    "bool_type": lambda v, k, c: _("{value} is neither true nor false; write true or false without quotes").format(
        value=shown(v)
    ),
    "bool_parsing": lambda v, k, c: _("{value} is neither true nor false; write true or false without quotes").format(
        value=shown(v)
    ),
    "value_error": _own_words,
}


def _named_in(reason: str, error: Exception) -> str:
    """Return what a model's own sentence is about: its key, else the first quoted word, else the first word."""
    if isinstance(error, KeyMisfitError):
        return error.key
    quoted = re.search(r"'([^']+)'", reason)
    return quoted[1] if quoted else reason.partition(" ")[0]
