"""The heat drawing as a part of a page: paints what was measured, and says which painted zone was touched."""

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRectF, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.looks import CarWords
from bayapp.drawing.thickness_map import HeatWords, HeatZone, ThicknessMap, paint_scale
from bayapp.job.model.ids import ZoneId
from bayapp.pages.arrival.thickness import ThicknessView
from bayapp.screen.widgets.look import Look
from bayapp.text.language import _

REACH_MM = 15.0
SCALE_MM = 15.0
GAP_MM = 2.0


class HeatCar(QWidget):
    """The heat drawing with its scale.

    Signals:
        touched: a painted zone; carries it.
    """

    touched = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._drawing: FormDrawing | None = None
        self._view: ThicknessView | None = None

    def show_heat(self, drawing: FormDrawing | None, view: ThicknessView) -> None:
        """Show a car's readings; without a drawing only the scale."""
        if (drawing, view) != (self._drawing, self._view):
            self._drawing, self._view = drawing, view
            self.update()

    def zone_centre(self, zone: ZoneId) -> QPointF:
        """Return a point inside a zone, in this widget's pixels; for tests and for help.

        Raises:
            ValueError: no car is drawn.
        """
        heat = self._map()
        if heat is None:
            raise ValueError(f"no car is drawn, so there is no {zone}")
        return heat.centre_of(self._target(), zone)

    def _map(self) -> ThicknessMap | None:
        words = CarWords(front=_("front"), left=_("left side"), right=_("right side"))
        return ThicknessMap(self._drawing, self._look.palette, words) if self._drawing else None

    def _target(self) -> QRectF:
        return QRectF(self.rect()).adjusted(0, 0, 0, -self._look.mm(SCALE_MM + GAP_MM))

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(self._look.palette.tile))
            view, heat = self._view, self._map()
            if view is None:
                return
            if heat:
                heat.paint(painter, self._target(), _zones(view), view.thin_um, view.chosen)
            below = QRectF(0, self._target().bottom() + self._look.mm(GAP_MM), self.width(), self._look.mm(SCALE_MM))
            words = HeatWords(view.figures_are, view.thin_is, view.unlike_is)
            paint_scale(painter, below, view.thin_um, self._look.palette, words)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._look.fingers.down(event)
        heat = self._map()
        zone = heat.zone_at(self._target(), event.position(), self._look.mm(REACH_MM)) if heat else None
        if zone:
            self.touched.emit(zone)


def _zones(view: ThicknessView) -> Mapping[ZoneId, HeatZone]:
    return {zone: HeatZone(one.mean, one.thin, one.unlike) for zone, one in view.heat.items()}
