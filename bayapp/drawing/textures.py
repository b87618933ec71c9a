"""Stage textures: the state of a surface, drawn inside an outline."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from bayapp.drawing.palette import Palette
from bayapp.drawing.path_data import is_closed
from bayapp.job.model.ids import Motion, Stage, Urgency
from bayapp.job.model.vehicle import Surface

PITCH = 22.0
STROKE = 5.0
RING = 6.6
DOT = 4.2
DOT_PITCH = 30.0
OUTLINE, THIN = 3.2, 1.1
AROUND = 11.0
HATCH, HATCH_PITCH = 4.0, 26.0
VEIL = 165
HEM, STITCHES = 9.0, (1.2, 0.8)
NOTCH = 26.0
_SHARES = (0.0, 0.5, 0.25, 0.75, 0.125)


@dataclass(frozen=True)
class Inks:
    """The colours of one texture: fill, the strokes on it, a solid surface, sheen, detail and the outline."""

    fill: str
    stroke: str
    solid: str
    sheen: str
    outline: str
    detail: str
    bare: str


def inks_for(palette: Palette, surface: Surface, stage: Stage, layers: int, urgency: Urgency) -> Inks:
    """Return the colours of a zone of this stage and urgency."""
    line = palette.line(urgency)
    quiet = urgency is Urgency.IDLE
    worked = stage is not Stage.UNTOUCHED
    return Inks(
        fill=palette.quiet_fill(surface, worked) if quiet else palette.tint(urgency, layers),
        stroke=palette.grain if quiet else line,
        solid=palette.solid if quiet else palette.solid_of(urgency),
        sheen=palette.sheen if quiet else palette.sheen_of(urgency),
        outline=line,
        detail=palette.detail,
        bare=palette.chassis,
    )


def paint_texture(
    painter: QPainter,
    path: QPainterPath,
    stage: Stage,
    layers: Sequence[Motion],
    inks: Inks,
    details: Iterable[QPainterPath] = (),
) -> None:
    """Fill a zone's outline with the texture of its stage.

    ``layers`` are the motions laid so far, first to last. All sizes are drawing units: scale
    the painter. Strokes are laid out from the middle of the zone, so that both sides of the car look alike.
    """
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    solid = stage in (Stage.BUFFED, Stage.FINISHED)
    painter.fillPath(path, QColor(inks.solid if solid else inks.fill))
    bounds = path.boundingRect()
    if stage is Stage.POLISHED:
        _band(painter, bounds, inks)
    elif stage is Stage.WIPED:
        _pane(painter, path, bounds, inks)
    _engrave(painter, details, inks)
    if stage is Stage.CLEAN:
        _dots(painter, bounds, inks)
    elif stage is Stage.COATED:
        paint_layers(painter, bounds, layers, inks.stroke)
    elif stage is Stage.FINISHED:
        _notch(painter, path, bounds, inks)
    _outline(painter, path, inks)
    painter.restore()


def paint_around(painter: QPainter, outline: QPainterPath, stage: Stage, inks: Inks) -> None:
    """Draw the texture of a stage as a band around an outline, for work on all that lies inside."""
    solid = stage in (Stage.BUFFED, Stage.FINISHED)
    painter.save()
    for colour, width in ((inks.outline, AROUND + OUTLINE), (inks.solid if solid else inks.fill, AROUND - OUTLINE)):
        painter.strokePath(outline, _round_pen(colour, 2 * width))
    if stage is Stage.CLEAN:
        dots = _round_pen(inks.stroke, AROUND)
        dots.setDashPattern([0.01, DOT_PITCH / AROUND])
        painter.strokePath(outline, dots)
    painter.restore()


def _round_pen(colour: str, width: float) -> QPen:
    return QPen(QColor(colour), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)


def paint_away(painter: QPainter, path: QPainterPath, palette: Palette) -> None:
    """Draw a zone that is not in the job: a thin line and nothing in it, so that today's zones stand before it."""
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    painter.fillPath(path, QColor(palette.chassis))
    painter.strokePath(path, QPen(QColor(palette.away_line), 2 * THIN))
    painter.restore()


def paint_aside(painter: QPainter, path: QPainterPath, palette: Palette) -> None:
    """Fade a zone that is not worked today, and draw thin lines across it that slope down, as no others do."""
    bounds = path.boundingRect()
    veil = QColor(palette.board)
    veil.setAlpha(VEIL)
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    painter.fillPath(path, veil)
    painter.setPen(QPen(QColor(palette.line(Urgency.IDLE)), HATCH, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    middle, tall = bounds.center(), bounds.height()
    through = middle.x() - middle.y() + bounds.top()
    places = _places(through, bounds.left() - tall, bounds.right(), HATCH_PITCH)
    painter.drawLines([QLineF(x, bounds.top(), x + tall, bounds.bottom()) for x in places])
    painter.strokePath(path, QPen(QColor(palette.line(Urgency.IDLE)), 2 * OUTLINE))
    painter.restore()


def paint_cover(painter: QPainter, path: QPainterPath, palette: Palette) -> None:
    """Sew a hem along the inside of a zone's edge, as of a sheet that lies over it."""
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    for colour, width, dashes in ((palette.board, HEM, ()), (palette.text, HEM * 0.6, STITCHES)):
        pen = QPen(QColor(colour), 2 * width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
        if dashes:
            pen.setDashPattern(dashes)
        painter.strokePath(path, pen)
    painter.restore()


def paint_layers(painter: QPainter, bounds: QRectF, layers: Sequence[Motion], colour: str) -> None:
    """Draw each layer's strokes over the earlier ones; layers of the same motion fill the gaps between each other."""
    seen = dict.fromkeys(Motion, 0)
    for motion in layers:
        share = _SHARES[min(seen[motion], len(_SHARES) - 1)]
        seen[motion] += 1
        if motion is Motion.CIRCULAR:
            _rings(painter, bounds, seen[motion], colour)
        else:
            _strokes(painter, bounds, motion, share * PITCH, colour)


def _strokes(painter: QPainter, bounds: QRectF, motion: Motion, shift: float, colour: str) -> None:
    painter.setPen(QPen(QColor(colour), STROKE, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    middle = bounds.center()
    if motion is Motion.VERTICAL:
        places = _places(middle.x() + shift, bounds.left(), bounds.right(), PITCH)
        lines = [QLineF(x, bounds.top(), x, bounds.bottom()) for x in places]
    else:
        places = _places(middle.y() + shift, bounds.top(), bounds.bottom(), PITCH)
        lines = [QLineF(bounds.left(), y, bounds.right(), y) for y in places]
    painter.drawLines(lines)


def _rings(painter: QPainter, bounds: QRectF, nth: int, colour: str) -> None:
    painter.setPen(QPen(QColor(colour), STROKE - 0.6))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    middle = bounds.center()
    half_x = PITCH / 2 if bounds.width() > 2 * PITCH else 0.0
    half_y = PITCH / 2 if bounds.height() > 2 * PITCH else 0.0
    columns = _places(middle.x() + half_x, bounds.left() - RING, bounds.right() + RING, PITCH)
    rows = _places(middle.y() + half_y, bounds.top() - RING, bounds.bottom() + RING, PITCH)
    for x in columns:
        for y in rows:
            odd = (round((x - middle.x() - half_x) / PITCH) + round((y - middle.y() - half_y) / PITCH)) % 2
            if odd == (nth - 1) % 2:
                painter.drawEllipse(QPointF(x, y), RING, RING)


def _dots(painter: QPainter, bounds: QRectF, inks: Inks) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(inks.stroke))
    middle = bounds.center()
    row_pitch = DOT_PITCH * 0.6
    for y in _places(middle.y(), bounds.top(), bounds.bottom(), row_pitch):
        odd = round((y - middle.y()) / row_pitch) % 2
        for x in _places(middle.x() + odd * DOT_PITCH / 2, bounds.left(), bounds.right(), DOT_PITCH):
            painter.drawEllipse(QPointF(x, y), DOT, DOT)


def _band(painter: QPainter, bounds: QRectF, inks: Inks) -> None:
    short = min(bounds.width(), bounds.height())
    wide, lean = max(short * 0.42, 14.0), bounds.height() * 0.5
    x = bounds.center().x() - wide / 2
    top, bottom = bounds.top(), bounds.bottom()
    corners = [(x + lean / 2, top), (x + lean / 2 + wide, top), (x - lean / 2 + wide, bottom), (x - lean / 2, bottom)]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(inks.sheen))
    painter.drawPolygon(QPolygonF([QPointF(px, py) for px, py in corners]))


def _pane(painter: QPainter, path: QPainterPath, bounds: QRectF, inks: Inks) -> None:
    painter.fillPath(path, QColor(inks.sheen))
    inset = max(5.0, min(18.0, min(bounds.width(), bounds.height()) * 0.14))
    pen = QPen(QColor(inks.fill), 2 * inset)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(path, pen)


def _notch(painter: QPainter, path: QPainterPath, bounds: QRectF, inks: Inks) -> None:
    """Cut off the corner towards the upper right, wherever this outline has it."""
    points = path.toFillPolygon().toList()
    reach = max(p.x() - p.y() for p in points)
    depth = min(NOTCH, min(bounds.width(), bounds.height()) * 0.45) * math.sqrt(2)
    far = bounds.width() + bounds.height()
    edge = next(p for p in points if p.x() - p.y() == reach)
    start = QPointF(edge.x() - depth / 2, edge.y() + depth / 2)
    along, out = QPointF(far, far), QPointF(far, -far)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(QColor(inks.bare)))
    painter.drawPolygon(QPolygonF([start - along, start + along, start + along + out, start - along + out]))


def _engrave(painter: QPainter, details: Iterable[QPainterPath], inks: Inks) -> None:
    """Draw open paths as lines and closed ones as holes: the mouth of a pipe, a hub, a lamp."""
    pen = QPen(QColor(inks.detail), 3.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
    for detail in details:
        painter.strokePath(detail, pen)
        if is_closed(detail):
            painter.fillPath(detail, QColor(inks.detail))


def _outline(painter: QPainter, path: QPainterPath, inks: Inks) -> None:
    painter.strokePath(path, QPen(QColor(inks.outline), 2 * OUTLINE))


def _places(through: float, low: float, high: float, pitch: float) -> list[float]:
    first = math.ceil((low - through) / pitch)
    last = math.floor((high - through) / pitch)
    return [through + i * pitch for i in range(first, last + 1)]
