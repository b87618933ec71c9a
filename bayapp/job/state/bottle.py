"""A bottle on the shelf: what it is, how long it is good, what was last seen in it.

The day on a label is good to its end by the shop's clock; life after opening counts days of 24 hours.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cached_property, singledispatch
from typing import Literal

from bayapp.job.model.ids import BottleId, JobId
from bayapp.job.model.product import Product
from bayapp.job.state.events import (
    BottleChosen,
    BottleDrawn,
    BottleEvent,
    BottleFinished,
    BottleMeasured,
    BottleOpened,
    BottlePutBack,
    BottleRelabelled,
    BottleShelved,
)


@dataclass(frozen=True, slots=True)
class Bottle:
    """One bottle, as the journal tells of it.

    Attributes:
        expires_on: the last good day by its label; ``expires_at`` the first moment at which it is good no more.
        opened_at: None while it is unopened.
        seen_ml: what was in it at ``seen_at``: its size when it came, or what was last measured.
        drawn: what each car that has left since then took from it, ml; one that came back counts its runs again.
        gone_at, gone_why: when and why it left the shelf.
    """

    id: BottleId
    product: Product
    size_ml: float
    batch: str
    gtin: str | None
    expires_on: date | None
    expires_at: datetime | None
    shelved_at: datetime
    seen_ml: float
    seen_at: datetime
    seen_how: Literal["full", "eye", "weight"] = "full"
    opened_at: datetime | None = None
    drawn: Mapping[JobId, float] = field(default_factory=dict)
    gone_at: datetime | None = None
    gone_why: str = ""

    @property
    def number(self) -> str:
        """What a person writes on it and calls it."""
        return self.id.removeprefix("bottle-")

    @property
    def open_until(self) -> datetime | None:
        """The first moment at which it has been open too long; its life counts days of 24 hours from the opening."""
        days = self.product.opened_life_days
        return self.opened_at + timedelta(days=days) if self.opened_at and days else None

    @property
    def good_until(self) -> datetime | None:
        """The first moment at which it is good no more, by label or by life after opening."""
        return min((m for m in (self.expires_at, self.open_until) if m), default=None)

    def ml_of(self, grams: float) -> float | None:
        """Return what is left in it when it weighs this much; None where its product does not say enough."""
        density, empty = self.product.density_g_per_ml, self.product.empty_bottle_g
        return None if density is None or empty is None else max(0.0, (grams - empty) / density)


@dataclass(frozen=True)
class Shelf:
    """All bottles that ever stood on the shelf, in the order they came, and which one of a product is in use."""

    bottles: Mapping[BottleId, Bottle]
    chosen: Mapping[str, BottleId]

    def standing(self, product: str) -> tuple[Bottle, ...]:
        """Return the bottles of a product that stand on the shelf."""
        return self._standing.get(product, ())

    @cached_property
    def _standing(self) -> dict[str, tuple[Bottle, ...]]:
        found: dict[str, list[Bottle]] = {}
        for bottle in self.bottles.values():
            if bottle.gone_at is None:
                found.setdefault(bottle.product.name, []).append(bottle)
        return {name: tuple(bottles) for name, bottles in found.items()}

    def next_id(self) -> BottleId:
        """Return the id of the next bottle to come; the journal's bottles are all known, so it is new."""
        return BottleId(f"bottle-{len(self.bottles) + 1}")

    def product_of(self, gtin: str) -> Product | None:
        """Return what was last shelved under this GTIN: what a shop has once said of it is remembered."""
        return next((b.product for b in reversed(tuple(self.bottles.values())) if b.gtin == gtin), None)


EMPTY_SHELF = Shelf({}, {})


def end_of_day(day: date, tz: tzinfo) -> datetime:
    """Return the first moment after a local day; a label's date is good until then, on days of 23 hours too."""
    return datetime.combine(day + timedelta(days=1), time.min, tz).astimezone(UTC)


def shelf_after(shelf: Shelf, event: BottleEvent) -> Shelf:
    """Return the shelf after an event; one about a bottle that never came changes nothing."""
    if isinstance(event, BottleShelved):
        fresh = Bottle(
            event.bottle,
            event.product,
            event.size_ml,
            event.batch,
            event.gtin,
            event.expires_on,
            event.expires_at,
            shelved_at=event.at,
            seen_ml=event.size_ml,
            seen_at=event.at,
        )
        return replace(shelf, bottles={**shelf.bottles, event.bottle: fresh})
    bottle = shelf.bottles.get(event.bottle)
    if bottle is None:
        return shelf
    if isinstance(event, BottleChosen):
        return replace(shelf, chosen={**shelf.chosen, bottle.product.name: bottle.id})
    return replace(shelf, bottles={**shelf.bottles, bottle.id: _after(event, bottle)})


@singledispatch
def _after(event: BottleEvent, bottle: Bottle) -> Bottle:
    raise TypeError(f"the shelf has no rule for {type(event).__name__}")


@_after.register
def _relabelled(event: BottleRelabelled, bottle: Bottle) -> Bottle:
    return replace(bottle, batch=event.batch, expires_on=event.expires_on, expires_at=event.expires_at)


@_after.register
def _opened(event: BottleOpened, bottle: Bottle) -> Bottle:
    return replace(bottle, opened_at=event.opened_at)


@_after.register
def _measured(event: BottleMeasured, bottle: Bottle) -> Bottle:
    return replace(bottle, seen_ml=event.ml, seen_at=event.at, seen_how=event.how, drawn={})


@_after.register
def _gone(event: BottleFinished, bottle: Bottle) -> Bottle:
    return replace(bottle, gone_at=event.at, gone_why=event.reason)


@_after.register
def _back(event: BottlePutBack, bottle: Bottle) -> Bottle:
    return replace(bottle, gone_at=None, gone_why="")


@_after.register
def _drawn(event: BottleDrawn, bottle: Bottle) -> Bottle:
    return replace(bottle, drawn={**bottle.drawn, event.of: event.ml})
