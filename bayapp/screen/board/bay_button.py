"""One car in the strip: its number, its most pressing clock, its name."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.car_colours import body_colour
from bayapp.drawing.digits import paint_digits
from bayapp.job.model.ids import Urgency
from bayapp.pages.board.bays import BayFace
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.glyphs import paint_glyph
from bayapp.screen.widgets.typeset import fit_digits, paint_words

BADGE = 8.5
DIGITS_CAP = 9.0
LEAST_CAP = 4.5
LATE_DIGITS_CAP = 5.4
"""The digits of a car that is not ready as promised: that stands under them."""
NAME = 6.5
SIGN = 8.5


class BayButton(GloveButton):
    """A touch shows this car's board."""

    _face: BayFace | None = None

    def show_bay(self, face: BayFace) -> None:
        """Show the present state of a car."""
        if face != self._face:
            self._face = face
            self.update()
        self.show_words(face.short_name, style=Style.CHOSEN if face.shown else Style.OUTLINED)

    def _paint_words(self, painter: QPainter, body: QRectF, ink: str, quiet: str) -> None:
        face = self._face
        if face is None:
            return
        mm, palette = self._look.mm, self._look.palette
        below = 2 * NAME if face.promise else NAME
        upper = body.adjusted(0, 0, 0, -mm(below))
        spot = QRectF(upper.left(), upper.center().y() - mm(BADGE / 2), mm(BADGE), mm(BADGE))
        paint_badge(painter, face.urgency, spot, badge_on_plate(palette, face.urgency), face.fraction)
        room = upper.adjusted(mm(BADGE + 2), 0, 0, 0)
        if face.digits:
            tallest = LATE_DIGITS_CAP if face.promise else DIGITS_CAP
            font = fit_digits(face.digits, room.width(), mm, tallest, LEAST_CAP)
            paint_digits(painter, room, face.digits, font, ink)
        else:
            paint_words(painter, room, face.label, mm(4.2), ink, lines=2, align=Qt.AlignmentFlag.AlignRight)
        if face.promise:
            late = QRectF(body.left(), upper.bottom(), body.width(), mm(NAME))
            paint_words(painter, late, face.promise, mm(4.6), palette.line(Urgency.LAPSED))
        name = QRectF(body.left(), body.bottom() - mm(NAME), body.width(), mm(NAME))
        if face.colour:
            sign = QRectF(name.left(), name.top(), mm(SIGN), name.height())
            paint_glyph(painter, "car", sign, ink, body_colour(face.colour))
            name.setLeft(sign.right() + mm(1.5))
        paint_words(painter, name, face.number_and_name, mm(4.2), quiet, bold=False)
