"""A new car that has been half filled in: kept beside the shop's files until it begins, so that no restart loses it."""

from datetime import datetime
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from bayapp.files.atomic_write import write_whole
from bayapp.files.bounds import LARGEST_DRAWING, LARGEST_TOML
from bayapp.files.plain_file import read_bytes
from bayapp.files.problems import BadFile
from bayapp.job.model.ids import Person, ZoneId
from bayapp.job.model.instant import Instant
from bayapp.job.model.vehicle import VehicleForm

NAME = "new-car.json"
LARGEST = LARGEST_DRAWING + LARGEST_TOML
"""Bytes: it may hold a form and its drawing."""


class HalfFilled(BaseModel):
    """What has been chosen so far.

    Attributes:
        title: what the car is called by then.
        form: the name of the vehicle form; ``divided`` and ``drawing`` are there where zones were split or joined.
        picks: the recipe of each chosen zone, by name.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")
    format: Literal["bayapp-new-car/1"] = "bayapp-new-car/1"
    title: str
    form: str
    divided: VehicleForm | None = None
    drawing: str = ""
    picks: dict[ZoneId, str] = Field(default_factory=dict)
    crew: tuple[Person, ...] = ()
    colour: str = ""
    promised: Instant | None = None

    def promise_after(self, at: datetime) -> datetime | None:
        """Return what was promised, if that is still to come."""
        return self.promised if self.promised and self.promised > at else None


def half_filled(shop: Path) -> HalfFilled | None:
    """Return the car that was half filled in, or None where there is none or it cannot be read."""
    try:
        return HalfFilled.model_validate_json(read_bytes(shop / NAME, LARGEST))
    except (BadFile, ValidationError):
        return None


def keep_half_filled(shop: Path, car: HalfFilled) -> None:
    """Keep a car in place of the one kept before.

    Raises:
        OSError: it cannot be written.
    """
    write_whole(shop / NAME, car.model_dump_json().encode())


def forget_half_filled(shop: Path) -> None:
    """Keep none any more.

    Raises:
        OSError: the file cannot be removed.
    """
    (shop / NAME).unlink(missing_ok=True)
