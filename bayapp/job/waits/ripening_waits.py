"""Waits that depend on the air: which curve holds, and how it stands under the readings.

While the air is unknown the wait does not advance towards opening, but the deadline runs at its fastest rate; so it is
before the first reading, and outside the rows of the sheet. A rule of thumb holds only for a wait without rows that
counts from a coat of a product with that rule, within the air that the product may be laid in; its cap cuts both ways,
so in great cold such a wait opens sooner than twice per 10 °C would make it.
"""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from bayapp.air.ripening import Curve, RuleOfThumb, SheetTable, Timed, lapse, opening, opens_at, timed
from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Wait, in_milliseconds
from bayapp.job.model.wait_tables import By, base_value
from bayapp.job.state.readings import AirUnread, HeldReading, HeldReadings, measured_at


@dataclass(frozen=True, slots=True)
class WaitEdge:
    """One moment of a wait that depends on the air: its curve, and the base that is shown with it."""

    by: By
    curve: Curve
    base: timedelta
    base_at: float
    low: float
    high: float
    thumb: bool = False

    def at(self, value: float) -> timedelta | None:
        """Return how long it is in air of this value, or None where the curve does not reach."""
        minutes = self.curve.minutes_at(value)
        return None if minutes is None else in_milliseconds(minutes)


@dataclass(frozen=True, slots=True)
class WaitEdges:
    """The earliest and the latest moment of a wait; None for one that depends on no air."""

    earliest: WaitEdge | None
    latest: WaitEdge | None


@dataclass(frozen=True, slots=True)
class Ripening:
    """How a wait that depends on the air stands, for people.

    Attributes:
        latest: whether this describes the latest moment, because the earliest does not depend on the air.
        by, base, base_at: what it depends on, how long it is by the sheet, and at how many °C or %.
        value, here: the present reading and how long the wait would be in it; None where nothing was read, or the
            sheet says nothing about such air.
        low, high: from where to where the sheet speaks.
        thumb: it is a rule of thumb and no sheet's table.
        unknown_since: from when nothing counts towards opening; None while the air is known.
        air_was_unknown: for some time the air was not known, and the latest moment counts that at its fastest.
    """

    latest: bool
    by: By
    base: timedelta
    base_at: float
    value: float | None
    here: timedelta | None
    low: float
    high: float
    thumb: bool = False
    unknown_since: datetime | None = None
    air_was_unknown: bool = False


Moments = tuple[datetime | None, datetime | None, Ripening]
MOST_KEPT, MOST_TIMED = 1024, 64
_KEPT: dict[tuple[int, int, datetime, datetime], tuple[WaitEdges, HeldReadings, Moments]] = {}
_TIMED: dict[tuple[int, int], tuple[WaitEdge, HeldReadings, Timed]] = {}
"""What was worked out, by the objects that it came from; they are kept beside it, so that no other takes their id."""


def edges_of(job: Job, zone: ZoneId, step: StepId, wait: Wait) -> WaitEdges | None:
    """Return the curves of a wait that counts from a step of a zone; None where it depends on no air."""
    if wait.by_table:
        return _by_tables(wait)
    if not job.has_temperature_rules:
        return None
    recipe = job.recipe_of(zone)
    laid = recipe.named(step) if recipe.has(step) else None
    product = job.products.get(laid.product or "") if laid and laid.kind is StepKind.COAT else None
    return _by_thumb(wait, product) if product and product.temperature_rule else None


@lru_cache(maxsize=512)
def _by_tables(wait: Wait) -> WaitEdges:
    def edge(name: str, base: timedelta | None) -> WaitEdge | None:
        by, rows = wait.table(name)
        if not rows or base is None:
            return None
        minutes = wait.min if name == "min" else wait.max
        at = base_value(rows, by, minutes or 0)
        return WaitEdge(by, SheetTable(rows), base, rows[0][0] if at is None else at, rows[0][0], rows[-1][0])

    return WaitEdges(edge("min", wait.earliest), edge("max", wait.latest))


@lru_cache(maxsize=512)
def _by_thumb(wait: Wait, product: Product) -> WaitEdges:
    at_c = product.temperature_rule_at_c
    assert at_c is not None, "a product with a rule says at how many °C its sheet's times hold"
    low, high = product.surface_c or product.air_c or (-40.0, 90.0)

    def edge(minutes: float | None) -> WaitEdge | None:
        if not minutes:
            return None
        rule = RuleOfThumb(minutes, at_c, low, high)
        return WaitEdge(By.TEMPERATURE, rule, in_milliseconds(minutes), at_c, low, high, thumb=True)

    return WaitEdges(edge(wait.min), edge(wait.max))


def moments(
    edges: WaitEdges, wait: Wait, readings: HeldReadings, finished_at: datetime, counts_from: datetime
) -> Moments:
    """Return when the wait opens (None: not in this air), when it lapses (None: never), and how it stands.

    ``counts_from`` is what the latest moment is counted from; it is never after ``finished_at``. Kept until there is
    another reading: the wall asks of every clock again and again.
    """
    key = (id(edges), id(readings), finished_at, counts_from)
    kept = _KEPT.get(key)
    if kept is None:
        if len(_KEPT) >= MOST_KEPT:
            for old in list(_KEPT)[: MOST_KEPT // 2]:  # the newer half is what a reading is held against
                del _KEPT[old]
        kept = _KEPT[key] = (edges, readings, _worked_out(edges, wait, readings, finished_at, counts_from))
    return kept[2]


def _worked_out(
    edges: WaitEdges, wait: Wait, readings: HeldReadings, finished_at: datetime, counts_from: datetime
) -> Moments:
    held = max(0, bisect_right(readings, counts_from, key=measured_at) - 1)
    opens: datetime | None = finished_at + wait.earliest
    lapses = None if wait.latest is None else counts_from + wait.latest
    unknown, air_was_unknown = None, False
    if edges.earliest:
        opens, unknown = opening(_timed(edges.earliest, readings)[held:], finished_at)
    if edges.latest:
        shortest = edges.latest.curve.shortest
        lapses, air_was_unknown = lapse(_timed(edges.latest, readings)[held:], shortest, counts_from)
    return opens, lapses, _how_it_stands(edges, readings[-1] if readings else None, unknown, air_was_unknown)


def _timed(edge: WaitEdge, readings: HeldReadings) -> Timed:
    """Return the wait in the air of each reading; kept, for many clocks depend on one edge under the same readings."""
    key = (id(edge), id(readings))
    kept = _TIMED.get(key)
    if kept is None:
        if len(_TIMED) >= MOST_TIMED:
            del _TIMED[next(iter(_TIMED))]
        kept = _TIMED[key] = (edge, readings, timed(edge.curve, _said(edge, readings)))
    return kept[2]


def opens_with(edge: WaitEdge, readings: HeldReadings, since: datetime, at: datetime) -> datetime:
    """Return when a wait would open if from ``at`` on the air were that of its base."""
    said = _said(edge, held_since(tuple(r for r in readings if r.measured_at <= at), since))
    opens = opens_at(edge.curve, since, [*said, (at, edge.base_at)])
    assert opens, "at its base value every curve opens"
    return opens


def held_since(readings: HeldReadings, since: datetime) -> HeldReadings:
    """Return the reading that held at an instant, where there is one, and those that followed."""
    return readings[max(0, bisect_right(readings, since, key=measured_at) - 1) :]


def value_of(reading: HeldReading, by: By) -> float | None:
    """Return what a reading says of what a wait depends on: the coat's °C, or % humidity; None while none holds."""
    if isinstance(reading, AirUnread):
        return None
    return reading.coat_c if by is By.TEMPERATURE else reading.rh_percent


def now_of(edge: WaitEdge, reading: HeldReading | None) -> timedelta | None:
    """Return how long a moment's wait is in the air of a reading; None where that is not known."""
    value = None if reading is None else value_of(reading, edge.by)
    return None if value is None else edge.at(value)


def _said(edge: WaitEdge, held: HeldReadings) -> list[tuple[datetime, float | None]]:
    return [(reading.measured_at, value_of(reading, edge.by)) for reading in held]


def _how_it_stands(
    edges: WaitEdges, reading: HeldReading | None, unknown: datetime | None, air_was_unknown: bool
) -> Ripening:
    edge = edges.earliest or edges.latest
    assert edge, "of a wait that depends on the air at least one edge does"
    value = None if reading is None else value_of(reading, edge.by)
    here = None if value is None else edge.at(value)
    return Ripening(
        latest=edges.earliest is None,
        by=edge.by,
        base=edge.base,
        base_at=edge.base_at,
        value=value,
        here=here,
        low=edge.low,
        high=edge.high,
        thumb=edge.thumb,
        unknown_since=unknown,
        air_was_unknown=air_was_unknown,
    )
