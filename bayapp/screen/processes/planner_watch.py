"""Notices by the clock that a planner's process says nothing, owes an order, or comes to no end."""

from PySide6.QtCore import QObject, QTimer, Signal

LOOK_MS = 2_500
MOST_SILENT_LOOKS = 3
"""A process says a word every second or two; one that has not for so many looks was stopped, or hangs."""
START_LOOKS = 10
"""Looks that a process has until its first word; a busy machine takes its time to load it."""
OWED_MS = 8_000
FIRST_ORDER_MS = 30_000
LONGEST_MS = 300_000
MOST_DOUBLINGS = 3


class PlannerWatch(QObject):
    """Watches one process after the other; told of all that is asked of it and heard from it.

    A board that was stopped itself finds its timers due only once when it wakes: one look makes no silence.

    Signals:
        owing: there has been no order for 8 s; the process may be slow.
        hung: the process says nothing any more, or does not come to an end; it should be killed.
    """

    owing = Signal()
    hung = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._silent_looks, self._most = 0, MOST_SILENT_LOOKS
        self._look = QTimer(self)
        self._look.timeout.connect(self._count)
        self._owed = QTimer(self, singleShot=True)
        self._owed.timeout.connect(self.owing)
        self._longest = QTimer(self, singleShot=True)
        self._longest.timeout.connect(self.hung)
        self._owes = False

    def begin(self, failures: int) -> None:
        """A process has been started; after each failure it is given twice as long, should the machine be slow."""
        self.end()
        self._most = MOST_SILENT_LOOKS * self._patience(failures)
        self._silent_looks = self._most - START_LOOKS * self._patience(failures)
        self._look.start(LOOK_MS)

    def asked(self, failures: int) -> None:
        """It was asked for a plan."""
        if not self._owes:
            self._owes = True
            self._owed.start(OWED_MS)
            self._longest.start(FIRST_ORDER_MS * self._patience(failures))

    def heard(self) -> None:
        """It said something that makes sense."""
        self._silent_looks = 0

    def ordered(self) -> None:
        """It gave an order for what was asked last; better ones may come."""
        self._owes = False
        self._owed.stop()
        self._longest.start(LONGEST_MS)

    def done(self) -> None:
        """Nothing better comes for what was asked last."""
        self._owes = False
        self._owed.stop()
        self._longest.stop()

    def end(self) -> None:
        """There is no process any more."""
        self.done()
        self._look.stop()

    def _count(self) -> None:
        self._silent_looks += 1
        if self._silent_looks >= self._most:
            self.hung.emit()

    @staticmethod
    def _patience(failures: int) -> int:
        return 2 ** min(failures, MOST_DOUBLINGS)
