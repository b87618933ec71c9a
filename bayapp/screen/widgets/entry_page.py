"""The base of the pages that take the car's place: a head and a way back, and "Record" on those for typing."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Urgency
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.page_head import HEAD, close_rect, paint_head
from bayapp.text.language import _

GAP = 6.5
EDGE = 6.0


class HeadedPage(QWidget):
    """A page that takes the car's place.

    Signals:
        closed: the way back was touched.
    """

    closed = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._title = self._subtitle = ""
        self.close_button = GloveButton(look, self)
        self.close_button.show_words("", glyph="back", style=Style.OUTLINED)
        self.close_button.setAccessibleName("back")
        self.close_button.clicked.connect(self.closed)

    def show_title(self, title: str, subtitle: str) -> None:
        """Show the title."""
        self._title, self._subtitle = title, subtitle
        self.update()

    @property
    def subtitle(self) -> str:
        """What stands under the title."""
        return self._subtitle

    def lay_out(self) -> None:
        """Give every part its place."""
        place(self.close_button, close_rect(self.width(), self._look))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_head(painter, QRectF(self.rect()), self._look, self._title, self._subtitle)
            self.paint_body(painter)

    def paint_body(self, painter: QPainter) -> None:
        """Paint what is between the buttons."""


class EntryPage(HeadedPage):
    """A page that lets something be typed without a keyboard.

    Signals:
        record_wanted: the record button was touched, also while it shows a trouble.
    """

    record_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.record_button = GloveButton(look, self)
        self.record_button.clicked.connect(self.record_wanted)

    def show_head(self, title: str, subtitle: str, trouble: str, note: str) -> None:
        """Show the title, and on the record button the trouble, or else the note."""
        style = Style.REFUSED if trouble else Style.FILLED
        badge = None if trouble else Urgency.OPEN
        self.record_button.show_words(_("Record"), trouble or note, style=style, badge=badge, title_mm=8.5)
        self.show_title(title, subtitle)

    def rows(self, count: int, tallest: float) -> list[QRectF]:
        """Return this many equal rows under the head, in pixels; ``tallest`` is in millimetres."""
        mm, gap = self._look.mm, self._look.mm(GAP)
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        tall = min(mm(tallest), (box.height() - gap * (count - 1)) / count)
        return [QRectF(box.left(), box.top() + n * (tall + gap), box.width(), tall) for n in range(count)]
