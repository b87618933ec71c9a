"""Badges: one silhouette for each state of urgency, and the count of layers laid."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from bayapp.drawing.colour_math import mix
from bayapp.drawing.palette import Palette
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import Urgency

_BAR = 0.22
_BAR_GAP = 0.17


@dataclass(frozen=True)
class BadgeColours:
    """The colours of the shape, of the used-up part of it, and of the ground behind it."""

    shape: str
    used: str
    ground: str


def badge_on_plate(palette: Palette, urgency: Urgency) -> BadgeColours:
    """Return the colours of a badge on its plate on the car."""
    ground = palette.plate_fill(urgency)
    shape = palette.line(urgency)
    return BadgeColours(shape, mix(shape, ground, 0.34), ground)


def badge_on_slab(palette: Palette, urgency: Urgency) -> BadgeColours:
    """Return the colours of a badge on a slab of its state's colour."""
    ground, ink = palette.state(urgency), palette.ink_on(urgency)
    return BadgeColours(ink, mix(ink, ground, 0.28), ground)


def paint_badge(
    painter: QPainter, urgency: Urgency, rect: QRectF, colours: BadgeColours, fraction: float = 1.0
) -> None:
    """Draw the badge of a state as large as the rectangle allows.

    ``fraction`` is the share of the wait that is left, 0 to 1; only the waiting ring shows it.
    """
    with upright(painter, rect):
        painter.save()
        painter.translate(rect.center())
        half = min(rect.width(), rect.height()) / 2
        painter.scale(half, half)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours.shape))
        if urgency is Urgency.WAITING:
            _waiting(painter, colours, fraction)
        else:
            _PAINTERS[urgency](painter, colours)
        painter.restore()


def paint_strata(painter: QPainter, rect: QRectF, layers: int, planned: int, colour: str, faint: str) -> None:
    """Draw one bar for each layer laid, from the bottom up, and a faint one for each still planned.

    Three bars fill the rectangle's height; more of them shrink.
    """
    bars = max(layers, planned)
    room = max(3, bars)
    unit = rect.height() / (room * _BAR + (room - 1) * _BAR_GAP)
    bar, step = unit * _BAR, unit * (_BAR + _BAR_GAP)
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    for n in range(bars):
        painter.setBrush(QColor(colour if n < layers else faint))
        top = rect.bottom() - bar - n * step
        painter.drawRoundedRect(QRectF(rect.left(), top, rect.width(), bar), bar * 0.3, bar * 0.3)
    painter.restore()


def _pen(colour: str, width: float, cap: Qt.PenCapStyle = Qt.PenCapStyle.FlatCap) -> QPen:
    return QPen(QColor(colour), width, Qt.PenStyle.SolidLine, cap, Qt.PenJoinStyle.RoundJoin)


def _polygon(painter: QPainter, *corners: tuple[float, float]) -> None:
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))


def _idle(painter: QPainter, colours: BadgeColours) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(colours.shape, 0.2))
    painter.drawEllipse(QPointF(0, 0), 0.36, 0.36)


def _working(painter: QPainter, colours: BadgeColours) -> None:
    """The sweep of a hand across the surface and back."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(colours.shape, 0.36, Qt.PenCapStyle.RoundCap))
    sweep = QPainterPath(QPointF(-0.62, -0.7))
    sweep.lineTo(0.34, -0.7)
    sweep.cubicTo(0.86, -0.7, 0.86, -0.14, 0.34, 0.0)
    sweep.lineTo(-0.34, 0.0)
    sweep.cubicTo(-0.86, 0.14, -0.86, 0.7, -0.34, 0.7)
    sweep.lineTo(0.62, 0.7)
    painter.drawPath(sweep)


def _waiting(painter: QPainter, colours: BadgeColours, fraction: float) -> None:
    ring = QRectF(-0.72, -0.72, 1.44, 1.44)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(colours.used, 0.4))
    painter.drawEllipse(ring)
    painter.setPen(_pen(colours.shape, 0.4))
    span = round(min(1.0, max(0.0, fraction)) * 360 * 16)
    painter.drawArc(ring, 90 * 16, -span)


def _open(painter: QPainter, colours: BadgeColours) -> None:
    painter.drawRoundedRect(QRectF(-0.72, -0.95, 0.24, 1.9), 0.1, 0.1)
    _polygon(painter, (-0.4, -0.9), (0.92, -0.32), (-0.4, 0.26))


def _closing(painter: QPainter, colours: BadgeColours) -> None:
    for side in (-1, 1):
        painter.drawRoundedRect(QRectF(-0.82, side * 0.86 - 0.1, 1.64, 0.2), 0.08, 0.08)
        _polygon(painter, (-0.68, side * 0.68), (0.68, side * 0.68), (0.0, -side * 0.04))


def _lapsed(painter: QPainter, colours: BadgeColours) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(colours.shape, 0.3))
    painter.drawEllipse(QPointF(0, 0), 0.6, 0.6)
    for colour, width in ((colours.ground, 0.64), (colours.shape, 0.28)):
        painter.setPen(_pen(colour, width))
        painter.drawLine(QPointF(-0.88, 0.88), QPointF(0.88, -0.88))


def _finished(painter: QPainter, colours: BadgeColours) -> None:
    _polygon(painter, (-0.8, -0.8), (0.3, -0.8), (0.8, -0.3), (0.8, 0.8), (-0.8, 0.8))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(colours.ground, 0.26))
    painter.drawPolyline(QPolygonF([QPointF(-0.44, 0.06), QPointF(-0.12, 0.38), QPointF(0.46, -0.26)]))


_PAINTERS = {
    Urgency.IDLE: _idle,
    Urgency.WORKING: _working,
    Urgency.OPEN: _open,
    Urgency.CLOSING: _closing,
    Urgency.LAPSED: _lapsed,
    Urgency.FINISHED: _finished,
}
