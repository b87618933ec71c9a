"""Judges a drawing before it is read as a tree, and its outlines before anybody cuts or paints them.

What an outline costs grows with how often it crosses itself: a tangle of 4,000 points keeps shapely and Qt busy for
minutes. So crossings are counted here up to a bound, on a grid whose cells stay few.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from xml.parsers import expat

from bayapp.files.bounds import (
    DEEPEST_ELEMENT,
    MOST_CROSSINGS,
    MOST_ELEMENTS,
    MOST_PATH_POINTS,
    MOST_POINTS,
)
from bayapp.files.drawings.path_commands import NUMBER, Point, commands_of
from bayapp.files.problems import BadFile, Finding
from bayapp.text.language import _

_LETTER = re.compile(r"[A-Za-z]")
_CURVE_PIECES = 4
"""Straight pieces that a curve is taken for, where crossings are counted."""
_CELLS = 96
"""Cells of the grid along the longer side."""
_MOST_VISITS = 60_000
"""Cells that all pieces together may pass through; 6,400 in the fullest shipped drawing."""
_MOST_PAIRS = 150_000
"""Pairs of pieces in one cell that are compared; 14,000 in the fullest shipped drawing."""

Piece = tuple[Point, Point]
Cell = tuple[int, int]


class TangleError(Exception):
    """The outlines of a drawing cross too often; carries the zone in which it was noticed."""


def judge_svg(path: Path, text: str) -> None:
    """Judge the text of a drawing by its elements and points; whether it is SVG at all is not judged here.

    Raises:
        BadFile: it is beyond a bound, or defines entities, with which a short text can become a long one.
    """
    parser, bounds = expat.ParserCreate(), _Bounds()
    parser.StartElementHandler, parser.EndElementHandler = bounds.begins, bounds.ends
    parser.EntityDeclHandler = bounds.entity
    try:
        parser.Parse(text, True)
    except expat.ExpatError:
        return
    except _TooMuch as much:
        raise BadFile([Finding(str(path), parser.CurrentLineNumber, "", str(much))]) from much


class _TooMuch(Exception):  # noqa: N818 - named for what the person reads
    """A drawing is beyond a bound; the sentence says which."""


class _Bounds:
    """Counts what a parser meets, and stops it at the first that is too much."""

    def __init__(self) -> None:
        self._elements = self._depth = self._points = 0

    def begins(self, name: str, attributes: Mapping[str, str]) -> None:
        self._elements += 1
        self._depth += 1
        if self._elements > MOST_ELEMENTS:
            raise _TooMuch(_("it has more than {most} elements; save it as plain SVG").format(most=MOST_ELEMENTS))
        if self._depth > DEEPEST_ELEMENT:
            reason = _("its groups stand inside groups too deep to be meant; at most {most} are read")
            raise _TooMuch(reason.format(most=DEEPEST_ELEMENT))
        if name != "path":
            return
        data = attributes.get("d", "")
        points = max(len(NUMBER.findall(data)), len(_LETTER.findall(data))) // 2
        self._points += points
        if points > MOST_PATH_POINTS:
            reason = _("path {path!r} has {n} points; at most {most} are read, so simplify it and save again")
            raise _TooMuch(reason.format(path=attributes.get("id", "")[:60], n=points, most=MOST_PATH_POINTS))
        if self._points > MOST_POINTS:
            reason = _("its paths have more than {most} points together; simplify them and save again")
            raise _TooMuch(reason.format(most=MOST_POINTS))

    def ends(self, name: str) -> None:
        self._depth -= 1

    def entity(self, *declared: object) -> None:
        raise _TooMuch(_("it defines entities, which are not read here; save it as plain SVG"))


def expect_plain_outlines(zones: Sequence[tuple[str, str]]) -> None:
    """Judge outlines, each a zone and its path data, by how often they cross themselves and each other.

    Raises:
        ValueError: path data that ``commands_of`` does not read.
        TangleError: they cross more than ``MOST_CROSSINGS`` times, or are too dense for that to be counted.
    """
    pieces = [(zone, piece) for zone, data in zones for piece in _pieces(data)]
    cells: dict[Cell, list[Piece]] = defaultdict(list)
    visits = pairs = 0
    crossings: set[frozenset[Piece]] = set()
    size = _cell_size([piece for _zone, piece in pieces])
    for zone, piece in pieces:
        for cell in _cells(piece, size):
            there = cells[cell]
            visits, pairs = visits + 1, pairs + len(there)
            if visits > _MOST_VISITS or pairs > _MOST_PAIRS:
                raise TangleError(zone)
            crossings.update(frozenset((piece, other)) for other in there if _cross(piece, other))
            if len(crossings) > MOST_CROSSINGS:
                raise TangleError(zone)
            there.append(piece)


def _pieces(data: str) -> Iterator[Piece]:
    """Yield the straight pieces of an outline, its curves taken for some of them, each ring closed."""
    ring: list[Point] = []
    for command, points in commands_of(data):
        if command == "M":
            yield from _closed(ring)
            ring = []
        ring += _flattened(ring[-1], points) if command == "C" else points
    yield from _closed(ring)


def _closed(ring: Sequence[Point]) -> Iterator[Piece]:
    yield from ((one, other) for one, other in pairwise([*ring, *ring[:1]]) if one != other)


def _flattened(start: Point, points: Sequence[Point]) -> Iterator[Point]:
    for at in range(0, len(points), 3):
        one, two, end = points[at : at + 3]
        for piece in range(1, _CURVE_PIECES + 1):
            t = piece / _CURVE_PIECES
            weights = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
            corners = (start, one, two, end)
            yield (
                sum(w * x for w, (x, _y) in zip(weights, corners, strict=True)),
                sum(w * y for w, (_x, y) in zip(weights, corners, strict=True)),
            )
        start = end


def _cell_size(pieces: Sequence[Piece]) -> float:
    points = [point for piece in pieces for point in piece]
    if not points:
        return 1.0
    wide = max(x for x, _y in points) - min(x for x, _y in points)
    tall = max(y for _x, y in points) - min(y for _x, y in points)
    return max(wide, tall, 1e-6) / _CELLS


def _cells(piece: Piece, size: float) -> Iterator[Cell]:
    """Yield the cells that a piece passes through, column by column; one or two beside them may be among them."""
    (x0, y0), (x1, y1) = sorted(piece)
    first, last = int(x0 // size), int(x1 // size)
    slope = (y1 - y0) / (x1 - x0) if x1 > x0 else 0.0
    for column in range(first, last + 1):
        left, right = max(x0, column * size), min(x1, (column + 1) * size)
        ends = (y0, y1) if first == last else (y0 + slope * (left - x0), y0 + slope * (right - x0))
        yield from ((column, row) for row in range(int(min(ends) // size), int(max(ends) // size) + 1))


def _cross(one: Piece, other: Piece) -> bool:
    """Whether two pieces cross in their midst; those that meet at an end do not."""
    (a, b), (c, d) = one, other
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
