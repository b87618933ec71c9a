"""The signs of marks on the car: what was found on a zone, and what must not be done to it.

Each is a dark figure on a pale ground (pale on dark where the board is pale), so that it is never taken for a clock's
badge, which is coloured, nor for the texture of a step. What forbids something is round with a ring, as on the road;
what was only found stands on a square tag with one corner cut off.
"""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.lettering import FAMILY, font_of
from bayapp.drawing.palette import Palette
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.mark import Damage, Mark, MarkKind

SIGN = 58.0
"""How wide a tag is, in drawing units: 12 mm on a screen of 27 inches."""
SMALL = 0.72
"""By how much a tag shrinks on a zone that has no room for it; it then hangs over the zone's edge."""
BETWEEN = 6.0
SHOWN = 3
"""So many tags stand on a zone at most; the last one counts the others."""
CUT = 0.3
TAG = QPolygonF([QPointF(x, y) for x, y in ((-1, -1 + 2 * CUT), (-1 + 2 * CUT, -1), (1, -1), (1, 1), (-1, 1))])
RING, ROUND = 0.15, 1.12
"""The ring of what forbids something, and its radius beside half a tag."""
BADGE_ROOM = 20.0
"""How far from a small zone's anchor its badge reaches, in drawing units."""
EDGE = 3.0

FORBIDDING = (MarkKind.LEAVE, MarkKind.FILM, MarkKind.MATT, MarkKind.REPAINTED, MarkKind.SENSOR)
"""Those that forbid something, the strictest first; they are never among those that are only counted."""


def by_weight(marks: Sequence[Mark]) -> list[Mark]:
    """Return the marks of a zone, those that forbid most first."""
    order = {kind: n for n, kind in enumerate(FORBIDDING)}
    return sorted(marks, key=lambda mark: order.get(mark.kind, len(order)))


class MarkSigns:
    """Finds a place for the tags of each zone, and paints them."""

    def __init__(self, drawing: FormDrawing, palette: Palette, family: str = FAMILY) -> None:
        self._drawing = drawing
        self._palette = palette
        self._family = family

    def boxes(self, zone: ZoneId, marks: Sequence[Mark]) -> list[tuple[QRectF, Mark | int]]:
        """Return the tags of a zone in drawing units, each with its mark, or with how many more there are.

        A damage that somebody has pointed at is shown there; all else stands in a row, away from the zone's badge.
        """
        pointed = [(_around(QPointF(*mark.point)), mark) for mark in marks if mark.point is not None]
        others = by_weight([mark for mark in marks if mark.point is None])
        row: list[Mark | int] = list(others)
        if len(others) > SHOWN:
            row = [*others[: SHOWN - 1], len(others) - SHOWN + 1]
        return [*pointed, *zip(self._row(zone, len(row)), row, strict=True)]

    def extent(self, zone: ZoneId, marks: Sequence[Mark]) -> QRectF:
        """Return the box around all tags of a zone, in drawing units; empty where it has none."""
        found = QRectF()
        for box, _mark in self.boxes(zone, marks):
            found = found.united(box.adjusted(-EDGE, -EDGE, EDGE, EDGE))
        return found

    def paint(self, painter: QPainter, zone: ZoneId, marks: Sequence[Mark]) -> None:
        """Paint the tags of a zone, in drawing units."""
        for box, mark in self.boxes(zone, marks):
            paint_sign(painter, box, mark, self._palette, self._family)

    def _row(self, zone: ZoneId, count: int) -> list[QRectF]:
        if not count:
            return []
        wide = count * SIGN + (count - 1) * BETWEEN
        place = self._drawing.farthest_place(zone, wide, SIGN)
        if place is not None:
            return [QRectF(place.left() + n * (SIGN + BETWEEN), place.top(), SIGN, SIGN) for n in range(count)]
        size = SIGN * SMALL
        beside = self._beside_the_badge(zone, count * size + (count - 1) * BETWEEN, size)
        return [QRectF(beside.left() + n * (size + BETWEEN), beside.top(), size, size) for n in range(count)]

    def _beside_the_badge(self, zone: ZoneId, wide: float, tall: float) -> QRectF:
        """Return a place for tags that hang over a small zone's edge: on the first side where they still touch it."""
        path, at = self._drawing.zone_paths[zone], self._drawing.anchor(zone)
        away_x, away_y = BADGE_ROOM + wide / 2, BADGE_ROOM + tall / 2
        sides = ((away_x, 0.0), (-away_x, 0.0), (0.0, -away_y), (0.0, away_y))
        places = [QRectF(at.x + x - wide / 2, at.y + y - tall / 2, wide, tall) for x, y in sides]
        on_it = (p for p in places if path.intersects(p) and self._drawing.view_box.contains(p))
        return next(on_it, QRectF(at.x - wide / 2, at.y - tall / 2, wide, tall))


def paint_sign(painter: QPainter, box: QRectF, mark: Mark | int, palette: Palette, family: str = FAMILY) -> None:
    """Paint the tag of a mark, or one that says how many more there are, into a square."""
    with upright(painter, box):
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(box.center())
        painter.scale(box.width() / 2, box.width() / 2)
        forbids = isinstance(mark, Mark) and mark.kind in FORBIDDING
        edge = 2 * EDGE / box.width()
        painter.setPen(QPen(QColor(palette.board), 2 * edge, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        painter.setBrush(QColor(palette.text))
        if forbids:
            painter.drawEllipse(QPointF(0, 0), ROUND, ROUND)
            painter.setPen(QPen(QColor(palette.board), RING))
            painter.drawEllipse(QPointF(0, 0), ROUND - RING, ROUND - RING)
        else:
            painter.drawPolygon(TAG)
        painter.scale(*((0.64, 0.64) if forbids else (0.72, 0.72)))
        ink = QColor(palette.board)
        painter.setPen(QPen(ink, 0.24, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if isinstance(mark, Mark):
            (_DAMAGES[mark.what] if mark.what is not None else _KINDS[mark.kind])(painter, ink)
        painter.restore()
        if isinstance(mark, int):
            font = font_of(family, round(box.height() * 0.6))
            painter.setFont(font)
            painter.setPen(QColor(palette.board))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, f"+{mark}")


def _around(point: QPointF) -> QRectF:
    size = SIGN * SMALL
    return QRectF(point.x() - size / 2, point.y() - size / 2, size, size)


def _line(painter: QPainter, *corners: tuple[float, float]) -> None:
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in corners]))


def _filled(painter: QPainter, ink: QColor, *corners: tuple[float, float]) -> None:
    painter.setBrush(ink)
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))


def _damage(painter: QPainter, ink: QColor) -> None:
    """An exclamation mark: something was found, and nobody has said what."""
    _filled(painter, ink, (-0.12, -0.9), (0.12, -0.9), (0.06, 0.2), (-0.06, 0.2))
    painter.drawEllipse(QPointF(0, 0.78), 0.1, 0.1)


def _scratch(painter: QPainter, ink: QColor) -> None:
    """One long line, with a slip of the nail in it."""
    _line(painter, (-0.95, 0.75), (0.05, 0.1), (-0.15, -0.2), (0.95, -0.8))


def _chip(painter: QPainter, ink: QColor) -> None:
    _filled(
        painter, ink, (-0.5, -0.3), (-0.1, -0.75), (0.1, -0.35), (0.65, -0.3), (0.35, 0.15), (0.45, 0.6), (-0.15, 0.4)
    )


def _dent(painter: QPainter, ink: QColor) -> None:
    """A level line with a hollow in it."""
    hollow = QPainterPath(QPointF(-1.0, -0.3))
    hollow.lineTo(-0.6, -0.3)
    hollow.cubicTo(-0.3, -0.3, -0.35, 0.6, 0.0, 0.6)
    hollow.cubicTo(0.35, 0.6, 0.3, -0.3, 0.6, -0.3)
    hollow.lineTo(1.0, -0.3)
    painter.drawPath(hollow)


def _stain(painter: QPainter, ink: QColor) -> None:
    painter.setBrush(ink)
    painter.drawEllipse(QPointF(-0.1, 0.1), 0.55, 0.45)
    painter.drawEllipse(QPointF(0.62, -0.5), 0.12, 0.12)
    painter.drawEllipse(QPointF(-0.6, -0.7), 0.06, 0.06)


def _crack(painter: QPainter, ink: QColor) -> None:
    _line(painter, (-0.9, -0.8), (-0.3, -0.35), (-0.4, 0.05), (0.2, 0.3), (0.1, 0.9))
    _line(painter, (-0.3, -0.35), (0.35, -0.55), (0.9, -0.9))
    _line(painter, (0.2, 0.3), (0.9, 0.5))


def _swirl(painter: QPainter, ink: QColor) -> None:
    for size in (0.3, 0.62, 0.94):
        box = QRectF(-size, -size, 2 * size, 2 * size)
        painter.drawArc(box, 30 * 16, 280 * 16)


def _high_spot(painter: QPainter, ink: QColor) -> None:
    """A level line with a heap on it."""
    painter.setBrush(ink)
    heap = QPainterPath(QPointF(-0.7, 0.4))
    heap.cubicTo(-0.45, -0.9, 0.45, -0.9, 0.7, 0.4)
    heap.closeSubpath()
    painter.drawPath(heap)
    _line(painter, (-1.0, 0.7), (1.0, 0.7))


def _matt(painter: QPainter, ink: QColor) -> None:
    """A gleam that is struck out."""
    gleam, bar = QPainterPath(QPointF(0, -1.1)), QPainterPath()
    for x, y in ((1.1, 0.0), (0.0, 1.1), (-1.1, 0.0), (0.0, -1.1)):
        gleam.quadTo(QPointF(0, 0), QPointF(x, y))
    bar.addPolygon(
        QPolygonF([QPointF(x, y) for x, y in ((-1.2, 0.8), (-0.8, 1.2), (1.2, -0.8), (0.8, -1.2), (-1.2, 0.8))])
    )
    painter.fillPath(gleam.subtracted(bar), ink)
    _line(painter, (-0.85, 0.85), (0.85, -0.85))


def _film(painter: QPainter, ink: QColor) -> None:
    """A sheet with a corner that is peeled back."""
    _line(painter, (0.1, 0.85), (-0.85, 0.85), (-0.85, -0.85), (0.85, -0.85), (0.85, 0.1))
    _filled(painter, ink, (0.85, 0.1), (0.1, 0.1), (0.1, 0.85))


def _repainted(painter: QPainter, ink: QColor) -> None:
    """A paint roller."""
    _filled(painter, ink, (-0.95, -0.95), (0.6, -0.95), (0.6, -0.35), (-0.95, -0.35))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    _line(painter, (0.6, -0.65), (0.95, -0.65), (0.95, 0.1), (-0.1, 0.1), (-0.1, 1.0))


def _sensor(painter: QPainter, ink: QColor) -> None:
    """Waves that leave a point."""
    painter.setBrush(ink)
    painter.drawEllipse(QPointF(-0.75, 0.0), 0.14, 0.14)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for reach in (0.6, 1.1, 1.6):
        painter.drawArc(QRectF(-0.75 - reach, -reach, 2 * reach, 2 * reach), -38 * 16, 76 * 16)


def _leave(painter: QPainter, ink: QColor) -> None:
    """A bar across: no hand goes here."""
    painter.fillRect(QRectF(-1.05, -0.32, 2.1, 0.64), ink)


_Draw = Callable[[QPainter, QColor], None]
_KINDS: dict[MarkKind, _Draw] = {
    MarkKind.DAMAGE: _damage,
    MarkKind.MATT: _matt,
    MarkKind.FILM: _film,
    MarkKind.REPAINTED: _repainted,
    MarkKind.SENSOR: _sensor,
    MarkKind.LEAVE: _leave,
}
_DAMAGES: dict[Damage, _Draw] = {
    Damage.SCRATCH: _scratch,
    Damage.CHIP: _chip,
    Damage.DENT: _dent,
    Damage.STAIN: _stain,
    Damage.CRACK: _crack,
    Damage.SWIRL: _swirl,
    Damage.HIGH_SPOT: _high_spot,
}
