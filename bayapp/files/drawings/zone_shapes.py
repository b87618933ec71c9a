"""The zones of a drawing as shapely figures, to be measured.

Shapely (GEOS) loads with it: only ``check`` measures drawings, and the wall only where zones are split or joined.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache, reduce
from xml.etree import ElementTree

from shapely import Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from bayapp.files.bounds import LARGEST_COORDINATE
from bayapp.files.drawings.path_commands import Point, commands_of

_SVG = "{http://www.w3.org/2000/svg}"
_PIECES = 24
"""Line segments per curve; on a quarter of a circle the error is 0.1 % of the radius."""
_BERNSTEIN = tuple(
    ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
    for t in (piece / _PIECES for piece in range(1, _PIECES + 1))
)
"""The weights of a curve's four points at the end of each segment."""
_KEPT = 500
"""Figures cached, 7 kB each: after one zone is split, all the others are found here."""


@dataclass(frozen=True, slots=True)
class ZoneShapes:
    """The figures of one drawing, in the units of its viewBox.

    Attributes:
        page: the viewBox.
        zones: one figure for each id in the group ``zones``; an empty one where a path encloses nothing.
        body: what the group ``chassis`` encloses; empty where there is none.
    """

    page: BaseGeometry
    zones: dict[str, BaseGeometry]
    body: BaseGeometry

    @property
    def width(self) -> float:
        """The width of the viewBox; other measures are shares of it."""
        left, _top, right, _bottom = self.page.bounds
        return float(right - left)


def shapes_of(svg: str) -> ZoneShapes:
    """Return the figures of a drawing that ``read_drawing`` has found readable.

    Raises:
        ValueError: the viewBox is not four numbers, or path data has too many, too few or too large numbers. Its
            message says where: a zone id, "viewBox", or "" for the chassis.
    """
    root = ElementTree.fromstring(svg)
    try:
        left, top, width, height = map(_number, root.get("viewBox", "").replace(",", " ").split())
    except ValueError as error:
        raise ValueError("viewBox") from error
    if not (width > 0 and height > 0):
        raise ValueError("viewBox")
    zones = {node.get("id", ""): _figure(node) for node in _paths(root, "zones")}
    body = union_all([_figure(node) for node in _paths(root, "chassis")])
    return ZoneShapes(box(left, top, left + width, top + height), zones, body)


def moved(svg: str) -> bool:
    """Whether anything in a drawing has a ``transform``, which neither the wall nor ``shapes_of`` reads."""
    return any("transform" in node.attrib for node in ElementTree.fromstring(svg).iter())


@lru_cache(maxsize=_KEPT)
def figure_of(data: str) -> BaseGeometry:
    """Return the polygon of absolute SVG path data (M, L, C, Z) by the even-odd rule, curves flattened."""
    rings = [Polygon(ring).buffer(0) for ring in _rings(data) if len(ring) >= 3]
    return reduce(lambda one, other: one.symmetric_difference(other), rings, Polygon())


def _paths(root: ElementTree.Element, group: str) -> Iterator[ElementTree.Element]:
    for node in root.iter(f"{_SVG}g"):
        if node.get("id") == group:
            yield from node.iter(f"{_SVG}path")


def _figure(node: ElementTree.Element) -> BaseGeometry:
    try:
        return figure_of(node.get("d", ""))
    except ValueError as error:
        raise ValueError(node.get("id", "")) from error


def _rings(data: str) -> Iterator[list[Point]]:
    ring: list[Point] = []
    for command, points in commands_of(data):
        if command == "M":
            yield ring
            ring = list(points)
        elif command == "L":
            ring += points
        elif command == "C":
            for at in range(0, len(points), 3):
                ring += _curve(ring[-1], *points[at : at + 3])
    yield ring


def _number(text: str) -> float:
    number = float(text)
    if not abs(number) <= LARGEST_COORDINATE:
        raise ValueError(text)
    return number


def _curve(start: Point, one: Point, two: Point, end: Point) -> Iterator[Point]:
    """Flatten a cubic Bézier curve by its Bernstein form."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = start, one, two, end
    for a, b, c, d in _BERNSTEIN:
        yield a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3
