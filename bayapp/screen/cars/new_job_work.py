"""Choosing the work on a new car: touch sets or zones in and out."""

from collections.abc import Mapping

from PySide6.QtCore import QRectF, Signal
from PySide6.QtWidgets import QWidget

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import Urgency, ZoneId
from bayapp.pages.board.car_view import Face
from bayapp.pages.cars.new_job import WorkView
from bayapp.screen.board.car_view import CarView
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.text.language import _

ROWS, COLUMNS = 5, 2
BUTTON = 25.6
WIDE = 56.0
ALL = 2 * WIDE + GAP


class WorkPage(HeadedPage):
    """The work.

    Signals:
        toggled: a set was touched; carries its name.
        zones_touched: the drawing was touched; carries the zones that may have been meant.
        recipes_wanted, zones_wanted, next_wanted: the buttons below.
    """

    toggled = Signal(str)
    zones_touched = Signal(list)
    recipes_wanted = Signal()
    zones_wanted = Signal()
    next_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: WorkView | None = None
        self._faces: Mapping[ZoneId, Face] = {}
        self._first = 0
        self._words = ("", "")  # title and subtitle, where nothing is told
        self.car = CarView(look, self)
        self.car.touched.connect(self.zones_touched)
        self.sets: list[GloveButton] = []
        for number in range(ROWS * COLUMNS):
            button = GloveButton(look, self)
            button.clicked.connect(lambda _=False, n=number: self._touch(n))
            self.sets.append(button)
        self.recipes, self.zones, self.next = (GloveButton(look, self) for _n in range(3))
        self.recipes.clicked.connect(self.recipes_wanted)
        self.zones.clicked.connect(self.zones_wanted)
        self.next.clicked.connect(self.next_wanted)

    def open_car(
        self, title: str, drawing: FormDrawing | None, subtitle: str = "", *, recipes: bool = True, zones: bool = True
    ) -> None:
        """Begin with another car, with or without buttons for other recipes and for splitting zones."""
        self._first = 0
        self.recipes.setVisible(recipes)
        self.zones.setVisible(zones)
        self._words = title, subtitle or _("Touch sets, or zones on the car, in or out: solid is worked.")
        self.show_title(*self._words)
        self.car.show_car(drawing)
        self.lay_out()

    def show_work(self, view: WorkView, faces: Mapping[ZoneId, Face]) -> None:
        """Show what is chosen."""
        self._view, self._faces = view, faces
        self.show_title(self._words[0], view.told or self._words[1])
        self.car.show_faces(faces, "")
        turning = len(view.choices) > len(self.sets)
        room = len(self.sets) - turning
        for n, button in enumerate(self.sets):
            number = self._first + n
            button.setVisible(number < len(view.choices) if n < room or not turning else True)
            if turning and n == room:
                button.show_words(_("More"), glyph="more", title_mm=5.0)
            elif number < len(view.choices):
                choice = view.choices[number]
                style = Style.CHOSEN if choice.whole else Style.OUTLINED
                badge = Urgency.FINISHED if choice.whole else None
                button.show_words(choice.title, choice.detail, style=style, badge=badge, title_mm=4.8)
        self.recipes.show_words(_("Recipes"), _("choose others"), title_mm=5.4)
        self.zones.show_words(_("Zones"), _("split or join"), title_mm=5.4)
        style, badge = (Style.REFUSED, None) if view.trouble else (Style.FILLED, Urgency.OPEN)
        self.next.show_words(view.go or _("Next"), view.trouble or view.note, style=style, badge=badge, title_mm=7.5)

    def _touch(self, place_: int) -> None:
        if self._view is None:
            return
        turning = len(self._view.choices) > len(self.sets)
        if turning and place_ == len(self.sets) - 1:
            room = len(self.sets) - 1
            self._first = self._first + room if self._first + room < len(self._view.choices) else 0
            self.show_work(self._view, self._faces)
            return
        self.toggled.emit(self._view.choices[self._first + place_].name)

    def lay_out(self) -> None:
        super().lay_out()
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        left = box.width() - mm(ALL + GAP)
        foot = box.bottom() - mm(BUTTON)
        place(self.car, QRectF(box.left(), box.top(), left, foot - mm(GAP) - box.top()))
        tall = min(mm(BUTTON + 6), (box.height() - mm(GAP) * (ROWS - 1)) / ROWS)
        for n, button in enumerate(self.sets):
            row, column = divmod(n, COLUMNS)
            x = box.right() - mm(ALL) + column * mm(WIDE + GAP)
            place(button, QRectF(x, box.top() + row * (tall + mm(GAP)), mm(WIDE), tall))
        narrow, x = (left - 2 * mm(GAP)) / 4, box.left()
        for button in (self.recipes, self.zones):
            if not button.isHidden():
                place(button, QRectF(x, foot, narrow, mm(BUTTON)))
                x += narrow + mm(GAP)
        place(self.next, QRectF(x, foot, box.left() + left - x, mm(BUTTON)))
