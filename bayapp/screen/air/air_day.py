"""The air page in the car's place: the answer in the head, three charts of the day, the vapour, buttons.

It loads pyqtgraph, so it is loaded only when the page is first opened.
"""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from bayapp.drawing.badges import badge_on_plate, badge_on_slab, paint_badge
from bayapp.job.model.ids import Urgency
from bayapp.pages.air.air_day import AirPageView
from bayapp.screen.air.air_chart import AirChart
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import CLOSE
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

CHARTS = 3
SLAB, VERDICT_CAP, WHY_CAP, READ_CAP = 44.0, 11.5, 5.4, 4.5
VERDICT_ROW, READ_ROW = 17.0, 7.0
BADGE = 20.0
VAPOUR, LABEL_CAP, FIGURE_CAP, OF_CAP, VAPOUR_CAP = 34.0, 5.2, 8.6, 4.6, 5.0
LABEL_ROW, FIGURE_SHARE = 8.5, 0.3
BUTTONS = 25.6
BETWEEN = 3.0


class AirPage(HeadedPage):
    """The air page.

    Signals:
        reading_wanted: a reading is to be typed.
        correction_wanted: a recorded reading is wrong.
        cautions_wanted: all cautions about solvents were asked for.
    """

    reading_wanted = Signal()
    correction_wanted = Signal()
    cautions_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: AirPageView | None = None
        self._drawn_in = look.palette
        self.charts = tuple(AirChart(look, self) for _n in range(CHARTS))
        self.reading_button, self.correct_button = GloveButton(look, self), GloveButton(look, self)
        self.cautions_button = GloveButton(look, self)
        self.reading_button.clicked.connect(self.reading_wanted)
        self.correct_button.clicked.connect(self.correction_wanted)
        self.cautions_button.clicked.connect(self.cautions_wanted)

    @property
    def view(self) -> AirPageView | None:
        """What is shown."""
        return self._view

    def show_air(self, view: AirPageView) -> None:
        """Update the page; only what changed is repainted."""
        if view == self._view and self._drawn_in is self._look.palette:
            return
        self._view, self._drawn_in = view, self._look.palette
        self.reading_button.show_words(_("Type a reading"), glyph="air")
        self.correct_button.show_words(_("Correct a reading"), glyph="change")
        self.cautions_button.show_words(_("Cautions"), _("vapour, fire, masks"), glyph="warning")
        for chart, panel in zip(self.charts, view.panels, strict=True):
            chart.show_panel(panel, view)
        self.update()

    def lay_out(self) -> None:
        super().lay_out()
        mm, box = self._look.mm, self._inner()
        buttons = (self.reading_button, self.correct_button, self.cautions_button)
        wide = (box.width() - mm(GAP) * (len(buttons) - 1)) / len(buttons)
        for n, button in enumerate(buttons):
            left = box.left() + n * (wide + mm(GAP))
            place(button, QRectF(left, box.bottom() - mm(BUTTONS), wide, mm(BUTTONS)))
        top, bottom = self._slab().bottom() + mm(BETWEEN), self._vapour_box().top() - mm(BETWEEN)
        wide = (box.width() - mm(BETWEEN) * (CHARTS - 1)) / CHARTS
        for n, chart in enumerate(self.charts):
            place(chart, QRectF(box.left() + n * (wide + mm(BETWEEN)), top, wide, max(mm(20), bottom - top)))

    def _inner(self) -> QRectF:
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(EDGE), mm(EDGE), -mm(EDGE), -mm(EDGE))

    def _slab(self) -> QRectF:
        box = self._inner()
        way_back = self._look.mm(CLOSE + GAP - EDGE)
        return QRectF(box.left(), box.top(), box.width() - way_back, self._look.mm(SLAB))

    def _vapour_box(self) -> QRectF:
        mm, box = self._look.mm, self._inner()
        return QRectF(box.left(), box.bottom() - mm(BUTTONS + GAP + VAPOUR), box.width(), mm(VAPOUR))

    def paint_body(self, painter: QPainter) -> None:
        if self._view:
            self._paint_verdict(painter, self._slab(), self._view)
            self._paint_vapour(painter, self._vapour_box(), self._view)

    def _paint_verdict(self, painter: QPainter, box: QRectF, view: AirPageView) -> None:
        """Write the answer beside its badge; only a "no" fills the slab with colour."""
        mm, palette, loud = self._look.mm, self._look.palette, view.fit is False
        ink = palette.ink_on(view.urgency) if loud else palette.text
        colours = badge_on_slab(palette, view.urgency) if loud else badge_on_plate(palette, view.urgency)
        painter.setPen(QPen(QColor(palette.line(view.urgency)), mm(1.2)))
        painter.setBrush(QColor(colours.ground))
        painter.drawRoundedRect(box.adjusted(mm(0.6), mm(0.6), -mm(0.6), -mm(0.6)), mm(3), mm(3))
        if not loud and palette.pale_open(view.urgency):
            ink = palette.ink_on(view.urgency)
        badge = QRectF(box.left() + mm(6), box.center().y() - mm(BADGE / 2), mm(BADGE), mm(BADGE))
        paint_badge(painter, view.urgency, badge, colours)
        left = badge.right() + mm(6)
        words = QRectF(left, box.top() + mm(1.5), box.right() - mm(5) - left, mm(VERDICT_ROW))
        paint_words(painter, words, view.verdict, mm(VERDICT_CAP), ink)
        read = QRectF(left, box.bottom() - mm(READ_ROW + 2.2), words.width(), mm(READ_ROW))
        paint_words(painter, read, view.subtitle, mm(READ_CAP), ink, bold=False)
        why = QRectF(left, words.bottom(), words.width(), read.top() - words.bottom())
        paint_words(painter, why, view.why, mm(WHY_CAP), ink, lines=2)

    def _paint_vapour(self, painter: QPainter, box: QRectF, view: AirPageView) -> None:
        """Write the vapour's figure under the words about its limits."""
        mm, palette = self._look.mm, self._look.palette
        over = view.vapour_over
        edge = palette.line(Urgency.LAPSED) if over else palette.track
        painter.setPen(QPen(QColor(edge), mm(1.6 if over else 0.6)))
        painter.setBrush(QColor(palette.tile_raised))
        painter.drawRoundedRect(box.adjusted(mm(0.8), mm(0.8), -mm(0.8), -mm(0.8)), mm(3), mm(3))
        body = box.adjusted(mm(5), mm(2), -mm(5), -mm(2))
        left = QRectF(body.left(), body.top(), body.width() * FIGURE_SHARE, body.height())
        label = QRectF(left.left(), left.top(), left.width(), mm(LABEL_ROW))
        paint_words(painter, label, view.vapour_label, mm(LABEL_CAP), palette.text)
        foot = QRectF(left.left(), left.bottom() - mm(LABEL_ROW), left.width(), mm(LABEL_ROW))
        paint_words(painter, foot, view.vapour_of, mm(OF_CAP), palette.text_quiet)
        between = QRectF(left.left(), label.bottom(), left.width(), foot.top() - label.bottom())
        paint_words(painter, between, view.vapour_figure, mm(FIGURE_CAP), palette.text)
        rest = QRectF(left.right() + mm(5), body.top(), body.right() - left.right() - mm(5), body.height())
        paint_words(painter, rest, view.vapour_caution, mm(VAPOUR_CAP), palette.text, lines=4)
