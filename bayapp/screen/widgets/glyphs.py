"""Icons for buttons, drawn by the program: sound, no sound, more, back, car, person, air."""

from collections.abc import Callable

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from bayapp.drawing.upright import mirrored

_TURNS = frozenset({"back"})


def paint_glyph(painter: QPainter, name: str, rect: QRectF, colour: str, fill: str = "") -> None:
    """Draw an icon by name, as large as fits; KeyError for an unknown name. ``fill`` is the paint of a car.

    On a mirrored page only the icon of the way back is mirrored.
    """
    painter.save()
    side = min(rect.width(), rect.height())
    painter.translate(rect.center())
    if mirrored(painter) and name not in _TURNS:
        painter.scale(-1, 1)
    painter.scale(side / 2, side / 2)
    pen = QPen(QColor(colour), 0.2, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(QColor(fill) if fill else Qt.BrushStyle.NoBrush)
    _GLYPHS[name](painter, colour)
    painter.restore()


def _speaker(painter: QPainter, colour: str) -> None:
    painter.setBrush(QColor(colour))
    cone = [(-0.9, -0.3), (-0.5, -0.3), (-0.05, -0.75), (-0.05, 0.75), (-0.5, 0.3), (-0.9, 0.3)]
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in cone]))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _sound(painter: QPainter, colour: str) -> None:
    _speaker(painter, colour)
    for radius in (0.4, 0.8):
        painter.drawArc(QRectF(-radius + 0.1, -radius, 2 * radius, 2 * radius), -45 * 16, 90 * 16)


def _no_sound(painter: QPainter, colour: str) -> None:
    _speaker(painter, colour)
    painter.drawLine(QLineF(0.35, -0.4, 0.95, 0.4))
    painter.drawLine(QLineF(0.95, -0.4, 0.35, 0.4))


def _more(painter: QPainter, colour: str) -> None:
    for y in (-0.55, 0.0, 0.55):
        painter.drawLine(QLineF(-0.75, y, 0.75, y))


def _back(painter: QPainter, colour: str) -> None:
    painter.drawPolyline(QPolygonF([QPointF(0.1, -0.7), QPointF(-0.6, 0.0), QPointF(0.1, 0.7)]))
    painter.drawLine(QLineF(-0.6, 0.0, 0.8, 0.0))


def _up(painter: QPainter, colour: str) -> None:
    painter.drawPolyline(QPolygonF([QPointF(-0.7, 0.3), QPointF(0.0, -0.45), QPointF(0.7, 0.3)]))


def _down(painter: QPainter, colour: str) -> None:
    painter.drawPolyline(QPolygonF([QPointF(-0.7, -0.3), QPointF(0.0, 0.45), QPointF(0.7, -0.3)]))


def _help(painter: QPainter, colour: str) -> None:
    """An open book."""
    for side in (-1, 1):
        leaf = [
            (0.0, -0.45),
            (0.35 * side, -0.65),
            (0.9 * side, -0.55),
            (0.9 * side, 0.55),
            (0.35 * side, 0.45),
            (0.0, 0.65),
        ]
        painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in leaf]))
    painter.drawLine(QLineF(0.0, -0.45, 0.0, 0.65))


def _undo(painter: QPainter, colour: str) -> None:
    painter.drawArc(QRectF(-0.65, -0.55, 1.3, 1.3), -60 * 16, 240 * 16)
    painter.drawPolyline(QPolygonF([QPointF(-0.95, -0.35), QPointF(-0.62, 0.12), QPointF(-0.2, -0.25)]))


def _change(painter: QPainter, colour: str) -> None:
    """Two arrows that pass each other."""
    for side in (1, -1):
        tip = QPointF(0.8 * side, 0.35 * side)
        painter.drawLine(QPointF(-0.8 * side, 0.35 * side), tip)
        painter.drawPolyline(QPolygonF([tip + QPointF(-0.4 * side, -0.32), tip, tip + QPointF(-0.4 * side, 0.32)]))


def _note(painter: QPainter, colour: str) -> None:
    painter.drawRoundedRect(QRectF(-0.7, -0.8, 1.4, 1.6), 0.15, 0.15)
    for y, end in ((-0.35, 0.4), (0.05, 0.4), (0.45, 0.0)):
        painter.drawLine(QLineF(-0.4, y, end, y))


def _plate(painter: QPainter, colour: str) -> None:
    painter.drawRoundedRect(QRectF(-0.95, -0.45, 1.9, 0.9), 0.15, 0.15)
    for left, right in ((-0.6, -0.3), (-0.05, 0.6)):
        painter.drawLine(QLineF(left, 0.0, right, 0.0))


def _key(painter: QPainter, colour: str) -> None:
    painter.drawEllipse(QPointF(-0.5, 0.0), 0.38, 0.38)
    painter.drawLine(QLineF(-0.12, 0.0, 0.9, 0.0))
    for x in (0.5, 0.9):
        painter.drawLine(QLineF(x, 0.0, x, 0.35))


def _person(painter: QPainter, colour: str) -> None:
    painter.drawEllipse(QPointF(0, -0.4), 0.36, 0.36)
    shoulders = QPainterPath(QPointF(-0.7, 0.8))
    shoulders.cubicTo(QPointF(-0.7, 0.0), QPointF(0.7, 0.0), QPointF(0.7, 0.8))
    painter.drawPath(shoulders)


def _car(painter: QPainter, colour: str) -> None:
    body = QPainterPath(QPointF(-0.95, 0.35))
    for point in ((-0.9, -0.05), (-0.5, -0.1), (-0.2, -0.5), (0.55, -0.5), (0.9, -0.02), (0.95, 0.35)):
        body.lineTo(*point)
    body.closeSubpath()
    painter.drawPath(body)
    for x in (-0.5, 0.52):
        painter.setBrush(QColor(colour))
        painter.drawEllipse(QPointF(x, 0.4), 0.2, 0.2)


def _clock(painter: QPainter, colour: str) -> None:
    painter.drawEllipse(QPointF(0, 0), 0.8, 0.8)
    painter.drawPolyline(QPolygonF([QPointF(0, -0.45), QPointF(0, 0), QPointF(0.35, 0.2)]))


def _paper(painter: QPainter, colour: str) -> None:
    page = QPolygonF(
        [QPointF(-0.6, -0.85), QPointF(0.25, -0.85), QPointF(0.6, -0.5), QPointF(0.6, 0.85), QPointF(-0.6, 0.85)]
    )
    painter.drawPolygon(page)
    for y in (-0.2, 0.15, 0.5):
        painter.drawLine(QLineF(-0.3, y, 0.3, y))


def _light(painter: QPainter, colour: str) -> None:
    painter.drawEllipse(QPointF(0, 0), 0.75, 0.75)
    half = QPainterPath(QPointF(0, -0.75))
    half.arcTo(QRectF(-0.75, -0.75, 1.5, 1.5), 90, -180)
    half.closeSubpath()
    painter.fillPath(half, QColor(colour))


def _speech(painter: QPainter, colour: str) -> None:
    painter.drawRoundedRect(QRectF(-0.85, -0.7, 1.7, 1.1), 0.25, 0.25)
    painter.drawPolyline(QPolygonF([QPointF(-0.4, 0.4), QPointF(-0.5, 0.85), QPointF(0.0, 0.4)]))


def _air(painter: QPainter, colour: str) -> None:
    painter.drawRoundedRect(QRectF(-0.2, -0.85, 0.4, 1.2), 0.2, 0.2)
    painter.drawEllipse(QPointF(0, 0.5), 0.36, 0.36)
    painter.drawLine(QLineF(0, -0.3, 0, 0.4))


def _aside(painter: QPainter, colour: str) -> None:
    painter.drawRoundedRect(QRectF(-0.8, -0.6, 1.6, 1.2), 0.2, 0.2)
    for x in (-0.75, -0.2, 0.35):
        painter.drawLine(QLineF(x, -0.55, min(x + 1.1, 0.75), min(0.55, -0.55 + 0.75 - x)))


def _warning(painter: QPainter, colour: str) -> None:
    painter.drawPolygon(QPolygonF([QPointF(0, -0.8), QPointF(0.85, 0.7), QPointF(-0.85, 0.7)]))
    painter.drawLine(QLineF(0, -0.25, 0, 0.2))
    painter.drawPoint(QPointF(0, 0.45))


def _bottle(painter: QPainter, colour: str) -> None:
    outline = QPainterPath(QPointF(-0.18, -0.85))
    outline.lineTo(0.18, -0.85)
    outline.lineTo(0.18, -0.45)
    outline.cubicTo(QPointF(0.2, -0.2), QPointF(0.5, -0.3), QPointF(0.5, 0.05))
    outline.lineTo(0.5, 0.85)
    outline.lineTo(-0.5, 0.85)
    outline.lineTo(-0.5, 0.05)
    outline.cubicTo(QPointF(-0.5, -0.3), QPointF(-0.2, -0.2), QPointF(-0.18, -0.45))
    outline.closeSubpath()
    painter.drawPath(outline)
    painter.fillRect(QRectF(-0.5, 0.25, 1.0, 0.6), QColor(colour))


def _lock(painter: QPainter, colour: str) -> None:
    painter.drawArc(QRectF(-0.45, -0.85, 0.9, 1.0), 0, 180 * 16)
    for x in (-0.45, 0.45):
        painter.drawLine(QLineF(x, -0.35, x, -0.05))
    painter.setBrush(QColor(colour))
    painter.drawRoundedRect(QRectF(-0.7, -0.05, 1.4, 0.9), 0.12, 0.12)


def _settings(painter: QPainter, colour: str) -> None:
    for x, knob in ((-0.6, 0.3), (0.0, -0.35), (0.6, 0.1)):
        painter.drawLine(QLineF(x, -0.8, x, 0.8))
        painter.setBrush(QColor(colour))
        painter.drawEllipse(QPointF(x, knob), 0.17, 0.17)
        painter.setBrush(Qt.BrushStyle.NoBrush)


def _pedal(painter: QPainter, colour: str) -> None:
    painter.drawLine(QLineF(-0.9, 0.65, 0.9, 0.65))
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in ((-0.7, 0.3), (0.75, -0.35), (0.75, -0.05), (-0.7, 0.6))]))
    painter.drawLine(QLineF(0.45, 0.15, 0.45, 0.6))


def _gauge(painter: QPainter, colour: str) -> None:
    """A gauge held to a panel: three films and the probe on them."""
    painter.drawRoundedRect(QRectF(-0.35, -0.9, 0.7, 0.85), 0.15, 0.15)
    painter.drawLine(QLineF(0.0, -0.05, 0.0, 0.2))
    for y in (0.3, 0.58, 0.86):
        painter.drawLine(QLineF(-0.8, y, 0.8, y))


def _photo(painter: QPainter, colour: str) -> None:
    painter.drawRoundedRect(QRectF(-0.9, -0.5, 1.8, 1.2), 0.15, 0.15)
    painter.drawPolyline(
        QPolygonF([QPointF(x, y) for x, y in ((-0.35, -0.5), (-0.2, -0.8), (0.2, -0.8), (0.35, -0.5))])
    )
    painter.drawEllipse(QPointF(0.0, 0.1), 0.36, 0.36)


_GLYPHS: dict[str, Callable[[QPainter, str], None]] = {
    "sound": _sound,
    "no-sound": _no_sound,
    "more": _more,
    "back": _back,
    "undo": _undo,
    "change": _change,
    "note": _note,
    "plate": _plate,
    "key": _key,
    "person": _person,
    "car": _car,
    "clock": _clock,
    "paper": _paper,
    "light": _light,
    "speech": _speech,
    "warning": _warning,
    "aside": _aside,
    "air": _air,
    "bottle": _bottle,
    "lock": _lock,
    "settings": _settings,
    "pedal": _pedal,
    "up": _up,
    "down": _down,
    "help": _help,
    "gauge": _gauge,
    "photo": _photo,
}
