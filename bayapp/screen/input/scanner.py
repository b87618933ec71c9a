"""Tells a keyboard-wedge scanner from a foot switch and from fingers, and collects what it types.

A scanner types a whole label within a moment and ends it with Enter or Tab; a foot switch or a finger sends one key.
So the first key that may begin a label is held back for a moment: if others follow at once it is a scan; if not, the
key is passed on.
"""

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent

from bayapp.files.gs1 import GS

APART_MS = 60
"""The longest pause between two characters of one scan; slow scanners send 10 to 40 ms apart (common practice)."""
LEAST = 6
ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)


class Scanner(QObject):
    """Watches the keys of a window.

    Signals:
        scanned: a label was typed; carries the text, with ASCII 29 for each separator.
    """

    scanned = Signal(str)

    def __init__(self, window: QObject) -> None:
        super().__init__(window)
        self._window = window
        self._text = ""
        self._first: QKeyEvent | None = None
        self._let_go: QKeyEvent | None = None
        self._passing = False
        self._late_end = QTimer(self)  # runs for a while after a scan that ended by a pause: its Enter may still come
        self._late_end.setSingleShot(True)
        self._late_end.setInterval(4 * APART_MS)
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(APART_MS)
        self._pause.timeout.connect(self._look_again)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(0)
        self._late.timeout.connect(self._end)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hold back what may be a scan; everything else passes."""
        if self._passing or not isinstance(event, QKeyEvent):
            return False
        if event.type() == QEvent.Type.KeyRelease:
            return self._released(event)
        if event.type() != QEvent.Type.KeyPress or event.isAutoRepeat():
            return False
        if event.key() in ENDS:
            return self._ended_by_key()
        character = typed(event)
        if not character:
            return bool(self._text) and is_held(event)
        if self._first is None:
            self._first = event.clone()
        self._text += character
        self._late.stop()
        self._pause.start()
        return True

    def _released(self, event: QKeyEvent) -> bool:
        """Hold back a release as long as its press, and pass both on together."""
        if self._first is not None and event.key() == self._first.key() and not event.isAutoRepeat():
            self._let_go = event.clone()
        return bool(self._text)

    def _ended_by_key(self) -> bool:
        """Take the key that ends a scan, even if it comes late; other such keys pass."""
        if not self._text and self._late_end.isActive():
            self._late_end.stop()
            return True
        whole = len(self._text) >= LEAST
        self._end()
        self._late_end.stop()
        return whole

    def _look_again(self) -> None:
        """Wait for the keys that arrived while the program was busy: they may belong to the scan."""
        self._late.start()

    def _end(self) -> None:
        self._pause.stop()
        self._late.stop()
        text, first, let_go = self._text, self._first, self._let_go
        self._text, self._first, self._let_go = "", None, None
        if len(text) >= LEAST:
            self._late_end.start()
            self.scanned.emit(text)
        elif first is not None:
            self._pass_on(first, let_go)

    def _pass_on(self, *held_back: QKeyEvent | None) -> None:
        """Pass the held key on to its widget, without repeats from a bouncing switch."""
        self._passing = True
        try:
            for event in filter(None, held_back):
                QCoreApplication.sendEvent(self._window, event)
        finally:
            self._passing = False


def is_held(event: QKeyEvent) -> bool:
    """Whether a key is a modifier, as a scanner holds Shift for a capital letter."""
    return event.key() in (Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_AltGr)


def typed(event: QKeyEvent) -> str:
    """Return the character that a key adds to a label, with ASCII 29 for any form of separator.

    Control and ``]`` is ASCII 29 by itself; F8 is what some scanners send for it (common practice, no source).
    """
    control = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
    if event.key() == Qt.Key.Key_F8 or event.text() == GS or (control and event.key() == Qt.Key.Key_BracketRight):
        return GS
    text = event.text()
    if len(text) == 1 and text.isprintable() and not control and not text.isspace():
        return text
    return ""
