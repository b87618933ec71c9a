"""The window of a start that failed: what happened, and big buttons for the ways on."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QCloseEvent, QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QWidget

from bayapp.drawing.palette import DARK
from bayapp.pages.starting.start_trouble import Way, WayButton
from bayapp.screen.widgets.choice_page import ChoicePage, Entry
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import MARGIN, fitted, measure_of

AGAIN_S = 10


class StartWindow(QWidget):
    """Shows why the wall does not start; it stays until the wall itself stands.

    Attributes:
        page: the words and the buttons.

    """

    def __init__(self) -> None:
        super().__init__()
        screen = QApplication.primaryScreen()
        size = screen.size()
        self._real = measure_of(screen, size.width(), size.height())
        self._look = Look(DARK, self._real)
        self.setWindowTitle("bayapp")
        self.page = ChoicePage(self._look, self)
        self.page.chosen.connect(self._take)
        self._answer = Way.LEAVE
        self._again = QTimer(self, interval=AGAIN_S * 1000)
        self._again.timeout.connect(self._try_again)

    def show_ways(
        self, title: str, subtitle: str, sentences: Sequence[str], buttons: Sequence[WayButton], again: bool
    ) -> None:
        """Show what happened and the ways on; ``again``: try again every few seconds."""
        entries = [Entry(button.way, button.title, hold=button.hold) for button in buttons]
        self.page.show_choices(title, subtitle, entries, sentences, may_close=False)
        if again:
            self._again.start()
        else:
            self._again.stop()

    def wait_for_answer(self) -> Way:
        """Wait until a way on is taken; closing the window is leaving."""
        self._answer = Way.LEAVE  # where the system asks the program to end, nobody answers
        QApplication.exec()
        return self._answer

    def _take(self, way: Way) -> None:
        self._answer = way
        QApplication.exit()

    def _try_again(self) -> None:
        if not any(button.isDown() for button in self.page.buttons):
            self._take(Way.AGAIN)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._look.measure_by(fitted(self._real, self.width(), self.height()))
        edge = round(self._look.mm(MARGIN))
        self.page.setGeometry(self.rect().adjusted(edge, edge, -edge, -edge))

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(self._look.palette.board))

    def closeEvent(self, event: QCloseEvent) -> None:
        self._again.stop()
        self._take(Way.LEAVE)
        super().closeEvent(event)


def fill_screen(window: QWidget, kiosk: bool) -> None:
    """Show a window as large as the screen; of a kiosk in front of everything."""
    screen = QApplication.primaryScreen()
    if kiosk:
        window.setWindowFlag(Qt.WindowType.WindowStaysOnTopHint)
        window.setGeometry(screen.geometry())  # a bare X server has nobody to do it for us
        window.showFullScreen()
    else:
        window.setGeometry(screen.availableGeometry())  # likewise
        window.showMaximized()
