"""The whole wall program, with a map beside it: which buttons can be seen now, what they say, and where.

Run as ``python -m tests.screen.whole_program.mapped_program STORE MAP.json``. It touches nothing itself: fingers come
from the X server. The map lets a test find by its words what a person finds by looking.
"""

import json
import sys
from pathlib import Path

from PySide6.QtCore import QPoint, QTimer
from PySide6.QtWidgets import QAbstractButton, QApplication

from bayapp.screen import app
from bayapp.screen.board.car_view import CarView
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.window.wall import Wall

EVERY_MS = 60


class Map:
    """Writes what can be seen and touched, whenever it has changed and has stood still for a moment."""

    def __init__(self, file: Path) -> None:
        (self.wall,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, Wall))
        self._file, self._written = file, ""
        self._timer = QTimer(self.wall)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self._tell)
        self._timer.start()

    def _tell(self) -> None:
        found = [
            {"says": b.text() or b.accessibleName(), "below": b.accessibleDescription(), "at": self._middle(b)}
            for b in self.wall.findChildren(QAbstractButton)
            if b.isVisible() and b.isEnabled() and (not isinstance(b, GloveButton) or b.settled())
        ]
        for view in self.wall.findChildren(CarView):
            if view.isVisible() and self.wall.lost_touches.settled():
                corner = view.mapTo(self.wall, QPoint(0, 0))
                for zone in view.zones:
                    spot = corner + view.zone_centre(zone).toPoint()
                    found.append({"says": f"zone {zone}", "below": "", "at": [spot.x(), spot.y()]})
        text = json.dumps(found)
        if text != self._written:
            self._written = text
            part = self._file.with_suffix(".part")
            part.write_text(text, encoding="utf-8")
            part.replace(self._file)

    def _middle(self, button: QAbstractButton) -> list[int]:
        spot = button.mapTo(self.wall, button.rect().center())
        return [spot.x(), spot.y()]


def main(store: Path, file: Path) -> int:
    """Run the program as ``bayapp`` does, with the map beside it."""
    maps: list[Map] = []
    application = app.application()
    QTimer.singleShot(0, application, lambda: maps.append(Map(file)))
    return app.run(store, app.WallOptions(kiosk=True))


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), Path(sys.argv[2])))
