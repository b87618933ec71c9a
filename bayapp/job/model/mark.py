"""A mark: what is known of a zone that whoever works on it must heed."""

import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Annotated, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.instant import EARLIEST
from bayapp.job.model.misfit import KeyMisfitError
from bayapp.text.language import _


class MarkKind(StrEnum):
    """What a mark says of its zone."""

    DAMAGE = "damage"
    MATT = "matt"
    FILM = "film"
    REPAINTED = "repainted"
    SENSOR = "sensor"
    LEAVE = "leave"


class Damage(StrEnum):
    """What was found on a surface at arrival; a high spot is of an old coat."""

    SCRATCH = "scratch"
    CHIP = "chip"
    DENT = "dent"
    STAIN = "stain"
    CRACK = "crack"
    SWIRL = "swirl"
    HIGH_SPOT = "high-spot"


def _day(written: object) -> object:
    """Return a date that is written as a day of the calendar; a number is none, nor is a time of day."""
    if isinstance(written, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", written, re.ASCII):
        try:
            written = date.fromisoformat(written)
        except ValueError:
            raise ValueError(_("{day!r} is no day of the calendar").format(day=written)) from None
    if written is None or (isinstance(written, date) and not isinstance(written, datetime)):
        if written is not None and written.year < EARLIEST.year:
            raise ValueError(_("{day} is long ago; look at the year").format(day=written))
        return written
    shown = written.isoformat() if isinstance(written, datetime) else repr(written)
    raise ValueError(_("{day} is no date; write the day alone, e.g. 2026-02-21").format(day=shown))


REPAINT_DAYS = 30
"""So many days after its day a repaint takes no coat, unless somebody says otherwise (common practice, no source)."""
MOST_DAYS = 3650
FARTHEST_EAST = timedelta(hours=14)
"""How far local time is ahead of UTC at most."""
Day = Annotated[date, BeforeValidator(_day)]
Coordinate = Annotated[float, Field(ge=-1e6, le=1e6, allow_inf_nan=False)]
Note = Annotated[str, Field(max_length=500)]
Days = Annotated[int, Field(strict=True, ge=0, le=MOST_DAYS)]


class Mark(BaseModel):
    """One mark on one zone.

    Attributes:
        what: of a damage which one, where somebody has said.
        point: where on the zone, in the units of the form's drawing, where somebody has pointed.
        date: since when; of a repainted zone the day on which it was painted, which must be known.
        days: of a repainted zone how many days after that day it takes no coat; None: as the recipe or the shop says.
        note: a person's own words.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    kind: MarkKind
    what: Damage | None = None
    point: tuple[Coordinate, Coordinate] | None = None
    date: Day | None = None
    days: Days | None = None
    note: Note = ""

    @model_validator(mode="after")
    def _keys_go_with_the_kind(self) -> Self:
        if self.kind is MarkKind.REPAINTED and self.date is None:
            raise KeyMisfitError(
                "kind", _("of a repainted zone it must be known when; write its day as well, e.g. date = 2026-02-21")
            )
        if self.days is not None and self.kind is not MarkKind.REPAINTED:
            raise KeyMisfitError(
                "days", _("days are counted from a repaint, and this is {kind}; leave them out").format(kind=self.kind)
            )
        if self.what is not None and self.kind is not MarkKind.DAMAGE:
            raise KeyMisfitError(
                "what", _("what says which damage it is, and this is {kind}; leave it out").format(kind=self.kind)
            )
        return self

    def replaces(self, other: "Mark") -> bool:
        """Whether it is said in place of another on the same zone: of everything but damage what was said last holds.

        A zone may have many damages; one takes the place of another that is told in the same words.
        """
        if self.kind is not MarkKind.DAMAGE:
            return self.kind is other.kind
        return (self.kind, self.what, self.point, self.note) == (other.kind, other.what, other.point, other.note)

    def lies_ahead(self, at: datetime) -> bool:
        """Whether its date is a day that has begun nowhere yet."""
        return self.date is not None and self.date > (at + FARTHEST_EAST).date()


Marks = Mapping[ZoneId, tuple[Mark, ...]]
"""The marks of a car's zones; those are not in it that have none."""


def with_mark(marks: Marks, zone: ZoneId, mark: Mark) -> Marks:
    """Return the marks of a car with one more on a zone; what it replaces is gone."""
    kept = tuple(other for other in marks.get(zone, ()) if not mark.replaces(other))
    return {**marks, zone: (*kept, mark)}


def without_mark(marks: Marks, zone: ZoneId, mark: Mark) -> Marks:
    """Return the marks of a car without one on a zone."""
    kept = tuple(other for other in marks.get(zone, ()) if other != mark)
    others = {name: found for name, found in marks.items() if name != zone}
    return {**others, zone: kept} if kept else others
