"""The vehicle forms as pictures, one big button each."""

from collections.abc import Mapping, Sequence
from math import ceil

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.car_painter import CarPainter
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.looks import NO_WORDS, ZoneLook
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import Stage
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

COLUMNS = 4
LEAST_TALL = 40.0
TITLE = 12.0
TITLE_CAP = 5.6


class FormButton(GloveButton):
    """A vehicle form, drawn, with its title under it."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(look, parent)
        self._painter: CarPainter | None = None
        self._looks: Mapping = {}

    def show_form(self, drawing: FormDrawing) -> None:
        """Show another form."""
        self._painter = CarPainter(drawing, self._look.palette, NO_WORDS, cached=False)
        self._looks = {zone: ZoneLook(Stage.BUFFED) for zone in drawing.zone_paths}
        self.show_words(drawing.form.title)

    def _paint_words(self, painter: QPainter, body: QRectF, ink: str, quiet: str) -> None:
        mm = self._look.mm
        picture = body.adjusted(0, 0, 0, -mm(TITLE))
        with upright(painter, picture):
            if self._painter:
                self._painter.paint(painter, picture, self._looks, "", picture)
        title = QRectF(body.left(), picture.bottom(), body.width(), mm(TITLE))
        middle = Qt.AlignmentFlag.AlignHCenter
        paint_words(painter, title, self.title, mm(TITLE_CAP), ink, align=middle)


class FormPage(HeadedPage):
    """All forms.

    Signals:
        chosen: a form was touched; carries its name.
    """

    chosen = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._names: list[str] = []
        self.buttons: list[FormButton] = []

    def show_forms(self, drawings: Sequence[FormDrawing]) -> None:
        """Show these forms, in this order."""
        self._names = [drawing.form.name for drawing in drawings]
        while len(self.buttons) < len(drawings):
            button, number = FormButton(self._look, self), len(self.buttons)
            button.clicked.connect(lambda _=False, n=number: self.chosen.emit(self._names[n]))
            self.buttons.append(button)
        for n, button in enumerate(self.buttons):
            button.setVisible(n < len(drawings))
            if n < len(drawings):
                button.show_form(drawings[n])
        self.show_title(_("New car: what is it?"), _("Touch the form that is most like it."))
        self.lay_out()

    def lay_out(self) -> None:
        super().lay_out()
        shown = [button for button in self.buttons if not button.isHidden()]
        if not shown:
            return
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        columns = max(COLUMNS, ceil(len(shown) / max(1, int((box.height() + mm(GAP)) // mm(LEAST_TALL + GAP)))))
        rows = ceil(len(shown) / columns)
        wide = (box.width() - mm(GAP) * (columns - 1)) / columns
        tall = (box.height() - mm(GAP) * (rows - 1)) / rows
        for n, button in enumerate(shown):
            row, column = divmod(n, columns)
            x, y = box.left() + column * (wide + mm(GAP)), box.top() + row * (tall + mm(GAP))
            place(button, QRectF(x, y, wide, tall))
