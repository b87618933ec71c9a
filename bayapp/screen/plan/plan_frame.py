"""Maps moments and rows of the plan to pixels."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from PySide6.QtCore import QRectF

from bayapp.pages.plan.plan_rows import PlanRow
from bayapp.screen.widgets.look import Look

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
SECOND = timedelta(seconds=1)
PERSON_ROW, ZONE_ROW = 34.0, 25.0
MORE_LANES_PERSON, MORE_LANES_ZONE = 20.0, 7.0
TALLEST_PERSON, TALLEST_ZONE = 66.0, 38.0
LEAST_SHARE = 0.7
"""Rows are made so much lower where all of them then fit."""


def seconds_of(moment: datetime) -> float:
    """Return a moment in seconds since 1970, UTC, as the time line counts."""
    return (moment - EPOCH) / SECOND


def moment_of(seconds: float) -> datetime:
    """Return the moment at these seconds since 1970, UTC."""
    return EPOCH + timedelta(seconds=seconds)


def row_tops(rows: Sequence[PlanRow], by_person: bool, room: float) -> list[float]:
    """Return the tops of the rows and the bottom of the last, in millimetres from the top.

    Rows share ``room`` if it is more than they need, or little less; otherwise they extend below it.
    """
    least, more, tallest = (
        (PERSON_ROW, MORE_LANES_PERSON, TALLEST_PERSON) if by_person else (ZONE_ROW, MORE_LANES_ZONE, TALLEST_ZONE)
    )
    needed = [least + more * (row.lanes - 1) for row in rows]
    spread = room / sum(needed) if needed else 1.0
    spread = spread if spread >= LEAST_SHARE else 1.0
    tops = [0.0]
    for row, tall in zip(rows, needed, strict=True):
        tops.append(tops[-1] + min(tall * spread, tallest * row.lanes))
    return tops


@dataclass(frozen=True, slots=True)
class Frame:
    """The visible part of the time line.

    Attributes:
        view: its box, in pixels.
        left: the moment at its left edge, in seconds.
        px_per_s: how many pixels a second is.
        now: the moment at which the plan is looked at; EPOCH before there is any plan.
    """

    look: Look
    view: QRectF
    left: float
    px_per_s: float
    now: datetime

    def x(self, moment: datetime) -> float:
        """Return the column of a moment, in pixels."""
        return self.view.left() + (seconds_of(moment) - self.left) * self.px_per_s

    def mm(self, millimetres: float) -> float:
        """Return pixels for millimetres."""
        return self.look.mm(millimetres)
