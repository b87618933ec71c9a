"""What is left in the bottles, which one is in hand, what to order.

A shop that keeps no shelf of a product is asked for no bottle of it, unless the product says ``needs_bottle``. The
bottle in hand is the chosen one while it stands on the shelf, else the first fit one: opened, then soonest to expire,
then first come. What is left in it is what was last seen less coverage times area of every run since; a car that leaves
writes down what it took (``BottleDrawn``), because its runs are not read at the next start.
"""

from dataclasses import dataclass, replace
from datetime import datetime

from bayapp.job.grounds import BottleEmpty, BottleExpired, BottleOpenTooLong, NoBottle, UnfitBottle
from bayapp.job.model.ids import BottleId, Code, StepId, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Step
from bayapp.job.state.bottle import Bottle
from bayapp.job.state.state import BayState, JobState
from bayapp.job.verdict import Refusal

EMPTY_ML = 0.05
"""A drop (20 to the millilitre, common practice, no source): a bottle with no more than that is empty."""


@dataclass(frozen=True, slots=True)
class Left:
    """What is left in a bottle by the reckoning, ml.

    Attributes:
        ml: never below nothing.
        over_ml: how much more was used than was in it: somebody should look.
    """

    ml: float
    over_ml: float = 0.0

    @property
    def empty(self) -> bool:
        """Whether it is used up."""
        return self.ml <= EMPTY_ML


@dataclass(frozen=True, slots=True)
class Short:
    """A product of which there is less than is needed, ml: what fit bottles hold, the cars need, and shall be left."""

    product: Product
    left_ml: float
    needed_ml: float
    low_ml: float


def ml_for(job: Job, zone: ZoneId, step: Step) -> float | None:
    """Return what one carrying-out of a step takes on a zone, ml; None where that cannot be reckoned."""
    return job.ml_of.get((zone, StepId(step.id)))


def used_since(job: JobState, bottle: Bottle) -> float:
    """Return what a car took from a bottle since somebody last looked into it, ml."""
    return sum(ml for begun, ml in job.taken.get(bottle.id, ()) if begun >= bottle.seen_at)


class Stock:
    """The shelf at one instant; each thing is worked out once and only when asked for."""

    def __init__(self, state: BayState, at: datetime) -> None:
        self._state, self._at = state, at
        self._left: dict[BottleId, Left] = {}
        self._in_hand: dict[str, Bottle | None] = {}

    def left(self, bottle: Bottle) -> Left:
        """Return what is left in a bottle: as last seen, less what was laid since, by coverage and area."""
        if bottle.id not in self._left:
            inside = self._state.open_jobs
            here = {job.job.id for job in inside}
            used = sum(ml for job, ml in bottle.drawn.items() if job not in here)
            used += sum(used_since(job, bottle) for job in inside)
            rest = bottle.seen_ml - used
            self._left[bottle.id] = Left(max(0.0, rest), max(0.0, -rest))
        return self._left[bottle.id]

    def unfit(self, bottle: Bottle) -> UnfitBottle | None:
        """Return why nothing may be laid from a bottle now: its date, its life after opening, or that it is empty."""
        number, product = bottle.number, bottle.product.title or bottle.product.name
        days = bottle.product.opened_life_days
        if bottle.expires_at and bottle.expires_on and self._at >= bottle.expires_at:
            return BottleExpired(number, product, bottle.expires_on)
        if bottle.opened_at and days and bottle.open_until and self._at >= bottle.open_until:
            return BottleOpenTooLong(number, product, bottle.opened_at, days)
        return BottleEmpty(number, product) if self.left(bottle).empty else None

    def fit(self, product: str) -> tuple[Bottle, ...]:
        """Return the bottles of a product that may be used, in the order to use them up.

        Opened before unopened, then the soonest to expire, then the one that came first.
        """
        standing = self._state.shelf.standing(product)
        return tuple(sorted((b for b in standing if self.unfit(b) is None), key=_sooner))

    def in_hand(self, product: str | None) -> Bottle | None:
        """Return the bottle that is used of a product, or None where none stands on the shelf.

        The chosen one, while it stands there. Else the first that is fit, or where none is, the first of the unfit,
        so that it is said why.
        """
        if product is None:
            return None
        if product not in self._in_hand:
            self._in_hand[product] = self._chosen(product) or self._first(product)
        return self._in_hand[product]

    def id_in_hand(self, step: Step) -> BottleId | None:
        """Return the id of the bottle that a step would be laid from."""
        bottle = self.in_hand(step.product)
        return bottle.id if bottle else None

    def _chosen(self, product: str) -> Bottle | None:
        chosen = self._state.shelf.chosen.get(product)
        return next((b for b in self._state.shelf.standing(product) if b.id == chosen), None)

    def _first(self, product: str) -> Bottle | None:
        fit = self.fit(product)
        return fit[0] if fit else min(self._state.shelf.standing(product), key=_sooner, default=None)

    def forbids(self, step: Step, product: Product | None) -> Refusal | None:
        """Return why the bottle in hand forbids a step; who keeps no shelf of the product is not asked for one."""
        bottle = self.in_hand(step.product)
        if bottle is None:
            if product is None or not product.needs_bottle:
                return None
            return Refusal(Code.EXPIRED, NoBottle(product.title or product.name))
        unfit = self.unfit(bottle)
        if unfit is None:
            return None
        others = self.fit(bottle.product.name)
        return Refusal(Code.EXPIRED, replace(unfit, instead=others[0].number if others else ""))

    def short(self) -> tuple[Short, ...]:
        """Return the products to order: fit bottles hold less than the cars in the bay need and shall be left over.

        Only products that the shelf has held count: who keeps no shelf of one is not told to order it.
        """
        if not self._state.shelf.bottles:
            return ()
        found = []
        known = {bottle.product.name: bottle.product for bottle in self._state.shelf.bottles.values()}
        for name, product in known.items():
            left = sum(self.left(bottle).ml for bottle in self.fit(name))
            needs = sum(job.needs.get(name, 0.0) for job in self._state.open_jobs)
            low = product.low_ml or 0.0
            if left < needs + low:
                found.append(Short(product, left, needs, low))
        return tuple(found)


def _sooner(bottle: Bottle) -> tuple[bool, bool, datetime]:
    good_until = bottle.good_until
    return bottle.opened_at is None, good_until is None, good_until or bottle.shelved_at
