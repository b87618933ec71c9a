"""A page that shows one zone large, to touch where on it something is."""

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen, QTransform
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Urgency
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.text.language import _

FOOT = 27.0
MARGIN = 8.0
CROSS = 7.0
LINE = 0.8
NEAR_STEPS = 24

Spot = tuple[float, float]


class ZoneView(QWidget):
    """One zone as large as there is room for, its neighbours around it, and the spots that are known.

    Signals:
        touched: a spot on the zone was touched, in the units of the drawing; beside it the nearest on it is meant.
    """

    touched = Signal(float, float)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._zone = QPainterPath()
        self._around: tuple[QPainterPath, ...] = ()
        self._inside = QPointF()
        self._known: tuple[Spot, ...] = ()
        self._spot: Spot | None = None

    def show_zone(
        self, zone: QPainterPath, inside: QPointF, around: tuple[QPainterPath, ...], known: tuple[Spot, ...]
    ) -> None:
        """Show a zone; ``inside`` is any point well inside of it, ``known`` are spots that were told before."""
        self._zone, self._inside, self._around, self._known = zone, inside, around, known
        self.show_spot(None)

    def show_spot(self, spot: Spot | None) -> None:
        """Show the spot that is meant now."""
        self._spot = spot
        self.update()

    def transform(self) -> QTransform:
        """Return the way from the drawing to this widget's pixels."""
        box, room = self._zone.boundingRect(), QRectF(self.rect())
        room = room.adjusted(*(self._look.mm(side) for side in (MARGIN, MARGIN, -MARGIN, -MARGIN)))
        scale = min(room.width() / max(box.width(), 1.0), room.height() / max(box.height(), 1.0))
        middle = QTransform.fromTranslate(room.center().x(), room.center().y())
        return (
            QTransform.fromTranslate(-box.center().x(), -box.center().y()) * QTransform.fromScale(scale, scale) * middle
        )

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._look.fingers.down(event)
        back, fits = self.transform().inverted()
        if fits:
            spot = self._on_zone(back.map(event.position()))
            self.touched.emit(round(spot.x(), 1), round(spot.y(), 1))

    def _on_zone(self, spot: QPointF) -> QPointF:
        """Return the spot, or, from outside of the zone, the first one on it on the way to its inside."""
        for step in range(NEAR_STEPS + 1):
            share = step / NEAR_STEPS
            nearer = spot * (1 - share) + self._inside * share
            if self._zone.contains(nearer):
                return nearer
        return self._inside

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            palette, mm, way = self._look.palette, self._look.mm, self.transform()
            painter.fillRect(self.rect(), palette.board)
            painter.setClipRect(self.rect())
            painter.setPen(QPen(QColor(palette.text_quiet), mm(LINE) / 2))
            for path in self._around:
                painter.drawPath(way.map(path))
            painter.setPen(QPen(QColor(palette.text), mm(LINE)))
            painter.setBrush(QColor(palette.tile_raised))
            painter.drawPath(way.map(self._zone))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for known in self._known:
                painter.setPen(QPen(QColor(palette.text_quiet), mm(LINE)))
                painter.drawEllipse(way.map(QPointF(*known)), mm(CROSS / 2), mm(CROSS / 2))
            if self._spot is not None:
                self._paint_spot(painter, way.map(QPointF(*self._spot)))

    def _paint_spot(self, painter: QPainter, at: QPointF) -> None:
        mm, reach = self._look.mm, self._look.mm(CROSS)
        painter.setPen(QPen(QColor(self._look.palette.text), mm(LINE) * 1.5))
        painter.drawEllipse(at, reach * 0.6, reach * 0.6)
        painter.drawLine(at - QPointF(reach, 0), at + QPointF(reach, 0))
        painter.drawLine(at - QPointF(0, reach), at + QPointF(0, reach))


class ZonePlacePage(HeadedPage):
    """The zone, and the buttons that go on with the spot, or without one.

    Signals:
        wanted: it is to be recorded; carries the spot, or None where no place is told.
    """

    wanted = Signal(object)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._spot: Spot | None = None
        self.zone = ZoneView(look, self)
        self.zone.touched.connect(self._touched)
        self.here, self.without = GloveButton(look, self), GloveButton(look, self)
        self.here.clicked.connect(self._go)
        self.without.clicked.connect(lambda: self.wanted.emit(None))

    @property
    def spot(self) -> Spot | None:
        """The spot that is meant now, in the units of the drawing; None before the first touch."""
        return self._spot

    def show_place(self, title: str, subtitle: str) -> None:
        """Begin without a spot; the zone was given to ``zone`` before."""
        self.show_title(title, subtitle)
        self._show(None)

    def _show(self, spot: Spot | None) -> None:
        self._spot = spot
        self.zone.show_spot(spot)
        if spot is None:
            self.here.show_words(_("Here"), _("touch the place first"), style=Style.REFUSED, title_mm=7.5)
        else:
            self.here.show_words(_("Here"), _("mark it"), style=Style.FILLED, badge=Urgency.OPEN, title_mm=7.5)
        self.without.show_words(_("Without a place"), _("mark the zone"), title_mm=5.4)

    def _touched(self, x: float, y: float) -> None:
        self._show((x, y))

    def _go(self) -> None:
        if self._spot is not None:
            self.wanted.emit(self._spot)

    def lay_out(self) -> None:
        super().lay_out()
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        foot = box.bottom() - mm(FOOT)
        place(self.zone, QRectF(box.left(), box.top(), box.width(), foot - mm(GAP) - box.top()))
        third = (box.width() - mm(GAP)) / 3
        place(self.here, QRectF(box.left(), foot, 2 * third, mm(FOOT)))
        place(self.without, QRectF(box.left() + 2 * third + mm(GAP), foot, third, mm(FOOT)))
