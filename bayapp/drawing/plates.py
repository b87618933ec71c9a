"""Plates on the car: badge, layers laid and, where it fits, the time."""

from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from bayapp.drawing.badges import badge_on_plate, paint_badge, paint_strata
from bayapp.drawing.colour_math import mix
from bayapp.drawing.digits import digits_height, digits_width, paint_digits
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.lettering import font_of
from bayapp.drawing.looks import ZoneLook
from bayapp.drawing.palette import Palette
from bayapp.job.model.ids import Urgency, ZoneId

RIM = 4.0
AIR = 8.0
SMALLEST_DISC = 21.0
LARGEST_DISC = 40.0
DISC_SHARE = 0.56
"""How much of the largest circle inside a zone a badge alone takes across, so that the texture is seen around it."""
ROOM_FOR_FINISHED = 22.0


class Layout(Enum):
    """How the parts of a plate are arranged."""

    STACK = "time below the badge"
    ROW = "time beside the badge"
    PAIR = "badge and layers, no time"
    DISC = "badge alone"


@dataclass(frozen=True)
class Measures:
    """Sizes of one kind of plate in drawing units: digits, badge, gap and padding."""

    layout: Layout
    font: int
    badge: float
    gap: float
    pad_x: float
    pad_y: float

    @property
    def strata(self) -> float:
        return self.badge * 0.5


_STACKS = (
    Measures(Layout.STACK, 54, 56, 10, 16, 15),
    Measures(Layout.STACK, 46, 48, 9, 14, 12),
    Measures(Layout.STACK, 38, 40, 8, 11, 10),
)
_ROWS = (
    Measures(Layout.ROW, 54, 50, 11, 18, 13),
    Measures(Layout.ROW, 46, 42, 9, 15, 10),
    Measures(Layout.ROW, 40, 38, 8, 13, 8),
    Measures(Layout.ROW, 34, 34, 7, 11, 7),
)
_WIDE, _TALL = (*_ROWS, *_STACKS), (*_STACKS, *_ROWS)
_PAIRS = (
    Measures(Layout.PAIR, 0, 48, 13, 15, 11),
    Measures(Layout.PAIR, 0, 40, 11, 11, 8),
    Measures(Layout.PAIR, 0, 32, 9, 9, 6),
)


@dataclass(frozen=True)
class Plate:
    """The place of a plate, in drawing units, and its layout."""

    rect: QRectF
    measures: Measures


def plate_for(drawing: FormDrawing, zone: ZoneId, look: ZoneLook, family: str) -> Plate | None:
    """Return the largest plate that fits inside the zone, else a small one over its edge; None for a quiet zone."""
    anchor = drawing.anchor(zone)
    if look.urgency is Urgency.FINISHED:
        return _disc(drawing, zone) if anchor.radius >= ROOM_FOR_FINISHED else None
    if not look.active:
        return None
    box = drawing.zone_paths[zone].boundingRect()
    wide = box.width() > 1.3 * box.height()
    tries = (_WIDE if wide else _TALL) if look.show_time and look.time_text else ()
    for measures in (*tries, *(_PAIRS if look.counted else ())):
        size = _size(measures, look, family)
        centre = drawing.plate_anchor(zone, size.grownBy(QMarginsF(AIR, AIR, AIR, AIR)))
        if centre is not None:
            return Plate(_around(centre, size), measures)
    return _over(drawing, zone, look, family)


def _over(drawing: FormDrawing, zone: ZoneId, look: ZoneLook, family: str) -> Plate:
    """Return the smallest plate, across the edge of a zone that is too small for any."""
    if not look.counted:
        return _disc(drawing, zone)
    size, anchor = _size(_PAIRS[-1], look, family), drawing.anchor(zone)
    return Plate(_kept_inside(_around(QPointF(anchor.x, anchor.y), size), drawing.view_box), _PAIRS[-1])


def _disc(drawing: FormDrawing, zone: ZoneId) -> Plate:
    anchor = drawing.anchor(zone)
    radius = min(LARGEST_DISC, max(SMALLEST_DISC, anchor.radius * DISC_SHARE))
    rect = _around(QPointF(anchor.x, anchor.y), QSizeF(2 * radius, 2 * radius))
    return Plate(_kept_inside(rect, drawing.view_box), Measures(Layout.DISC, 0, radius * 1.24, 0, 0, 0))


def _size(measures: Measures, look: ZoneLook, family: str) -> QSizeF:
    head = measures.badge + (measures.gap + measures.strata if look.counted else 0.0)
    height = measures.badge
    if measures.font:
        font = font_of(family, measures.font)
        time, tall = digits_width(look.time_text, font), digits_height(font)
        if measures.layout is Layout.STACK:
            head, height = max(head, time), measures.badge + measures.gap + tall
        else:
            head, height = head + measures.gap + time, max(measures.badge, tall)
    return QSizeF(head + 2 * measures.pad_x, height + 2 * measures.pad_y)


def paint_plate(painter: QPainter, plate: Plate, look: ZoneLook, palette: Palette, family: str) -> None:
    """Draw a plate in drawing units."""
    measures, rect = plate.measures, plate.rect
    painter.save()
    painter.setPen(QPen(QColor(palette.line(look.urgency)), RIM))
    painter.setBrush(QColor(palette.plate_fill(look.urgency)))
    corner = min(rect.width(), rect.height()) / 2 if measures.layout is not Layout.STACK else 18.0
    painter.drawRoundedRect(rect, corner, corner)
    painter.restore()
    inner = rect.adjusted(measures.pad_x, measures.pad_y, -measures.pad_x, -measures.pad_y)
    _paint_head(painter, _head(inner, measures, look), measures, look, palette)
    if measures.font:
        font, colour = font_of(family, measures.font), palette.text
        if measures.layout is Layout.STACK:
            tall = digits_height(font)
            below = QRectF(inner.left(), inner.bottom() - tall, inner.width(), tall)
            paint_digits(painter, below, look.time_text, font, colour, Qt.AlignmentFlag.AlignHCenter)
        else:
            paint_digits(painter, inner, look.time_text, font, colour)


def _head(inner: QRectF, measures: Measures, look: ZoneLook) -> QRectF:
    width = measures.badge + (measures.gap + measures.strata if look.counted and measures.gap else 0.0)
    left = inner.left() if measures.layout is Layout.ROW else inner.center().x() - width / 2
    top = inner.top() if measures.layout is Layout.STACK else inner.center().y() - measures.badge / 2
    return QRectF(left, top, width, measures.badge)


def _paint_head(painter: QPainter, head: QRectF, measures: Measures, look: ZoneLook, palette: Palette) -> None:
    """Draw the layers before the badge, not beside the digits, where one bar would read as a minus."""
    badge = QRectF(head.right() - measures.badge, head.top(), measures.badge, measures.badge)
    colours = badge_on_plate(palette, look.urgency)
    paint_badge(painter, look.urgency, badge, colours, look.fraction)
    if look.counted and measures.gap:
        inset = head.height() * 0.04
        strata = QRectF(head.left(), head.top() + inset, measures.strata, head.height() - 2 * inset)
        faint = mix(palette.text, colours.ground, 0.28)
        paint_strata(painter, strata, look.counted, look.planned, palette.text, faint)


def _around(centre: QPointF, size: QSizeF) -> QRectF:
    return QRectF(centre - QPointF(size.width() / 2, size.height() / 2), size)


def _kept_inside(rect: QRectF, limits: QRectF) -> QRectF:
    room = limits.adjusted(RIM, RIM, -RIM, -RIM)
    left = min(max(rect.left(), room.left()), room.right() - rect.width())
    top = min(max(rect.top(), room.top()), room.bottom() - rect.height())
    return QRectF(QPointF(left, top), rect.size())
