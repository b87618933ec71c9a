"""Distances to a flat outline, and the largest circle inside it."""

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Ring = Sequence[Point]
Edge = tuple[float, float, float, float, float]

CENTRE_PULL = 0.03
OUTWARD_PULL = 0.003


@dataclass(frozen=True)
class LabelSpot:
    """The centre of a large circle inside an outline, and its radius, in drawing units."""

    x: float
    y: float
    radius: float


class Outline:
    """Closed rings filled by the even-odd rule, prepared for many distance queries."""

    def __init__(self, rings: Sequence[Ring]) -> None:
        self.edges: list[Edge] = []
        for ring in rings:
            for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True):
                length2 = (x2 - x1) ** 2 + (y2 - y1) ** 2
                if length2:
                    self.edges.append((x1, y1, x2 - x1, y2 - y1, length2))
        self.left = min(e[0] for e in self.edges)
        self.top = min(e[1] for e in self.edges)
        self.right = max(e[0] for e in self.edges)
        self.bottom = max(e[1] for e in self.edges)

    def signed_distance(self, x: float, y: float) -> float:
        """Return the distance to the outline: positive inside, negative outside."""
        nearest, inside = math.inf, False
        for x1, y1, dx, dy, length2 in self.edges:
            px, py = x - x1, y - y1
            if (py >= 0) != (py >= dy) and px < dx * py / dy:
                inside = not inside
            along = (px * dx + py * dy) / length2
            if along >= 1:
                px, py = px - dx, py - dy
            elif along > 0:
                px, py = px - along * dx, py - along * dy
            nearest = min(nearest, px * px + py * py)
        return math.sqrt(nearest) if inside else -math.sqrt(nearest)

    def nearest(self, x: float, y: float) -> Point:
        """Return the point of the outline that is nearest."""
        best, found = math.inf, (x, y)
        for x1, y1, dx, dy, length2 in self.edges:
            along = ((x - x1) * dx + (y - y1) * dy) / length2
            along = 0.0 if along < 0 else 1.0 if along > 1 else along
            to_x, to_y = x1 + along * dx, y1 + along * dy
            distance2 = (x - to_x) * (x - to_x) + (y - to_y) * (y - to_y)
            if distance2 < best:
                best, found = distance2, (to_x, to_y)
        return found

    def box_distance(self, x: float, y: float) -> float:
        """Return a quick lower bound of the distance from outside: to the bounding box, 0 inside it."""
        return math.hypot(max(self.left - x, x - self.right, 0.0), max(self.top - y, y - self.bottom, 0.0))

    def middle(self) -> Point:
        """Return the middle of the bounding box."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2


def largest_circle(outline: Outline, drawing_middle: Point, precision: float = 0.2) -> LabelSpot:
    """Return the largest inscribed circle (pole of inaccessibility), by quadtree refinement.

    Among places that are nearly as good, one near the middle of the outline wins (so that a
    long strip is marked in its middle), then one away from the middle of the drawing (so that
    the marks of a wheel's ring stand outside the car, each on its own).

    The search is the grid refinement published as "polylabel": a cell is split only while its
    best possible score beats the best found. ``shapely.maximum_inscribed_circle`` finds circles as large, but takes
    any of equals: on the shipped forms a bumper is then marked in a corner, and two tyres at different places.
    """
    middle = outline.middle()

    def measured(x: float, y: float) -> tuple[float, float]:
        radius = outline.signed_distance(x, y)
        pull = CENTRE_PULL * math.dist((x, y), middle) - OUTWARD_PULL * abs(y - drawing_middle[1])
        return radius - pull, radius

    size = max(min(outline.right - outline.left, outline.bottom - outline.top), precision)
    half = size / 2
    columns = math.ceil((outline.right - outline.left) / size)
    rows = math.ceil((outline.bottom - outline.top) / size)
    left, top = middle[0] - columns * half, middle[1] - rows * half
    best, anchor = -math.inf, LabelSpot(*middle, 0.0)
    queue: list[tuple[float, float, float, float]] = []
    slack = math.sqrt(2) * (1 + CENTRE_PULL + OUTWARD_PULL)
    todo = [(left + (2 * c + 1) * half, top + (2 * r + 1) * half, half) for c in range(columns) for r in range(rows)]
    todo.append((*middle, 0.0))
    while todo or queue:
        if not todo:
            bound, x, y, half = heapq.heappop(queue)
            if -bound - best <= precision:
                break
            half /= 2
            todo = [(x + sx * half, y + sy * half, half) for sx in (-1, 1) for sy in (-1, 1)]
        x, y, half = todo.pop()
        score, radius = measured(x, y)
        if score > best:
            best, anchor = score, LabelSpot(x, y, radius)
        if half and score + half * slack > best + precision:
            heapq.heappush(queue, (-score - half * slack, x, y, half))
    return anchor
