"""The shelf: every bottle on it, how it stands, what must be ordered; and one bottle by itself."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from bayapp.job import BayState, Bottle
from bayapp.job.gate.stock import Short, Stock
from bayapp.job.grounds import BottleExpired, BottleOpenTooLong, UnfitBottle
from bayapp.job.model.ids import BottleId
from bayapp.job.text.naming import capital
from bayapp.text.days import day_text
from bayapp.text.figures import volume
from bayapp.text.language import _, ngettext

NAMED = 2
MOST_GONE = 12


class BottleLook(StrEnum):
    """How a bottle stands; drawn as a sign in it and said in words."""

    IN_USE = "in-use"
    READY = "ready"
    LOW = "low"
    UNFIT = "unfit"
    GONE = "gone"


@dataclass(frozen=True, slots=True)
class BottleRow:
    """One bottle as it is shown: its level is the share of its size that is left."""

    bottle: BottleId
    title: str
    standing: str
    label: str
    look: BottleLook
    level: float


@dataclass(frozen=True, slots=True)
class ShelfView:
    """All that the shelf shows; ``subtitle`` says what must be ordered."""

    title: str
    subtitle: str
    rows: tuple[BottleRow, ...]


@dataclass(frozen=True, slots=True)
class BottleView:
    """One bottle by itself: what is known of it, and what can be said of it."""

    title: str
    subtitle: str
    in_use: bool
    opened: bool
    weighable: bool
    gone: bool


def shelf(state: BayState, at: datetime) -> ShelfView:
    """Return the shelf: product by product, the one in use first, what may not be used last."""
    stock = Stock(state, at)
    standing = [b for b in state.shelf.bottles.values() if b.gone_at is None]
    rows = sorted(standing, key=lambda b: (product_title(b).casefold(), _rank(stock, b), int(b.number)))
    subtitle = _order_sentence(stock.short()) or _("Scan a label, or touch New bottle.")
    if not standing:
        subtitle = _("No bottle stands on it, so no step asks for one. Scan a label, or touch New bottle.")
    return ShelfView(_("Shelf"), subtitle, tuple(_row(stock, b) for b in rows))


def gone(state: BayState, at: datetime) -> tuple[BottleRow, ...]:
    """Return the bottles that left the shelf last, the latest first."""
    left = [b for b in state.shelf.bottles.values() if b.gone_at]
    left.sort(key=lambda b: b.gone_at or at, reverse=True)
    return tuple(BottleRow(b.id, _title(b), b.gone_why, label_words(b), BottleLook.GONE, 0.0) for b in left[:MOST_GONE])


def bottle_view(state: BayState, bottle: Bottle, at: datetime) -> BottleView:
    """Return one bottle by itself."""
    stock = Stock(state, at)
    return BottleView(
        title=_title(bottle),
        subtitle=f"{label_words(bottle)}. {_standing_words(stock, bottle)}",
        in_use=stock.in_hand(bottle.product.name) == bottle,
        opened=bottle.opened_at is not None,
        weighable=bottle.ml_of(0.0) is not None,
        gone=bottle.gone_at is not None,
    )


def bottle_line(bottle: Bottle) -> str:
    """Return a bottle in few words: "Bottle 4, batch LOT-A7"."""
    if not bottle.batch:
        return _("Bottle {number}").format(number=bottle.number)
    return _("Bottle {number}, batch {batch}").format(number=bottle.number, batch=bottle.batch)


def order_line(short: tuple[Short, ...]) -> str:
    """Return what must be ordered, in one line; empty where nothing runs low."""
    if not short:
        return ""
    names = [s.product.title or s.product.name for s in short]
    names_shown = ", ".join(names[:NAMED])
    rest = len(names) - NAMED
    return _("Order: {products}.").format(products=names_shown if rest <= 0 else f"{names_shown} +{rest}")


def _order_sentence(short: tuple[Short, ...]) -> str:
    """Return what must be ordered and, of the first, why."""
    if not short:
        return ""
    first = short[0]
    amounts = {"left": volume(first.left_ml), "needed": volume(first.needed_ml), "low": volume(first.low_ml)}
    why = _("{left} left, the cars need {needed}") if first.needed_ml else _("{left} left, {low} should be")
    said = why.format(**amounts)
    return f"{order_line(short)} {capital(said)}."


def order_count(short: tuple[Short, ...]) -> str:
    """Return how many products must be ordered, in two words; empty where nothing runs low."""
    return ngettext("{n} to order", "{n} to order", len(short)).format(n=len(short)) if short else ""


def label_words(bottle: Bottle) -> str:
    """Return what the label says."""
    batch = _("batch {batch}").format(batch=bottle.batch) if bottle.batch else _("no batch")
    until = _("good until {day}").format(day=day_text(bottle.expires_on)) if bottle.expires_on else _("no expiry")
    return f"{batch}, {until}"


def product_title(bottle: Bottle) -> str:
    """Return what a person calls the product."""
    return bottle.product.title or bottle.product.name


def _title(bottle: Bottle) -> str:
    return _("{number}: {product}").format(number=bottle.number, product=product_title(bottle))


def _row(stock: Stock, bottle: Bottle) -> BottleRow:
    left = stock.left(bottle)
    level = min(1.0, left.ml / bottle.size_ml) if bottle.size_ml else 0.0
    return BottleRow(
        bottle.id,
        _title(bottle),
        _standing_words(stock, bottle),
        label_words(bottle),
        _look(stock, bottle),
        level,
    )


def _rank(stock: Stock, bottle: Bottle) -> int:
    return {BottleLook.IN_USE: 0, BottleLook.LOW: 1, BottleLook.READY: 1, BottleLook.UNFIT: 2}[_look(stock, bottle)]


def _look(stock: Stock, bottle: Bottle) -> BottleLook:
    if stock.unfit(bottle):
        return BottleLook.UNFIT
    if bottle.opened_at and stock.in_hand(bottle.product.name) == bottle:
        return BottleLook.LOW if _is_low(stock, bottle) else BottleLook.IN_USE
    return BottleLook.READY


def _is_low(stock: Stock, bottle: Bottle) -> bool:
    return any(s.product.name == bottle.product.name for s in stock.short())


def _standing_words(stock: Stock, bottle: Bottle) -> str:
    """Return how it stands: what forbids it, else whether it is in use or low, and about how much is left."""
    left = stock.left(bottle)
    about = _("about {left} of {size}").format(left=volume(left.ml), size=volume(bottle.size_ml))
    unfit = stock.unfit(bottle)
    if unfit:
        return _("{trouble}, {about}").format(trouble=_unfit_words(unfit), about=about)
    look = _look(stock, bottle)
    if look is BottleLook.LOW:
        return _("IN USE, RUNS LOW, {about}").format(about=about)
    if look is BottleLook.IN_USE:
        return _("IN USE, {about}").format(about=about)
    if stock.in_hand(bottle.product.name) == bottle:
        return _("TAKE THIS NEXT, unopened, {about}").format(about=about)
    return about if bottle.opened_at else _("unopened, {about}").format(about=about)


def _unfit_words(unfit: UnfitBottle) -> str:
    if isinstance(unfit, BottleExpired):
        return _("EXPIRED")
    return _("OPEN TOO LONG") if isinstance(unfit, BottleOpenTooLong) else _("EMPTY")
