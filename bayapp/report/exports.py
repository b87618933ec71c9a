"""Exports the day record as JSON and as CSV, with every zone and step."""

import csv
import io
import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date, datetime, timedelta
from enum import Enum
from typing import TYPE_CHECKING

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.instant import write_instant
from bayapp.job.model.wait_tables import By
from bayapp.report.facts.day_record import (
    CureRecord,
    DayRecord,
    RipeningRecord,
    StepLeft,
    StepRecord,
    WaitKept,
    WorkLeft,
    ZoneRecord,
)

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

FORMAT = "bayapp-day-record/1"
COLUMNS = (
    *("job", "title", "vehicle", "day", "zone", "zone_name", "recipe", "step", "step_title", "kind", "status"),
    *("product", "started_at", "started_by", "finished_at", "finished_by", "times_corrected"),
    *("wait_counted_from", "wait_since", "wait_earliest_s", "wait_latest_s", "wait_actual_s", "wait_kept"),
    *("wait_base_s", "wait_by_air_s", "wait_edge_by_air", "wait_base_at", "wait_base_of", "wait_rule_of_thumb"),
    *("deviation_code", "deviation_said", "deviation_reason", "air_c", "rh_percent", "surface_c", "dew_point_c"),
    *("next_from", "next_until", "dry_until", "drive_from", "protects_until", "set_aside"),
    *("bottle", "batch", "expires_on", "estimated_ml"),
    "place",
    "plate",
    "full_cure_at",
    *("thickness_least_um", "thickness_mean_um", "thickness_count", "thickness_thin", "photos"),
    "marks",
)
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001 (wide forms count too)


def to_json(record: DayRecord) -> str:
    """Return the record as one JSON document; instants are RFC 3339 in UTC, stretches of time are seconds."""
    return json.dumps({"format": FORMAT, **_plain_fields(record)}, ensure_ascii=False, indent=1) + "\n"


def _plain_fields(value: "DataclassInstance") -> dict[str, object]:
    plain = {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, WaitKept):
        plain |= {f"{key}_s": _plain(getattr(value, key)) for key in ("earliest", "latest", "actual")}
        plain["kept"] = value.kept.value
    return plain


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return _plain_fields(value)
    if isinstance(value, datetime):
        return write_instant(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, timedelta):
        return seconds(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def seconds(stretch: timedelta) -> float:
    """Return a stretch of time in seconds, exact to the millisecond."""
    return stretch // timedelta(milliseconds=1) / 1000


def to_csv(record: DayRecord) -> str:
    """Return the record as RFC 4180 text, one row per step of each zone: done, under way or left.

    Free text that a spreadsheet would run as a formula gets an apostrophe in front; see ``guarded``.
    """
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    for row in rows(record):
        writer.writerow({key: _cell(value) for key, value in row.items()})
    return text.getvalue()


def _cell(value: object) -> str:
    plain = _plain(value)
    if plain is None:
        return ""
    if isinstance(plain, bool):
        return "yes" if plain else "no"
    return guarded(plain) if isinstance(plain, str) else f"{plain}"


def guarded(text: str) -> str:
    """Return text that no spreadsheet takes for a formula; ``unguarded`` undoes it."""
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text


def unguarded(text: str) -> str:
    """Return the text as it was before ``guarded``."""
    return text[1:] if text.startswith("'") and text.lstrip("'").startswith(FORMULA_STARTS) else text


def rows(record: DayRecord) -> Iterator[dict[str, object]]:
    """Yield the cells of each row, before they are turned into text."""
    job = {"job": record.job, "title": record.title, "vehicle": record.vehicle, "day": record.day}
    job["plate"] = record.identity.plate
    for zone in record.zones:
        whose = {**job, "zone": zone.zone, "zone_name": zone.name, "recipe": zone.recipe, **_cure(zone.cure)}
        whose["set_aside"] = zone.aside or None
        whose |= _arrival(record, zone.zone)
        whose["marks"] = " ".join(m.said for m in record.marks if m.zone == zone.zone and m.lifted_at is None) or None
        done = [step for step in zone.steps if step.finished_at]
        for step in done:
            yield {**whose, **_step(step)}
        yield from ({**whose, **row} for row in _left(zone))
        if not done and zone.ahead is None:
            yield {**whose, "status": "finished earlier"}
    for one, name in _not_worked(record).items():
        yield {**job, "zone": one, "zone_name": name, "status": "not worked", **_arrival(record, one)}


def _arrival(record: DayRecord, zone: ZoneId) -> dict[str, object]:
    """Return what was measured and photographed of a zone."""
    photos = [photo for photo in record.photos if photo.zone == zone]
    row: dict[str, object] = {"photos": len(photos) or None}
    for one in record.thickness:
        if one.zone == zone:
            row |= {"thickness_least_um": one.least_um, "thickness_mean_um": one.mean_um}
            row |= {"thickness_count": len(one.um), "thickness_thin": one.thin}
    return row


def _not_worked(record: DayRecord) -> dict[ZoneId, str]:
    """Return the zones that were measured or photographed and are not worked."""
    named = {one.zone: one.name for one in record.thickness}
    named |= {one.zone: one.name or one.zone for one in record.photos if one.zone is not None}
    worked = {zone.zone for zone in record.zones}
    return {zone: name for zone, name in named.items() if zone not in worked}


def _left(zone: ZoneRecord) -> Iterator[dict[str, object]]:
    if zone.ahead is None:
        return
    for place, step in enumerate(zone.ahead.steps):
        if place == 0 and zone.ahead.running and zone.steps:
            yield _step(zone.steps[-1])
        else:
            yield _step_ahead(zone.ahead, step, place)


def _step_ahead(ahead: WorkLeft, step: StepLeft, place: int) -> dict[str, object]:
    row: dict[str, object] = {"step": step.step, "step_title": step.title, "kind": step.kind, "status": "left"}
    if place == 0:
        row |= {"next_from": ahead.next_from, "next_until": ahead.next_until}
    return row


def _step(step: StepRecord) -> dict[str, object]:
    done = "finished" if step.stands else "must be repeated"
    row: dict[str, object] = {
        "recipe": step.recipe,
        "step": step.step,
        "step_title": step.title,
        "kind": step.kind,
        "status": done if step.finished_at else "running",
        "product": step.product,
        "started_at": step.started_at,
        "started_by": step.started_by,
        "finished_at": step.finished_at,
        "finished_by": step.finished_by,
        "times_corrected": step.corrected,
        "place": step.place,
    }
    if step.deviation:
        row |= {f"deviation_{key}": getattr(step.deviation, key) for key in ("said", "reason")}
        row["deviation_code"] = " ".join(step.deviation.codes)
    if step.air:
        row |= {key: getattr(step.air, key) for key in ("air_c", "rh_percent", "surface_c", "dew_point_c")}
    if step.bottle:
        row |= {key: getattr(step.bottle, key) for key in ("batch", "expires_on", "estimated_ml")}
        row["bottle"] = step.bottle.number
    return row | (_wait(step.wait) if step.wait else {})


def _wait(wait: WaitKept) -> dict[str, object]:
    return {
        "wait_counted_from": wait.counted_from,
        "wait_since": wait.since,
        "wait_earliest_s": wait.earliest,
        "wait_latest_s": wait.latest,
        "wait_actual_s": wait.actual,
        "wait_kept": wait.kept,
        **(_ripened(wait.ripened) if wait.ripened else {}),
    }


def _ripened(ripened: RipeningRecord) -> dict[str, object]:
    """Return the sheet's wait and the wait in the actual air; an empty cell if that could not be worked out."""
    return {
        "wait_base_s": ripened.base,
        "wait_by_air_s": ripened.in_this_air,
        "wait_edge_by_air": "latest" if ripened.latest else "earliest",
        "wait_base_at": ripened.base_at,
        "wait_base_of": {By.TEMPERATURE: "temperature_c", By.HUMIDITY: "rh_percent"}[ripened.by],
        "wait_rule_of_thumb": ripened.thumb,
    }


def _cure(cure: CureRecord | None) -> dict[str, object]:
    if cure is None:
        return {}
    ends = {"dry_until": cure.dry_until, "drive_from": cure.drive_from, "protects_until": cure.protects_until}
    return {**ends, "full_cure_at": cure.full_cure_at}
