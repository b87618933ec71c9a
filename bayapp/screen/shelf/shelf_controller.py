"""The shelf and each bottle by touch: use, measure, correct, take off."""

from datetime import date

from PySide6.QtCore import QObject

from bayapp.job import (
    Bottle,
    ChooseBottle,
    FinishBottle,
    MeasureBottle,
    OpenBottle,
    PutBackBottle,
    RelabelBottle,
    Request,
)
from bayapp.job.gate.stock import Stock
from bayapp.job.model.ids import BottleId
from bayapp.job.state.bottle import end_of_day
from bayapp.job.text.naming import capital
from bayapp.pages.board.phrases import bottle_reasons
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.shelf.shelf import bottle_line, bottle_view, gone, shelf
from bayapp.pages.wanted import Page
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.shelf.shelf import ShelfPage
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.figures import shown_volume
from bayapp.text.language import _


class ShelfController(QObject):
    """Shows the shelf and acts on what is chosen there."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        refresher: Refresher,
        show: Show,
        typing: TypedEntryController,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._show, self._typing = show, typing
        self.page = ShelfPage(pages.look, pages.window)
        self.page.bottle_chosen.connect(self.open_bottle)
        self.page.new_wanted.connect(lambda: pages.want(Page.NEW_BOTTLE))
        self.page.gone_wanted.connect(self._show_gone)
        self._pages.add(self.page)
        refresher.refreshed.connect(self._refresh)

    def open(self) -> None:
        """Show the shelf in the car's place."""
        self._pages.show(self.page)
        self._refresh()

    def _refresh(self) -> None:
        if self._pages.standing is self.page:
            self.page.show_shelf(shelf(self._selection.bay.state, self._selection.bay.now()))

    def _bottle(self, bottle: BottleId) -> Bottle:
        return self._selection.bay.state.shelf.bottles[bottle]

    def open_bottle(self, chosen: BottleId) -> None:
        """Show one bottle and what can be done with it."""
        bottle = self._bottle(chosen)
        view = bottle_view(self._selection.bay.state, bottle, self._selection.bay.now())
        by = self._selection.by
        use, opened = ChooseBottle(bottle.id, by), OpenBottle(bottle.id, by=by)
        unopened = OpenBottle(bottle.id, unopened=True, by=by)
        weighed = Entry(Kind.GRAMS, _("Weigh it"), _("bottle and all, g"))
        entries: list[Entry[Request | Kind | None]] = [
            Entry(use, _("Use this one"), _("from here on, of this product"), chosen=view.in_use),
            Entry(unopened, _("Not opened after all")) if view.opened else Entry(opened, _("Opened just now")),
            Entry(Kind.ML, _("How much is left?"), _("as read off the bottle")),
            *([weighed] if view.weighable else []),
            Entry(Kind.BATCH, _("The batch is wrong"), _("type what the label says")),
            Entry(Kind.DAY, _("The date is wrong"), _("type what the label says")),
            Entry(None, _("It leaves the shelf"), _("empty, spilled, thrown away")),
        ]
        if view.gone:
            entries = [Entry(PutBackBottle(bottle.id, by), _("Put it back"), _("it stands on the shelf after all"))]
        self._show(view.title, capital(view.subtitle), entries, lambda key: self._act(bottle, key))

    def _act(self, bottle: Bottle, key: Request | Kind | None) -> None:
        """Make the request, after asking for the figure or the reason that it needs."""
        if key is None:
            self._ask_why(bottle)
        elif isinstance(key, Kind):
            self._type(bottle, key)
        else:
            self._ask(key, bottle)

    def _ask(self, request: Request, bottle: Bottle) -> None:
        if self._sender.send_or_show_refusal(request):
            self.open_bottle(bottle.id)

    def _ask_why(self, bottle: Bottle) -> None:
        def take_off(reason: str) -> None:
            if self._sender.send_or_show_refusal(FinishBottle(bottle.id, reason, self._selection.by)):
                self.open()

        entries = [Entry(reason, capital(reason)) for reason in bottle_reasons()]
        self._show(_("Why does it leave the shelf?"), bottle_line(bottle), entries, take_off)

    def _type(self, bottle: Bottle, kind: Kind) -> None:
        view = bottle_view(self._selection.bay.state, bottle, self._selection.bay.now())
        subtitle = f"{view.title}. {capital(view.subtitle)}"
        titles = {
            Kind.ML: _("How much is left in it?"),
            Kind.GRAMS: _("What does it weigh?"),
            Kind.BATCH: _("Which batch?"),
            Kind.DAY: _("Until when is it good?"),
        }
        left = Stock(self._selection.bay.state, self._selection.bay.now()).left(bottle).ml
        was: dict[Kind, float | str | date | None] = {
            Kind.ML: shown_volume(left),
            Kind.BATCH: bottle.batch,
            Kind.DAY: bottle.expires_on,
        }
        self._typing.ask(
            Typing(kind, titles[kind], subtitle).opened_with(was.get(kind)),
            lambda typing: self._typed(bottle, typing),
            unchanged=lambda: self.open_bottle(bottle.id),
        )

    def _typed(self, bottle: Bottle, typing: Typing) -> None:
        by, tz = self._selection.by, self._selection.tz
        day = typing.day
        requests: dict[Kind, Request] = {
            Kind.ML: MeasureBottle(bottle.id, ml=typing.ml, by=by),
            Kind.GRAMS: MeasureBottle(bottle.id, grams=typing.number, by=by),
            Kind.BATCH: RelabelBottle(bottle.id, typing.text, bottle.expires_on, bottle.expires_at, by),
            Kind.DAY: RelabelBottle(bottle.id, bottle.batch, day, end_of_day(day, tz) if day else None, by),
        }
        self._ask(requests[typing.kind], bottle)

    def _show_gone(self) -> None:
        rows = gone(self._selection.bay.state, self._selection.bay.now())
        entries = [Entry(row.bottle, row.title, f"{row.label}. {row.standing}") for row in rows]
        sentences = () if rows else (_("Nothing has left the shelf yet."),)
        self._show(_("Left the shelf"), _("Touch a bottle to put it back."), entries, self.open_bottle, sentences)
