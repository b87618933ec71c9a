"""The page of a zone's photos: two pictures side by side, and under each what can be done with it."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPixmap
from PySide6.QtWidgets import QWidget

from bayapp.drawing.upright import upright
from bayapp.pages.arrival.photos import PhotoSide, PhotosView
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

ROW_MM = 25.5
CAPTION_MM = 9.0


class PhotosPage(HeadedPage):
    """The page of a zone's photos.

    Signals:
        next_wanted: the next photo of a phase is to be shown; carries the phase.
        move_wanted: the photo that is shown is one of the other phase; carries its phase.
        away_wanted: it does not belong here; carries its phase; by a hold, not a touch.
        add_wanted, camera_wanted: photos are to be taken from a folder, or with the camera.
    """

    next_wanted = Signal(str)
    move_wanted = Signal(str)
    away_wanted = Signal(str)
    add_wanted = Signal()
    camera_wanted = Signal()

    def __init__(self, look: Look, preview_of: Callable[[str], Path], parent: QWidget | None = None) -> None:
        """``preview_of``: where the small picture of a photo lies."""
        super().__init__(look, parent)
        self._preview_of = preview_of
        self._view: PhotosView | None = None
        self._pictures: dict[str, QPixmap] = {}
        self.turn, self.move_over, self.away = (self._pair() for _button in range(3))
        for number, phase in enumerate(("arrival", "later")):
            self.turn[number].clicked.connect(lambda _=False, p=phase: self.next_wanted.emit(p))
            self.move_over[number].clicked.connect(lambda _=False, p=phase: self.move_wanted.emit(p))
            self.away[number].hold_to_act = True
            self.away[number].held.connect(lambda p=phase: self.away_wanted.emit(p))
        self.add_button, self.camera_button = self._pair()
        self.add_button.clicked.connect(self.add_wanted)
        self.camera_button.clicked.connect(self.camera_wanted)

    def _pair(self) -> tuple[GloveButton, GloveButton]:
        return GloveButton(self._look, self), GloveButton(self._look, self)

    def show_photos(self, view: PhotosView) -> None:
        """Show the two photos; a small picture that was made meanwhile is looked for again."""
        self._view = view
        self.show_title(view.title, view.subtitle)
        shown = [side.photo.sha256 for side in view.sides if side.photo]
        self._pictures = {sha: picture for sha, picture in self._pictures.items() if sha in shown}
        for number, side in enumerate(view.sides):
            self.turn[number].setVisible(bool(side.count))
            self.turn[number].show_words(_("Next"), side.count, title_mm=5.0)
            self.move_over[number].setVisible(side.photo is not None)
            self.move_over[number].show_words(side.to_other, glyph="change", title_mm=4.4)
            self.away[number].setVisible(side.photo is not None)
            self.away[number].show_words(_("Hold: not here"), _("taken away; the file stays"), title_mm=4.4)
        self.add_button.show_words(_("Add photos"), _("stick, folder"), glyph="photo", title_mm=6.0)
        self.camera_button.show_words(_("Camera"), _("of this machine"), glyph="photo", title_mm=6.0)
        self.update()

    def lay_out(self) -> None:
        super().lay_out()
        mm, gap, body = self._look.mm, self._look.mm(GAP), self._body()
        row = QRectF(body.left(), body.bottom() - mm(ROW_MM), body.width(), mm(ROW_MM))
        self._place_row((self.add_button, self.camera_button), row)
        for number in range(2):
            box = self._side_box(number)
            buttons = (self.turn[number], self.move_over[number], self.away[number])
            self._place_row(buttons, QRectF(box.left(), row.top() - gap - mm(ROW_MM), box.width(), mm(ROW_MM)))

    def _place_row(self, buttons: tuple[GloveButton, ...], row: QRectF) -> None:
        gap = self._look.mm(GAP)
        wide = (row.width() - gap * (len(buttons) - 1)) / len(buttons)
        for number, button in enumerate(buttons):
            place(button, QRectF(row.left() + number * (wide + gap), row.top(), wide, row.height()))

    def _body(self) -> QRectF:
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP / 2), -mm(EDGE), -mm(EDGE))

    def _side_box(self, number: int) -> QRectF:
        """Return the place of a picture and its caption."""
        mm, body = self._look.mm, self._body()
        wide = (body.width() - mm(GAP)) / 2
        tall = body.height() - 2 * mm(ROW_MM + GAP)
        return QRectF(body.left() + number * (wide + mm(GAP)), body.top(), wide, tall)

    def paint_body(self, painter: QPainter) -> None:
        if self._view is not None:
            for number, side in enumerate(self._view.sides):
                self._paint_side(painter, self._side_box(number), side)

    def _paint_side(self, painter: QPainter, box: QRectF, side: PhotoSide) -> None:
        mm, palette = self._look.mm, self._look.palette
        head = QRectF(box.left(), box.top(), box.width(), mm(CAPTION_MM))
        half = head.adjusted(0, 0, -head.width() * 0.55, 0)
        paint_words(painter, half, side.title, mm(5.4), palette.text)
        rest = head.adjusted(head.width() * 0.46, 0, 0, 0)
        align = Qt.AlignmentFlag.AlignRight
        paint_words(painter, rest, side.caption, mm(4.4), palette.text_quiet, bold=False, align=align)
        frame = box.adjusted(0, mm(CAPTION_MM), 0, 0)
        painter.fillRect(frame, QColor(palette.board))
        picture = self._picture(side)
        if picture is None or picture.isNull():
            words = side.nothing if side.photo is None else _("Its small picture is being made.")
            inner = frame.adjusted(mm(6), mm(6), -mm(6), -mm(6))
            paint_words(
                painter, inner, words, mm(5), palette.text_quiet, bold=False, align=Qt.AlignmentFlag.AlignHCenter
            )
            return
        size = picture.size().scaled(frame.size().toSize(), Qt.AspectRatioMode.KeepAspectRatio)
        target = QRectF(0, 0, size.width(), size.height())
        target.moveCenter(frame.center())
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        with upright(painter, target):
            painter.drawPixmap(target, picture, QRectF(picture.rect()))

    def _picture(self, side: PhotoSide) -> QPixmap | None:
        """Return the small picture that the process beside the wall has made; a photo itself is never decoded here."""
        if side.photo is None:
            return None
        sha = side.photo.sha256
        if sha not in self._pictures or self._pictures[sha].isNull():
            self._pictures[sha] = QPixmap(str(self._preview_of(sha)))
        return self._pictures[sha]
