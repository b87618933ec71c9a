"""The day record as it is on paper, with buttons to move over it, to print it and to copy it to a stick."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QImage, QPainter
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QWidget

from bayapp.drawing.upright import upright
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.text.language import _

MOST_STICKS = 2
WIDE = 66.0
TALLEST = 36.0
OVERLAP = 0.1
"""So much of what was seen stays in view when the paper is moved."""


@dataclass(frozen=True, slots=True)
class Errand:
    """A button that does something with the paper: print it, or copy it."""

    title: str
    detail: str


class DayRecordPage(HeadedPage):
    """A record on paper.

    Signals:
        errand_wanted: one of the errands was touched; carries its place among them.
    """

    errand_wanted = Signal(int)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._document = QPdfDocument(self)
        self._images: dict[tuple[int, int], QImage] = {}
        self.at = 0.0  # how far down the paper the view begins, in heights of the view
        self.down, self.up = GloveButton(look, self), GloveButton(look, self)
        self.down.clicked.connect(lambda: self._move(1 - OVERLAP))
        self.up.clicked.connect(lambda: self._move(OVERLAP - 1))
        self.errands: list[GloveButton] = []
        for number in range(MOST_STICKS + 1):
            button = GloveButton(look, self)
            button.clicked.connect(lambda _=False, n=number: self.errand_wanted.emit(n))
            self.errands.append(button)

    @property
    def page_count(self) -> int:
        """How many pages the paper has."""
        return self._document.pageCount()

    def show_record(self, title: str, subtitle: str, pdf: Path) -> bool:
        """Show a paper from its beginning; return whether it can be read."""
        self._images.clear()
        self.at = 0.0
        readable = self._document.load(str(pdf)) is QPdfDocument.Error.None_
        self.show_title(title, subtitle)
        self.down.show_words(_("Down"), glyph="down", title_mm=5.4)
        self.up.show_words(_("Up"), glyph="up", title_mm=5.4)
        self.lay_out()
        return readable

    def show_errands(self, errands: Sequence[Errand]) -> None:
        """Show what can be done with the paper."""
        for n, button in enumerate(self.errands):
            button.setVisible(n < len(errands))
            if n < len(errands):
                button.show_words(errands[n].title, errands[n].detail, glyph="paper", title_mm=4.8)
        self.lay_out()

    def lay_out(self) -> None:
        super().lay_out()
        mm, box = self._look.mm, self._box()
        shown = [self.down, self.up, *(b for b in self.errands if not b.isHidden())]
        tall = min(mm(TALLEST), (box.height() - mm(GAP) * (len(shown) - 1)) / len(shown))
        for n, button in enumerate(shown):
            y = box.top() + n * (tall + mm(GAP))
            place(button, QRectF(box.right() - mm(WIDE), y, mm(WIDE), tall))

    def _box(self) -> QRectF:
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))

    def _view(self) -> QRectF:
        box = self._box()
        return QRectF(box.left(), box.top(), box.width() - self._look.mm(WIDE + GAP), box.height())

    def _heights(self, width: float) -> list[float]:
        """Return how tall each page is when it is this wide."""
        sizes = [self._document.pagePointSize(number) for number in range(self.page_count)]
        return [width * size.height() / size.width() for size in sizes if size.width()]

    def _move(self, by: float) -> None:
        view = self._view()
        last = max(0.0, sum(self._heights(view.width())) / max(1.0, view.height()) - 1)
        self.at = min(last, max(0.0, self.at + by))
        self.update()

    def paint_body(self, painter: QPainter) -> None:
        view = self._view()
        with upright(painter, view):
            painter.setClipRect(view)
            top = view.top() - self.at * view.height()
            for number, height in enumerate(self._heights(view.width())):
                if top < view.bottom() and top + height > view.top():
                    target = QRectF(view.left(), top, view.width(), height)
                    painter.drawImage(target, self._image(number, target.size().toSize()))
                top += height
            painter.setClipping(False)

    def _image(self, number: int, size: QSize) -> QImage:
        key = (number, size.width())
        if key not in self._images:
            ratio = self.devicePixelRatioF()
            paper = self._document.render(number, QSize(round(size.width() * ratio), round(size.height() * ratio)))
            white = QImage(paper.size(), QImage.Format.Format_RGB32)
            white.fill(0xFFFFFF)
            with QPainter(white) as painter:
                painter.drawImage(0, 0, paper)
            self._images[key] = white
        return self._images[key]
