"""Fonts and haloed words on the drawing."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

FAMILY = "B612"
HALO = 13.0


def font_of(family: str, pixels: int, bold: bool = True) -> QFont:
    """Return a font of this pixel size without hinting, so that it scales with the drawing."""
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


@dataclass(frozen=True)
class Lettering:
    """How words are written: the colour of the letters and of the halo around each; ``turned`` reads upwards."""

    font: QFont
    colour: str
    halo: str
    turned: bool = False


def paint_haloed(painter: QPainter, centre: QPointF, text: str, how: Lettering) -> None:
    """Write words centred on a point with a halo around every letter."""
    size = words_size(text, how.font)
    letters = QPainterPath()
    letters.addText(QPointF(-size.width() / 2, QFontMetricsF(how.font).xHeight() / 2), how.font, text)
    painter.save()
    painter.translate(centre)
    if how.turned:
        painter.rotate(-90)
    pen = QPen(QColor(how.halo), HALO, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(letters, pen)
    painter.fillPath(letters, QColor(how.colour))
    painter.restore()
