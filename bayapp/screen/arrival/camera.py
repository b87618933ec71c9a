"""The page with what the machine's camera sees, and the shutter."""

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Urgency
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

SHUTTER_MM = 34.0


class CameraPage(HeadedPage):
    """What the camera sees, and the shutter.

    Signals:
        shutter: a photo is wanted.
    """

    shutter = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._image = QImage()
        self.shutter_button = GloveButton(look, self)
        self.shutter_button.clicked.connect(self.shutter)

    def show_camera(self, title: str, said: str) -> None:
        """Show which zone a photo is taken of, and what became of the last one."""
        self.show_title(title, said)
        self.shutter_button.show_words(_("Take the photo"), style=Style.FILLED, badge=Urgency.OPEN, title_mm=8.5)

    def show_image(self, image: QImage) -> None:
        """Show what the camera sees now; an empty image is none."""
        self._image = image
        self.update()

    def lay_out(self) -> None:
        super().lay_out()
        mm, body = self._look.mm, self._body()
        place(self.shutter_button, QRectF(body.left(), body.bottom() - mm(SHUTTER_MM), body.width(), mm(SHUTTER_MM)))

    def _body(self) -> QRectF:
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP / 2), -mm(EDGE), -mm(EDGE))

    def paint_body(self, painter: QPainter) -> None:
        mm, palette = self._look.mm, self._look.palette
        frame = self._body().adjusted(0, 0, 0, -mm(SHUTTER_MM + GAP))
        painter.fillRect(frame, QColor(palette.board))
        if self._image.isNull():
            words, middle = _("The camera shows nothing yet."), Qt.AlignmentFlag.AlignHCenter
            paint_words(painter, frame, words, mm(5), palette.text_quiet, bold=False, align=middle)
            return
        size = self._image.size().scaled(frame.size().toSize(), Qt.AspectRatioMode.KeepAspectRatio)
        target = QRectF(0, 0, size.width(), size.height())
        target.moveCenter(frame.center())
        painter.drawImage(target, self._image)
