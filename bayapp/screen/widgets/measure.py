"""Real millimetres on this screen, and the layout of the board."""

from dataclasses import dataclass
from math import hypot

from PySide6.QtCore import QRectF
from PySide6.QtGui import QScreen

MARGIN = 7.0
STRIP = 25.5
LEGEND = 26.0
CAR_SHAPE = 1.6
USUAL_DIAGONAL_MM = 27 * 25.4
LEAST_DIAGONAL_MM = 9 * 25.4
MOST_DIAGONAL_MM = 90 * 25.4
TILE = 38.0
TALLEST_TILE = 46.0
FIRST_TILE = 54.0
LATER = 25.5
PAGE = 200.0
"""What a page of four rows of buttons takes, for gloves."""
READ_FROM_M = 3.0
LEAST_WIDTH, LEAST_HEIGHT = 500.0, 281.0
MOST_WIDTH, MOST_HEIGHT = 720.0, 405.0
"""The board of a 32 inch screen, in millimetres; on a larger one everything grows, and no page is left half empty."""


@dataclass(frozen=True)
class Measure:
    """How many pixels a millimetre is."""

    px_per_mm: float

    def px(self, mm: float) -> float:
        """Return pixels for millimetres."""
        return mm * self.px_per_mm

    def rect(self, mm: QRectF) -> QRectF:
        """Return a rectangle in whole pixels for one in millimetres."""
        scaled = QRectF(
            mm.x() * self.px_per_mm, mm.y() * self.px_per_mm, mm.width() * self.px_per_mm, mm.height() * self.px_per_mm
        )
        return QRectF(scaled.toRect())


def measure_of(screen: QScreen | None, width: int, height: int, diagonal_inch: float | None = None) -> Measure:
    """Return the measure of a screen.

    The diagonal set by the shop has priority. Then comes the size that the screen reports, unless it is absurd
    (projectors and virtual screens report nothing or nonsense); then 27 inches.
    """
    diagonal_px = hypot(width, height)
    if diagonal_inch:
        return Measure(diagonal_px / (diagonal_inch * 25.4))
    said = screen.physicalSize() if screen else None
    diagonal_mm = hypot(said.width(), said.height()) if said else 0.0
    if screen and LEAST_DIAGONAL_MM <= diagonal_mm <= MOST_DIAGONAL_MM:
        whole = screen.size()
        return Measure(hypot(whole.width(), whole.height()) / diagonal_mm)
    return Measure(diagonal_px / USUAL_DIAGONAL_MM)


def read_from(real: Measure, distance_m: float, letters: float = 1.0) -> Measure:
    """Return the measure for a reading distance: unchanged up to 3 m, larger beyond; ``letters`` times as large.

    What is read from twice as far must be twice as large (visual angle); gloves need the size for 3 m in any case.
    """
    return Measure(real.px_per_mm * max(1.0, distance_m / READ_FROM_M) * letters)


def fitted(real: Measure, width: int, height: int) -> Measure:
    """Return the measure for a window of this many pixels: real millimetres, or what makes the board fit.

    In a window under 23 inches everything shrinks: still complete, but only for bare fingers. In one over 32 inches
    everything grows.
    """
    grown = max(real.px_per_mm, min(width / MOST_WIDTH, height / MOST_HEIGHT))
    return Measure(min(grown, width / LEAST_WIDTH, height / LEAST_HEIGHT))


@dataclass(frozen=True)
class BoardLayout:
    """The places of the parts of the board, in millimetres.

    Attributes:
        strip: the line at the top.
        car: the drawn car, or a page in its place.
        legend: the legend, or alerts in its place.
        page: the place of a page. It leaves the alerts their room, so that no button moves when one comes; on a low
            window, where its buttons would be too small for gloves then, it takes that room until there is an alert.
        column: the clocks.
        bar: the next step, an alternative, and the button for more.
    """

    strip: QRectF
    car: QRectF
    legend: QRectF
    page: QRectF
    column: QRectF
    bar: QRectF


def board_layout(width: float, height: float, bar_end: float = 0.0, alerts: bool = False) -> BoardLayout:
    """Return the layout for a window of this size in millimetres.

    Args:
        bar_end: how much is left free at the end of the bar.
        alerts: whether there are alerts to show.
    """
    inner = width - 2 * MARGIN
    bar_height = min(46.0, max(30.5, height * 0.13))
    top = MARGIN * 0.6 + STRIP + MARGIN * 0.95
    bar_top = height - MARGIN - bar_height
    body = bar_top - MARGIN - top
    car_height = body - LEGEND - MARGIN
    column = min(max(inner - MARGIN - car_height * CAR_SHAPE, inner * 0.36), inner * 0.44)
    left = inner - MARGIN - column
    return BoardLayout(
        strip=QRectF(MARGIN, MARGIN * 0.6, inner, STRIP),
        car=QRectF(MARGIN, top, left, car_height),
        legend=QRectF(MARGIN, top + car_height + MARGIN, left, LEGEND),
        page=QRectF(MARGIN, top, left, car_height if car_height >= PAGE or alerts else body),
        column=QRectF(MARGIN + left + MARGIN, top, column, body),
        bar=QRectF(MARGIN, bar_top, inner - bar_end, bar_height),
    )


def tile_rects(width: float, height: float, wanted: int) -> tuple[list[QRectF], QRectF | None]:
    """Return the places of the tiles in a column, in millimetres, and the place of "later" if not all fit."""
    if wanted <= _fits(height):
        return _stack(width, height, wanted), None
    room = height - LATER - MARGIN
    return _stack(width, room, _fits(room)), QRectF(0, height - LATER, width, LATER)


def _fits(height: float) -> int:
    return 1 + max(0, int((height - FIRST_TILE) // (TILE + MARGIN)))


def _stack(width: float, height: float, count: int) -> list[QRectF]:
    """Return this many tiles from the top, a little taller if there is room to spare."""
    rects = [QRectF(0, 0, width, FIRST_TILE)] if count else []
    tall = min(TALLEST_TILE, (height - FIRST_TILE) / max(1, count - 1) - MARGIN)
    for n in range(1, count):
        rects.append(QRectF(0, FIRST_TILE + MARGIN + (n - 1) * (tall + MARGIN), width, tall))
    return rects
