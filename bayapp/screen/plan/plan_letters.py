"""The text on and over the bars of the plan: as large as fits, else left out."""

from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from bayapp.job.model.ids import Urgency
from bayapp.pages.plan.plan_bars import Bar
from bayapp.pages.plan.plan_rows import PlacedSpell
from bayapp.pages.plan.plan_stints import Part
from bayapp.screen.plan.plan_frame import Frame
from bayapp.screen.widgets.typeset import fit, paint_words

TITLE_CAP = 8.6
LEAST_TITLE_CAP = 6.0
WORDS_CAP = 6.6
LEAST_WORDS_CAP = 4.6
LOW_STRIP = 13.0
TEXTURE_TALL = 7.0
TEXTURE_SHARE = 0.34


class Words(NamedTuple):
    """Fitted words: their place, the height of their capitals, and whether they read from bottom to top."""

    text: str
    place: QRectF
    cap: float
    lines: int
    behind: bool
    turned: bool = False


def fits(text: str, box: QRectF, cap: float, least: float, lines: int) -> bool:
    """Whether words fit into a box at a readable size."""
    if cap < least or box.width() <= 0:
        return False
    font, rows = fit(text, box.width(), box.height(), cap, True, lines)
    metrics = QFontMetricsF(font)
    return metrics.capHeight() >= least * 0.97 and all(metrics.horizontalAdvance(r) <= box.width() for r in rows)


def texture_tall(frame: Frame, box: QRectF) -> float:
    """Return the height of the texture at a bar's foot."""
    return min(frame.mm(TEXTURE_TALL), box.height() * TEXTURE_SHARE)


def is_low(frame: Frame, box: QRectF) -> bool:
    """Whether a bar is too low for words above its texture: then words replace the texture."""
    return box.height() < frame.mm(LOW_STRIP)


def words_of(frame: Frame, bar: Bar, box: QRectF, who: str) -> Words | None:
    """Return the words on a bar, on the wider side of the line of now; None if nothing fits."""
    mm = frame.mm
    place, behind = _beside_now(frame, _words_box(frame, box), frame.x(frame.now))
    cap = min(mm(WORDS_CAP), place.height() * 0.84)
    lines = 2 if place.height() >= mm(LEAST_WORDS_CAP * 2.8) else 1
    for text in ((f"{bar.names[-1]}, {who}",) if who else ()) + bar.names:
        if fits(text, place, cap, mm(LEAST_WORDS_CAP), lines):
            return Words(text, place, cap, lines, behind)
    upright = QRectF(0, 0, place.height(), place.width())
    cap = min(mm(WORDS_CAP), place.width() * 0.62)
    turned = next((text for text in bar.names if fits(text, upright, cap, mm(LEAST_WORDS_CAP), 1)), None)
    return Words(turned, place, cap, 1, behind, turned=True) if turned else None


def _words_box(frame: Frame, box: QRectF) -> QRectF:
    """Return the part of a bar for words: its visible part, above the texture."""
    mm = frame.mm
    seen = box.intersected(QRectF(frame.view.left(), box.top(), frame.view.width(), box.height()))
    foot = mm(0.8) if is_low(frame, box) else texture_tall(frame, box) + mm(0.3)
    return seen.adjusted(mm(1.8), mm(0.8), -mm(1.2), -foot)


def _beside_now(frame: Frame, place: QRectF, now: float) -> tuple[QRectF, bool]:
    """Return the wider side of the line of now, and whether it is the past one."""
    if now <= place.left() or now >= place.right():
        return place, now >= place.right()
    gap = frame.mm(1.8)
    behind = now - place.left() > place.right() - now
    left, right = (place.left(), now - gap) if behind else (now + gap, place.right())
    return QRectF(left, place.top(), max(0.0, right - left), place.height()), behind


def paint_on_bar(painter: QPainter, frame: Frame, bar: Bar, words: Words) -> None:
    """Write on a bar in an ink that is readable on its fill."""
    palette = frame.look.palette
    ink = palette.text
    if bar.part is Part.DONE:
        ink = palette.tile
    elif bar.part is Part.RUNNING and words.behind:
        ink = palette.ink_on(Urgency.WORKING)
    if words.turned:
        _paint_turned(painter, words, ink)
    else:
        paint_words(painter, words.place, words.text, words.cap, ink, lines=words.lines)


def _paint_turned(painter: QPainter, words: Words, ink: str) -> None:
    """Write from bottom to top if a bar is too narrow for its words, but tall enough."""
    place = words.place
    font, rows = fit(words.text, place.height(), place.width(), words.cap, True, 1)
    painter.save()
    painter.translate(place.left(), place.bottom())
    painter.rotate(-90)
    painter.setFont(font)
    painter.setPen(QColor(ink))
    painter.drawText(QPointF(0, place.width() / 2 + QFontMetricsF(font).capHeight() / 2), rows[0])
    painter.restore()


def paint_title(painter: QPainter, frame: Frame, stretch: PlacedSpell, row: QRectF, after: float) -> None:
    """Write the title over a spell, if there is room before the next one."""
    mm = frame.mm
    left = max(frame.x(stretch.spell.start), frame.view.left() + mm(1))
    right = min(after, frame.view.right()) - mm(2.5)
    if frame.x(stretch.spell.end) < frame.view.left() + mm(4) or right - left < mm(9):
        return
    place = QRectF(left, row.top(), right - left, row.height() - mm(1))
    cap = min(mm(TITLE_CAP), place.height() * 0.78)
    if fits(stretch.title, place, cap, mm(LEAST_TITLE_CAP), 1):
        paint_words(painter, place, stretch.title, cap, frame.look.palette.text)
