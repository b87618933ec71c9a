"""Asks a shop at its first start what differs from shop to shop. Joins page and settings."""

from PySide6.QtCore import QObject

from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.settings.first_start import Key, Named, Question, Touch, after, first_start
from bayapp.pages.settings.hours import HourEdge, StretchCount, hour_moved, with_stretches
from bayapp.pages.settings.people_names import with_person, without_person
from bayapp.pages.settings.settings import Setting
from bayapp.pages.wanted import Page
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.settings.settings_controller import SettingsController
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.cells_page import CellsPage
from bayapp.text.language import _


class FirstStartController(QObject):
    """Shows one question after the other; every answer is saved at once, and leaving saves the rest as usual."""

    def __init__(
        self, pages: PageStack, settings: ShopSettings, by_touch: SettingsController, typing: TypedEntryController
    ) -> None:
        super().__init__(pages)
        self._pages, self._settings, self._by_touch, self._typing = pages, settings, by_touch, typing
        self._question = Question.SIZE
        self.page = CellsPage(pages.look, pages.window)
        pages.add(self.page)
        self.page.moved.connect(self._move)
        self.page.touched.connect(self._touch)
        self.page.closed.connect(self._leave)
        pages.turned.connect(self._come_back)

    def open(self) -> None:
        """Ask from the beginning; whoever is interrupted is asked again at the next start."""
        self._settings.change(lambda now: now.model_copy(update={"first_start": "asking"}))
        self._ask(Question.SIZE)

    def _ask(self, question: Question) -> None:
        self._question = question
        self._pages.show(self.page)

    def _show(self) -> None:
        view = first_start(self._question, self._settings.read(), self._by_touch.seen())
        self.page.show_cells(view.title, self._settings.trouble or view.subtitle, view.cells)

    def _come_back(self) -> None:
        """Show what was changed meanwhile on a page below."""
        if self._pages.standing is self.page:
            self._show()

    def _move(self, key: Setting | HourEdge, way: int) -> None:
        if isinstance(key, HourEdge):
            self._settings.change(lambda now: hour_moved(now, key, way))
        else:
            self._by_touch.move(key, way)
        self._show()

    def _touch(self, key: Key) -> None:
        if isinstance(key, StretchCount):
            self._settings.change(lambda now: with_stretches(now, key.count))
        elif isinstance(key, Named):
            self._settings.change(lambda now: without_person(now, key.name))
        elif key is Setting.BAYS:
            self._pages.want_below(Page.NAMED_BAYS)
            return
        elif isinstance(key, Setting):
            self._by_touch.touch(key)
        elif key is Touch.ADD_NAME:
            self._typing.ask(Typing(Kind.NAME, _("Name")), self._add_name, lambda: self._ask(Question.PEOPLE))
            return
        elif key is Touch.CHECK_SOUND:
            self._pages.want_below(Page.SOUND)
            return
        elif key in (Touch.NEXT, Touch.BEFORE):
            self._go(1 if key is Touch.NEXT else -1)
            return
        self._show()

    def _add_name(self, typing: Typing) -> None:
        self._settings.change(lambda now: with_person(now, typing.text))
        self._ask(Question.PEOPLE)

    def _go(self, ways: int) -> None:
        following = after(self._question, ways)
        if following is None:
            self._leave()
        else:
            self._ask(following)

    def _leave(self) -> None:
        """Note that the shop has been asked, and take the first car in."""
        self._settings.change(lambda now: now.model_copy(update={"first_start": "done"}))
        self._pages.want(Page.CARS)
