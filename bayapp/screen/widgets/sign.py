"""A sign with words and an icon, shown for a moment or for as long as it applies."""

from PySide6.QtCore import QRectF, Qt, QTimer
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter
from bayapp.screen.widgets.typeset import paint_words


class Sign(QWidget):
    """Words on a raised plate; touches go through it."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.title = self.detail = ""
        self._gone = QTimer(self)
        self._gone.setSingleShot(True)
        self._gone.timeout.connect(self.hide)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def show_words(self, title: str, detail: str, for_ms: int) -> None:
        """Say this for so long."""
        self.title, self.detail = title, detail
        self.show()
        self.raise_()
        self.update()
        self._gone.start(for_ms)

    def hide(self) -> None:
        """Say nothing more."""
        self._gone.stop()
        super().hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, palette, box = self._look.mm, self._look.palette, QRectF(self.rect())
            edge = mm(0.7)
            painter.setBrush(QColor(palette.tile_raised))
            painter.setPen(QPen(QColor(palette.ring), mm(0.9)))
            painter.drawRoundedRect(box.adjusted(edge, edge, -edge, -edge), mm(4), mm(4))
            body = box.adjusted(mm(6), mm(2.5), -mm(6), -mm(2.5))
            if not self.detail:
                paint_words(painter, body, self.title, mm(9), palette.text, lines=2)
                return
            upper = QRectF(body.left(), body.top(), body.width(), body.height() * 0.55)
            lower = QRectF(body.left(), upper.bottom(), body.width(), body.height() - upper.height())
            paint_words(painter, upper, self.title, mm(9), palette.text)
            paint_words(painter, lower, self.detail, mm(5.6), palette.text, bold=False, lines=2)
