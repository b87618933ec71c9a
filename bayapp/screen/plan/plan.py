"""The plan in the car's place: one time line, sentences about it, and big buttons.

It loads pyqtgraph, so it is loaded only when the page is first opened.
"""

from itertools import chain

from PySide6.QtCore import QPointF, QRectF, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from bayapp.pages.plan.plan import PlanView
from bayapp.screen.plan.plan_chart import PlanChart
from bayapp.screen.plan.plan_letters import fits
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import cap_font, paint_words
from bayapp.text.language import _, ngettext

SENTENCES = 19.0
SENTENCE_CAP = 5.2
LEAST_SENTENCE_CAP = 4.6
LEGEND = 7.0
LEGEND_CAP = 3.9
BUTTONS = 25.6


class PlanPage(HeadedPage):
    """The plan.

    Signals:
        rows_wanted: show rows by person (True) or by zone.
        words_wanted: the last button was touched: all sentences, the ways out, or undo, as it says.
    """

    rows_wanted = Signal(bool)
    words_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: PlanView | None = None
        self._fresh = True
        self.chart = PlanChart(look, self)
        self.now_button, self.day_button, self.rows_button, self.words_button = (
            GloveButton(look, self) for _n in range(4)
        )
        self.now_button.clicked.connect(self.chart.to_now)
        self.day_button.clicked.connect(self.chart.to_whole)
        self.rows_button.clicked.connect(self._swap_rows)
        self.words_button.clicked.connect(self.words_wanted)
        self.chart.turned.connect(self._tell_hidden)

    @property
    def buttons(self) -> tuple[GloveButton, ...]:
        """The row of buttons under the time line."""
        return self.now_button, self.day_button, self.rows_button, self.words_button

    @property
    def by_person(self) -> bool:
        """Whether the rows are people."""
        return self._view is None or self._view.by_person

    def open_plan(self, view: PlanView) -> None:
        """Show a plan, with the next work in view."""
        self.lay_out()
        self.show_plan(view)
        self.chart.to_now()

    def show_plan(self, view: PlanView) -> None:
        """Update the page; the visible part stays."""
        before, self._view = self._view, view
        if before is None or (before.title, before.subtitle, before.sentences) != (
            view.title,
            view.subtitle,
            view.sentences,
        ):
            self.show_title(view.title, view.subtitle)
        self.now_button.show_words(_("Now"), glyph="clock")
        self.day_button.show_words(_("Whole day"))
        if view.undoes:
            self.words_button.show_words(_("Undo"), view.undoes, glyph="undo")
        elif view.ways_out:
            self.words_button.show_words(_("Ways out"), glyph="warning")
        else:
            self.words_button.show_words(_("In words"), glyph="speech")
        self.chart.show_view(view)
        self._tell_hidden()

    def rows_swapped(self) -> None:
        """Go back to the first row; the large view around now differs between zones and people."""
        if self.chart.follows:
            self.chart.to_now()
        else:
            self.chart.turn(*self.chart.times(), 0.0)

    def _tell_hidden(self) -> None:
        view = self._view
        if view is None:
            return
        hidden = self.chart.hidden_rows()
        count = ngettext("{n} more row: drag", "{n} more rows: drag", hidden).format(n=hidden) if hidden else ""
        self.rows_button.show_words(_("By zone") if view.by_person else _("By person"), count)

    def _swap_rows(self) -> None:
        self.rows_wanted.emit(not self.by_person)

    def lay_out(self) -> None:
        super().lay_out()
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), 0, -mm(EDGE), -mm(EDGE))
        wide = (box.width() - mm(GAP) * 3) / 4
        for n, button in enumerate(self.buttons):
            left = box.left() + n * (wide + mm(GAP))
            place(button, QRectF(left, box.bottom() - mm(BUTTONS), wide, mm(BUTTONS)))
        top, bottom = self._sentence_box().bottom() + mm(1), self._legend_box().top() - mm(1)
        place(self.chart, QRectF(box.left(), top, box.width(), max(mm(20), bottom - top)))

    def _sentence_box(self) -> QRectF:
        mm = self._look.mm
        return QRectF(mm(7), mm(HEAD), self.width() - mm(14), mm(SENTENCES))

    def _legend_box(self) -> QRectF:
        mm = self._look.mm
        bottom = self.height() - mm(EDGE + BUTTONS + 3)
        return QRectF(mm(EDGE), bottom - mm(LEGEND), self.width() - mm(2 * EDGE), mm(LEGEND))

    def paint_body(self, painter: QPainter) -> None:
        if self._view:
            self._paint_sentences(painter, self._sentence_box(), self._view)
            self._paint_legend(painter, self._legend_box())

    def _paint_sentences(self, painter: QPainter, box: QRectF, view: PlanView) -> None:
        """Write the most important sentences that fit, of a long one its beginning; a button shows all of them."""
        mm, cap, least = self._look.mm, self._look.mm(SENTENCE_CAP), self._look.mm(LEAST_SENTENCE_CAP)
        whole = (" ".join(view.sentences[:count]) for count in range(len(view.sentences), 0, -1))
        words = view.sentences[0].split() if view.sentences else []
        begun = (f"{' '.join(words[:count])} …" for count in range(len(words) - 1, 0, -1))
        text = next((text for text in chain(whole, begun) if fits(text, box, cap, least, 2)), "")
        paint_words(painter, box.adjusted(0, mm(0.5), 0, -mm(1)), text, cap, self._look.palette.text, lines=2)

    def _paint_legend(self, painter: QPainter, box: QRectF) -> None:
        """Show what solid, hollow, ring and bracket mean."""
        mm, palette = self._look.mm, self._look.palette
        x = box.left()
        quiet = QColor(palette.text_quiet)
        for kind, words in (
            ("done", _("done")),
            ("planned", _("planned")),
            ("next", _("next")),
            ("said", _("as planned before")),
            ("bracket", _("may begin")),
        ):
            sample = QRectF(x, box.top() + mm(1), mm(9), box.height() - mm(2))
            painter.setPen(QPen(quiet, mm(0.5)))
            painter.setBrush(QColor(palette.tile_raised))
            if kind == "done":
                painter.fillRect(sample, quiet)
            elif kind == "planned":
                painter.drawRect(sample)
            elif kind == "next":
                painter.setPen(QPen(QColor(palette.ring), mm(1.2)))
                painter.drawRoundedRect(sample.adjusted(mm(0.5), mm(0.5), -mm(0.5), -mm(0.5)), mm(1), mm(1))
            elif kind == "said":
                painter.drawRect(QRectF(sample.left(), sample.center().y() - mm(1.2), sample.width(), mm(2.4)))
            else:
                painter.setPen(QPen(quiet, mm(1.2)))
                y = sample.center().y()
                painter.drawLine(QPointF(sample.left(), y), QPointF(sample.right(), y))
                painter.setPen(QPen(quiet, mm(0.7)))
                for edge in (sample.left(), sample.right()):
                    painter.drawLine(QPointF(edge, y - mm(1.8)), QPointF(edge, y + mm(1.8)))
            wide = QFontMetricsF(cap_font(mm(LEGEND_CAP), False)).horizontalAdvance(words) + mm(1)
            place = QRectF(sample.right() + mm(2.5), box.top(), wide, box.height())
            paint_words(painter, place, words, mm(LEGEND_CAP), palette.text_quiet, bold=False)
            x = place.right() + mm(6)
