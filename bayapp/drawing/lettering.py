"""Fonts and haloed words on the drawing."""

from PySide6.QtCore import QPointF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

FAMILY = "B612"
HALO = 13.0


def font_of(family: str, pixels: int, bold: bool = True) -> QFont:
    """Return a font of this pixel size, free of hinting so that it may be scaled with the drawing."""
    font = QFont(family)
    font.setStyleHint(QFont.StyleHint.SansSerif)
    font.setPixelSize(pixels)
    font.setBold(bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def words_size(text: str, font: QFont) -> QSizeF:
    """Return the width of the words and the height of their capitals."""
    metrics = QFontMetricsF(font)
    return QSizeF(metrics.horizontalAdvance(text), metrics.capHeight())


def paint_haloed(
    painter: QPainter, centre: QPointF, text: str, font: QFont, colour: str, halo: str, turned: bool = False
) -> None:
    """Write words centred on a point with a halo around every letter; ``turned`` reads from bottom to top."""
    size = words_size(text, font)
    letters = QPainterPath()
    letters.addText(QPointF(-size.width() / 2, QFontMetricsF(font).xHeight() / 2), font, text)
    painter.save()
    painter.translate(centre)
    if turned:
        painter.rotate(-90)
    pen = QPen(QColor(halo), HALO, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(letters, pen)
    painter.fillPath(letters, QColor(colour))
    painter.restore()
