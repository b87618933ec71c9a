"""One topic of the manual, in letters that are read from 1.5 m, a page at a time."""

from collections.abc import Iterable
from typing import Any, cast

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QAbstractTextDocumentLayout,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPalette,
    QTextBlock,
    QTextBlockFormat,
    QTextCharFormat,
    QTextCursor,
    QTextDocument,
    QTextFormat,
    QTextOption,
)
from PySide6.QtWidgets import QWidget

from bayapp.drawing.upright import upright
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import CLOSE, HEAD
from bayapp.screen.widgets.typeset import CONDENSED, cap_font
from bayapp.text.language import _

CAP = 8.2
"""Millimetres: at 1.5 m a little over 16 minutes of arc, the least for reading by ISO 9241-303, from memory."""
HEADING_CAP = 9.6
LINE_HEIGHT = 118.0
BESIDE_MARK = 4.5
TALLEST = 60.0


class ManualPage(HeadedPage):
    """A topic to read; a button leads a page on, another a page back.

    Attributes:
        number: the page that is shown, from 0.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.number = 0
        self._topic = self._markdown = ""
        self.document = QTextDocument(self)
        self.document.setDocumentMargin(0)
        self.on, self.back = GloveButton(look, self), GloveButton(look, self)
        self.on.clicked.connect(lambda: self._turn(self.number + 1))
        self.back.clicked.connect(lambda: self._turn(self.number - 1))

    def show_topic(self, title: str, markdown: str) -> None:
        """Show a topic from its first page."""
        self._topic, self._markdown = title, markdown
        self.on.show_words(_("Next page"), glyph="down", title_mm=5.0)
        self.back.show_words(_("Page before"), glyph="up", title_mm=5.0)
        self.number = 0
        self.lay_out()

    @property
    def pages(self) -> int:
        """How many pages the topic takes in the room there is."""
        return self.document.pageCount()

    def text_box(self) -> QRectF:
        """Return where the text stands, in pixels."""
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(7), mm(HEAD + 5), -mm(CLOSE + GAP), -mm(EDGE))

    def lay_out(self) -> None:
        super().lay_out()
        mm, width = self._look.mm, self.width()
        room = self.height() - mm(HEAD + GAP + EDGE)
        tall = min(mm(TALLEST), (room - mm(GAP)) / 2)
        bottom = self.height() - mm(EDGE)
        place(self.back, QRectF(width - mm(CLOSE), bottom - 2 * tall - mm(GAP), mm(CLOSE), tall))
        place(self.on, QRectF(width - mm(CLOSE), bottom - tall, mm(CLOSE), tall))
        if self._markdown and self.text_box().isValid():
            at = self._first_letter()
            self._typeset()
            self._turn(self._page_of(at) if at else 0)

    def _turn(self, number: int) -> None:
        self.number = max(0, min(number, self.pages - 1))
        self.back.setVisible(self.number > 0)
        self.on.setVisible(self.number < self.pages - 1)
        subtitle = _("Page {n} of {all}").format(n=self.number + 1, all=self.pages) if self.pages > 1 else ""
        self.show_title(self._topic, subtitle)

    # The text.

    def _typeset(self) -> None:
        document, mm = self.document, self._look.mm
        document.setDefaultFont(cap_font(mm(CAP), bold=False))
        option = QTextOption()
        option.setTextDirection(Qt.LayoutDirection.LayoutDirectionAuto)  # English stands in for what is not translated
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        document.setDefaultTextOption(option)
        document.setMarkdown(self._markdown)
        document.setPageSize(QSizeF(self.text_box().size()))
        for block in self._blocks():
            self._set_block(block)
        document.setIndentWidth(self._widest_mark() + mm(BESIDE_MARK))
        self._keep_together()

    def _widest_mark(self) -> float:
        """Return how much room the widest number or dot before an item of a list takes, in pixels."""
        metrics = QFontMetricsF(cap_font(self._look.mm(CAP), bold=False))
        marks = [block.textList().itemText(block) for block in self._blocks() if block.textList()]
        return max(map(metrics.horizontalAdvance, marks), default=0.0)

    def _set_block(self, block: QTextBlock) -> None:
        mm = self._look.mm
        cursor = QTextCursor(block)
        heading = bool(block.blockFormat().headingLevel())
        spacing = QTextBlockFormat()
        spacing.setLineHeight(LINE_HEIGHT, QTextBlockFormat.LineHeightTypes.ProportionalHeight.value)
        spacing.setTopMargin(mm(5) if heading and block.blockNumber() else 0)
        spacing.setBottomMargin(mm(2.6))
        cursor.mergeBlockFormat(spacing)
        for begins, ends, font in self._fonts(block, heading):
            shape = QTextCharFormat()
            shape.setFont(font)
            cursor.setPosition(begins)
            cursor.setPosition(ends, QTextCursor.MoveMode.KeepAnchor)
            cursor.setCharFormat(shape)  # not merged: a heading's own size would go on top of the font's

    def _fonts(self, block: QTextBlock, heading: bool) -> list[tuple[int, int, QFont]]:
        """Return the font of each stretch of a block: what is typed at a keyboard is set condensed."""
        mm = self._look.mm
        found = []
        for stretch in cast(Iterable[Any], block):  # PySide's types do not say that it iterates
            piece = stretch.fragment()
            shape = piece.charFormat()
            bold = heading or shape.fontWeight() > QFont.Weight.Normal
            family = {"family": CONDENSED} if shape.fontFixedPitch() else {}
            font = QFont(cap_font(mm(HEADING_CAP if heading else CAP), bold, **family))
            font.setItalic(shape.fontItalic())
            found.append((piece.position(), piece.position() + piece.length(), font))
        return found

    def _keep_together(self) -> None:
        """Let no heading stand alone at the foot of a page, and no paragraph go on over the page."""
        onto_next = QTextBlockFormat()
        onto_next.setPageBreakPolicy(QTextFormat.PageBreakFlag.PageBreak_AlwaysBefore)
        for block in self._blocks():
            heading = bool(block.blockFormat().headingLevel())
            if block.previous().isValid() and block.previous().blockFormat().headingLevel():
                continue  # went where its heading went
            last = block.next() if heading and block.next().isValid() else block
            if self._page_of(block.position()) != self._page_of(last.position() + last.length() - 1):
                QTextCursor(block).mergeBlockFormat(onto_next)

    def _blocks(self) -> list[QTextBlock]:
        found, block = [], self.document.begin()
        while block.isValid():
            found.append(block)
            block = block.next()
        return found

    def _first_letter(self) -> int:
        """Return the place in the text of the first letter on the page that is shown."""
        if not self.number:
            return 0
        top = QPointF(self._look.mm(1), self.number * self.document.pageSize().height() + self._look.mm(2))
        return max(0, self.document.documentLayout().hitTest(top, Qt.HitTestAccuracy.FuzzyHit))

    def _page_of(self, position: int) -> int:
        """Return on which page, from 0, a letter stands."""
        layout = self.document.documentLayout()
        layout.documentSize()  # lays all of it out: until then a line that is asked for may not be there
        block = self.document.findBlock(position)
        line = block.layout().lineForTextPosition(position - block.position())
        middle = line.y() + line.height() / 2 if line.isValid() else 0.0
        return int((layout.blockBoundingRect(block).top() + middle) // self.document.pageSize().height())

    def paint_body(self, painter: QPainter) -> None:
        box = self.text_box()
        context = QAbstractTextDocumentLayout.PaintContext()
        colours = QPalette()
        colours.setColor(QPalette.ColorRole.Text, QColor(self._look.palette.text))
        context.palette = colours
        page = QRectF(0, self.number * box.height(), box.width(), box.height())
        context.clip = page
        with upright(painter, box):
            painter.save()
            painter.translate(box.left(), box.top() - page.top())
            painter.setClipRect(page)
            self.document.documentLayout().draw(painter, context)
            painter.restore()
