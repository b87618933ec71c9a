"""A reading of the air, typed with gloves or on a keyboard at the wall, and recorded."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from bayapp.job import Request
from bayapp.job.state.events import AirRead
from bayapp.pages.air.air_entry import BACK, KEYS, POINT, AirEntry, AirField, air_entry
from bayapp.screen.air.air_entry import AirEntryPage
from bayapp.screen.board.wall import Wall


class AirEntryController(QObject):
    """Lets a reading of the air be typed, and records it."""

    def __init__(self, wall: Wall) -> None:
        super().__init__(wall)
        self._wall, self._entry = wall, AirEntry()
        self._then: object = None
        self.page = AirEntryPage(wall.look, wall)
        self.page.key_pressed.connect(self._press)
        self.page.field_chosen.connect(self._choose)
        self.page.record_wanted.connect(self._record)
        self.page.withdrawal_wanted.connect(self._withdraw)
        wall.add_page(self.page)
        wall.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Where a keyboard hangs at the wall, its digits are typed here and begin no step."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and self.page.isVisible():
            key = BACK if event.key() == Qt.Key.Key_Backspace else event.text().replace(",", POINT)
            if key in KEYS:
                self._press(key)
                return True
        return False

    def open(self, about: object = None) -> None:
        """Begin a new reading; ``about`` names the page to go on to, else it leads back to where one came from.

        Where it is a reading, that one is corrected, and the air page follows.
        """
        self._then = "air-day" if isinstance(about, AirRead) else about
        self._show(AirEntry.correcting(about) if isinstance(about, AirRead) else AirEntry())
        self._wall.show_page(self.page)

    def _show(self, entry: AirEntry) -> None:
        self._entry = entry
        self.page.show_entry(air_entry(entry, self._wall.bay.state.air, self._wall.tz))

    def _press(self, key: str) -> None:
        self._show(self._entry.press(key))

    def _choose(self, field: AirField) -> None:
        self._show(self._entry.choose(field))

    def _record(self) -> None:
        self._ask(self._entry.request(self._wall.by))

    def _withdraw(self) -> None:
        self._ask(self._entry.withdrawal(self._wall.by))

    def _ask(self, asked: Request | None) -> None:
        if not asked or not self._wall.ask_or_say(asked):
            return
        if isinstance(self._then, str):
            self._wall.page_wanted.emit(self._then, None)
        else:
            self._wall.back()
