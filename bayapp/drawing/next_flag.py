"""The flag that points at the next zone: where it may stand, and its shape. Knows no rule of what is next."""

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.lettering import font_of
from bayapp.drawing.palette import Palette
from bayapp.job.words import ZoneId

TITLE, LABEL = 42, 32
PAD_X, PAD_Y, GAP = 24.0, 19.0, 18.0
CLEAR = 14.0
MARGIN = 6.0
_GRID = 48
_REACH = 240.0
_IDLE_COST = 12.0

Boxed = tuple[QPainterPath, float, float, float, float]


def flag_size(title: str, label: str, family: str) -> QSizeF:
    """Return the size of the flag's box in drawing units."""
    bold, plain = QFontMetricsF(font_of(family, TITLE)), QFontMetricsF(font_of(family, LABEL, bold=False))
    words = bold.horizontalAdvance(title) + (GAP + plain.horizontalAdvance(label) if label else 0.0)
    return QSizeF(words + 2 * PAD_X, bold.capHeight() + 2 * PAD_Y)


def place_flag(
    drawing: FormDrawing, zone: ZoneId, size: QSizeF, active: Sequence[ZoneId], plates: Sequence[QRectF] = ()
) -> QRectF:
    """Return the place for a flag of this size: inside the drawing, off its own zone, near it.

    Of the places within reach the one that covers the fewest active zones and plates wins, its
    beak counted with it; then the one that is nearest and covers the fewest quiet zones.
    """
    own, box = drawing.zone_paths[zone], drawing.zone_paths[zone].boundingRect()
    busy = [_boxed(drawing.zone_paths[z]) for z in active if z != zone]
    quiet = [_boxed(path) for z, path in drawing.zone_paths.items() if z != zone and z not in active]
    best: tuple[float, float] = (math.inf, math.inf)
    place = QRectF()
    for rect, away in _places(drawing.view_box, box, size):
        grown = rect.adjusted(-CLEAR, -CLEAR, CLEAR, CLEAR)
        if (0.0, away) >= best or (away > _REACH and best[0] < math.inf):
            break
        if own.intersects(grown):
            continue
        covered = _count(busy, rect) + sum(2 * plate.intersects(grown) for plate in plates)
        if (covered, away) >= best:
            continue
        tip = pointed_at(drawing, zone, rect)
        root = _nearest_in(rect, tip)
        covered += sum(_crosses(path, root, tip) for path, *_ in busy)
        far = math.hypot(tip.x() - root.x(), tip.y() - root.y())
        cost = (covered, far + 0.05 * away + _IDLE_COST * _count(quiet, rect))
        if cost < best:
            best, place = cost, rect
    return place


def _boxed(path: QPainterPath) -> Boxed:
    box = path.boundingRect()
    return path, box.left(), box.top(), box.right(), box.bottom()


def _count(zones: Sequence[Boxed], rect: QRectF) -> int:
    """Return how many zones the rectangle covers a part of; most are ruled out by their boxes, which is cheap."""
    left, top, right, bottom = rect.left(), rect.top(), rect.right(), rect.bottom()
    return sum(
        path.intersects(rect) for path, x1, y1, x2, y2 in zones if x1 < right and x2 > left and y1 < bottom and y2 > top
    )


def _crosses(path: QPainterPath, start: QPointF, end: QPointF) -> bool:
    return any(path.contains(start + (end - start) * (step / 8)) for step in range(9))


def _places(limits: QRectF, box: QRectF, size: QSizeF) -> list[tuple[QRectF, float]]:
    """Return every place on a grid with its distance from the zone's box, nearest first."""
    room = limits.adjusted(MARGIN, MARGIN, -MARGIN - size.width(), -MARGIN - size.height())
    columns, rows = math.ceil(room.width() / _GRID), math.ceil(room.height() / _GRID)
    places: list[tuple[QRectF, float]] = []
    for i in range(columns + 1):
        for j in range(rows + 1):
            corner = QPointF(room.left() + room.width() * i / columns, room.top() + room.height() * j / rows)
            rect = QRectF(corner, size)
            places.append((rect, _between(rect, box)))
    return sorted(places, key=lambda at: at[1])


def _between(one: QRectF, other: QRectF) -> float:
    """Distance of two boxes, and a little of how far apart their middles are so that near ones rank."""
    dx = max(other.left() - one.right(), one.left() - other.right(), 0.0)
    dy = max(other.top() - one.bottom(), one.top() - other.bottom(), 0.0)
    step = one.center() - other.center()
    return math.hypot(dx, dy) + 0.02 * math.hypot(step.x(), step.y())


def pointed_at(drawing: FormDrawing, zone: ZoneId, rect: QRectF) -> QPointF:
    """Return the point of the zone's edge that the flag points at: the one nearest to the flag."""
    outline, tip = drawing.outline(zone), rect.center()
    for _ in range(3):
        root = _nearest_in(rect, tip)
        tip = QPointF(*outline.nearest(root.x(), root.y()))
    return tip


def _nearest_in(rect: QRectF, point: QPointF) -> QPointF:
    return QPointF(
        min(max(point.x(), rect.left()), rect.right()),
        min(max(point.y(), rect.top()), rect.bottom()),
    )


def paint_flag(
    painter: QPainter, rect: QRectF, tip: QPointF, title: str, label: str, palette: Palette, family: str
) -> None:
    """Draw the flag's box, its beak towards ``tip``, and its words."""
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(palette.flag))
    root = _nearest_in(rect.adjusted(24, 16, -24, -16), tip)
    way = tip - root
    length = math.hypot(way.x(), way.y()) or 1.0
    side = QPointF(-way.y(), way.x()) * (20 / length)
    painter.drawPolygon(QPolygonF([root + side, tip, root - side]))
    painter.drawRoundedRect(rect, 12, 12)
    painter.setPen(QColor(palette.flag_text))
    bold, plain = font_of(family, TITLE), font_of(family, LABEL, bold=False)
    baseline = rect.center().y() + QFontMetricsF(bold).capHeight() / 2
    painter.setFont(bold)
    painter.drawText(QPointF(rect.left() + PAD_X, baseline), title)
    painter.setFont(plain)
    left = rect.left() + PAD_X + QFontMetricsF(bold).horizontalAdvance(title) + GAP
    painter.drawText(QPointF(left, baseline), label)
    painter.restore()
