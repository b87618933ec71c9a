"""A car that left, as it was then: its surfaces, what was unfinished, and the ways to its record and back in."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import ZoneId
from bayapp.pages.board.car_view import Face
from bayapp.pages.cars.past_cars import PastCarView
from bayapp.screen.board.car_view import CarView
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

BUTTON = 28.0
WORDS = 0.4
TALLEST = 26.0
CAP = 5.4


class PastCarPage(HeadedPage):
    """One car that left.

    Signals:
        record_wanted: its day record is to be shown.
        back_wanted: it is to be taken back into the bay.
        owner_wanted: its owner is to be shown, or erased.
    """

    record_wanted = Signal()
    back_wanted = Signal()
    owner_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.sentences: Sequence[str] = ()
        self.car = CarView(look, self)
        self.record, self.comes_back, self.owner = (GloveButton(look, self) for _n in range(3))
        self.owner.clicked.connect(self.owner_wanted)
        self.record.clicked.connect(self.record_wanted)
        self.comes_back.clicked.connect(self.back_wanted)

    def show_past(self, view: PastCarView, faces: Mapping[ZoneId, Face], drawing: FormDrawing | None) -> None:
        """Show another car, its surfaces by these faces."""
        self.sentences = view.sentences
        self.show_title(view.title, view.subtitle)
        self.car.show_car(drawing)
        self.car.show_faces(faces, "")
        self.record.show_words(_("Day record"), _("see, print, copy"), glyph="paper", title_mm=5.6)
        self.comes_back.show_words(_("It comes back"), _("its clocks have run on meanwhile"), glyph="car", title_mm=5.6)
        self.owner.show_words(_("Owner"), _("see, erase"), glyph="person", title_mm=5.6)
        self.lay_out()

    def _box(self) -> QRectF:
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))

    def lay_out(self) -> None:
        super().lay_out()
        mm, box = self._look.mm, self._box()
        foot = box.bottom() - mm(BUTTON)
        wide = (box.width() - 2 * mm(GAP)) / 3
        place(self.car, QRectF(box.left(), box.top(), box.width() * (1 - WORDS), foot - mm(GAP) - box.top()))
        for n, button in enumerate((self.record, self.owner, self.comes_back)):
            place(button, QRectF(box.left() + n * (wide + mm(GAP)), foot, wide, mm(BUTTON)))

    def paint_body(self, painter: QPainter) -> None:
        if not self.sentences:
            return
        mm, palette, box = self._look.mm, self._look.palette, self._box()
        left = box.left() + box.width() * (1 - WORDS) + mm(GAP)
        room = box.bottom() - mm(BUTTON + GAP) - box.top()
        step = min(mm(TALLEST), room / len(self.sentences))
        for n, sentence in enumerate(self.sentences):
            row = QRectF(left, box.top() + n * step, box.right() - left, step - mm(2))
            ink = palette.text if n == 0 else palette.text_quiet
            paint_words(painter, row, sentence, mm(CAP), ink, bold=n == 0, lines=3, top=True)
