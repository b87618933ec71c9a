"""The drawn car on the board: paints what changed, and finds which zones a touch may mean."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.car_painter import CarPainter
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.looks import CarWords, ZoneLook
from bayapp.job.model.ids import ZoneId
from bayapp.pages.board.car_view import Face
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.text.language import _

REACH_MM = 15.0
GLOVE_MM = 25.0
SLIP_MM = 4.0
"""By how much a gloved finger misses what it aims at, at most times (common practice, no source)."""
STANDS_WIDE, STANDS_TALL = 44.0, 25.5
"""Where the car stands, in the corner that no car fills; millimetres."""


def look_of(face: Face) -> ZoneLook:
    """Convert a page's face of a zone to the painter's look."""
    return ZoneLook(
        stage=face.stage,
        layers=face.layers,
        planned=face.planned,
        urgency=face.urgency,
        fraction=face.fraction,
        time_text=face.time_text,
        name=face.name,
        show_time=face.show_time,
        selected=face.selected,
        next_up=face.next_up,
        away=not face.worked,
        aside=face.aside,
        covered=face.covered,
        marks=face.marks,
    )


def _car_words() -> CarWords:
    return CarWords(front=_("front"), left=_("left side"), right=_("right side"), next_up=_("NEXT"))


class CarView(QWidget):
    """The car.

    Signals:
        touched: the zones that a touch may mean, the nearest first; one if it is clear.
        moving: where the car stands was touched.
    """

    touched = Signal(list)
    moving = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._drawing: FormDrawing | None = None
        self._painter: CarPainter | None = None
        self._looks: dict[ZoneId, ZoneLook] = {}
        self._label = ""
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.stands = GloveButton(look, self)
        self.stands.clicked.connect(self.moving)
        self.stands.hide()

    def show_car(self, drawing: FormDrawing | None) -> None:
        """Show another vehicle form, or none."""
        if drawing is not self._drawing:
            self._drawing = drawing
            self.theme_changed()

    def show_place(self, words: str) -> None:
        """Show where the car stands; nothing where no words are to be said of it."""
        self.stands.setVisible(bool(words))
        self.stands.show_words(words, glyph="change", title_mm=4.4)
        self._lay_out()

    def _lay_out(self) -> None:
        mm = self._look.mm
        place(self.stands, QRectF(0, self.height() - mm(STANDS_TALL), mm(STANDS_WIDE), mm(STANDS_TALL)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def theme_changed(self) -> None:
        """Make a new painter with the present palette."""
        self._painter = CarPainter(self._drawing, self._look.palette, _car_words()) if self._drawing else None
        self.update()

    def show_faces(self, faces: Mapping[ZoneId, Face], label: str) -> None:
        """Show these faces; only changed zones are repainted."""
        looks = {zone: look_of(face) for zone, face in faces.items()}
        before, self._looks = self._looks, looks
        if self._painter is None:
            return
        moved = label != self._label or [z for z, k in before.items() if k.next_up] != [
            z for z, k in looks.items() if k.next_up
        ]
        self._label = label
        if moved or before.keys() != looks.keys() or self._flag_may_move(before, looks):
            self.update()
            return
        target = self._target()
        for zone, now in looks.items():
            if now != before[zone]:
                dirty = self._painter.dirty_between(target, zone, before[zone], now)
                self.update(dirty.toAlignedRect().adjusted(-2, -2, 2, 2))

    def _flag_may_move(self, before: Mapping[ZoneId, ZoneLook], after: Mapping[ZoneId, ZoneLook]) -> bool:
        """Whether the NEXT flag may have to move, because it keeps clear of active zones."""
        return bool(self._label) and any(before[z].active != k.active for z, k in after.items())

    def _target(self) -> QRectF:
        return QRectF(self.rect())

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), self._look.palette.board)
            if self._painter:
                self._painter.paint(painter, self._target(), self._looks, self._label, QRectF(event.rect()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._look.fingers.down(event)
        self._answer(event.position())

    def _answer(self, position: QPointF) -> None:
        if self._painter is None:
            return
        painter, target, glove = self._painter, self._target(), self._look.mm(GLOVE_MM)

        def is_small(zone: ZoneId) -> bool:
            box = painter.zone_rect_on(target, zone)
            return min(box.width(), box.height()) < glove

        zones = meant(painter.map_to_zone(target, position, self._look.mm(REACH_MM)), self._look.mm(1.0), is_small)
        if zones:
            self.touched.emit(zones)

    def zone_box(self, zone: ZoneId) -> QRectF:
        """Return the box around a zone, in this widget's pixels.

        Raises:
            ValueError: no car is drawn.
        """
        if self._painter is None:
            raise ValueError(f"no car is drawn, so there is no {zone}")
        return self._painter.zone_rect_on(self._target(), zone)

    @property
    def zones(self) -> tuple[ZoneId, ...]:
        """The zones that are drawn; none before a car is shown."""
        return tuple(self._drawing.zone_paths) if self._drawing else ()

    def zone_centre(self, zone: ZoneId) -> QPointF:
        """Return a point inside a zone, in this widget's pixels; for tests and for help.

        Raises:
            ValueError: no car is drawn.
        """
        if self._painter is None or self._drawing is None:
            raise ValueError(f"no car is drawn, so there is no {zone}")
        anchor = self._drawing.anchor(zone)
        return self._painter.transform(self._target()).map(QPointF(anchor.x, anchor.y))


def meant(hits: list[tuple[ZoneId, float]], one_mm: float, is_small: Callable[[ZoneId], bool]) -> list[ZoneId]:
    """Return which zones a touch may have meant.

    A touch well inside a zone is plain. Beside small zones a glove cannot be sure: those that it missed by little are
    offered as well, the nearest first, six at most. A near miss means the nearest zone, and those about as near.
    """
    if not hits:
        return []
    inside = [zone for zone, distance in hits if distance <= 0]
    nearest = min(distance for _zone, distance in hits)
    near = SLIP_MM * one_mm if inside else nearest + SLIP_MM * one_mm
    rivals = [zone for zone, distance in hits if 0 < distance <= near and is_small(zone)]
    return list(dict.fromkeys([*inside, *rivals] or [hits[0][0]]))[:6]
