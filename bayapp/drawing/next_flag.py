"""The flag that points at the next zone: where it may stand, and its shape."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.lettering import font_of
from bayapp.drawing.palette import Palette
from bayapp.job.model.ids import ZoneId

_FONTS = ((42, 32), (36, 28), (32, 25))
WIDEST = 640.0
PAD_X, PAD_Y, GAP = 24.0, 19.0, 18.0
CLEAR = 14.0
MARGIN = 6.0
_GRID = 48
_REACH = 240.0
_IDLE_COST = 12.0
_NAME_COST = 60.0
_ASIDE_COST = 0.12

Boxed = tuple[QPainterPath, float, float, float, float]


@dataclass(frozen=True)
class FlagFace:
    """The words of a flag with the font sizes at which they fit, and the size of its box, in drawing units."""

    title: str
    label: str
    title_font: int
    label_font: int
    family: str

    @property
    def label_left(self) -> float:
        return PAD_X + _width(self.title, self.family, self.title_font, bold=True) + GAP

    @property
    def size(self) -> QSizeF:
        words = self.label_left + _width(self.label, self.family, self.label_font, bold=False) if self.label else 0.0
        title = self.label_left - GAP
        tall = QFontMetricsF(font_of(self.family, self.title_font)).capHeight()
        return QSizeF(max(words, title) + PAD_X, tall + 2 * PAD_Y)


def flag_face(title: str, label: str, family: str) -> FlagFace:
    """Return the largest flag that is not too wide for the drawing; words that never fit are left out."""
    for title_font, label_font in _FONTS:
        face = FlagFace(title, label, title_font, label_font, family)
        if face.size.width() <= WIDEST:
            return face
    return FlagFace(title, "", *_FONTS[0], family)


def _width(words: str, family: str, pixels: int, bold: bool) -> float:
    return QFontMetricsF(font_of(family, pixels, bold)).horizontalAdvance(words)


def place_flag(
    drawing: FormDrawing,
    zone: ZoneId,
    size: QSizeF,
    active: Sequence[ZoneId],
    plates: Sequence[QRectF] = (),
    names: Sequence[QRectF] = (),
) -> QRectF:
    """Return the place for a flag of this size: inside the drawing, near its zone but not on it.

    Of the places within reach the one that covers the fewest active zones and plates wins, beak
    included; then the nearest one that covers the fewest names and quiet zones.
    """
    own, box = drawing.zone_paths[zone], drawing.zone_paths[zone].boundingRect()
    anchor = drawing.anchor(zone)
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
        covered += _count_crossed(busy, root, tip)
        far = math.hypot(tip.x() - root.x(), tip.y() - root.y())
        hidden = _IDLE_COST * _count(quiet, rect) + _NAME_COST * sum(name.intersects(rect) for name in names)
        aside = rect.center() - QPointF(anchor.x, anchor.y)
        cost = (covered, far + _ASIDE_COST * math.hypot(aside.x(), aside.y()) + hidden)
        if cost < best:
            best, place = cost, rect
    return place


def _boxed(path: QPainterPath) -> Boxed:
    box = path.boundingRect()
    return path, box.left(), box.top(), box.right(), box.bottom()


def _near(zones: Sequence[Boxed], rect: QRectF) -> list[QPainterPath]:
    """Return the zones whose bounding boxes meet the rectangle: a cheap test that excludes most."""
    left, top, right, bottom = rect.left(), rect.top(), rect.right(), rect.bottom()
    return [path for path, x1, y1, x2, y2 in zones if x1 < right and x2 > left and y1 < bottom and y2 > top]


def _count(zones: Sequence[Boxed], rect: QRectF) -> int:
    """Return how many zones the rectangle overlaps."""
    return sum(path.intersects(rect) for path in _near(zones, rect))


def _count_crossed(zones: Sequence[Boxed], start: QPointF, end: QPointF) -> int:
    """Return how many zones the line from start to end crosses."""
    along = [start + (end - start) * (step / 8) for step in range(9)]
    beak = QRectF(start, end).normalized().adjusted(-1, -1, 1, 1)
    return sum(any(path.contains(point) for point in along) for path in _near(zones, beak))


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
    """Return the distance of two boxes, plus a little of that of their middles to break ties."""
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


def paint_flag(painter: QPainter, rect: QRectF, tip: QPointF, face: FlagFace, palette: Palette) -> None:
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
    bold = font_of(face.family, face.title_font)
    baseline = rect.center().y() + QFontMetricsF(bold).capHeight() / 2
    painter.setFont(bold)
    painter.drawText(QPointF(rect.left() + PAD_X, baseline), face.title)
    painter.setFont(font_of(face.family, face.label_font, bold=False))
    painter.drawText(QPointF(rect.left() + face.label_left, baseline), face.label)
    painter.restore()
