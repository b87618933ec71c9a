"""Paints a row of the plan: bars, the text on and over them, and windows.

Done work is solid; planned work is hollow, with the texture that the surface will have then; work under way is solid
up to now.
"""

from dataclasses import replace
from datetime import datetime

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.textures import inks_for, paint_texture
from bayapp.job.model.ids import Urgency
from bayapp.pages.plan.plan_bars import Bar, Bracket
from bayapp.pages.plan.plan_rows import PlacedSpell, PlanRow
from bayapp.pages.plan.plan_stints import Part
from bayapp.screen.plan.plan_frame import Frame
from bayapp.screen.plan.plan_letters import is_low, paint_on_bar, paint_title, texture_tall, words_of

TITLED_LANE = 17.0
TALLEST_STRIP = 30.0
SAID = 3.4
LEVEL = 4.6
BRACKETS_SHARE = 0.3
TEXTURE_SCALE = 0.5
LEAST_HOLLOW = 3.0
TEXTURE_WIDE = 16.0
IDLE_BRACKETS_FROM = 1.5  # millimetres a minute


def paint_row(painter: QPainter, frame: Frame, row: PlanRow, box: QRectF, whole: bool) -> None:
    """Paint a row into its box; text only if the ``whole`` row is visible."""
    mm = frame.mm
    inner = box.adjusted(0, mm(1.5), 0, -mm(1.5))
    levels = len(row.brackets)
    pitch = min(mm(LEVEL), inner.height() * BRACKETS_SHARE / levels) if levels else 0.0
    said = mm(SAID) if row.foreseen else 0.0
    body = inner.adjusted(0, said, 0, -levels * pitch - mm(1))
    bottom = body.top()
    for stretch in row.stretches:
        tall = body.height() / stretch.lanes
        place = QRectF(body.left(), body.top() + stretch.lane * tall, body.width(), tall - mm(1))
        strip = _strip(frame, place)
        bottom = max(bottom, strip.bottom())
        titled = strip.top() > place.top()
        _paint_stretch(painter, frame, stretch, strip, "" if titled else stretch.title, whole)
        if titled and whole:
            title = QRectF(place.left(), place.top(), 0, strip.top() - place.top())
            paint_title(painter, frame, stretch, title, _free_to(frame, row, stretch))
    _paint_said(painter, frame, row, QRectF(inner.left(), inner.top(), inner.width(), said - mm(1)))
    for level, brackets in enumerate(row.brackets):
        for bracket in brackets:
            _paint_bracket(painter, frame, bracket, bottom, bottom + mm(1) + (level + 0.5) * pitch, pitch)


def _free_to(frame: Frame, row: PlanRow, stretch: PlacedSpell) -> float:
    """Return how far to the right a title may go, in pixels: up to the next stretch in its lane."""
    start = stretch.spell.start
    later = [s.spell.start for s in row.stretches if s.spell.start > start and s.meets(stretch)]
    return frame.x(min(later)) if later else frame.view.right()


def _strip(frame: Frame, lane: QRectF) -> QRectF:
    """Return the place of the bars in a lane: under their titles, if there is room for titles."""
    mm = frame.mm
    title = min(mm(12), lane.height() * 0.36) if lane.height() >= mm(TITLED_LANE) else 0.0
    return QRectF(lane.left(), lane.top() + title, lane.width(), min(mm(TALLEST_STRIP), lane.height() - title))


def _box(frame: Frame, start: datetime, end: datetime, strip: QRectF) -> QRectF:
    left = frame.x(start)
    return QRectF(left, strip.top(), max(frame.x(end) - left, frame.mm(0.8)), strip.height())


def _seen(frame: Frame, box: QRectF) -> bool:
    return box.right() >= frame.view.left() and box.left() <= frame.view.right()


def _paint_stretch(painter: QPainter, frame: Frame, stretch: PlacedSpell, strip: QRectF, who: str, whole: bool) -> None:
    if not _seen(frame, _box(frame, stretch.spell.start, stretch.spell.end, strip)):
        return
    for bar in stretch.spell.bars:
        box = _box(frame, bar.start, bar.end, strip)
        if _seen(frame, box):
            words = words_of(frame, bar, box, who) if whole else None
            _paint_bar(painter, frame, bar, box, textured=words is None or not is_low(frame, box))
            if words:
                paint_on_bar(painter, frame, bar, words)
    for bar in stretch.spell.bars:
        if bar.next_up:
            _paint_ring(painter, frame, _box(frame, bar.start, bar.end, strip))


def _paint_ring(painter: QPainter, frame: Frame, box: QRectF) -> None:
    """Paint the ring around a person's next step, as around the next zone on the car."""
    mm = frame.mm
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, wide in ((frame.look.palette.ring_edge, 2.4), (frame.look.palette.ring, 1.4)):
        painter.setPen(QPen(QColor(colour), mm(wide)))
        painter.drawRoundedRect(box.adjusted(mm(0.2), mm(0.2), -mm(0.2), -mm(0.2)), mm(1), mm(1))


def _paint_bar(painter: QPainter, frame: Frame, bar: Bar, box: QRectF, textured: bool) -> None:
    mm, palette = frame.mm, frame.look.palette
    if bar.part is Part.DONE:
        painter.setPen(QPen(QColor(palette.tile), mm(0.4)))
        painter.setBrush(QColor(palette.text_quiet))
        painter.drawRect(box)
        return
    if bar.part is Part.PLANNED and box.width() < mm(LEAST_HOLLOW):
        painter.fillRect(box, QColor(palette.track))
        return
    painter.fillRect(box, QColor(palette.tile_raised))
    if textured:
        _paint_texture(painter, frame, bar, box)
    rim = palette.line(Urgency.WORKING) if bar.part is Part.RUNNING else palette.text_quiet
    painter.setPen(QPen(QColor(rim), mm(0.9 if bar.part is Part.RUNNING else 0.5)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    if bar.part is Part.RUNNING:
        painter.fillRect(_worked(frame, box), QColor(palette.state(Urgency.WORKING)))


def _worked(frame: Frame, box: QRectF) -> QRectF:
    """Return the past part of a running bar, also if it is overdue."""
    return QRectF(box.left(), box.top(), max(0.0, frame.x(frame.now) - box.left()), box.height())


def _paint_texture(painter: QPainter, frame: Frame, bar: Bar, box: QRectF) -> None:
    """Paint the surface as it will look once the step is done, along the foot of the bar."""
    mm = frame.mm
    scale = mm(1) / 3.2 * TEXTURE_SCALE
    tall = texture_tall(frame, box)
    seen = box.intersected(frame.view.adjusted(-mm(TEXTURE_WIDE), 0, mm(TEXTURE_WIDE), 0))
    inks = inks_for(frame.look.palette, "paint", bar.stage, len(bar.layers), Urgency.IDLE)
    inks = replace(inks, outline=inks.fill)
    count = max(1, round(seen.width() / mm(TEXTURE_WIDE)))
    wide = seen.width() / count
    for n in range(count):
        painter.save()
        painter.translate(seen.left() + n * wide, box.bottom() - tall)
        painter.scale(scale, scale)
        path = QPainterPath()
        path.addRect(QRectF(0, 0, wide / scale, tall / scale))
        paint_texture(painter, path, bar.stage, bar.layers, inks)
        painter.restore()


def _paint_said(painter: QPainter, frame: Frame, row: PlanRow, place: QRectF) -> None:
    """Paint the morning's plan for the time that has passed: hollow and thin, along the top of the row."""
    mm = frame.mm
    painter.setPen(QPen(QColor(frame.look.palette.text_quiet), mm(0.4)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for spell in row.foreseen:
        for bar in spell.bars:
            box = _box(frame, bar.start, bar.end, place)
            if _seen(frame, box):
                painter.drawRect(box)


def _paint_bracket(painter: QPainter, frame: Frame, bracket: Bracket, top: float, y: float, pitch: float) -> None:
    """Paint the window in which a bar may begin, from opening to lapse; broken if the bar would come too late."""
    mm, palette = frame.mm, frame.look.palette
    opens, start = frame.x(bracket.opens_at), frame.x(bracket.start)
    lapses = frame.x(bracket.lapses_at) if bracket.lapses_at else max(start, opens)
    left, right = min(opens, start), max(lapses, start)
    if bracket.urgency is Urgency.WAITING:
        left = min(left, frame.x(frame.now))
    small = bracket.urgency is Urgency.IDLE and frame.px_per_s * 60 < mm(IDLE_BRACKETS_FROM)
    if small or right < frame.view.left() or left > frame.view.right():
        return
    colour = QColor(palette.line(bracket.urgency) if bracket.urgency is not Urgency.IDLE else palette.text_quiet)
    half = min(mm(1.6), pitch * 0.42)
    painter.setPen(QPen(QColor(palette.text_quiet), mm(0.35)))
    painter.drawLine(QPointF(start, top), QPointF(start, y))
    thick = QPen(colour, min(mm(1.5), pitch * 0.4), Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
    painter.setPen(thick)
    painter.drawLine(QPointF(opens, y), QPointF(lapses, y))
    if palette.pale_open(bracket.urgency):
        painter.setPen(QPen(QColor(palette.state(bracket.urgency)), thick.widthF() * 0.5))
        painter.drawLine(QPointF(opens, y), QPointF(lapses, y))
    painter.setPen(QPen(colour, mm(0.7)))
    if bracket.urgency is Urgency.WAITING:
        painter.drawLine(QPointF(frame.x(frame.now), y), QPointF(opens, y))
    painter.drawLine(QPointF(opens, y - half), QPointF(opens, y + half))
    if bracket.lapses_at:
        painter.drawLine(QPointF(lapses, y - half), QPointF(lapses, y + half))
        if start > lapses:
            painter.setPen(QPen(colour, mm(0.9), Qt.PenStyle.DotLine))
            painter.drawLine(QPointF(lapses, y), QPointF(start, y))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(palette.text))
    painter.drawEllipse(QPointF(start, y), min(mm(1), half), min(mm(1), half))
    if bracket.urgency is not Urgency.IDLE:
        side = min(mm(5), pitch)
        spot = QRectF(max(left - side - mm(1), frame.view.left() + mm(0.6)), y - side / 2, side, side)
        painter.fillRect(spot.adjusted(-mm(0.4), 0, mm(0.4), 0), QColor(palette.tile))
        paint_badge(painter, bracket.urgency, spot, badge_on_plate(palette, bracket.urgency), 0.6)
