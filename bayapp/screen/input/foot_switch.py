"""Handles the keys that the shop has given an action; every other key passes.

It is installed before the scanner, so that the scanner sees every key first and passes on what is not a label.

A taught key acts once it has come up, so that a resting foot does nothing; any other key acts as it goes down, once.
"""

from collections.abc import Callable, Mapping
from datetime import timedelta

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QTimer, Signal
from PySide6.QtGui import QKeyEvent

from bayapp.files.shop.key_settings import Gesture, KeyAction, KeySettings
from bayapp.pages.board.undo_last import last_touch
from bayapp.pages.input.foot_switch import LONG, TWICE_WITHIN, GestureReader, Read
from bayapp.screen.widgets.keys import is_press, key_name
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.sign import Sign
from bayapp.screen.window.wall import Wall
from bayapp.text.language import _

SIGN_MS = 8_000
SIGN_MM = 30.0


class FootSwitch(QObject):
    """The keys with an action of their own.

    Signals:
        learned: a key was pressed while one was to be learned; carries its name and the Gesture.
    """

    learned = Signal(str, object)

    def __init__(self, window: Wall) -> None:
        super().__init__(window)
        self._window = window
        self._keys: Mapping[str, KeySettings] = {}
        self._reader = GestureReader(self._meant)
        self._times = LONG, TWICE_WITHIN
        self._learner: GestureReader | None = None
        self._learns_while: Callable[[], bool] = lambda: False
        self._since = QElapsedTimer()
        self._since.start()
        self._second = QTimer(self)
        self._second.setSingleShot(True)
        self._second.timeout.connect(self._look)
        self.sign = Sign(window.look, window)
        window.installEventFilter(self)

    def use(self, keys: Mapping[str, KeySettings], long_seconds: float, twice_seconds: float) -> None:
        """Use these keys and actions from now on."""
        self._keys = keys
        self._times = timedelta(seconds=long_seconds), timedelta(seconds=twice_seconds)
        self._reader = GestureReader(self._meant, *self._times)

    def learn(self, while_: Callable[[], bool]) -> None:
        """Report the next key and gesture instead of acting on it, while ``while_`` holds."""
        self._learns_while = while_
        self._learner = GestureReader(lambda key, gesture: True, *self._times)

    @property
    def learning(self) -> bool:
        """Whether the next key is to be learned."""
        if self._learner and not self._learns_while():
            self._learner = None
        return self._learner is not None

    def _meant(self, key: str, gesture: Gesture) -> bool:
        return key in self._keys and self._keys[key].action(gesture) is not None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the keys with an action; all other events pass."""
        if event.type() == QEvent.Type.WindowDeactivate:
            self._reader.forget()
        if event.type() not in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease) or not isinstance(event, QKeyEvent):
            return False
        name = key_name(event)
        reader = self._learner if self.learning else self._reader if name in self._keys else None
        if reader is None or not name:
            return False
        if event.isAutoRepeat():
            return True
        if event.type() == QEvent.Type.KeyRelease:
            self._do(reader.up(name, self._now()))
        elif is_press(event):
            self._do(reader.down(name, self._now()))
        else:
            return False
        return True

    def _now(self) -> timedelta:
        return timedelta(milliseconds=self._since.elapsed())

    def _look(self) -> None:
        """Act on what has become certain by now."""
        self._do((self._learner or self._reader).due(self._now()))

    def _do(self, read: list[Read]) -> None:
        until = (self._learner or self._reader).waits_until
        if until is not None:
            self._second.start(max(1, (until - self._now()) // timedelta(milliseconds=1) + 2))
        for one in read:
            if self._learner:
                self._learner = None
                self.learned.emit(one.key, one.gesture)
            else:
                self._act(self._keys[one.key].action(one.gesture))

    def _act(self, action: KeyAction | None) -> None:
        acts: dict[KeyAction | None, Callable[[], None]] = {
            KeyAction.NEXT: self._window.press_main,
            KeyAction.HEARD: self._hear,
            KeyAction.UNDO: self._undo,
            KeyAction.BACK: self._window.pages.back,
        }
        acts.get(action, lambda: None)()

    def _hear(self) -> None:
        """Answer the alerts that are shown; one that has come since then stays unanswered."""
        subjects = self._window.band.subjects
        if subjects:
            self._window.selection.bay.alerts.acknowledge(subjects)
            self._window.refresher.refresh()
        else:
            self.say(_("Nothing calls"), _("There is no alert to answer."))

    def _undo(self) -> None:
        """Undo the last touch of whoever works at the car, and show what it was."""
        chosen = self._window.selection
        last = last_touch(chosen.bay.state, chosen.by, chosen.tz)
        if last is None:
            self.say(_("Nothing to undo"), _("Nobody of this name has begun or done anything that stands."))
        elif self._window.request_sender.send_or_show_refusal(last.request):
            self.say(_("Undone"), last.text)

    def say(self, title: str, detail: str) -> None:
        """Show for a moment what a key did, at the lower edge of the page, beside the clocks."""
        page = self._window.layout_mm.car
        page.setTop(page.bottom() - SIGN_MM)
        place(self.sign, self._window.look.measure.rect(page))
        self.sign.show_words(title, detail, SIGN_MS)
