"""The page on which the zone of a photo is touched on the drawn car; zones that have photos bear a ring."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtWidgets import QWidget

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job import JobState
from bayapp.job.model.ids import ZoneId
from bayapp.pages.arrival.photos import with_photos
from bayapp.pages.board.car_view import Face
from bayapp.screen.board.car_view import CarView
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.text.language import _, ngettext

WHOLE_MM = 27.0


class PhotoZonesPage(HeadedPage):
    """The page on which the zone of a photo is touched.

    Signals:
        zone_wanted: a zone was touched; carries it, or None for the whole car.
    """

    zone_wanted = Signal(object)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.car = CarView(look, self)
        self.car.touched.connect(lambda zones: self.zone_wanted.emit(zones[0]))
        self.whole = GloveButton(look, self)
        self.whole.clicked.connect(lambda: self.zone_wanted.emit(None))

    def show_zones(self, car: JobState, drawing: FormDrawing | None) -> None:
        """Show the car, and which of its zones have photos."""
        self.show_title(_("Photos"), _("Touch the zone. Those with a ring have photos."))
        self.car.show_car(drawing)
        self.car.theme_changed()
        ringed = with_photos(car)
        names = {ZoneId(zone.id): zone.short or zone.name for zone in car.job.vehicle.zone}
        self.car.show_faces({zone: Face(name=name, selected=zone in ringed) for zone, name in names.items()}, "")
        count = len(car.photos_of(None))
        told = ngettext("{n} photo", "{n} photos", count).format(n=count) if count else ""
        self.whole.show_words(_("The whole car"), told, glyph="car", title_mm=6.0)

    def lay_out(self) -> None:
        super().lay_out()
        mm = self._look.mm
        body = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP / 2), -mm(EDGE), -mm(EDGE))
        place(self.whole, QRectF(body.left(), body.bottom() - mm(WHOLE_MM), body.width(), mm(WHOLE_MM)))
        place(self.car, body.adjusted(0, 0, 0, -mm(WHOLE_MM + GAP)))
