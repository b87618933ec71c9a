"""The place of the legend: the meaning of the signs, or the unanswered alerts."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.legend import LegendWords, paint_legend
from bayapp.job.model.ids import Motion, Stage, Urgency
from bayapp.pages.board.alert_band import Band
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

SNOOZE = 44.0
HEARD = 58.0
UNDO = 52.0
GAP = 6.5
LEGEND_PX_PER_MM = 3.2


def legend_words() -> LegendWords:
    """Return what the textures and badges mean."""
    coats = (Motion.VERTICAL, Motion.HORIZONTAL, Motion.CIRCULAR)
    return LegendWords(
        surface=_("surface"),
        textures=(
            (Stage.UNTOUCHED, (), _("untouched")),
            (Stage.CLEAN, (), _("clean")),
            (Stage.POLISHED, (), _("polished")),
            (Stage.WIPED, (), _("wiped")),
            (Stage.COATED, coats[:1], _("coat 1")),
            (Stage.COATED, coats[:2], _("coat 2")),
            (Stage.COATED, coats, _("coat 3")),
            (Stage.BUFFED, (), _("buffed")),
            (Stage.FINISHED, (), _("may get wet")),
        ),
        clock=_("clock"),
        badges=(
            (Urgency.IDLE, _("no clock")),
            (Urgency.WORKING, _("under way")),
            (Urgency.WAITING, _("wait")),
            (Urgency.OPEN, _("open, work now")),
            (Urgency.CLOSING, _("closing soon")),
            (Urgency.LAPSED, _("too late")),
            (Urgency.FINISHED, _("done")),
        ),
        away=_("not in the job"),
        aside=_("set aside"),
        covered=_("covered"),
    )


class AlertBand(QWidget):
    """The legend, or one line for all unanswered alerts with two answers.

    Signals:
        heard: "heard it" was touched; carries the subjects.
        snoozed: "in 5 min" was touched; carries the subjects.
        undo_wanted: "undo" was touched; carries the request that the text speaks of.
    """

    heard = Signal(tuple)
    snoozed = Signal(tuple)
    undo_wanted = Signal(object)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._band: Band | None = None
        self._words = legend_words()
        self.heard_button = GloveButton(look, self)
        self.heard_button.show_words(_("Heard it"), style=Style.CHOSEN, title_mm=6.0)
        self.heard_button.clicked.connect(lambda: self.heard.emit(self.subjects))
        self.snooze_button = GloveButton(look, self)
        self.snooze_button.show_words(_("In 5 min"), style=Style.OUTLINED, title_mm=5.4)
        self.snooze_button.clicked.connect(lambda: self.snoozed.emit(self.subjects))
        self.undo_button = GloveButton(look, self)
        self.undo_button.show_words(_("Undo"), style=Style.CHOSEN, title_mm=5.4, glyph="undo")
        self.undo_button.clicked.connect(self._take_back)
        self._answers(False)

    def show_band(self, band: Band | None) -> bool:
        """Show these alerts, or the legend if there are none; return whether alerts came or went."""
        before = self.shows_alerts
        if band != self._band:
            self._band = band
            self._answers(bool(band and band.subjects))
            self.update()
        return before is not self.shows_alerts

    @property
    def shows_alerts(self) -> bool:
        """Whether it shows what no page may cover: more than the legend, or a touch that was just made."""
        return self._band is not None and not self._band.passing

    @property
    def subjects(self) -> tuple[str, ...]:
        """The alerts shown, which an answer applies to."""
        return self._band.subjects if self._band else ()

    @property
    def text(self) -> str:
        """What the alerts say that are shown; empty where there are none."""
        return self._band.text if self._band else ""

    def _answers(self, wanted: bool) -> None:
        self.heard_button.setVisible(wanted)
        self.snooze_button.setVisible(wanted and bool(self._band and self._band.may_snooze))
        self.undo_button.setVisible(bool(self._band and self._band.undo))
        if self._band and self._band.undo:
            what = self._band.undo_text if wanted else ""
            self.undo_button.show_words(_("Undo"), what, style=Style.CHOSEN, title_mm=5.4, glyph="undo")

    def _take_back(self) -> None:
        if self._band and self._band.undo:
            self.undo_wanted.emit(self._band.undo)

    def resizeEvent(self, event: QResizeEvent) -> None:
        mm, right = self._look.mm, self.width()
        place(self.undo_button, QRectF(0, 0, mm(UNDO), self.height()))  # never where a call that comes has its answers
        place(self.heard_button, QRectF(right - mm(HEARD), 0, mm(HEARD), self.height()))
        place(self.snooze_button, QRectF(right - mm(HEARD + GAP + SNOOZE), 0, mm(SNOOZE), self.height()))

    def paintEvent(self, event: QPaintEvent) -> None:
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._band is None:
                scale = self._look.mm(1) / LEGEND_PX_PER_MM
                painter.scale(scale, scale)
                area = QRectF(0, 0, self.width() / scale, self.height() / scale)
                paint_legend(painter, area, self._look.palette, self._words)
            else:
                self._paint_alerts(painter, self._band)

    def _paint_alerts(self, painter: QPainter, band: Band) -> None:
        mm, palette, box = self._look.mm, self._look.palette, QRectF(self.rect())
        taken = HEARD + GAP + (SNOOZE + GAP if band.may_snooze else 0) if band.subjects else 0.5
        body = box.adjusted(mm(UNDO + GAP if band.undo else 0.5), mm(0.5), -mm(taken), -mm(0.5))
        painter.setBrush(QColor(palette.tile_raised))
        painter.setPen(QPen(QColor(palette.line(band.urgency)), mm(1.1)))
        painter.drawRoundedRect(body, mm(4), mm(4))
        side = min(mm(17), body.height() - mm(7))
        badge = QRectF(body.left() + mm(5), body.center().y() - side / 2, side, side)
        paint_badge(painter, band.urgency, badge, badge_on_plate(palette, band.urgency))
        words = QRectF(badge.right() + mm(5), body.top() + mm(2.5), 0, body.height() - mm(5))
        words.setRight(body.right() - mm(4))
        if not band.others:
            paint_words(painter, words, band.text, mm(7.4), palette.text, lines=2)
            return
        first = QRectF(words.left(), words.top(), words.width(), words.height() * 0.66)
        rest = QRectF(words.left(), first.bottom(), words.width(), words.height() - first.height())
        paint_words(painter, first, band.text, mm(6.4), palette.text, lines=2)
        paint_words(painter, rest, band.others, mm(4.3), palette.text_quiet, bold=False)
