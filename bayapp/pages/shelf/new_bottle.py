"""A bottle on its way to the shelf: what its label is known to say, what is still asked, what a person must compare.

Nothing that was scanned is taken before a person has seen batch and expiry in large letters and said that the label
says so; where the scan is in doubt, each of the two is asked by itself.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from enum import StrEnum

from bayapp.files.gs1 import Doubt, Reading, Scan
from bayapp.job import Bottle, Product, Shelf, ShelveBottle
from bayapp.job.model.ids import Person
from bayapp.job.state.bottle import end_of_day
from bayapp.text.days import day_text
from bayapp.text.language import _


class Ask(StrEnum):
    """What is asked next."""

    PRODUCT = "product"
    READING = "reading"
    BATCH = "batch"
    EXPIRY = "expiry"
    SIZE = "size"
    CHECK = "check"


class Part(StrEnum):
    """What a person must compare with the label."""

    BATCH = "batch"
    EXPIRY = "expiry"


BOTH = frozenset(Part)
UNSETTLED_BY_CHOICE = frozenset({Doubt.BEST_BEFORE, Doubt.FAR_DATE})


@dataclass(frozen=True, slots=True)
class Draft:
    """What is known so far.

    Attributes:
        readings: ways to read the label, while there is more than one.
        batch, expiry: None while not known; "" and an empty reading where the label tells none.
        seen: what a person has compared with the label, or typed.
    """

    gtin: str | None = None
    product: Product | None = None
    readings: tuple[Reading, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    batch: str | None = None
    expiry: Reading | None = None
    size_ml: float | None = None
    seen: frozenset[Part] = frozenset()

    def ask(self) -> Ask:
        """Return what to ask next."""
        for ask, missing in (
            (Ask.PRODUCT, self.product is None),
            (Ask.READING, len(self.readings) > 1),
            (Ask.BATCH, self.batch is None),
            (Ask.EXPIRY, self.expiry is None),
            (Ask.SIZE, self.size_ml is None),
        ):
            if missing:
                return ask
        return Ask.CHECK

    def choose(self, reading: Reading) -> "Draft":
        """Take one way to read the label: a person chose it, and so has seen both parts of it."""
        doubts = tuple(d for d in self.doubts if d in UNSETTLED_BY_CHOICE)
        read = replace(self, readings=(), doubts=doubts, batch=reading.batch or None, expiry=_expiry_of(reading))
        return replace(read, seen=BOTH if not doubts else frozenset())

    def type_batch(self, batch: str) -> "Draft":
        """Take what a person read off the label; empty where it tells none."""
        return replace(self, readings=(), batch=batch, seen=self.seen | {Part.BATCH})

    def type_expiry(self, day: date | None) -> "Draft":
        """Take the last good day that a person read off the label; None where it tells none."""
        return replace(self, readings=(), expiry=Reading("", day), seen=self.seen | {Part.EXPIRY})

    def forget(self, part: Part) -> "Draft":
        """The label says otherwise: ask for it."""
        kept = replace(self, seen=self.seen - {part})
        return replace(kept, batch=None) if part is Part.BATCH else replace(kept, expiry=None)

    def compare(self, part: Part) -> "Draft":
        """A person says that the label says so."""
        return replace(self, seen=self.seen | {part})

    def request(self, tz: tzinfo, by: Person | None) -> ShelveBottle | None:
        """Return what is asked of the gate; None while something is missing or has not been compared."""
        if self.ask() is not Ask.CHECK or self.seen != BOTH:
            return None
        if self.product is None or self.expiry is None or self.size_ml is None:
            return None
        day = self.expiry.expires_on
        return ShelveBottle(self.product, self.size_ml, self.batch or "", self.gtin, day, ends_at(self.expiry, tz), by)


def ends_at(reading: Reading, tz: tzinfo) -> datetime | None:
    """Return the first moment after what a label says, by the shop's own clock."""
    if reading.expires_on is None:
        return None
    if reading.expires_time is None:
        return end_of_day(reading.expires_on, tz)
    return datetime.combine(reading.expires_on, reading.expires_time, tz)


def drafted(scan: Scan, shelf: Shelf) -> Draft:
    """Return what a scan tells, with what the shop has said before of the same product and the same label."""
    product = shelf.product_of(scan.gtin) if scan.gtin else None
    size = _size_of(shelf, scan.gtin) if scan.gtin else None
    draft = Draft(scan.gtin, product, scan.readings, scan.doubts, size_ml=size)
    known = [r for r in scan.readings if scan.gtin and _is_known(shelf, scan.gtin, r)]
    if len(known) == 1 or scan.sure:
        return replace(draft.choose(known[0] if known else scan.readings[0]), doubts=(), seen=BOTH)
    if len(scan.readings) > 1:
        return draft
    return replace(draft.choose(scan.readings[0]), doubts=scan.doubts, seen=frozenset())


def same_label(scan: Scan, shelf: Shelf) -> tuple[Bottle, ...]:
    """Return the bottles on the shelf whose label says the same, in one of the ways the scan can be read."""
    wanted = {(reading.batch, reading.expires_on) for reading in scan.readings}
    return tuple(
        b
        for b in shelf.bottles.values()
        if b.gone_at is None and scan.gtin and b.gtin == scan.gtin and (b.batch, b.expires_on) in wanted
    )


def reading_words(reading: Reading) -> tuple[str, str]:
    """Return batch and expiry of a reading in words."""
    batch = _("Batch {batch}").format(batch=reading.batch) if reading.batch else _("No batch")
    return batch, expiry_words(reading)


def expiry_words(reading: Reading) -> str:
    """Return until when it is good."""
    if reading.expires_on is None:
        return _("No expiry")
    day = day_text(reading.expires_on)
    if reading.expires_time is None:
        return _("Good until {day}").format(day=day)
    return _("Good until {day}, {time}").format(day=day, time=f"{reading.expires_time:%H:%M}")


def doubt_words(doubt: Doubt) -> str:
    """Return what a person should look at."""
    return {
        Doubt.LOST_SEPARATOR: _("The code can be read in more than one way: the scanner may swallow a separator."),
        Doubt.TWO_BATCHES: _("The code tells two batches."),
        Doubt.TWO_DATES: _("The code tells two dates."),
        Doubt.NO_NUMBER: _("The code does not tell the product."),
        Doubt.NO_BATCH: _("The code does not tell the batch."),
        Doubt.NO_EXPIRY: _("The code does not tell the expiry."),
        Doubt.BEST_BEFORE: _("The code tells a best-before date, not an expiry."),
        Doubt.FAR_DATE: _("The date is more than ten years away: compare the century."),
    }[doubt]


def check_line(draft: Draft, today: date) -> str:
    """Return what to say above the last look: what is in doubt, or that it is over already."""
    day = draft.expiry.expires_on if draft.expiry else None
    if day and day < today:
        return _("This bottle is expired already: it will be refused.")
    doubts = [doubt_words(d) for d in draft.doubts if d in (Doubt.BEST_BEFORE, Doubt.FAR_DATE, Doubt.LOST_SEPARATOR)]
    return doubts[0] if doubts else _("Compare batch and expiry with the label.")


def _expiry_of(reading: Reading) -> Reading | None:
    return replace(reading, batch="") if reading.expires_on else None


def _is_known(shelf: Shelf, gtin: str, reading: Reading) -> bool:
    """Whether a person has said before that a label says just this."""
    return bool(reading.batch and reading.expires_on) and any(
        (b.gtin, b.batch, b.expires_on) == (gtin, reading.batch, reading.expires_on) for b in shelf.bottles.values()
    )


def _size_of(shelf: Shelf, gtin: str) -> float | None:
    return next((b.size_ml for b in reversed(tuple(shelf.bottles.values())) if b.gtin == gtin), None)
