"""What the idle screen is measured on: a bare Qt window that paints itself once a second.

Run as ``python tests/bench/idle_programs.py``; it says "painted" after its first painting, and stays.
"""

from PySide6.QtCore import QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget


class Bare(QWidget):
    """Fills itself with one colour."""

    painted = False

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 (Qt's name)
        painter = QPainter(self)
        painter.fillRect(self.rect(), 0x12161B)
        painter.end()
        if not self.painted:
            self.painted = True
            print("painted", flush=True)


def main() -> None:
    """Show the window until the process is ended."""
    application = QApplication([])
    window = Bare()
    timer = QTimer(window)
    timer.timeout.connect(window.update)
    timer.start(1000)
    window.showFullScreen()
    application.exec()


if __name__ == "__main__":
    main()
