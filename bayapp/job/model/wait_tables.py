"""Tables of minutes by temperature or humidity, as a sheet gives them.

A wait depends on temperature or on humidity, never on both: no sheet says how they combine. Beside a table ``min``
or ``max`` only names the row that is shown as the base; where they are left out it is the row nearest to 20 °C or 50 %.
"""

from collections.abc import Sequence
from enum import StrEnum
from itertools import pairwise
from typing import Annotated

from pydantic import AfterValidator, Field

from bayapp.job.model.product import Celsius, Percent
from bayapp.text.language import _

A_YEAR_MIN = 366 * 24 * 60
SomeMinutes = Annotated[float, Field(strict=True, gt=0, le=A_YEAR_MIN, allow_inf_nan=False)]
Rows = tuple[tuple[float, float], ...]


class By(StrEnum):
    """What of the air a wait depends on."""

    TEMPERATURE = "c"
    HUMIDITY = "rh"


STANDARD = {By.TEMPERATURE: 20.0, By.HUMIDITY: 50.0}
"""Where a sheet's one value usually holds, °C and %: common practice, no source. The row nearest to it is the base."""


def _rise(rows: Rows) -> Rows:
    if len(rows) < 2:
        raise ValueError(_("a table has at least two rows, e.g. [[10, 8], [20, 5]]; for one value write min or max"))
    for (low, _low), (high, _high) in pairwise(rows):
        if high <= low:
            raise ValueError(
                _("the row of {high:g} comes after the row of {low:g}; write each once, the lowest first").format(
                    high=high, low=low
                )
            )
    return rows


ByTemperature = Annotated[tuple[tuple[Celsius, SomeMinutes], ...], AfterValidator(_rise)]
"""Rows of °C and minutes, the coldest first."""
ByHumidity = Annotated[tuple[tuple[Percent, SomeMinutes], ...], AfterValidator(_rise)]
"""Rows of % relative humidity and minutes, the driest first."""


def base_minutes(table: object, by: By) -> float | None:
    """Return the minutes of the row that is shown as the base; None where this is no table."""
    rows = _well_formed(table)
    return min(rows, key=lambda row: abs(row[0] - STANDARD[by]))[1] if rows else None


def base_value(rows: Rows, by: By, minutes: float) -> float | None:
    """Return the value of the row with these minutes, the one nearest to the usual where several have them."""
    of = [value for value, its in rows if its == minutes]
    return min(of, key=lambda value: abs(value - STANDARD[by]), default=None)


def _well_formed(table: object) -> list[tuple[float, float]]:
    if not isinstance(table, Sequence) or isinstance(table, str):
        return []
    pairs = [row for row in table if isinstance(row, Sequence) and len(row) == 2]
    numbers = [(v, m) for v, m in pairs if all(isinstance(n, int | float) and not isinstance(n, bool) for n in (v, m))]
    return numbers if len(numbers) == len(table) else []


def apart(earliest: Rows, latest: Rows) -> bool:
    """Whether two tables by the same value have none in common, so that a least and a greatest wait never both hold."""
    return earliest[-1][0] < latest[0][0] or latest[-1][0] < earliest[0][0]


def out_of_order(earliest: Rows, latest: Rows, alike: bool) -> tuple[float, float] | None:
    """Return a least and a greatest wait that hold at once and leave no right moment; None where there are none such.

    ``alike``: both tables are by the same value, so that only rows and lines at the same value are held together.
    """
    if alike:
        values = sorted({value for value, _ in (*earliest, *latest)})
        both = [(_at(earliest, v), _at(latest, v)) for v in values if _reaches(earliest, v) and _reaches(latest, v)]
        return next(((low, high) for low, high in both if high < low), None)
    low, high = max(m for _, m in earliest), min(m for _, m in latest)
    return (low, high) if high < low else None


def _reaches(rows: Rows, value: float) -> bool:
    return rows[0][0] <= value <= rows[-1][0]


def _at(rows: Rows, value: float) -> float:
    for (low, a), (high, b) in pairwise(rows):
        if low <= value <= high:
            return a + (b - a) * (value - low) / (high - low)
    raise ValueError(_("{value:g} is outside the table").format(value=value))
