"""The shelf and one bottle of it by touch: use, measure, put right, take off. Joins pages and the door."""

from collections.abc import Callable, Hashable

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
from bayapp.job.model.ids import BottleId
from bayapp.job.state.bottle import end_of_day
from bayapp.job.text.naming import capital
from bayapp.pages.board.phrases import bottle_reasons
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.shelf.shelf import bottle_line, bottle_view, gone, shelf
from bayapp.screen.board.wall import Wall
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.shelf.shelf import ShelfPage
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _


class ShelfController(QObject):
    """Shows the shelf and acts on what is chosen there; ``new_bottle`` begins to put one on it."""

    def __init__(self, wall: Wall, show: Show, typing: TypedEntryController, new_bottle: Callable[[], None]) -> None:
        super().__init__(wall)
        self._wall, self._show, self._typing = wall, show, typing
        self.page = ShelfPage(wall.look, wall)
        self.page.bottle_chosen.connect(self.open_bottle)
        self.page.new_wanted.connect(new_bottle)
        self.page.gone_wanted.connect(self._show_gone)
        wall.add_page(self.page)
        wall.refreshed.connect(self._refresh)

    def open(self, about: object = None) -> None:
        """Let the shelf stand where the car is."""
        self._wall.show_page(self.page)
        self._refresh()

    def _refresh(self) -> None:
        if self.page.isVisibleTo(self._wall):
            self.page.show_shelf(shelf(self._wall.bay.state, self._wall.bay.now()))

    def _bottle(self, bottle: BottleId) -> Bottle:
        return self._wall.bay.state.shelf.bottles[bottle]

    def open_bottle(self, about: Hashable) -> None:
        """Show one bottle, and what can be said of it."""
        bottle = self._bottle(BottleId(str(about)))
        view = bottle_view(self._wall.bay.state, bottle, self._wall.bay.now())
        entries = [
            Entry("use", _("Use this one"), _("from here on, of this product"), chosen=view.in_use),
            Entry("unopened", _("Not opened after all")) if view.opened else Entry("opened", _("Opened just now")),
            Entry("eye", _("How much is left?"), _("as read off the bottle")),
            *([Entry("weight", _("Weigh it"), _("bottle and all, g"))] if view.weighable else []),
            Entry("batch", _("The batch is wrong"), _("type what the label says")),
            Entry("expiry", _("The date is wrong"), _("type what the label says")),
            Entry("gone", _("It leaves the shelf"), _("empty, spilled, thrown away")),
        ]
        if view.gone:
            entries = [Entry("back", _("Put it back"), _("it stands on the shelf after all"))]
        self._show(view.title, capital(view.subtitle), entries, lambda key: self._act(bottle, key))

    def _act(self, bottle: Bottle, key: Hashable) -> None:
        by = self._wall.by
        requests: dict[Hashable, Request] = {
            "use": ChooseBottle(bottle.id, by),
            "opened": OpenBottle(bottle.id, by=by),
            "unopened": OpenBottle(bottle.id, unopened=True, by=by),
            "back": PutBackBottle(bottle.id, by),
        }
        if key in requests:
            self._ask(requests[key], bottle)
        elif key == "gone":
            self._ask_why(bottle)
        else:
            self._type(bottle, str(key))

    def _ask(self, request: Request, bottle: Bottle) -> None:
        if self._wall.ask_or_say(request):
            self.open_bottle(bottle.id)

    def _ask_why(self, bottle: Bottle) -> None:
        def take_off(key: Hashable) -> None:
            if self._wall.ask_or_say(FinishBottle(bottle.id, str(key), self._wall.by)):
                self.open()

        entries = [Entry(reason, capital(reason)) for reason in bottle_reasons()]
        self._show(_("Why does it leave the shelf?"), bottle_line(bottle), entries, take_off)

    def _type(self, bottle: Bottle, what: str) -> None:
        view = bottle_view(self._wall.bay.state, bottle, self._wall.bay.now())
        told = f"{view.title}. {capital(view.subtitle)}"
        titles = {
            "eye": (Kind.ML, _("How much is left in it?")),
            "weight": (Kind.GRAMS, _("What does it weigh?")),
            "batch": (Kind.BATCH, _("Which batch?")),
            "expiry": (Kind.DAY, _("Until when is it good?")),
        }
        kind, title = titles[what]
        self._typing.ask(Typing(kind, title, told), lambda typing: self._typed(bottle, typing))

    def _typed(self, bottle: Bottle, typing: Typing) -> None:
        by, tz = self._wall.by, self._wall.tz
        day = typing.day
        requests: dict[Kind, Request] = {
            Kind.ML: MeasureBottle(bottle.id, ml=typing.ml, by=by),
            Kind.GRAMS: MeasureBottle(bottle.id, grams=typing.number, by=by),
            Kind.BATCH: RelabelBottle(bottle.id, typing.text, bottle.expires_on, bottle.expires_at, by),
            Kind.DAY: RelabelBottle(bottle.id, bottle.batch, day, end_of_day(day, tz) if day else None, by),
        }
        self._ask(requests[typing.kind], bottle)

    def _show_gone(self) -> None:
        rows = gone(self._wall.bay.state, self._wall.bay.now())
        entries = [Entry(row.bottle, row.title, f"{row.label}. {row.standing}") for row in rows]
        told = () if rows else (_("Nothing has left the shelf yet."),)
        self._show(_("Left the shelf"), _("Touch a bottle to put it back."), entries, self.open_bottle, told)
