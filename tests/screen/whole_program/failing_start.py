"""The whole wall program with a hand inside it that touches one way on after the other, and tells what it sees.

Run as ``python -m tests.screen.whole_program.failing_start WAYS WORDS...``: the ways by their names, joined by commas,
then the words of the command line. Of every window one line of JSON is told; where the board stands, it ends, unless a
backup is to be put back there first, or the file of the journal is to be deleted and written back.
"""

import json
import sys
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from bayapp.cli import main
from bayapp.pages.wanted import Page
from bayapp.screen import app
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.window.start_window import StartWindow
from bayapp.screen.window.wall import Wall

LOOK_MS = 20
PUT_BACK = "Put a backup back"
WRITE_BACK = "write it back"


def tell(**what: Any) -> None:
    """Print one line, whole and at once."""
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


class Hand:
    """Looks at what is on the screen, and touches."""

    def __init__(self, ways: list[str], store: Path) -> None:
        self._ways, self._store, self._seen = ways, store, 0
        self._timer = QTimer()
        self._timer.timeout.connect(self._look)
        self._timer.start(LOOK_MS)

    def _look(self) -> None:
        for window in QApplication.topLevelWidgets():
            if isinstance(window, Wall) and window.isVisible() and self._ways[:1] == [PUT_BACK]:
                self._ask_for_restore(window)
                return
            if isinstance(window, Wall) and window.isVisible() and self._ways[:1] == [WRITE_BACK]:
                self._delete_and_write_back(window)
                return
            if isinstance(window, Wall) and window.isVisible():
                self._timer.stop()
                bay = window.selection.bay
                notes = [note.text for state in bay.state.open_jobs for note in state.notes]
                band = bay.told.sentence if bay.told else ""
                page = window.pages.choices
                said = " ".join(page.sentences) if page.isVisible() else ""
                zone = str(window.selection.tz)
                tell(event="board", cars=len(bay.state.open_jobs), zone=zone, notes=notes, band=band, page=said)
                window.close()
                return
            if isinstance(window, StartWindow) and window.isVisible() and window.page.showing != self._seen:
                self._answer(window)

    def _answer(self, window: StartWindow) -> None:
        page = window.page
        if page.subtitle.startswith("Looking"):
            return
        self._seen = page.showing
        shown = {button.title: button for button in page.buttons if button.isVisible()}
        words = {"title": page.title, "sentences": list(page.sentences), "buttons": list(shown)}
        tell(event="window", full=window.isFullScreen(), **words)
        way = self._ways.pop(0) if self._ways else "Close bayapp"
        title, button = next((title, button) for title, button in shown.items() if title.endswith(way))
        self._press(button, hold=title.startswith("Hold"))

    def _ask_for_restore(self, wall: Wall) -> None:
        wall.pages.want(Page.BACKUP)
        for button in wall.pages.choices.buttons:
            if button.isVisible() and button.title.endswith(PUT_BACK):
                self._ways.pop(0)
                self._press(button, hold=True)
                return

    def _delete_and_write_back(self, wall: Wall) -> None:
        for file in self._store.glob("journal.sqlite3*"):
            file.unlink()
        for button in wall.pages.choices.buttons:
            if button.isVisible() and button.title.endswith(WRITE_BACK):
                self._ways.pop(0)
                self._press(button, hold=True)
                return

    def _press(self, button: GloveButton, hold: bool) -> None:
        QTest.mousePress(button, Qt.MouseButton.LeftButton)
        if hold:
            QTest.qWait(glove_button.HOLD_MS + 100)
        QTest.mouseRelease(button, Qt.MouseButton.LeftButton)


if __name__ == "__main__":
    glove_button.SETTLE_MS, glove_button.HOLD_MS = 0, 100
    ways, *words = sys.argv[1:]
    application = app.application()
    hand = Hand([way for way in ways.split(",") if way], Path(words[words.index("--store") + 1]))
    sys.argv[1:] = words
    main()
