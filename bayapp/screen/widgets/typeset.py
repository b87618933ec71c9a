"""Fits text into boxes: large first, then condensed (quiet words), on two lines, smaller; never cut off."""

import re
from collections.abc import Callable
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontMetricsF, QPainter

from bayapp.drawing.digits import digits_width
from bayapp.drawing.lettering import FAMILY, font_of
from bayapp.drawing.upright import side, upright
from bayapp.paths import resource

CONDENSED = "DejaVu Sans Condensed"
LEADING = 1.38
SMALLEST = 0.5
SETTINGS_KEPT = 1_024
"""The words of about ten pages; countdowns are new ones every minute or second, and push the oldest out."""
NUMBER_AND_UNIT = re.compile(r"\S*\d[ \u00a0](?:h \d\d|%|°[CF]|s|h|d|m|l|g|min|ml|mm|fl oz|am|pm)(?![^\s.,;:)])\S*|\S+")
"""A word; a number and the unit after it are one."""


def load_fonts() -> None:
    """Make the shipped fonts known to Qt; call once, after the application object exists."""
    for path in sorted(resource("fonts").glob("*.[ot]tf")):
        QFontDatabase.addApplicationFont(str(path))


@lru_cache(maxsize=512)
def cap_font(cap_px: float, bold: bool = True, family: str = FAMILY) -> QFont:
    """Return a font whose capitals are this many pixels tall."""
    probe = QFontMetricsF(font_of(family, 100, bold))
    return font_of(family, max(4, round(cap_px * 100 / probe.capHeight())), bold)


def fit_digits(text: str, width: float, mm: Callable[[float], float], tallest: float, least: float) -> QFont:
    """Return the font in which digits fill a width, as tall as it allows.

    Args:
        width: the available width, in pixels.
        mm: converts millimetres to pixels.
        tallest, least: the height to try first, and the smallest, kept even if the digits do not fit, in mm.
    """
    cap = tallest
    while cap > least and digits_width(text, cap_font(mm(cap))) > width:
        cap -= 0.5
    return cap_font(mm(max(cap, least)))


def wrapped(text: str, font: QFont, width: float, lines: int) -> tuple[str, ...] | None:
    """Return the text on at most this many lines of this width, or None if it does not fit.

    A number stays with its unit.
    """
    metrics = QFontMetricsF(font)
    rows: list[str] = []
    for word in NUMBER_AND_UNIT.findall(text):
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and metrics.horizontalAdvance(longer) <= width:
            rows[-1] = longer
        elif metrics.horizontalAdvance(word) <= width and len(rows) < lines:
            rows.append(word)
        else:
            return None
    return tuple(rows)


@lru_cache(maxsize=SETTINGS_KEPT)
def fit(text: str, width: float, height: float, cap_px: float, bold: bool, lines: int) -> tuple[QFont, tuple[str, ...]]:
    """Return the largest setting of a text that fits a box, at most ``cap_px`` tall and on at most this many lines."""
    share = 1.0
    while share > SMALLEST:
        for rows in range(1, lines + 1):
            for family in (FAMILY, CONDENSED):
                cap = cap_px * share
                if rows * cap * LEADING * 1.25 > max(height, cap * LEADING * 1.25) + 0.5:
                    continue
                font = cap_font(cap, bold, family)
                found = wrapped(text, font, width, rows)
                if found is not None:
                    return font, found
        share -= 0.06
    font = cap_font(cap_px * SMALLEST, bold, CONDENSED)
    return font, wrapped(text, font, width, 12) or (text,)


@lru_cache(maxsize=SETTINGS_KEPT)
def lines_needed(text: str, width: float, cap_px: float, bold: bool, most: int) -> int | None:
    """Return on how many lines of this width a text stands in capitals this tall; None where these are too few."""
    rows = wrapped(text, cap_font(cap_px, bold), width, most)
    return None if rows is None else len(rows)


def paint_words(
    painter: QPainter,
    rect: QRectF,
    text: str,
    cap_px: float,
    colour: str,
    *,
    bold: bool = True,
    lines: int = 1,
    align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
    top: bool = False,
) -> float:
    """Write words into a box, centred in height unless ``top``; return the height they took."""
    if not text or rect.width() < 1:
        return 0.0
    font, rows = fit(text, rect.width(), rect.height(), cap_px, bold, lines)
    metrics = QFontMetricsF(font)
    cap, step = metrics.capHeight(), metrics.capHeight() * LEADING * 1.25
    taken = cap + step * (len(rows) - 1)
    y = rect.top() + cap if top else rect.center().y() - taken / 2 + cap
    align = side(painter, align)
    with upright(painter, rect):
        painter.setFont(font)
        painter.setPen(QColor(colour))
        for row in rows:
            slack = rect.width() - metrics.horizontalAdvance(row)
            shift = {Qt.AlignmentFlag.AlignRight: slack, Qt.AlignmentFlag.AlignHCenter: slack / 2}.get(align, 0.0)
            painter.drawText(QPointF(rect.left() + shift, y), row)
            y += step
    return taken
