"""The column of clocks as tiles, the most urgent on top, the rest on further pages."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QWidget

from bayapp.drawing.badges import badge_on_slab, paint_badge
from bayapp.drawing.digits import digits_width, paint_digits
from bayapp.job.model.ids import Urgency
from bayapp.pages.board.clock_column import Tile, Track
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import tile_rects
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.typeset import fit_digits, paint_words
from bayapp.text.language import _, ngettext

BACK_TO_FIRST_MS = 15_000
DIGITS_MM = 18.2
FIRST_DIGITS_MM = 25.0
LEAST_DIGITS_MM = 18.0


class TileButton(QAbstractButton):
    """One clock; a touch opens its ladder."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.tile: Tile | None = None
        self.first = False
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def show_tile(self, tile: Tile, first: bool) -> None:
        """Show a clock."""
        if (tile, first) != (self.tile, self.first):
            self.tile, self.first = tile, first
            self.setText(f"{tile.title}: {tile.label} {tile.digits}")
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.tile is None:
            return
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(self._look.palette.board))
            self._paint_slab(painter, QRectF(self.rect()), self.tile)
            self._paint_tile_words(painter, QRectF(self.rect()), self.tile)

    def _paint_slab(self, painter: QPainter, box: QRectF, tile: Tile) -> None:
        palette, mm = self._look.palette, self._look.mm
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(palette.tile_raised if self.isDown() else palette.tile))
        painter.drawRoundedRect(box, mm(4), mm(4))
        slab = QRectF(box.left(), box.top(), mm(24), box.height())
        painter.save()
        painter.setClipRect(slab)
        painter.setBrush(QColor(palette.state(tile.urgency)))
        painter.drawRoundedRect(box, mm(4), mm(4))
        painter.restore()
        side = mm(17)
        spot = QRectF(slab.center().x() - side / 2, slab.center().y() - side / 2, side, side)
        paint_badge(painter, tile.urgency, spot, badge_on_slab(palette, tile.urgency), tile.fraction)
        if self.first or palette.pale_open(tile.urgency):
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(palette.line(tile.urgency)), mm(1.1)))
            painter.drawRoundedRect(box.adjusted(mm(0.5), mm(0.5), -mm(0.5), -mm(0.5)), mm(3.6), mm(3.6))

    def _paint_tile_words(self, painter: QPainter, box: QRectF, tile: Tile) -> None:
        palette, mm = self._look.palette, self._look.mm
        body = box.adjusted(mm(29), mm(3.4), -mm(5), -mm(3.6))
        font = self._digits_font(tile, body.width())
        wide = digits_width(tile.digits, font)
        right = QRectF(body.right() - wide, body.top(), wide, body.height())
        label = QRectF(body.right() - max(wide, mm(46)), body.top(), max(wide, mm(46)), mm(4.4))
        paint_words(
            painter,
            label,
            tile.label,
            mm(3.7),
            palette.text_quiet,
            bold=False,
            align=Qt.AlignmentFlag.AlignRight,
            top=True,
        )
        low = mm(12) if self.first else mm(0.5)
        paint_digits(painter, right.adjusted(0, mm(5.6), 0, -low), tile.digits, font, palette.text)
        left = QRectF(
            body.left(), body.top(), body.width() - wide - mm(5), body.height() - (mm(11) if self.first else mm(6))
        )
        name = QRectF(left.left(), left.top(), left.width(), left.height() - mm(7))
        paint_words(painter, name, tile.title, mm(9.1), palette.text, lines=2)
        under = QRectF(left.left(), left.bottom() - mm(6), left.width(), mm(5.5))
        paint_words(painter, under, tile.detail, mm(4.2), palette.text_quiet, bold=False)
        if tile.track:
            wide_track = body.width() if self.first else left.width()
            line = QRectF(body.left(), box.bottom() - mm(7.4 if not self.first else 9), wide_track, mm(4.4))
            paint_track(painter, line, tile.track, tile.urgency, self._look)

    def _digits_font(self, tile: Tile, width: float) -> QFont:
        """Return the font of the digits: as tall as the tile allows, never below what 3 m needs."""
        tallest = FIRST_DIGITS_MM if self.first else DIGITS_MM
        return fit_digits(tile.digits, width * 0.56, self._look.mm, tallest, LEAST_DIGITS_MM)


def paint_track(painter: QPainter, line: QRectF, track: Track, urgency: Urgency, look: Look) -> None:
    """Paint a wait as a line: thin until it opens, thick while open, then broken; a marker shows now."""
    palette, mm = look.palette, look.mm
    y, colour = line.center().y(), QColor(palette.line(urgency))
    past, rest = line.left() + line.width() * track.now, QColor(palette.track)

    def stretch(start: float, end: float, thick: float, dashed: bool = False) -> None:
        for low, high, ink in ((start, min(end, track.now), colour), (max(start, track.now), end, rest)):
            if high <= low:
                continue
            pen = QPen(ink, mm(thick), Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
            if dashed:
                pen.setDashPattern([2.2, 1.6])
            painter.setPen(pen)
            painter.drawLine(
                QPointF(line.left() + line.width() * low, y), QPointF(line.left() + line.width() * high, y)
            )

    gap = 0.008
    stretch(0, track.opens - gap, 1.2)
    stretch(track.opens, track.lapses - gap, 3.4)
    stretch(track.lapses, 1.0, 1.4, dashed=True)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(palette.text))
    half, top = mm(1.5), y - mm(3.6)
    painter.drawPolygon(QPolygonF([QPointF(past - half, top), QPointF(past + half, top), QPointF(past, top + mm(2.2))]))
    painter.drawRect(QRectF(QPointF(past - mm(0.35), top + mm(1)), QSizeF(mm(0.7), mm(5))))


class ClockColumn(QWidget):
    """The tiles.

    Signals:
        opened: a tile was touched; carries the Tile.
    """

    opened = Signal(object)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._tiles: Sequence[Tile] = ()
        self._page = 0
        self.buttons: list[TileButton] = []
        self.later = GloveButton(look, self)
        self.later.clicked.connect(self._turn)
        self.later.hide()
        self._empty = ""
        self._back = QTimer(self)
        self._back.setSingleShot(True)
        self._back.setInterval(BACK_TO_FIRST_MS)
        self._back.timeout.connect(self._to_first)

    @property
    def tiles(self) -> Sequence[Tile]:
        """All tiles, of every page."""
        return self._tiles

    def show_tiles(self, tiles: Sequence[Tile], empty: str = "") -> None:
        """Show these clocks, the most pressing first; the first tile is on every page."""
        self._tiles, self._empty = tiles, empty
        self._lay_out()

    def _lay_out(self) -> None:
        px = self._look.measure.px_per_mm
        rects, later = tile_rects(self.width() / px, self.height() / px, len(self._tiles))
        pages = self._pages(len(rects), later is not None)
        self._page = min(self._page, len(pages) - 1)
        shown = pages[self._page]
        while len(self.buttons) < len(rects):
            button = TileButton(self._look, self)
            button.clicked.connect(lambda _=False, b=button: self.opened.emit(b.tile))
            self.buttons.append(button)
        for n, button in enumerate(self.buttons):
            fits = n < len(shown)
            button.setVisible(fits)
            if fits:
                place(button, self._look.measure.rect(rects[n]))
                button.show_tile(self._tiles[shown[n]], first=n == 0)
        self._show_later(later, pages, shown)
        self.update()

    def _pages(self, fits: int, turning: bool) -> list[list[int]]:
        """Return the tiles of each page: the most urgent is on every page, so that it is always visible."""
        count = len(self._tiles)
        if not turning:
            return [list(range(count))]
        rest = list(range(1, count))
        step = max(1, fits - 1)
        return [[0, *rest[n : n + step]] for n in range(0, len(rest), step)]

    def _show_later(self, later: QRectF | None, pages: list[list[int]], shown: list[int]) -> None:
        self.later.setVisible(later is not None)
        if later is None:
            return
        place(self.later, self._look.measure.rect(later))
        hidden = [i for i in range(len(self._tiles)) if i not in shown]
        first = (self._tiles[i] for i in hidden[:2])
        names = ",  ".join(f"{tile.title} {tile.label} {tile.digits}" for tile in first)
        title = ngettext("{n} more clock", "{n} more clocks", len(hidden)).format(n=len(hidden))
        self.later.show_words(
            _("{clocks}: touch to see them").format(clocks=title), names, style=Style.OUTLINED, title_mm=5.0
        )

    def _turn(self) -> None:
        px = self._look.measure.px_per_mm
        rects, later = tile_rects(self.width() / px, self.height() / px, len(self._tiles))
        self._page = (self._page + 1) % len(self._pages(len(rects), later is not None))
        self._back.start()
        self._lay_out()

    def _to_first(self) -> None:
        self._page = 0
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._tiles or not self._empty:
            return
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            box = QRectF(self.rect())
            mm, palette = self._look.mm, self._look.palette
            painter.setPen(QPen(QColor(palette.track), mm(0.8)))
            painter.drawRoundedRect(box.adjusted(mm(1), mm(1), -mm(1), -mm(1)), mm(4), mm(4))
            paint_words(
                painter,
                box.adjusted(mm(12), mm(12), -mm(12), -mm(12)),
                self._empty,
                mm(7),
                palette.text_quiet,
                lines=5,
                align=Qt.AlignmentFlag.AlignHCenter,
            )
