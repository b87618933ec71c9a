"""The ladder of a zone or set: rungs on the left, the clock on the right."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.digits import paint_digits
from bayapp.drawing.textures import inks_for, paint_texture
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import Urgency
from bayapp.pages.board.ladder import LadderView, RungRow, RungState
from bayapp.screen.board.clock_column import paint_track
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.typeset import cap_font, fit_digits, lines_needed, paint_words

GAP = 6.5
CLOSE = 27.0
HEAD = 27.0
RUNG_MOST = 25.0
LITTLE_ROOM = 55.0
GROWN = 1.4, 1.3, 1.2, 1.1
"""How many times as large the words of a ladder are written where there is room for it."""
MOST_LINES, ROW_CAPS, TOO_TALL = 5, 1.87, 1e9
SWATCH_SHAPE = 1.45
TEXTURE_SCALE = 0.5


class LadderPage(QWidget):
    """The ladder.

    Signals:
        closed: the way back to the board was touched.
        group_chosen: work these zones by one touch; carries the zones.
        step_chosen: this step first, among those that may swap; carries the step.
        aid_wanted: a coat is to be covered or uncovered, or zones go on by themselves; carries the request.
    """

    closed = Signal()
    group_chosen = Signal(tuple)
    step_chosen = Signal(str)
    aid_wanted = Signal(object)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._view: LadderView | None = None
        self.close_button = GloveButton(look, self)
        self.close_button.show_words("", glyph="back", style=Style.OUTLINED)
        self.close_button.setAccessibleName("back")
        self.close_button.clicked.connect(self.closed)
        self.groups: list[GloveButton] = []
        self.choices: list[GloveButton] = []
        self.aids: list[GloveButton] = []

    def show_ladder(self, view: LadderView) -> None:
        """Show this ladder."""
        self._view = view
        many = view.groups if len(view.groups) > 1 else ()
        self._fill(self.groups, len(many), self._choose_group)
        for button, group in zip(self.groups, many, strict=False):
            button.show_words(group.title, style=Style.CHOSEN if group.chosen else Style.OUTLINED, title_mm=4.6)
        self._fill(self.choices, len(view.choices), self._choose_step)
        for button, choice in zip(self.choices, view.choices, strict=False):
            button.show_words(choice.title, style=Style.CHOSEN if choice.chosen else Style.OUTLINED, title_mm=5.0)
        self._fill(self.aids, len(view.aids), self._ask_for_aid)
        for button, aid in zip(self.aids, view.aids, strict=False):
            style = Style.REFUSED if aid.refused else Style.OUTLINED
            button.show_words(aid.title, aid.detail, style=style, title_mm=5.0)
            button.hold_to_act = aid.hold
        self._lay_out()
        self.update()

    def _fill(self, buttons: list[GloveButton], count: int, chosen: Callable[[int], None]) -> None:
        while len(buttons) < count:
            button, number = GloveButton(self._look, self), len(buttons)
            button.clicked.connect(lambda _=False, b=button, n=number: None if b.hold_to_act else chosen(n))
            button.held.connect(lambda n=number: chosen(n))
            buttons.append(button)
        for n, button in enumerate(buttons):
            button.setVisible(n < count)

    def _choose_group(self, number: int) -> None:
        if self._view:
            self.group_chosen.emit(self._view.groups[number].zones)

    def _choose_step(self, number: int) -> None:
        if self._view:
            self.step_chosen.emit(self._view.choices[number].step)

    def _ask_for_aid(self, number: int) -> None:
        if self._view:
            self.aid_wanted.emit(self._view.aids[number].request)

    def _boxes(self) -> tuple[QRectF, QRectF]:
        """Return the places of the rungs and of the clock."""
        mm, box = self._look.mm, QRectF(self.rect())
        top = box.top() + mm(HEAD + GAP)
        width = box.width() * 0.47
        rungs = QRectF(box.left() + mm(6), top, width - mm(6), box.bottom() - top - mm(5))
        clock = QRectF(rungs.right() + mm(9), top, box.right() - rungs.right() - mm(15), rungs.height())
        return rungs, clock

    def _lay_out(self) -> None:
        mm = self._look.mm
        place(self.close_button, QRectF(self.width() - mm(CLOSE), 0, mm(CLOSE), mm(HEAD)))
        _, clock = self._boxes()
        bottom = clock.bottom()
        for row in self._rows():
            self._place_row(row, QRectF(clock.left(), bottom - mm(26), clock.width(), mm(26)))
            bottom -= mm(26 + GAP)

    def _rows(self) -> list[list[GloveButton]]:
        """Return the rows of buttons from below; where there would be three, the two upper ones share one."""
        kinds = (self.groups, self.choices, self.aids)
        rows = [shown for buttons in kinds if (shown := [b for b in buttons if b.isVisibleTo(self)])]
        return rows if len(rows) < len(kinds) else [rows[0], [*rows[1], *rows[2]]]

    def _place_row(self, buttons: list[GloveButton], row: QRectF) -> None:
        if not buttons:
            return
        gap = self._look.mm(GAP)
        wide = (row.width() - gap * (len(buttons) - 1)) / len(buttons)
        for n, button in enumerate(buttons):
            place(button, QRectF(row.left() + n * (wide + gap), row.top(), wide, row.height()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._view is None:
            return
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, palette, box = self._look.mm, self._look.palette, QRectF(self.rect())
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(palette.tile))
            painter.drawRoundedRect(box, mm(4), mm(4))
            head = QRectF(box.left() + mm(7), box.top() + mm(4), box.width() - mm(CLOSE + 14), mm(HEAD - 4))
            paint_words(painter, head.adjusted(0, 0, 0, -mm(8)), self._view.title, mm(10.0), palette.text)
            under = QRectF(head.left(), head.bottom() - mm(7), head.width(), mm(7))
            paint_words(painter, under, self._view.subtitle, mm(4.6), palette.text_quiet, bold=False)
            rungs, clock = self._boxes()
            self._paint_rungs(painter, rungs, self._view)
            self._paint_clock(painter, clock, self._view)

    def _paint_rungs(self, painter: QPainter, box: QRectF, view: LadderView) -> None:
        mm, palette = self._look.mm, self._look.palette
        step = min(mm(RUNG_MOST), box.height() / max(1, len(view.rungs)))
        swatch = QRectF(0, 0, (step - mm(3)) * SWATCH_SHAPE, step - mm(3))
        middle = box.left() + mm(2) + swatch.width() / 2
        painter.setPen(QPen(QColor(palette.track), mm(0.9)))
        painter.drawLine(
            QPointF(middle, box.top() + step / 2), QPointF(middle, box.top() + step * (len(view.rungs) - 0.5))
        )
        for n, rung in enumerate(view.rungs):
            self._paint_rung(
                painter, QRectF(box.left(), box.top() + n * step, box.width(), step - mm(1)), swatch, rung, view
            )

    def _paint_rung(self, painter: QPainter, row: QRectF, swatch: QRectF, rung: RungRow, view: LadderView) -> None:
        mm, palette = self._look.mm, self._look.palette
        here = rung.state in (RungState.NEXT, RungState.RUNNING)
        if here:
            painter.setPen(QPen(QColor(palette.line(view.urgency)), mm(0.8)))
            painter.setBrush(QColor(palette.tile_raised))
            painter.drawRoundedRect(row, mm(2.5), mm(2.5))
        spot = swatch.translated(row.left() + mm(2), row.center().y() - swatch.height() / 2)
        self._paint_swatch(painter, spot, rung, view.urgency if here else Urgency.IDLE)
        kept = mm(37) if rung.time else mm(8)  # for the time and the tick
        words = QRectF(spot.right() + mm(4), row.top() + mm(1), row.right() - spot.right() - kept, row.height() - mm(2))
        ink = palette.text if rung.state is not RungState.LATER else palette.text_quiet
        upper = words if not rung.detail else QRectF(words.left(), words.top(), words.width(), words.height() * 0.56)
        paint_words(painter, upper, rung.title, min(mm(5.8), row.height() * 0.3), ink)
        if rung.detail:
            lower = QRectF(words.left(), upper.bottom(), words.width(), words.height() - upper.height())
            paint_words(painter, lower, rung.detail, min(mm(4.1), row.height() * 0.22), palette.text_quiet, bold=False)
        right = QRectF(row.right() - mm(25), row.top(), mm(22), row.height())
        paint_digits(painter, right, rung.time, cap_font(min(mm(5), row.height() * 0.3)), palette.text)
        if rung.state is RungState.DONE:
            side = min(mm(6.5), row.height() * 0.5)
            tick = QRectF(right.left() - side, row.center().y() - side / 2, side, side)
            urgency = Urgency.LAPSED if rung.deviated else Urgency.FINISHED
            paint_badge(painter, urgency, tick, badge_on_plate(palette, urgency))

    def _paint_swatch(self, painter: QPainter, spot: QRectF, rung: RungRow, urgency: Urgency) -> None:
        """Paint the surface as it looks once the step is done; the drawing's texture at half its size."""
        with upright(painter, spot):
            painter.save()
            painter.translate(spot.topLeft())
            scale = self._look.mm(1) / 3.2 * TEXTURE_SCALE
            painter.scale(scale, scale)
            path = QPainterPath()
            path.addRoundedRect(QRectF(0, 0, spot.width() / scale, spot.height() / scale), 12, 12)
            inks = inks_for(self._look.palette, "paint", rung.stage, len(rung.layers), urgency)
            paint_texture(painter, path, rung.stage, rung.layers, inks)
            painter.restore()

    def _paint_clock(self, painter: QPainter, box: QRectF, view: LadderView) -> None:
        mm, palette = self._look.mm, self._look.palette
        badge = QRectF(box.left(), box.top() + mm(7), mm(26), mm(26))
        paint_badge(painter, view.urgency, badge, badge_on_plate(palette, view.urgency), view.fraction)
        label = QRectF(badge.right() + mm(6), box.top(), box.right() - badge.right() - mm(6), mm(6))
        paint_words(
            painter, label, view.label, mm(4.8), palette.text_quiet, bold=False, align=Qt.AlignmentFlag.AlignRight
        )
        font = fit_digits(view.digits, label.width(), mm, tallest=28, least=18)
        digits = QRectF(label.left(), label.bottom() + mm(2), label.width(), mm(30))
        paint_digits(painter, digits, view.digits, font, palette.text)
        y = digits.bottom() + mm(5)
        if view.track:
            paint_track(painter, QRectF(box.left(), y, box.width(), mm(6)), view.track, view.urgency, self._look)
            y += mm(8)
            for words, side in (
                (view.earliest, Qt.AlignmentFlag.AlignLeft),
                (view.latest, Qt.AlignmentFlag.AlignRight),
            ):
                paint_words(
                    painter,
                    QRectF(box.left(), y, box.width(), mm(5)),
                    words,
                    mm(3.8),
                    palette.text_quiet,
                    bold=False,
                    align=side,
                )
            y += mm(9)
        self._paint_words_of(painter, QRectF(box.left(), y, box.width(), self._free_to(box) - y), view)

    def _free_to(self, box: QRectF) -> float:
        """Return the lowest point above the buttons."""
        tops = [b.geometry().top() for b in (*self.groups, *self.choices, *self.aids) if b.isVisibleTo(self)]
        return min([box.bottom(), *[t - self._look.mm(3) for t in tops]])

    def _paint_words_of(self, painter: QPainter, box: QRectF, view: LadderView) -> None:
        """Write the instructions, the cautions and the notes, in this order, as far as there is room."""
        mm, palette = self._look.mm, self._look.palette
        y = box.top()
        tight = box.height() < mm(LITTLE_ROOM)  # the cautions must not fall off the end
        lines = (
            (view.planned, 4.8 if tight else 5.6, palette.text, False),
            (view.air, 4.8, palette.text, False),
            (view.how, 4.8 if tight else 6.2, palette.text, True),
            (view.caution, 4.5, palette.text_quiet, False),
            (view.covering, 4.5, palette.text_quiet, False),
        )
        shown = [line for line in (*lines, *((n, 3.9, palette.text, False) for n in view.notes)) if line[0]]
        grown = next((g for g in GROWN if self._tall(shown, box.width(), g) <= box.height()), 1.0)
        rows = MOST_LINES if grown > 1 else 3
        for text, cap, ink, bold in shown:
            room = box.bottom() - y
            if room > mm(6):
                row = QRectF(box.left(), y, box.width(), min(room, mm(cap * grown * ROW_CAPS * rows)))
                y += paint_words(painter, row, text, mm(cap * grown), ink, bold=bold, lines=rows, top=True) + mm(5)

    def _tall(self, shown: Sequence[tuple[str, float, str, bool]], width: float, grown: float) -> float:
        """Return how tall these words are on as many lines as they need, so many times as large; pixels."""
        mm, tall = self._look.mm, 0.0
        for text, cap, _ink, bold in shown:
            rows = lines_needed(text, width, mm(cap * grown), bold, MOST_LINES)
            tall += mm(cap * grown * ROW_CAPS * rows + 5) if rows else TOO_TALL
        return tall
