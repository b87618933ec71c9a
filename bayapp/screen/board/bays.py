"""All cars in the bay at once, each with its drawing and its most pressing clock."""

from collections.abc import Mapping, Sequence
from math import ceil

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.car_painter import CarPainter
from bayapp.drawing.digits import digits_width, paint_digits
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.looks import NO_WORDS
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import ZoneId
from bayapp.pages.board.bays import BayFace
from bayapp.pages.board.car_view import Face
from bayapp.screen.board.car_view import look_of
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import fit_digits, paint_words
from bayapp.text.language import _

DIGITS_CAP, LEAST_CAP = 18.2, 8.0
TITLE, CLOCK, DETAIL = 9.0, 20.0, 6.0
BADGE = 15.0
STANDS = 25.5
ROOMY = 3
"""With so many cars there is room for a button for the place of each."""


class BayCard(GloveButton):
    """One car: name, drawing, clock."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(look, parent)
        self._face: BayFace | None = None
        self._drawing: FormDrawing | None = None
        self._painter: CarPainter | None = None
        self._faces: Mapping[ZoneId, Face] = {}

    def show_bay(
        self, face: BayFace, drawing: FormDrawing | None, faces: Mapping[ZoneId, Face], place_beside: bool
    ) -> None:
        """Show the present state of a car; with where it stands, unless that is shown beside."""
        palette = self._look.palette
        if drawing is not self._drawing or (self._painter and self._painter.palette is not palette):
            self._drawing = drawing
            self._painter = CarPainter(drawing, palette, NO_WORDS, cached=False) if drawing else None
        if (face, faces) != (self._face, self._faces):
            self._face, self._faces = face, faces
            self.update()
        named = face.name
        if face.place and not place_beside:
            named = _("{car}, {place}").format(car=face.name, place=face.place)
        self.show_words(named, style=Style.CHOSEN if face.shown else Style.OUTLINED)

    def _paint_words(self, painter: QPainter, body: QRectF, ink: str, quiet: str) -> None:
        face = self._face
        if face is None:
            return
        mm = self._look.mm
        title = QRectF(body.left(), body.top(), body.width(), mm(TITLE))
        paint_words(painter, title, self.title, mm(6.2), ink)
        clock = QRectF(body.left(), body.bottom() - mm(DETAIL + CLOCK), body.width(), mm(CLOCK))
        picture = QRectF(body.left(), title.bottom(), body.width(), clock.top() - title.bottom() - mm(1))
        if self._painter:
            looks = {zone: look_of(known) for zone, known in self._faces.items()}
            with upright(painter, picture):
                self._painter.paint(painter, picture, looks, "", picture)
        self._paint_clock(painter, clock, face, ink, quiet)
        detail = QRectF(body.left(), body.bottom() - mm(DETAIL), body.width(), mm(DETAIL))
        paint_words(painter, detail, face.detail, mm(3.9), quiet, bold=False)

    def _paint_clock(self, painter: QPainter, box: QRectF, face: BayFace, ink: str, quiet: str) -> None:
        mm, palette = self._look.mm, self._look.palette
        spot = QRectF(box.left(), box.center().y() - mm(BADGE / 2), mm(BADGE), mm(BADGE))
        paint_badge(painter, face.urgency, spot, badge_on_plate(palette, face.urgency), face.fraction)
        font = fit_digits(face.digits, box.width() - mm(BADGE + 3), mm, DIGITS_CAP, LEAST_CAP)
        wide = digits_width(face.digits, font)
        label = QRectF(spot.right() + mm(3), box.top(), box.width() - mm(BADGE + 6) - wide, box.height())
        paint_words(painter, label, face.label, mm(4.4), quiet, bold=False, lines=3)
        if face.digits:
            paint_digits(painter, box, face.digits, font, ink, Qt.AlignmentFlag.AlignRight)


class BaysPage(HeadedPage):
    """Up to six cars.

    Signals:
        chosen: a car was touched; carries its job.
        moving: the place where a car stands was touched; carries its job.
    """

    chosen = Signal(str)
    moving = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._jobs: list[str] = []
        self._movable = False
        self.cards: list[BayCard] = []
        self.places: list[GloveButton] = []

    def show_bays(
        self, bays: Sequence[BayFace], drawings: Sequence[FormDrawing | None], faces: Sequence[Mapping[ZoneId, Face]]
    ) -> None:
        """Show these cars."""
        before, self._jobs = (len(self._jobs), self._movable), [bay.job for bay in bays]
        self._movable = len(bays) <= ROOMY and any(bay.place for bay in bays)
        while len(self.cards) < len(bays):
            card, number = BayCard(self._look, self), len(self.cards)
            card.clicked.connect(lambda _=False, n=number: self.chosen.emit(self._jobs[n]))
            self.cards.append(card)
            stands = GloveButton(self._look, self)
            stands.clicked.connect(lambda _=False, n=number: self.moving.emit(self._jobs[n]))
            self.places.append(stands)
        for n, card in enumerate(self.cards):
            card.setVisible(n < len(bays))
            self.places[n].setVisible(n < len(bays) and self._movable)
            if n < len(bays):
                card.show_bay(bays[n], drawings[n], faces[n], self._movable)
                self.places[n].show_words(bays[n].place, glyph="change", title_mm=5.2)
        touch = _("Touch one to see its board, or its place to move it.")
        self.show_title(_("All cars"), touch if self._movable else _("Touch one to see its board."))
        if before != (len(bays), self._movable):
            self.lay_out()

    def lay_out(self) -> None:
        super().lay_out()
        count = len(self._jobs)
        if not count:
            return
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        columns = 1 if count == 1 else 2 if count in (2, 4) else 3
        rows = ceil(count / columns)
        wide = (box.width() - mm(GAP) * (columns - 1)) / columns
        tall = (box.height() - mm(GAP) * (rows - 1)) / rows
        for n, card in enumerate(self.cards[:count]):
            row, column = divmod(n, columns)
            whole = QRectF(box.left() + column * (wide + mm(GAP)), box.top() + row * (tall + mm(GAP)), wide, tall)
            place(card, whole.adjusted(0, 0, 0, -mm(STANDS + GAP)) if self._movable else whole)
            place(self.places[n], QRectF(whole.left(), whole.bottom() - mm(STANDS), wide, mm(STANDS)))
