"""Countdown digits in equal cells, so that a running number never jitters."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from bayapp.drawing.upright import side, upright

_NARROW = {":": 0.5, ".": 0.5, " ": 0.42, "+": 0.92, "-": 0.92}


def cells(text: str, font: QFont) -> list[float]:
    """Return the width of each character's cell: one width for all digits, narrower for a colon."""
    metrics = QFontMetricsF(font)
    digit = max(metrics.horizontalAdvance(d) for d in "0123456789")
    return [_cell(character, digit, metrics) for character in text]


def _cell(character: str, digit: float, metrics: QFontMetricsF) -> float:
    if character.isdigit():
        return digit
    return digit * _NARROW[character] if character in _NARROW else metrics.horizontalAdvance(character)


def digits_width(text: str, font: QFont) -> float:
    """Return the width that ``paint_digits`` needs."""
    return sum(cells(text, font))


def digits_height(font: QFont) -> float:
    """Return the height of the digits themselves, without the room for descenders."""
    return QFontMetricsF(font).capHeight()


def paint_digits(
    painter: QPainter,
    rect: QRectF,
    text: str,
    font: QFont,
    colour: str,
    align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignRight,
) -> None:
    """Draw the text in equal cells, right aligned (or centred) in the rectangle, its digits centred in height.

    On a mirrored page they are aligned to the other side, but not mirrored themselves.
    """
    metrics = QFontMetricsF(font)
    widths = cells(text, font)
    slack = rect.width() - sum(widths)
    shift = {Qt.AlignmentFlag.AlignHCenter: slack / 2, Qt.AlignmentFlag.AlignLeft: 0.0}
    x = rect.left() + shift.get(side(painter, align), slack)
    baseline = rect.center().y() + metrics.capHeight() / 2
    with upright(painter, rect):
        _write(painter, QPointF(x, baseline), text, font, colour)


def _write(painter: QPainter, start: QPointF, text: str, font: QFont, colour: str) -> None:
    metrics, x, baseline = QFontMetricsF(font), start.x(), start.y()
    widths = cells(text, font)
    painter.save()
    painter.setFont(font)
    painter.setPen(QColor(colour))
    for character, width in zip(text, widths, strict=True):
        lift = metrics.capHeight() * 0.06 if character == ":" else 0.0
        painter.drawText(QPointF(x + (width - metrics.horizontalAdvance(character)) / 2, baseline - lift), character)
        x += width
    painter.restore()
