"""A note for every car inside, written down as soon as the bay takes one."""

from PySide6.QtCore import QObject, QTimer

from bayapp.bay import Bay
from bayapp.job import WriteNote

AGAIN_MS = 1_000


class OwedNotes(QObject):
    """Writes a note for every car; while the bay asks what time it is, it takes none, and the note is kept.

    Attributes:
        cars: those that have no note yet.
    """

    def __init__(self, bay: Bay, text: str, parent: QObject) -> None:
        super().__init__(parent)
        self._bay, self._text = bay, text
        self.cars = [state.job.id for state in bay.state.open_jobs]
        self._timer = QTimer(self, interval=AGAIN_MS)
        self._timer.timeout.connect(self.write)
        self._timer.start()
        self.write()

    def write(self) -> None:
        """Write those that are owed."""
        self.cars = [car for car in self.cars if not self._bay.request(WriteNote(car, self._text)).accepted]
        if not self.cars:
            self._timer.stop()

    def stop(self) -> None:
        """Write no more: the bay is being closed."""
        self._timer.stop()
