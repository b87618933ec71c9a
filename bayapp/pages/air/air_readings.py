"""The list of recorded readings, to choose a wrong one from."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import BayState
from bayapp.job.state.events import AirRead
from bayapp.job.text.naming import capital, place_title
from bayapp.text.figures import moment_text, percent, temperature
from bayapp.text.language import _

SHOWN = 8


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading: its time, values and source."""

    reading: AirRead
    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class ReadingsView:
    """A page of readings, the latest first; ``earlier`` is how many more there are before them."""

    title: str
    subtitle: str
    rows: tuple[ReadingRow, ...]
    earlier: int


def air_readings(state: BayState, at: datetime, tz: tzinfo, skipped: int = 0) -> ReadingsView:
    """Return the readings before the last ``skipped`` ones; ``at`` is now, and another day than that is named."""
    readings = state.readings[::-1][skipped:]
    corrected = {(c.corrects, c.source) for c in state.air_corrections}
    where = (place_title(state.places, r.place) for r in readings)
    rows = tuple(
        _row(r, stands, (r.at, r.source) in corrected, at, tz)
        for r, stands in zip(readings[:SHOWN], where, strict=False)
    )
    subtitle = _("What it said stays in the record.") if rows else _("The air has not been read yet.")
    return ReadingsView(_("Which reading is wrong?"), subtitle, rows, max(0, len(readings) - SHOWN))


def _row(reading: AirRead, where: str, corrected: bool, at: datetime, tz: tzinfo) -> ReadingRow:
    title = _("{time}  {air}, {humidity}").format(
        time=moment_text(reading.measured_at, at, tz),
        air=temperature(reading.air_c),
        humidity=percent(reading.rh_percent),
    )
    who = reading.source or reading.by
    parts = [
        capital(where),
        _("by {source}").format(source=who) if who else "",
        "" if reading.surface_c is None else _("surface {surface}").format(surface=temperature(reading.surface_c)),
        _("corrected") if corrected else "",
    ]
    return ReadingRow(reading, title, ", ".join(part for part in parts if part))
