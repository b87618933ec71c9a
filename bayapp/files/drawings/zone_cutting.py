"""Cuts a zone's figure in two, and joins several into one."""

import re
from collections.abc import Iterable, Sequence
from typing import Literal

from shapely import MultiPolygon, Point, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

Direction = Literal["across", "along"]
"""Across the car, which parts front from rear in a drawing with its nose to the left; or along it."""

SPECK = 4.0
"""Square drawing units; a piece or a hole that is smaller is a crumb of the arithmetic."""

SMOOTH = 0.05
"""Drawing units that an outline may be off where points are left out."""

_BEYOND = 10.0
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")


def cut(figure: BaseGeometry, direction: Direction, share: float, gap: float) -> tuple[BaseGeometry, BaseGeometry]:
    """Cut a figure by a straight line, and leave half the gap free on each side of it.

    Args:
        share: where the line lies, as a share of the figure's width (across) or height (along), 0 to 1.

    Returns:
        What lies before the line, to the left or above, and what lies behind it; one may be empty.
    """
    left, top, right, bottom = figure.bounds
    low, high = (left, right) if direction == "across" else (top, bottom)
    line = low + share * (high - low)
    left, top, right, bottom = left - _BEYOND, top - _BEYOND, right + _BEYOND, bottom + _BEYOND
    if direction == "across":
        before, behind = box(left, top, line - gap / 2, bottom), box(line + gap / 2, top, right, bottom)
    else:
        before, behind = box(left, top, right, line - gap / 2), box(left, line + gap / 2, right, bottom)
    return without_specks(figure.intersection(before)), without_specks(figure.intersection(behind))


def joined(figures: Sequence[BaseGeometry], reach: float, keep_off: BaseGeometry) -> BaseGeometry:
    """Return one figure for several, with gaps up to ``reach`` between them filled.

    Figures farther apart stay separate pieces. The filling leaves out ``keep_off``.
    """
    whole = union_all(list(figures))
    radius = reach / 2
    closed = _closed(whole, radius)
    filling = closed.difference(whole).difference(keep_off)
    between = [
        piece
        for piece in getattr(filling, "geoms", [filling])
        if not piece.is_empty and sum(piece.distance(figure) < SMOOTH for figure in figures) > 1
    ]
    hair = 2 * SMOOTH  # so that rounding leaves no hair between a filling and its banks
    bridges = union_all([piece.buffer(hair, join_style="mitre") for piece in between])
    return without_specks(whole.union(bridges.difference(keep_off)))


def _closed(figure: BaseGeometry, radius: float) -> BaseGeometry:
    """Return a figure with gaps up to twice the radius filled, its corners kept sharp where GEOS can do that.

    Seen with GEOS 3.14.1: shrinking with mitred corners may leave nothing at all; with round ones it does not.
    """
    mitred = figure.buffer(radius, join_style="mitre").buffer(-radius, join_style="mitre")
    return mitred if mitred.area >= figure.area else figure.buffer(radius).buffer(-radius)


def without_specks(figure: BaseGeometry) -> BaseGeometry:
    """Return the polygons of a figure, without lines, points, and pieces or holes too small to see."""
    kept = []
    for piece in _polygons(figure):
        if piece.area > SPECK:
            holes = [ring for ring in piece.interiors if Polygon(ring).area > SPECK]
            kept.append(Polygon(piece.exterior, holes))
    return MultiPolygon(kept) if len(kept) != 1 else kept[0]


def data_of(figure: BaseGeometry) -> str:
    """Return a figure as absolute SVG path data (M, L, Z), rounded to 0.01 units, for the even-odd rule."""
    said = []
    for piece in _polygons(figure.simplify(SMOOTH)):
        for ring in (piece.exterior, *piece.interiors):
            points = [f"{round(x, 2):g} {round(y, 2):g}" for x, y in list(ring.coords)[:-1]]
            said.append(f"M{' L'.join(points)} Z")
    return " ".join(said)


def nearest_to(data: str, figures: Sequence[BaseGeometry]) -> int:
    """Return the index of the figure nearest to the middle of some path data."""
    numbers = [float(number) for number in _NUMBER.findall(data)]
    points = list(zip(numbers[::2], numbers[1::2], strict=False))
    if not points:
        return 0
    middle = Point(sum(x for x, _y in points) / len(points), sum(y for _x, y in points) / len(points))
    apart = [figure.distance(middle) for figure in figures]
    return apart.index(min(apart))


def _polygons(figure: BaseGeometry) -> Iterable[Polygon]:
    if isinstance(figure, Polygon):
        return () if figure.is_empty else (figure,)
    return [piece for part in getattr(figure, "geoms", ()) for piece in _polygons(part)]
