"""Splitting and joining the zones of a new car: the car, and big buttons beside it."""

from collections.abc import Mapping

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import Urgency, ZoneId
from bayapp.pages.board.car_view import Face
from bayapp.pages.cars.dividing import DividingView
from bayapp.screen.board.car_view import CarView
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

ROWS, COLUMNS = 5, 2
BUTTON = 25.6
WIDE = 56.0
ALL = 2 * WIDE + GAP
TOLD = 13.0
NOTE_CAP = 5.4
TITLE_CAP = 5.0


class DividingPage(HeadedPage):
    """The zones.

    Signals:
        zones_touched: the drawing was touched; carries the zones that may have been meant.
        cut_wanted: carries "across" or "along".
        moved: carries -1 (forward, up) or 1.
        join_wanted, recipe_wanted, undo_wanted, done: the other buttons.
    """

    zones_touched = Signal(list)
    cut_wanted = Signal(str)
    moved = Signal(int)
    join_wanted = Signal()
    recipe_wanted = Signal()
    undo_wanted = Signal()
    done = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: DividingView | None = None
        self.car = CarView(look, self)
        self.car.touched.connect(self.zones_touched)
        self.across, self.along, self.forward, self.back = (GloveButton(look, self) for _n in range(4))
        self.join, self.recipe, self.undo, self.ready = (GloveButton(look, self) for _n in range(4))
        self.across.clicked.connect(lambda: self.cut_wanted.emit("across"))
        self.along.clicked.connect(lambda: self.cut_wanted.emit("along"))
        self.forward.clicked.connect(lambda: self.moved.emit(-1))
        self.back.clicked.connect(lambda: self.moved.emit(1))
        self.join.clicked.connect(self.join_wanted)
        self.recipe.clicked.connect(self.recipe_wanted)
        self.undo.clicked.connect(self.undo_wanted)
        self.ready.clicked.connect(self.done)

    @property
    def view(self) -> DividingView | None:
        """What is shown."""
        return self._view

    def open_car(self, title: str) -> None:
        """Begin with another car."""
        self.show_title(title, _("One car, its own zones: cut a zone in two, or make neighbours one."))
        self.lay_out()

    def show_zones(self, view: DividingView, drawing: FormDrawing, faces: Mapping[ZoneId, Face]) -> None:
        """Show the car with its present zones, and what can be done to them."""
        self._view = view
        self.car.show_car(drawing)
        self.car.show_faces(faces, "")
        self._say(self.across, _("Cut across"), _("front and rear"), view.may_cut, view.across)
        self._say(self.along, _("Cut along"), _("sides, or up and down"), view.may_cut, view.along)
        for button, title in ((self.forward, view.forward), (self.back, view.back)):
            self._say(button, title, view.share or _("move the cut"), bool(view.share))
        touch = _("touch the neighbour") if view.joining else _("a neighbour")
        self._say(self.join, _("Join with"), touch, view.may_join, view.joining)
        self._say(self.recipe, _("Its recipe"), view.recipe, view.may_choose)
        self._say(self.undo, _("Undo"), _("the last cut or joining"), view.may_undo)
        self.ready.show_words(_("Done"), style=Style.FILLED, badge=Urgency.OPEN, title_mm=7.5)
        self.update()

    def _say(self, button: GloveButton, title: str, detail: str, may: bool, chosen: bool = False) -> None:
        style = Style.CHOSEN if chosen else Style.OUTLINED if may else Style.QUIET
        button.show_words(title, detail, style=style, title_mm=TITLE_CAP)

    def _note_rect(self) -> QRectF:
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        return QRectF(box.left(), box.bottom() - mm(TOLD), box.width() - mm(ALL + GAP), mm(TOLD))

    def lay_out(self) -> None:
        super().lay_out()
        mm, note = self._look.mm, self._note_rect()
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        place(self.car, QRectF(box.left(), box.top(), note.width(), note.top() - mm(2) - box.top()))
        tall = min(mm(BUTTON + 6), (box.height() - mm(GAP) * (ROWS - 1)) / ROWS)
        pairs = ((self.across, self.along), (self.forward, self.back), (self.join, self.recipe), (self.undo,))
        for row, buttons in enumerate(pairs):
            y = box.top() + row * (tall + mm(GAP))
            wide = mm(ALL) if len(buttons) == 1 else mm(WIDE)
            for column, button in enumerate(buttons):
                place(button, QRectF(box.right() - mm(ALL) + column * mm(WIDE + GAP), y, wide, tall))
        place(self.ready, QRectF(box.right() - mm(ALL), box.top() + 4 * (tall + mm(GAP)), mm(ALL), tall))

    def paint_body(self, painter: QPainter) -> None:
        if self._view is None:
            return
        mm, palette = self._look.mm, self._look.palette
        ink = palette.line(Urgency.LAPSED) if self._view.trouble else palette.text
        paint_words(painter, self._note_rect(), self._view.trouble or self._view.note, mm(NOTE_CAP), ink, lines=2)
