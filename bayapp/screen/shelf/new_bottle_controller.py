"""Puts a bottle on the shelf, scanned or typed, one question at a time."""

from dataclasses import replace
from enum import Enum
from pathlib import Path

from PySide6.QtCore import QObject

from bayapp.files.gs1 import BadScan, Doubt, Reading, Scan, read_scan
from bayapp.files.library import Library
from bayapp.files.plain_file import plain_files
from bayapp.files.problems import BadFile
from bayapp.job import Bottle, Product, ShelveBottle
from bayapp.job.model.ids import BottleId
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.shelf.new_bottle import (
    Ask,
    Draft,
    Part,
    check_line,
    doubt_words,
    drafted,
    expiry_words,
    reading_words,
    same_label,
)
from bayapp.pages.shelf.shelf import bottle_line, label_words
from bayapp.pages.wanted import Page, ShowBottle
from bayapp.paths import resource
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import Rest
from bayapp.text.figures import volume
from bayapp.text.language import _

SIZES_ML = (15.0, 30.0, 50.0, 100.0, 250.0, 500.0, 1000.0, 5000.0)
MOST_PRODUCTS = 14


class Wrong(Enum):
    """What must be corrected about a bottle before it goes onto the shelf."""

    BATCH = "batch"
    EXPIRY = "expiry"
    SIZE = "size"


class NewBottleController(QObject):
    """Asks what is still missing, has batch and expiry compared with the label, and shelves the bottle."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        jobs: Path,
        show: Show,
        typing: TypedEntryController,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._jobs, self._shop, self._show, self._typing = jobs, jobs.parent, show, typing
        self._draft = Draft()

    def open(self) -> None:
        """Begin without a scanner."""
        self._go_on(Draft())

    def scanned(self, text: str) -> None:
        """Begin with the text that a scanner typed."""
        try:
            scan = read_scan(text, self._selection.bay.now().astimezone(self._selection.tz).date())
        except BadScan as refused:
            entries = [Entry(None, _("Type it instead"), _("batch and expiry, by hand"))]
            self._show(_("Not a label"), "", entries, lambda _key: self.open(), (str(refused),))
            return
        same = same_label(scan, self._selection.bay.state.shelf)
        if same:
            self._ask_which(scan, same)
        else:
            self._go_on(drafted(scan, self._selection.bay.state.shelf))

    def _ask_which(self, scan: Scan, same: tuple[Bottle, ...]) -> None:
        """Ask about a label that the shelf has already: is it one of those bottles, or another one?"""

        def answer(bottle: BottleId | None) -> None:
            if bottle is None:
                self._go_on(drafted(scan, self._selection.bay.state.shelf))
            else:
                self._pages.want(ShowBottle(bottle))

        entries: list[Entry[BottleId | None]] = [Entry(b.id, bottle_line(b), label_words(b)) for b in same[-5:]]
        entries.append(Entry(None, _("One more like it"), _("put a new bottle on the shelf")))
        self._show(_("Which bottle is it?"), _("The shelf has this label already."), entries, answer)

    def _go_on(self, draft: Draft) -> None:
        self._draft = draft
        {
            Ask.PRODUCT: self._ask_product,
            Ask.READING: self._ask_reading,
            Ask.BATCH: self._ask_batch,
            Ask.EXPIRY: self._ask_expiry,
            Ask.SIZE: self._ask_size,
            Ask.CHECK: self._ask_check,
        }[draft.ask()]()

    def _ask_product(self, first: int = 0) -> None:
        products = self._products()
        shown = products[first : first + MOST_PRODUCTS]
        entries: list[Entry[Product | Rest]] = [Entry(p, p.title or p.name) for p in shown]
        if len(products) > MOST_PRODUCTS:
            after = first + len(shown)
            entries.append(Entry(Rest(after if after < len(products) else 0), _("More products"), glyph="more"))

        def answer(key: Product | Rest) -> None:
            if isinstance(key, Rest):
                self._ask_product(key.first)
            else:
                self._go_on(replace(self._draft, product=key))

        subtitle = _("The number on the label is new here: say once which product it is.") if self._draft.gtin else ""
        self._show(_("Which product is it?"), subtitle, entries, answer)

    def _ask_reading(self) -> None:
        """Ask which of several possible readings of the label is right."""
        readings = self._draft.readings[:5]

        def answer(reading: Reading | None) -> None:
            if reading:
                self._go_on(self._draft.choose(reading))
            else:
                self._go_on(replace(self._draft, readings=(), batch=None, expiry=None))

        entries: list[Entry[Reading | None]] = [Entry(reading, *reading_words(reading)) for reading in readings]
        entries.append(Entry(None, _("None of these"), _("type what the label says")))
        lost = Doubt.LOST_SEPARATOR in self._draft.doubts
        subtitle = doubt_words(Doubt.LOST_SEPARATOR if lost else self._draft.doubts[0])
        self._show(_("What does the label say?"), subtitle, entries, answer)

    def _ask_batch(self) -> None:
        def answer(types: bool) -> None:
            if not types:
                self._go_on(self._draft.type_batch(""))
            else:
                self._typing.ask(
                    Typing(Kind.BATCH, _("Which batch?"), self._title()),
                    lambda typing: self._go_on(self._draft.type_batch(typing.text)),
                )

        entries = [
            Entry(True, _("Type the batch"), _("as the label says it")),
            Entry(False, _("No batch"), _("the label tells none")),
        ]
        self._show(_("Which batch is it?"), self._title(), entries, answer)

    def _ask_expiry(self) -> None:
        def answer(types: bool) -> None:
            if not types:
                self._go_on(self._draft.type_expiry(None))
            else:
                self._typing.ask(
                    Typing(
                        Kind.DAY, _("Until when is it good?"), _("Year, month, day; a month alone is its last day.")
                    ),
                    lambda typing: self._go_on(self._draft.type_expiry(typing.day)),
                )

        entries = [
            Entry(True, _("Type the date"), _("as the label says it")),
            Entry(False, _("No date"), _("the label tells none")),
        ]
        self._show(_("Until when is it good?"), self._title(), entries, answer)

    def _ask_size(self) -> None:
        def answer(size_ml: float | None) -> None:
            if size_ml:
                self._go_on(replace(self._draft, size_ml=size_ml))
            else:
                self._typing.ask(
                    Typing(Kind.ML, _("How much does it hold?"), self._title()),
                    lambda typing: self._go_on(replace(self._draft, size_ml=typing.ml or None)),
                )

        entries: list[Entry[float | None]] = [Entry(size, volume(size)) for size in SIZES_ML]
        entries.append(Entry(None, _("Another size"), _("type it")))
        self._show(_("How much does it hold?"), self._title(), entries, answer)

    def _ask_check(self) -> None:
        """Have batch and expiry compared with the label; no bottle is shelved before that."""
        draft, tz, expiry, size_ml = self._draft, self._selection.tz, self._draft.expiry, self._draft.size_ml
        if expiry is None or size_ml is None:
            return  # ``Ask.CHECK`` comes after both
        today = self._selection.bay.now().astimezone(tz).date()
        batch = _("Batch {batch}").format(batch=draft.batch) if draft.batch else _("No batch")
        seen, look = _("the label says so"), _("touch when the label says so")
        has_batch, has_expiry = Part.BATCH in draft.seen, Part.EXPIRY in draft.seen
        entries: list[Entry[Part | Wrong | ShelveBottle]] = [
            Entry(Part.BATCH, batch, seen if has_batch else look, chosen=has_batch),
            Entry(Part.EXPIRY, expiry_words(expiry), seen if has_expiry else look, chosen=has_expiry),
            Entry(Wrong.BATCH, _("The batch is wrong"), _("type it")),
            Entry(Wrong.EXPIRY, _("The date is wrong"), _("type it")),
            Entry(Wrong.SIZE, volume(size_ml), _("touch to change")),
        ]
        if asked := draft.request(tz, self._selection.by):
            entries.append(Entry(asked, _("Put it on the shelf"), self._number(), glyph="back"))
        self._show(self._title(), check_line(draft, today), entries, self._checked)

    def _checked(self, key: Part | Wrong | ShelveBottle) -> None:
        draft = self._draft
        if isinstance(key, Part):
            self._go_on(draft.compare(key))
        elif isinstance(key, ShelveBottle):
            if self._sender.send_or_show_refusal(key):
                self._pages.want(Page.SHELF)
        elif key is Wrong.SIZE:
            self._go_on(replace(draft, size_ml=None))
        else:
            self._go_on(draft.forget(Part.BATCH if key is Wrong.BATCH else Part.EXPIRY))

    def _title(self) -> str:
        product = self._draft.product
        return (product.title or product.name) if product else ""

    def _number(self) -> str:
        number = self._selection.bay.state.shelf.next_id().removeprefix("bottle-")
        return _("and write {number} on it").format(number=number)

    def _products(self) -> list[Product]:
        """Return the products to choose from, the shop's own first, then by title.

        A car's version wins over the shelf's, that over a file's.
        """
        state = self._selection.bay.state
        found = {name: product for job in state.open_jobs for name, product in job.job.products.items()}
        for bottle in state.shelf.bottles.values():
            found.setdefault(bottle.product.name, bottle.product)
        library, own = Library(self._shop, resource()), self._shop / "products"
        for name in library.names("product", self._jobs):
            if name not in found:
                try:
                    found[name] = library.load_product(name, self._jobs)
                except BadFile:
                    continue  # ``check`` says what is wrong with it; the others can be shelved
        ours = {file.stem for file in plain_files(own, ".toml")}
        return sorted(found.values(), key=lambda p: (p.name not in ours, (p.title or p.name).casefold()))
