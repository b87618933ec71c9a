"""A reading of the air, typed with gloves or on a keyboard at the wall, and recorded."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from bayapp.job import Request
from bayapp.job.text.naming import place_title
from bayapp.pages.air.air_entry import BACK, KEYS, POINT, AirEntry, AirEntryView, AirField, air_entry
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import CorrectReading, Page, ReadAirThen
from bayapp.screen.air.air_entry import AirEntryPage
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender


class AirEntryController(QObject):
    """Lets a reading of the air be typed, and records it."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._entry = AirEntry()
        self._then: Page | None = None
        self.page = AirEntryPage(pages.look, pages.window)
        self.page.key_pressed.connect(self._press)
        self.page.field_chosen.connect(self._choose)
        self.page.record_wanted.connect(self._record)
        self.page.withdrawal_wanted.connect(self._withdraw)
        self._pages.add(self.page)
        pages.window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the digits of a keyboard at the wall for this page, so that they begin no step."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and self.page.isVisible():
            key = BACK if event.key() == Qt.Key.Key_Backspace else event.text().replace(",", POINT)
            if key in KEYS:
                self._press(key)
                return True
        return False

    def open(self) -> None:
        """Begin a new reading; after recording, go back to the previous page."""
        self._begin(AirEntry(), None)

    def open_then(self, wanted: ReadAirThen) -> None:
        """Begin a new reading; after recording, go on to a page."""
        self._begin(AirEntry(), wanted.then)

    def correct(self, wanted: CorrectReading) -> None:
        """Correct a reading; afterwards, go to the air page."""
        self._begin(AirEntry.correcting(wanted.reading), Page.AIR_DAY)

    def _begin(self, entry: AirEntry, then: Page | None) -> None:
        self._then = then
        self._show(entry)
        self._pages.show(self.page)

    def _show(self, entry: AirEntry) -> None:
        self._entry = entry
        self.page.show_entry(self._view(entry))

    def _view(self, entry: AirEntry) -> AirEntryView:
        state, place = self._selection.bay.state, self._selection.place
        return air_entry(entry, state.air_at(place), self._selection.tz, place_title(state.places, place))

    def _press(self, key: str) -> None:
        self._show(self._entry.press(key))

    def _choose(self, field: AirField) -> None:
        self._show(self._entry.choose(field))

    def _record(self) -> None:
        self._ask(self._entry.request(self._selection.by, self._selection.place))

    def _withdraw(self) -> None:
        self._ask(self._entry.withdrawal(self._selection.by))

    def _ask(self, asked: Request | None) -> None:
        if not asked or not self._sender.send_or_show_refusal(asked):
            return
        if self._then:
            self._pages.want(self._then)
        else:
            self._pages.leave()
