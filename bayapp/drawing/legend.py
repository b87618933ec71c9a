"""The legend: what each texture and each badge means, in two rows."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.lettering import FAMILY, font_of
from bayapp.drawing.palette import Palette
from bayapp.drawing.textures import inks_for, paint_aside, paint_away, paint_cover, paint_texture
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import Motion, Stage, Urgency

FONT = 20
SWATCH_WIDE, SWATCH_TALL, SWATCH_SCALE = 48.0, 30.0, 0.62
BADGE = 28.0
GAP, BETWEEN = 9.0, 24.0

Draw = Callable[[QPainter, QRectF], None]
Over = Callable[[QPainter, QPainterPath, Palette], None]
"""What is painted over a zone's texture."""


@dataclass(frozen=True)
class LegendWords:
    """The titles and entries of both rows.

    ``away``, ``aside`` and ``covered`` are the entries for a zone that is not in the job, for one not worked today,
    and for a coat under a cover.
    """

    surface: str
    textures: tuple[tuple[Stage, tuple[Motion, ...], str], ...]
    clock: str
    badges: tuple[tuple[Urgency, str], ...]
    away: str = ""
    aside: str = ""
    covered: str = ""


@dataclass(frozen=True)
class _Item:
    width: float
    words: str
    draw: Draw


def paint_legend(painter: QPainter, rect: QRectF, palette: Palette, words: LegendWords, family: str = FAMILY) -> None:
    """Paint both rows into the rectangle; they shrink together when the longer one does not fit."""
    font = font_of(family, FONT, bold=False)
    title = font_of(family, FONT)
    rows = [(words.surface, _textures(palette, words)), (words.clock, _badges(palette, words))]
    indent = max(QFontMetricsF(title).horizontalAdvance(name) for name, _ in rows) + BETWEEN
    width = indent + max(_row_width(items, font) for _, items in rows)
    scale = min(1.0, rect.width() / width, rect.height() / (2.4 * SWATCH_TALL))
    painter.save()
    painter.translate(rect.topLeft())
    painter.scale(scale, scale)
    for n, (name, items) in enumerate(rows):
        middle = rect.height() / scale * (0.25 + 0.5 * n)
        _write(painter, QPointF(0, middle), name, title, palette.text_quiet)
        _paint_row(painter, QPointF(indent, middle), items, font, palette)
    painter.restore()


def _textures(palette: Palette, words: LegendWords) -> list[_Item]:
    def drawn(stage: Stage, layers: tuple[Motion, ...], over: Over | None = None) -> Draw:
        return lambda painter, rect: _swatch(painter, rect, palette, stage, layers, over)

    found = [_Item(SWATCH_WIDE, text, drawn(stage, layers)) for stage, layers, text in words.textures]
    if words.away:
        found.append(_Item(SWATCH_WIDE, words.away, drawn(Stage.UNTOUCHED, (), paint_away)))
    if words.aside:
        found.append(_Item(SWATCH_WIDE, words.aside, drawn(Stage.UNTOUCHED, (), paint_aside)))
    if words.covered:
        found.append(_Item(SWATCH_WIDE, words.covered, drawn(Stage.COATED, (Motion.VERTICAL,), paint_cover)))
    return found


def _badges(palette: Palette, words: LegendWords) -> list[_Item]:
    def drawn(urgency: Urgency) -> Draw:
        return lambda painter, rect: _badge(painter, rect, palette, urgency)

    return [_Item(BADGE, text, drawn(urgency)) for urgency, text in words.badges]


def _badge(painter: QPainter, rect: QRectF, palette: Palette, urgency: Urgency) -> None:
    if palette.pale_open(urgency):
        painter.setPen(QColor(palette.open_rim))
        painter.setBrush(QColor(palette.state(urgency)))
        painter.drawRoundedRect(rect.adjusted(-2, -2, 2, 2), 6, 6)
    paint_badge(painter, urgency, rect.adjusted(2, 2, -2, -2), badge_on_plate(palette, urgency), 0.65)


def _swatch(
    painter: QPainter, rect: QRectF, palette: Palette, stage: Stage, layers: tuple[Motion, ...], over: Over | None
) -> None:
    painter.save()
    painter.translate(rect.topLeft())
    painter.scale(SWATCH_SCALE, SWATCH_SCALE)
    path = QPainterPath()
    path.addRoundedRect(QRectF(0, 0, rect.width() / SWATCH_SCALE, rect.height() / SWATCH_SCALE), 8, 8)
    paint_texture(painter, path, stage, layers, inks_for(palette, "paint", stage, len(layers), Urgency.IDLE))
    if over:
        over(painter, path, palette)
    painter.restore()


def _row_width(items: Sequence[_Item], font: QFont) -> float:
    metrics = QFontMetricsF(font)
    return sum(item.width + GAP + metrics.horizontalAdvance(item.words) + BETWEEN for item in items) - BETWEEN


def _paint_row(painter: QPainter, start: QPointF, items: Sequence[_Item], font: QFont, palette: Palette) -> None:
    x, metrics = start.x(), QFontMetricsF(font)
    for item in items:
        tall = min(item.width, SWATCH_TALL)
        item.draw(painter, QRectF(x, start.y() - tall / 2, item.width, tall))
        x += item.width + GAP
        _write(painter, QPointF(x, start.y()), item.words, font, palette.text_quiet)
        x += metrics.horizontalAdvance(item.words) + BETWEEN


def _write(painter: QPainter, at: QPointF, words: str, font: QFont, colour: str) -> None:
    metrics = QFontMetricsF(font)
    box = QRectF(at.x(), at.y() - metrics.height() / 2, metrics.horizontalAdvance(words), metrics.height())
    with upright(painter, box):
        painter.setFont(font)
        painter.setPen(QColor(colour))
        painter.drawText(at + QPointF(0, metrics.xHeight() / 2), words)
