"""What is wrong with the plan, in large letters, and a big button for each way out, in the car's place."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.pages.plan.ways_out import WayButton, WaysOutView
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import CLOSE
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

MOST = 3
SENTENCE_CAP = 9.1
TOP = 4.0
SENTENCE = 52.0
LEAST_SENTENCE = 19.0
TALLEST = 34.0
BUTTONS = 25.6
TITLE = 8.2


class WaysOutPage(HeadedPage):
    """The ways out.

    Signals:
        taken: a way out was touched; carries the WayButton that was painted.
        line_wanted: the time line was asked for.
        words_wanted: all sentences were asked for.
    """

    taken = Signal(object)
    line_wanted = Signal()
    words_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view = WaysOutView("", ())
        self.buttons = [GloveButton(look, self) for _n in range(MOST)]
        for button in self.buttons:
            button.clicked.connect(lambda _=False, b=button: self._touched(b))
        self.line_button, self.words_button = GloveButton(look, self), GloveButton(look, self)
        self.line_button.clicked.connect(self.line_wanted)
        self.words_button.clicked.connect(self.words_wanted)

    @property
    def sentence(self) -> str:
        """What stands large at the top."""
        return self._view.sentence

    def show_ways(self, view: WaysOutView) -> None:
        """Show what is wrong and the ways out; buttons keep their places, the cheapest is the first."""
        changed = view.sentence != self._view.sentence or len(view.ways) != len(self._view.ways)
        self._view = view
        for button, way in zip(self.buttons, view.ways, strict=False):
            button.show_words(way.title, way.detail, title_mm=TITLE)
        for n, button in enumerate(self.buttons):
            button.setVisible(n < len(view.ways))
        self.line_button.show_words(_("Time line"), glyph="clock")
        self.words_button.show_words(_("In words"), glyph="speech")
        if changed:
            self.lay_out()
            self.update()

    def way_of(self, button: GloveButton) -> WayButton | None:
        """Return the way out that a button offers."""
        number = self.buttons.index(button)
        return self._view.ways[number] if number < len(self._view.ways) else None

    def _touched(self, button: GloveButton) -> None:
        if way := self.way_of(button):
            self.taken.emit(way)

    def lay_out(self) -> None:
        super().lay_out()
        mm, gap = self._look.mm, self._look.mm(GAP)
        box = QRectF(self.rect()).adjusted(mm(EDGE), 0, -mm(EDGE), -mm(EDGE))
        wide = (box.width() - gap) / 2
        for n, button in enumerate((self.line_button, self.words_button)):
            place(button, QRectF(box.left() + n * (wide + gap), box.bottom() - mm(BUTTONS), wide, mm(BUTTONS)))
        y = self._sentence_box().bottom() + gap / 2
        for button in self.buttons[: len(self._view.ways)]:
            place(button, QRectF(box.left(), y, box.width(), self._tall()))
            y += self._tall() + gap

    def _tall(self) -> float:
        """Return the height of a way out, in pixels."""
        mm, ways = self._look.mm, max(1, len(self._view.ways))
        left = self.height() - mm(EDGE + BUTTONS) - self._sentence_box().bottom() - mm(GAP) * 1.5
        return min(mm(TALLEST), max(mm(BUTTONS), (left - mm(GAP) * (ways - 1)) / ways))

    def _sentence_box(self) -> QRectF:
        """Return the box of the sentence: what three ways out of the least height leave, within limits."""
        mm = self._look.mm
        left = self.height() - mm(TOP + EDGE + BUTTONS + MOST * BUTTONS + (MOST + 0.5) * GAP)
        return QRectF(mm(7), mm(TOP), self.width() - mm(CLOSE + 14), min(mm(SENTENCE), max(mm(LEAST_SENTENCE), left)))

    def paint_body(self, painter: QPainter) -> None:
        mm, palette = self._look.mm, self._look.palette
        box = self._sentence_box()
        lines = 4 if box.height() > mm(40) else 3
        paint_words(painter, box, self._view.sentence, mm(SENTENCE_CAP), palette.text, lines=lines, top=True)
