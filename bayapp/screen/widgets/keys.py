"""Which keys press the large button."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

_CHORDS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier
_ALONE = range(Qt.Key.Key_Shift, Qt.Key.Key_ScrollLock + 1)
_SUPER = (Qt.Key.Key_Super_L, Qt.Key.Key_Super_R, Qt.Key.Key_Print)


def is_press(event: QKeyEvent) -> bool:
    """Whether a key presses the large button.

    A modifier (Shift), a shortcut of the desktop (Alt with Tab), or a key for volume, brightness or power must not
    begin a step.
    """
    key = event.key()
    held = key in _ALONE or key in _SUPER or bool(event.modifiers() & _CHORDS)
    return not (event.isAutoRepeat() or held or key >= Qt.Key.Key_Back)


def key_name(event: QKeyEvent) -> str:
    """Return the name that Qt gives a key, the same in every language, e.g. "PgDown"; empty for none."""
    return QKeySequence(event.key()).toString(QKeySequence.SequenceFormat.PortableText) if event.key() else ""
