"""The whole wall program with a hand inside it: it obeys lines on standard input, and tells what its board shows.

Run as ``python -m tests.screen.whole_program.board_program STORE JOB [--silent]``. It waits for the line ``open``
before it touches the store, so that a test can have the next one ready. Then:

- ``taps``: press the main button for ever, and tell of each touch only once the board shows it as accepted;
- ``watch``: tell from now on of each change of what the line of alerts says;
- ``heard``: press "heard it"; ``end``: leave.
"""

import json
import os
import sys
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QObject, QSocketNotifier, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication

from bayapp.job import Verdict
from bayapp.record.bodies import to_body
from bayapp.screen import app, wiring
from bayapp.screen.widgets import glove_button
from bayapp.screen.window.wall import Wall


def tell(**what: Any) -> None:
    """Print one line, whole and at once."""
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


class Painted(QObject):
    """Notes that a button was painted since it was last asked."""

    def __init__(self, button: QAbstractButton) -> None:
        super().__init__(button)
        self.since_asked = False
        button.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 (Qt's name)
        self.since_asked = self.since_asked or event.type() == QEvent.Type.Paint
        return False


class Hand:
    """Presses the real buttons of the real window."""

    def __init__(self) -> None:
        (self.wall,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, Wall))
        self.accepted: list[Verdict] = []
        self.wall.request_sender.accepted.connect(self._accept)
        self.main = self.wall.next_bar.main
        self.painted = Painted(self.main)
        self._wait_for_paint()
        self._tell_board()
        self.notifier = QSocketNotifier(sys.stdin.fileno(), QSocketNotifier.Type.Read)
        self.notifier.activated.connect(self._obey)

    def _tell_board(self) -> None:
        bay, at = self.wall.selection.bay, self.wall.selection.bay.now()
        tell(
            event="board",
            main=self.main.title,
            band=self.wall.band.text,
            at=at.isoformat(),
            clocks=repr(bay.clocks(at)),
            last_at=repr(bay.state.last_at),
        )

    def _obey(self) -> None:
        said = os.read(sys.stdin.fileno(), 4096) or b"end"  # whoever started this may have died
        for word in said.decode().split():
            {"taps": self._taps, "watch": self._watch, "heard": self._heard, "end": self.wall.close}[word]()

    def _taps(self) -> None:
        while self.wall.isVisible():
            self._tap()

    def _tap(self) -> None:
        """Touch, wait until the button is painted with other words, and only then tell."""
        before = self.main.title
        self.accepted.clear()
        QTest.mouseClick(self.main, Qt.MouseButton.LeftButton)
        if not self.accepted or self.main.title == before:
            tell(event="stuck", main=before, now=self.main.title, accepted=len(self.accepted))
            os._exit(3)
        self._wait_for_paint()
        tell(event="shown", events=[to_body(event) for verdict in self.accepted for event in verdict.events])

    def _accept(self, verdict: Verdict) -> None:
        """The wall asks for new words only after this, so only a painting from here on counts."""
        self.accepted.append(verdict)
        self.painted.since_asked = False

    def _wait_for_paint(self) -> None:
        while not self.painted.since_asked:
            QApplication.processEvents()

    def _watch(self) -> None:
        said: list[str] = []

        def look() -> None:
            labels = [alert.condition.label for alert in self.wall.selection.bay.alerts.unanswered()]
            lines = "; ".join(dict.fromkeys([self.wall.band.text, *labels]))
            if said[-1:] != [lines]:
                said.append(lines)
                tell(event="band", text=lines)

        look()
        self.wall.refresher.refreshed.connect(look)

    def _heard(self) -> None:
        QTest.mouseClick(self.wall.band.heard_button, Qt.MouseButton.LeftButton)
        tell(event="answered", band=bool(self.wall.band.text))


def main(store: Path, job: Path, silent: bool) -> int:
    """Run the program as ``bayapp`` does, with a hand that comes alive in its event loop."""
    application = app.application()
    glove_button.SETTLE_MS = 0  # this hand does not bounce, and touches faster than any glove
    if silent:
        wiring.add_sound = lambda window, settings: None
    assert sys.stdin.readline() == "open\n"
    hands: list[Hand] = []
    QTimer.singleShot(0, application, lambda: hands.append(Hand()))
    return app.run(store, app.WallOptions(job, kiosk=True))


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), Path(sys.argv[2]), "--silent" in sys.argv))
