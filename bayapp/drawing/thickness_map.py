"""The heat drawing: each measured zone filled by how thick its paint is, with the figure in it, and the scale below.

The scale is told in grey, too: the thicker, the darker. Its steps leave out the middle, so that black or white figures
stand on every one of them.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from bayapp.drawing.car_painter import CarPainter
from bayapp.drawing.colour_math import contrast
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.lettering import FAMILY, font_of, words_size
from bayapp.drawing.looks import CarWords
from bayapp.drawing.palette import Palette
from bayapp.job.model.ids import ZoneId

RAMP = ("#fff8d6", "#fbe08a", "#f0c35e", "#dfa758", "#c99268", "#5d4e75", "#433a66", "#2b2850")
"""From the thinnest to the thickest."""
ABOVE_THIN = (-20.0, 0.0, 20.0, 40.0, 70.0, 120.0, 320.0)
"""Where each step but the first begins, µm above what the shop calls thin."""
FIGURE, LITTLE = 44, 20
"""Pixels of the figures, in drawing units: as large as fits between these."""
LINE, RING = 3.0, 9.0
BLACK, WHITE = "#0a0d10", "#ffffff"


@dataclass(frozen=True, slots=True)
class HeatZone:
    """What a zone shows.

    Attributes:
        mean: µm.
        thin: the least reading, µm, where the zone is thin.
        unlike: it stands apart from its neighbours.
    """

    mean: float
    thin: float | None = None
    unlike: bool = False


@dataclass(frozen=True, slots=True)
class HeatWords:
    """What stands beside the scale: the unit with what the figures are, and what the two signs mean."""

    figures: str
    thin: str
    unlike: str


def edges_of(thin_um: float) -> tuple[float, ...]:
    """Return where each step of the scale but the first begins, µm."""
    return tuple(max(0.0, thin_um + above) for above in ABOVE_THIN)


def colour_of(mean: float, thin_um: float) -> str:
    """Return the fill of a zone whose paint is so thick, µm."""
    return RAMP[bisect_right(edges_of(thin_um), mean)]


def ink_on(fill: str) -> str:
    """Return the colour of figures on a fill: black or white, whichever stands out more."""
    return max((BLACK, WHITE), key=lambda ink: contrast(ink, fill))


class ThicknessMap:
    """Paints a vehicle form as a heat drawing into any rectangle."""

    def __init__(self, drawing: FormDrawing, palette: Palette, words: CarWords, family: str = FAMILY) -> None:
        self._drawing, self._palette, self._family = drawing, palette, family
        self._car = CarPainter(drawing, palette, words, family, cached=False)
        self.painted = tuple(ZoneId(zone.id) for zone in drawing.form.zone if zone.surface == "paint")
        """The zones that a gauge is held to."""
        no_tiles = [zone.id for zone in drawing.form.zone if zone.surface not in ("car", "cabin")]
        self._drawn = tuple(ZoneId(zone) for zone in no_tiles)

    def paint(
        self, painter: QPainter, target: QRectF, zones: Mapping[ZoneId, HeatZone], thin_um: float, chosen: ZoneId | None
    ) -> None:
        """Paint the car; a zone that was not measured keeps the quiet fill of its surface."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setTransform(self._car.transform(target), combine=True)
        self._car.draw_ground(painter)
        for zone in self._drawn:
            self._fill(painter, zone, zones.get(zone), thin_um)
        for zone, heat in zones.items():
            self._write(painter, zone, heat, colour_of(heat.mean, thin_um))
        if chosen is not None:
            path = self._drawing.zone_paths[chosen]
            painter.strokePath(path, QPen(QColor(self._palette.ring_edge), 2 * RING))
            painter.strokePath(path, QPen(QColor(self._palette.ring), RING))
        painter.restore()

    def zone_at(self, target: QRectF, position: QPointF, reach: float) -> ZoneId | None:
        """Return the painted zone nearest a touch, within ``reach`` pixels."""
        hits = self._car.map_to_zone(target, position, reach)
        return next((zone for zone, _distance in hits if zone in self.painted), None)

    def centre_of(self, target: QRectF, zone: ZoneId) -> QPointF:
        """Return a point inside a zone, in pixels."""
        anchor = self._drawing.anchor(zone)
        return self._car.transform(target).map(QPointF(anchor.x, anchor.y))

    def _fill(self, painter: QPainter, zone: ZoneId, heat: HeatZone | None, thin_um: float) -> None:
        path = self._drawing.zone_paths[zone]
        surface = self._drawing.form.zone_named(zone).surface
        quiet = self._palette.quiet_fill(surface, worked=False)
        painter.fillPath(path, QColor(colour_of(heat.mean, thin_um) if heat else quiet))
        edge = self._palette.text_quiet if zone in self.painted else self._palette.chassis_edge
        painter.strokePath(path, QPen(QColor(edge), LINE))

    def _write(self, painter: QPainter, zone: ZoneId, heat: HeatZone, fill: str) -> None:
        """Write the mean, with the sign of what is unlike; where it is thin, the least below the sign of that."""
        lines = [_Line(f"{heat.mean:.0f}", "unlike" if heat.unlike else "")]
        if heat.thin is not None:
            lines.append(_Line(f"{heat.thin:.0f}", "thin"))
        spot = self._spot(zone, lines)
        painter.setPen(QColor(ink_on(fill)))
        painter.setBrush(QColor(ink_on(fill)))
        painter.save()
        painter.translate(spot.centre)
        if spot.turned:
            painter.rotate(-90)
        paint_lines(painter, QPointF(0, 0), spot.lines, spot.size, self._family)
        painter.restore()

    def _spot(self, zone: ZoneId, lines: "list[_Line]") -> "_Spot":
        """Return where the figures stand: both lines or the more urgent one, as large as fits, turned where it must."""
        ways = [(lines, size) for size in range(FIGURE, LITTLE - 1, -6)] + [(lines[-1:], LITTLE)]
        for some, size in ways:
            room = lines_size(some, size, self._family) + QSizeF(size * 0.5, size * 0.5)
            for turned, needed in ((False, room), (True, room.transposed())):
                centre = self._drawing.plate_anchor(zone, needed)
                if centre is not None:
                    return _Spot(centre, tuple(some), size, turned)
        anchor, box = self._drawing.anchor(zone), self._drawing.zone_paths[zone].boundingRect()
        return _Spot(QPointF(anchor.x, anchor.y), tuple(lines[-1:]), LITTLE * 0.8, box.height() > box.width())


@dataclass(frozen=True, slots=True)
class _Line:
    text: str
    sign: str = ""


@dataclass(frozen=True, slots=True)
class _Spot:
    centre: QPointF
    lines: tuple[_Line, ...]
    size: float
    turned: bool


def lines_size(lines: "list[_Line] | tuple[_Line, ...]", size: float, family: str) -> QSizeF:
    """Return how much room lines of figures take."""
    font = font_of(family, round(size))
    wide = max(words_size(line.text, font).width() + (size if line.sign else 0.0) for line in lines)
    return QSizeF(wide, len(lines) * size * 1.15 - size * 0.4)


def paint_lines(painter: QPainter, centre: QPointF, lines: "tuple[_Line, ...]", size: float, family: str) -> None:
    """Write lines of figures centred on a point, each with its sign before it, in the painter's colour."""
    font = font_of(family, round(size))
    painter.setFont(font)
    capital = QFontMetricsF(font).capHeight()
    for number, line in enumerate(lines):
        middle = centre.y() + (number - (len(lines) - 1) / 2) * size * 1.15
        wide, sign = words_size(line.text, font).width(), size if line.sign else 0.0
        left = centre.x() - (wide + sign) / 2
        if line.sign:
            paint_sign(painter, QRectF(left, middle - capital / 2, capital, capital), line.sign)
        painter.drawText(QPointF(left + sign, middle + capital / 2), line.text)


def paint_sign(painter: QPainter, box: QRectF, sign: str) -> None:
    """Paint the sign of thin paint, a triangle on its tip, or of paint unlike its neighbours, a crossed-out equals."""
    if sign == "thin":
        painter.drawPolygon(QPolygonF([box.topLeft(), box.topRight(), QPointF(box.center().x(), box.bottom())]))
        return
    pen = painter.pen()
    painter.setPen(QPen(pen.color(), box.height() * 0.17, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    for share in (0.3, 0.7):
        y = box.top() + box.height() * share
        painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
    painter.drawLine(
        QPointF(box.left() + box.width() * 0.25, box.bottom()), QPointF(box.right() - box.width() * 0.25, box.top())
    )
    painter.setPen(pen)


def paint_scale(
    painter: QPainter, rect: QRectF, thin_um: float, palette: Palette, words: HeatWords, family: str = FAMILY
) -> None:
    """Paint the steps of the scale with where each begins, and what the signs mean, into a rectangle of two rows."""
    edges, row = edges_of(thin_um), rect.height() / 2
    wide, tall = rect.width() / len(RAMP), row * 0.82
    font = font_of(family, max(1, round(tall * 0.62)))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for step, fill in enumerate(RAMP):
        box = QRectF(rect.left() + step * wide, rect.top(), wide, tall)
        painter.setPen(QPen(QColor(palette.text_quiet), 1))
        painter.setBrush(QColor(fill))
        painter.drawRect(box)
        painter.setFont(font)
        painter.setPen(QColor(ink_on(fill)))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, _step_text(edges, step))
    _paint_signs(painter, QRectF(rect.left(), rect.top() + row, rect.width(), tall), palette, words, family)
    painter.restore()


def _step_text(edges: tuple[float, ...], step: int) -> str:
    if step == 0:
        return f"< {edges[0]:.0f}"
    return f"{edges[step - 1]:.0f}–{edges[step]:.0f}" if step < len(edges) else f"{edges[-1]:.0f}+"


def _paint_signs(painter: QPainter, rect: QRectF, palette: Palette, words: HeatWords, family: str) -> None:
    told = (("", words.figures), ("thin", words.thin), ("unlike", words.unlike))
    size = rect.height() * 0.62
    while size > 1 and sum(_sign_width(sign, text, size, family) for sign, text in told) > rect.width():
        size *= 0.95
    x, font = rect.left(), font_of(family, max(1, round(size)), bold=False)
    capital = QFontMetricsF(font).capHeight()
    painter.setFont(font)
    painter.setPen(QColor(palette.text_quiet))
    painter.setBrush(QColor(palette.text_quiet))
    for sign, text in told:
        left = x
        if sign:
            paint_sign(painter, QRectF(x, rect.center().y() - capital / 2, capital, capital), sign)
            left += size
        painter.drawText(QPointF(left, rect.center().y() + capital / 2), text)
        x += _sign_width(sign, text, size, family)


def _sign_width(sign: str, text: str, size: float, family: str) -> float:
    font = font_of(family, max(1, round(size)), bold=False)
    return words_size(text, font).width() + (size if sign else 0.0) + size
