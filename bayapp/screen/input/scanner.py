"""Tells a keyboard-wedge scanner from a foot switch and from fingers, and collects what it types.

A scanner types a whole label within a moment, with whatever control characters its maker or its settings put before,
into and behind it; a foot switch or a finger sends one key. So every key is held back for a moment: if another follows
at once, no hand did that, and nothing of it presses anything; if none does, the key is passed on.
"""

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent

from bayapp.files.gs1 import GS

APART_MS = 60
"""The longest pause between two characters of one scan; slow scanners send 10 to 40 ms apart (common practice)."""
LEAST = 6
"""Characters of the shortest label; of a shorter burst nothing is told."""
LONGEST = 4_000
"""Characters of a burst that are kept; a label has at most some hundred."""
ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)


class Scanner(QObject):
    """Watches the keys of a window.

    Attributes:
        listeners: asked in turn about each burst, however short; whoever returns true has taken it.

    Signals:
        scanned: a label was typed; carries the text, with ASCII 29 for each separator.
    """

    scanned = Signal(str)

    def __init__(self, window: QObject) -> None:
        super().__init__(window)
        self._window = window
        self.listeners: list[Callable[[str], bool]] = []
        self._text = ""
        self._keys: set[int] = set()
        self._first: QKeyEvent | None = None
        self._let_go: QKeyEvent | None = None
        self._passing = False
        self._behind = _once(self, 4 * APART_MS)  # runs after a scan: its Enter, or a second one, may still come
        self._pause = _once(self, APART_MS)
        self._pause.timeout.connect(self._look_again)
        self._late = _once(self, 0)
        self._late.timeout.connect(self._end)
        window.installEventFilter(self)

    @property
    def holds_back(self) -> bool:
        """Whether a key is held back at present."""
        return self._first is not None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hold back what may be a scan; everything else passes."""
        if self._passing or not isinstance(event, QKeyEvent):
            return False
        if event.type() == QEvent.Type.KeyRelease:
            return self._released(event)
        if event.type() != QEvent.Type.KeyPress or event.isAutoRepeat():
            return False
        if is_held(event):
            return self.holds_back
        return self._pressed(event)

    def _pressed(self, event: QKeyEvent) -> bool:
        character = typed(event)
        if not character and self._first is None and self._behind.isActive():
            self._behind.start()  # what stands behind a label: an Enter that comes late, or a line feed
            return True
        if self._first is None:
            self._first = event.clone()
        self._keys.add(event.key())
        self._text = (self._text + character)[:LONGEST]
        self._late.stop()
        self._pause.start()
        if event.key() in ENDS and len(self._text) >= LEAST:
            self._end()
        return True

    def _released(self, event: QKeyEvent) -> bool:
        """Hold back a release as long as its press, and pass both on together."""
        if self._first is None:
            return False
        if event.key() == self._first.key() and not event.isAutoRepeat():
            self._let_go = event.clone()
        return True

    def _look_again(self) -> None:
        """Wait for the keys that arrived while the program was busy: they may belong to the scan."""
        self._late.start()

    def _end(self) -> None:
        self._pause.stop()
        self._late.stop()
        text, keys, first, let_go = self._text, self._keys, self._first, self._let_go
        self._text, self._keys, self._first, self._let_go = "", set(), None, None
        if len(keys) == 1 and first is not None:
            self._pass_on(first, let_go)  # one key, however often its contact bounced
            return
        self._behind.start()
        if any(listener(text) for listener in self.listeners):
            return
        if len(text) >= LEAST:
            self.scanned.emit(text)

    def _pass_on(self, *held_back: QKeyEvent | None) -> None:
        """Pass the held key on to its widget, without repeats from a bouncing switch."""
        self._passing = True
        try:
            for event in filter(None, held_back):
                QCoreApplication.sendEvent(self._window, event)
        finally:
            self._passing = False


def _once(parent: QObject, milliseconds: int) -> QTimer:
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(milliseconds)
    return timer


def is_held(event: QKeyEvent) -> bool:
    """Whether a key is a modifier, as a scanner holds Shift for a capital letter."""
    return event.key() in (Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_AltGr, Qt.Key.Key_Meta)


def typed(event: QKeyEvent) -> str:
    """Return the character that a key adds to a label, with ASCII 29 for any form of separator.

    Control and ``]`` is ASCII 29 by itself; F8 is what some scanners send for it (common practice, no source).
    """
    control = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
    if event.key() == Qt.Key.Key_F8 or event.text() == GS or (control and event.key() == Qt.Key.Key_BracketRight):
        return GS
    text = event.text()
    return text if len(text) == 1 and text.isprintable() and not control else ""
