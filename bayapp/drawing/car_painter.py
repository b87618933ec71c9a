"""Paints the whole car: silhouette, zones, plates, names and the NEXT flag."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF, QTransform

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.lettering import FAMILY, Lettering, font_of, paint_haloed, words_size
from bayapp.drawing.looks import CarWords, ZoneLook
from bayapp.drawing.mark_signs import MarkSigns
from bayapp.drawing.next_flag import flag_face, paint_flag, place_flag, pointed_at
from bayapp.drawing.palette import Palette
from bayapp.drawing.picture_cache import Draw, PictureCache
from bayapp.drawing.plates import RIM, Plate, paint_plate, plate_for
from bayapp.drawing.textures import inks_for, paint_around, paint_aside, paint_away, paint_cover, paint_texture
from bayapp.job.model.ids import THE_CAR, Stage, Urgency, ZoneId

__all__ = ["CarPainter", "CarWords", "ZoneLook"]

NAME = 27
SIDE = 26
RING = 9.0
MARGIN = RING + 2.0
SIDE_AT = 0.48
NAMED_FROM = 130.0

Looks = Mapping[ZoneId, ZoneLook]


@dataclass(frozen=True)
class Name:
    """The place of a zone's name, in drawing units, and whether it reads from bottom to top."""

    rect: QRectF
    turned: bool


@dataclass(frozen=True)
class PlacedFlag:
    """The place of the flag for a zone and label, and which zones were active when it was chosen."""

    zone: ZoneId
    label: str
    active: frozenset[ZoneId]
    rect: QRectF


def _of_outline(look: ZoneLook) -> tuple[object, ...]:
    """Return what of a look of the car itself shows around the whole of it."""
    return look.stage, look.urgency, look.next_up, look.selected


class CarPainter:
    """Paints a vehicle form into any rectangle; the drawing keeps its shape and is centred.

    ``cached`` keeps a picture of every zone's texture; switch it off for PDF, where lines must stay vectors.
    """

    def __init__(
        self,
        drawing: FormDrawing,
        palette: Palette,
        words: CarWords | None = None,
        family: str = FAMILY,
        cached: bool = True,
    ) -> None:
        self.drawing = drawing
        self.palette = palette
        self.words = words or CarWords()
        self.family = family
        self._pictures = PictureCache(limit=2 * len(drawing.zone_paths) + 1) if cached else None
        self._signs = MarkSigns(drawing, palette, family)
        self._flag: PlacedFlag | None = None
        self._plates: dict[Hashable, Plate | None] = {}

    def paint(
        self,
        painter: QPainter,
        target: QRectF,
        looks: Looks,
        next_label: str = "",
        dirty: QRectF | None = None,
    ) -> None:
        """Paint the car into ``target``; a zone without a look is untouched and idle.

        Only what touches ``dirty`` is painted (device-independent pixels).
        """
        todo = dirty.intersected(target) if dirty is not None else target
        painter.save()
        painter.setClipRect(todo, Qt.ClipOperation.IntersectClip)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        around = self._around(looks)
        key = ("ground", around and (around.stage, around.urgency))
        self._paint_kept(painter, target, key, self.drawing.view_box, lambda canvas: self.draw_ground(canvas, around))
        for zone in self.drawing.zone_paths:
            if self.zone_rect_on(target, zone).intersects(todo):
                self.paint_zone(painter, target, zone, looks.get(zone, ZoneLook()))
        painter.setTransform(self.transform(target), combine=True)
        self._paint_rings(painter, looks)
        self._paint_plates(painter, target, looks, todo)
        self._paint_marks(painter, target, looks, todo)
        self._paint_flag(painter, looks, next_label)
        painter.restore()

    def paint_zone(self, painter: QPainter, target: QRectF, zone: ZoneId, look: ZoneLook) -> None:
        """Paint one zone's texture and name, without plate and ring."""
        key = (zone, look.stage, look.layers, look.urgency, look.name, look.away, look.aside, look.covered, look.marks)
        box = self.drawing.zone_paths[zone].boundingRect().adjusted(-2, -2, 2, 2)
        self._paint_kept(painter, target, key, box, lambda canvas: self._draw_zone(canvas, zone, look))

    def transform(self, target: QRectF) -> QTransform:
        """Return the transform from drawing units to pixels of ``target``."""
        view = self.drawing.view_box
        scale = min(target.width() / view.width(), target.height() / view.height())
        corner = target.center() - view.center() * scale
        return QTransform(scale, 0, 0, scale, corner.x(), corner.y())

    def zone_rect_on(self, target: QRectF, zone: ZoneId) -> QRectF:
        """Return the zone's box in pixels."""
        return self.transform(target).mapRect(self.drawing.zone_paths[zone].boundingRect())

    def dirty_rect(self, target: QRectF, zone: ZoneId, look: ZoneLook) -> QRectF:
        """Return what must be repainted when this zone changes: its box, ring and plate, in pixels."""
        box = self.drawing.zone_paths[zone].boundingRect()
        plate = self._plate(zone, look)
        box = box.united(plate.rect) if plate else box
        box = box.united(self._signs.extent(zone, look.marks))
        return self.transform(target).mapRect(box.adjusted(-MARGIN, -MARGIN, MARGIN, MARGIN))

    def dirty_between(self, target: QRectF, zone: ZoneId, before: ZoneLook, now: ZoneLook) -> QRectF:
        """Return what must be repainted when this zone changes from one look to another, in pixels."""
        if zone == THE_CAR and _of_outline(before) != _of_outline(now):
            return target
        return self.dirty_rect(target, zone, before).united(self.dirty_rect(target, zone, now))

    def map_to_zone(self, target: QRectF, position: QPointF, reach: float) -> list[tuple[ZoneId, float]]:
        """Return the zones within ``reach`` pixels of a touch and their distance in pixels, nearest first."""
        transform = self.transform(target)
        inverse, _ = transform.inverted()
        scale = transform.m11()
        hits = self.drawing.zones_near(inverse.map(position), reach / scale)
        return [(zone, distance * scale) for zone, distance in hits]

    def flag_rect(self, zone: ZoneId, looks: Looks, next_label: str) -> QRectF:
        """Return where the NEXT flag stands for this zone, in drawing units.

        It stays where it is until another zone or label is next, or a zone under it becomes
        active; when it moves, the whole car has to be repainted.
        """
        active = frozenset(z for z, look in looks.items() if look.active and z in self.drawing.zone_paths)
        placed = self._flag
        if placed is None or (placed.zone, placed.label) != (zone, next_label) or self._in_the_way(placed, active):
            face = flag_face(self.words.next_up, next_label, self.family)
            plates = [plate.rect for z in active if (plate := self._plate(z, looks[z])) is not None]
            names = [name.rect for z, look in looks.items() if (name := self._name(z, look)) is not None]
            names += [self._signs.extent(z, look.marks) for z, look in looks.items() if look.marks]
            rect = place_flag(self.drawing, zone, face.size, sorted(active), plates, names)
            self._flag = PlacedFlag(zone, next_label, active, rect)
            return rect
        return placed.rect

    def _in_the_way(self, placed: PlacedFlag, active: frozenset[ZoneId]) -> bool:
        paths = (self.drawing.zone_paths[zone] for zone in active - placed.active)
        return any(path.intersects(placed.rect) for path in paths)

    def _paint_kept(self, painter: QPainter, target: QRectF, key: Hashable, box: QRectF, draw: Draw) -> None:
        transform = self.transform(target)
        if self._pictures is not None:
            self._pictures.paint(painter, transform, key, box, draw)
            return
        painter.save()
        painter.setTransform(transform, combine=True)
        draw(painter)
        painter.restore()

    def _around(self, looks: Looks) -> ZoneLook | None:
        """Return the look of the car itself, where there is something to tell of it."""
        look = looks.get(THE_CAR) if THE_CAR in self.drawing.zone_paths else None
        return look if look and (look.stage, look.urgency) != (Stage.UNTOUCHED, Urgency.IDLE) else None

    def draw_ground(self, painter: QPainter, around: ZoneLook | None = None) -> None:
        """Paint the silhouette under the zones, and where front and sides are, in drawing units.

        ``around`` is how the car itself looks, where that is drawn.
        """
        if around:
            inks = inks_for(self.palette, "car", around.stage, 0, around.urgency)
            paint_around(painter, self.drawing.chassis, around.stage, inks)
        painter.strokePath(self.drawing.chassis, QPen(QColor(self.palette.chassis_edge), 5))
        painter.fillPath(self.drawing.chassis, QColor(self.palette.chassis))
        view, font = self.drawing.view_box, font_of(self.family, SIDE, bold=False)
        painter.setFont(font)
        painter.setPen(QColor(self.palette.text_quiet))
        capital = words_size(self.words.front, font).height()
        top, bottom = view.top() + 24 + capital, view.bottom() - 24
        for words, baseline in ((self.words.right, top), (self.words.left, bottom)):
            centre = view.left() + view.width() * SIDE_AT
            painter.drawText(QPointF(centre - words_size(words, font).width() / 2, baseline), words)
        if self.words.front:
            self._draw_front(painter, QPointF(view.left() + 20, top - capital / 2))

    def _draw_front(self, painter: QPainter, tip: QPointF) -> None:
        corners = [tip, tip + QPointF(20, -13), tip + QPointF(20, 13)]
        painter.drawText(tip + QPointF(30, words_size(self.words.front, painter.font()).height() / 2), self.words.front)
        arrow = QPainterPath()
        arrow.addPolygon(QPolygonF([*corners, tip]))
        painter.fillPath(arrow, QColor(self.palette.text_quiet))

    def _draw_zone(self, painter: QPainter, zone: ZoneId, look: ZoneLook) -> None:
        path = self.drawing.zone_paths[zone]
        if look.away:
            paint_away(painter, path, self.palette)
            self._draw_name(painter, zone, look)
            return
        surface = self.drawing.form.zone_named(zone).surface
        inks = inks_for(self.palette, surface, look.stage, len(look.layers), look.urgency)
        paint_texture(painter, path, look.stage, look.layers, inks, self.drawing.details[zone])
        if look.aside:
            paint_aside(painter, path, self.palette)
        if look.covered:
            paint_cover(painter, path, self.palette)
        self._draw_name(painter, zone, look)

    def _draw_name(self, painter: QPainter, zone: ZoneId, look: ZoneLook) -> None:
        name = self._name(zone, look)
        if name is None:
            return
        font = font_of(self.family, NAME, bold=not look.away)
        ink, halo = (
            (self.palette.away_text, self.palette.chassis) if look.away else (self.palette.text, self.palette.halo)
        )
        paint_haloed(painter, name.rect.center(), look.name, Lettering(font, ink, halo, name.turned))

    def _name(self, zone: ZoneId, look: ZoneLook) -> Name | None:
        """Return the place of a quiet zone's name; None if there is no room for it."""
        box = self.drawing.zone_paths[zone].boundingRect()
        if not look.name or look.urgency is not Urgency.IDLE or max(box.width(), box.height()) < NAMED_FROM:
            return None
        size = words_size(look.name, font_of(self.family, NAME))
        room = QSizeF(size.width() + 1.5 * NAME, size.height() + NAME)
        for turned, needed in ((False, room), (True, room.transposed())):
            centre = self.drawing.plate_anchor(zone, needed)
            if centre is not None:
                rect = QRectF(centre - QPointF(needed.width() / 2, needed.height() / 2), needed)
                if not rect.intersects(self._signs.extent(zone, look.marks)):
                    return Name(rect, turned)
        return None

    def _paint_rings(self, painter: QPainter, looks: Looks) -> None:
        for zone, look in looks.items():
            if look.next_up or look.selected:
                path = self.drawing.zone_paths[zone]
                if zone == THE_CAR:
                    path = path + self.drawing.chassis
                painter.strokePath(path, QPen(QColor(self.palette.ring_edge), 2 * RING))
                painter.strokePath(path, QPen(QColor(self.palette.ring), RING if look.next_up else RING * 0.66))

    def _plate(self, zone: ZoneId, look: ZoneLook) -> Plate | None:
        text = "".join("0" if c.isdigit() else c for c in look.time_text) if look.show_time else ""
        key = (zone, look.urgency, len(look.layers), text)
        if key not in self._plates:
            self._plates[key] = plate_for(self.drawing, zone, look, self.family)
        return self._plates[key]

    def _paint_plates(self, painter: QPainter, target: QRectF, looks: Looks, todo: QRectF) -> None:
        transform = self.transform(target)
        for zone, look in looks.items():
            plate = self._plate(zone, look)
            if plate is not None and transform.mapRect(plate.rect.adjusted(-RIM, -RIM, RIM, RIM)).intersects(todo):
                paint_plate(painter, plate, look, self.palette, self.family)

    def _paint_marks(self, painter: QPainter, target: QRectF, looks: Looks, todo: QRectF) -> None:
        transform = self.transform(target)
        for zone, look in looks.items():
            if look.marks and transform.mapRect(self._signs.extent(zone, look.marks)).intersects(todo):
                self._signs.paint(painter, zone, look.marks)

    def _paint_flag(self, painter: QPainter, looks: Looks, next_label: str) -> None:
        zone = next((zone for zone, look in looks.items() if look.next_up), None)
        if zone is not None:
            rect = self.flag_rect(zone, looks, next_label)
            tip = pointed_at(self.drawing, zone, rect)
            face = flag_face(self.words.next_up, next_label, self.family)
            paint_flag(painter, rect, tip, face, self.palette)
