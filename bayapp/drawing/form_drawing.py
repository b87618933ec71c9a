"""The drawing of a vehicle form: outlines, anchors, and the zones near a touch."""

import xml.etree.ElementTree as ET
from collections.abc import Container, Iterable, Iterator
from pathlib import Path

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QPainterPath, QTransform

from bayapp.drawing.inscribe import LabelSpot, Outline, largest_circle
from bayapp.drawing.path_data import path_from
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.vehicle import VehicleForm

_SVG = "{http://www.w3.org/2000/svg}"
_STEPS = 12
AIR = QMarginsF(5, 5, 5, 5)
_FINER = 4.0


class FormDrawing:
    """What the SVG of a vehicle form holds, in the units of its viewBox.

    Attributes:
        form: the vehicle form it belongs to.
        view_box: the whole drawing.
        zone_paths: one closed path per zone, in the order of the form.
        details: per zone, lines that help recognition and cannot be touched.
        chassis: the silhouette under the zones.
    """

    def __init__(self, form: VehicleForm, svg: str) -> None:
        root = ET.fromstring(svg)
        self.form = form
        self.view_box = _view_box(root)
        drawn = {ZoneId(node.get("id", "")): node for node in _paths_of(root, "zones")}
        _check_ids(form, drawn.keys())
        self.zone_paths = {ZoneId(z.id): path_from(drawn[ZoneId(z.id)].get("d", "")) for z in form.zone}
        self.details: dict[ZoneId, list[QPainterPath]] = {zone: [] for zone in self.zone_paths}
        for node in _paths_of(root, "detail"):
            self.details[_zone_of(node, self.details)].append(path_from(node.get("d", "")))
        self.chassis = QPainterPath()
        for node in _paths_of(root, "chassis"):
            self.chassis.addPath(path_from(node.get("d", "")))
        self._stored = {zone: node.get("data-anchor") for zone, node in drawn.items()}
        self._outlines: dict[ZoneId, Outline] = {}
        self._anchors: dict[ZoneId, LabelSpot] = {}
        self._plates: dict[tuple[ZoneId, float, float], QPointF | None] = {}
        self._far_places: dict[tuple[ZoneId, float, float], QRectF | None] = {}

    @classmethod
    def load(cls, form: VehicleForm, folder: Path) -> "FormDrawing":
        """Read ``form.drawing`` from the folder that holds the form.

        Raises:
            ValueError: the drawing cannot be read, or its zones are not the form's.
        """
        path = folder / form.drawing
        try:
            return cls(form, path.read_text(encoding="utf-8"))
        except (OSError, ET.ParseError, ValueError) as trouble:
            raise ValueError(f"{path}: {trouble}") from trouble

    @classmethod
    def of_job(cls, job: Job, shipped: Path) -> "FormDrawing":
        """Return the drawing that the job carries; for a job that carries none, the one in the folder ``shipped``.

        Raises:
            ValueError: the drawing cannot be read, or its zones are not the form's.
        """
        if not job.drawing:
            return cls.load(job.vehicle, shipped)
        try:
            return cls(job.vehicle, job.drawing)
        except (ET.ParseError, ValueError) as trouble:
            raise ValueError(f"the drawing in job {job.id}: {trouble}") from trouble

    def outline(self, zone: ZoneId) -> Outline:
        """Return the flattened outline of a zone, for distances."""
        if zone not in self._outlines:
            self._outlines[zone] = Outline(flattened(self.zone_paths[zone]))
        return self._outlines[zone]

    def anchor(self, zone: ZoneId) -> LabelSpot:
        """Return where the zone's badge goes: the largest circle that fits inside it.

        A ``data-anchor`` ("x y radius") in the drawing is trusted, which saves the search at start.
        """
        if zone not in self._anchors:
            stored = self._stored[zone]
            self._anchors[zone] = LabelSpot(*map(float, stored.split())) if stored else self.computed_anchor(zone)
        return self._anchors[zone]

    def computed_anchor(self, zone: ZoneId) -> LabelSpot:
        """Return the anchor found by search, ignoring ``data-anchor``."""
        middle = self.view_box.center()
        return largest_circle(self.outline(zone), (middle.x(), middle.y()))

    def plate_anchor(self, zone: ZoneId, size: QSizeF) -> QPointF | None:
        """Return the centre for a plate of this size that lies wholly inside the zone, nearest its anchor, or None."""
        key = (zone, round(size.width(), 1), round(size.height(), 1))
        if key not in self._plates:
            self._plates[key] = self._find_plate(zone, size)
        return self._plates[key]

    def _find_plate(self, zone: ZoneId, size: QSizeF) -> QPointF | None:
        path, at = self.zone_paths[zone], self.anchor(zone)
        bounds = path.boundingRect()
        if bounds.width() < size.width() or bounds.height() < size.height():
            return None
        for centre in _spiral(QPointF(at.x, at.y), bounds):
            plate = QRectF(centre - QPointF(size.width() / 2, size.height() / 2), size)
            if path.contains(plate):
                return centre
        return None

    def farthest_place(self, zone: ZoneId, wide: float, tall: float) -> QRectF | None:
        """Return the rectangle of this size inside the zone, air around it, farthest from its anchor, or None."""
        key = (zone, round(wide, 1), round(tall, 1))
        if key not in self._far_places:
            path, at, size = self.zone_paths[zone], self.anchor(zone), QSizeF(wide, tall)
            centres = reversed(_spiral(QPointF(at.x, at.y), path.boundingRect()))
            places = (QRectF(centre - QPointF(wide / 2, tall / 2), size) for centre in centres)
            self._far_places[key] = next((p for p in places if path.contains(p + AIR)), None)
        return self._far_places[key]

    def zones_near(self, point: QPointF, radius: float) -> list[tuple[ZoneId, float]]:
        """Return the zones within ``radius`` units of a point, nearest first; the distance is 0 inside a zone."""
        found: list[tuple[ZoneId, float]] = []
        for zone in self.zone_paths:
            outline = self.outline(zone)
            if outline.box_distance(point.x(), point.y()) <= radius:
                distance = max(0.0, -outline.signed_distance(point.x(), point.y()))
                if distance <= radius:
                    found.append((zone, distance))
        return sorted(found, key=lambda hit: hit[1])


def flattened(path: QPainterPath) -> list[list[tuple[float, float]]]:
    """Return the rings of a path as points; curves are flattened to within a quarter of a unit."""
    finer = QTransform.fromScale(_FINER, _FINER)
    polygons = path.toSubpathPolygons(finer)
    rings = [[(p.x() / _FINER, p.y() / _FINER) for p in polygon.toList()] for polygon in polygons]
    return [ring[:-1] if ring[0] == ring[-1] else ring for ring in rings]


def _spiral(start: QPointF, bounds: QRectF) -> list[QPointF]:
    """Return the start and a grid of places over the bounds, nearest the start first."""
    steps = range(_STEPS + 1)
    grid = [
        QPointF(bounds.left() + bounds.width() * i / _STEPS, bounds.top() + bounds.height() * j / _STEPS)
        for i in steps
        for j in steps
    ]
    middle = bounds.center()
    grid += [middle, QPointF(start.x(), middle.y()), QPointF(middle.x(), start.y())]
    return [start, *sorted(grid, key=lambda p: QPointF.dotProduct(p - start, p - start))]


def _view_box(root: ET.Element) -> QRectF:
    numbers = [float(part) for part in root.get("viewBox", "").replace(",", " ").split()]
    if len(numbers) != 4:
        raise ValueError("the drawing needs a viewBox of four numbers")
    return QRectF(*numbers)


def _paths_of(root: ET.Element, group: str) -> Iterator[ET.Element]:
    for node in root.iter(f"{_SVG}g"):
        if node.get("id") == group:
            yield from node.iter(f"{_SVG}path")


def _zone_of(detail: ET.Element, zones: Container[ZoneId]) -> ZoneId:
    zone = ZoneId(detail.get("data-zone", ""))
    if zone not in zones:
        raise ValueError(f"a detail names data-zone {zone!r}, which is no zone; name the zone it lies on")
    return zone


def _check_ids(form: VehicleForm, drawn: Iterable[ZoneId]) -> None:
    named = {ZoneId(zone.id) for zone in form.zone}
    if missing := sorted(named - set(drawn)):
        raise ValueError(
            f"zone {missing[0]!r} of form {form.name!r} is not drawn; give a path in group 'zones' this id"
        )
    if extra := sorted(set(drawn) - named):
        raise ValueError(
            f"path {extra[0]!r} is no zone of form {form.name!r}; name it in the form or move it to 'detail'"
        )
