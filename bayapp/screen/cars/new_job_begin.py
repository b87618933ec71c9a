"""The last page of a new car: colour, people, promise, and the button that begins."""

from dataclasses import dataclass
from datetime import timedelta

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Person, Urgency
from bayapp.job.text.naming import capital
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _, ngettext

MOST_PEOPLE = 5
ROWS = 5
BUTTON = 25.2
DAY, HOUR, QUARTER = timedelta(days=1), timedelta(hours=1), timedelta(minutes=15)
SHIFTS = (-DAY, -HOUR, -QUARTER, QUARTER, HOUR, DAY)
SHIFT = 25.8


@dataclass(frozen=True, slots=True)
class BeginView:
    """What the page shows.

    Attributes:
        colour, crew: what is chosen of ``colours`` and ``people``.
        promise: the promised moment in words; empty if none is promised.
        note: when the car would be ready, and whether the promise holds.
        holds: whether it does; None if nothing is promised or it is unknown.
        trouble: why the job cannot begin, or empty.
    """

    title: str
    colours: tuple[str, ...]
    colour: str
    people: tuple[Person, ...]
    crew: tuple[Person, ...]
    promise: str
    note: str
    holds: bool | None
    trouble: str


class BeginPage(HeadedPage):
    """The page with people, promise and the button that begins.

    Signals:
        colour_chosen, person_chosen: carry what was touched.
        other_people_wanted: somebody else is wanted, or a new name.
        promise_moved: carries how far; promise_toggled: a promise is wanted, or none.
        begin_wanted, template_wanted: the large button, and the one that keeps the work for other cars.
    """

    colour_chosen = Signal(str)
    person_chosen = Signal(str)
    other_people_wanted = Signal()
    promise_moved = Signal(object)
    promise_toggled = Signal()
    begin_wanted = Signal()
    template_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: BeginView | None = None
        self.colours: list[GloveButton] = []
        self.people: list[GloveButton] = []
        self.promise, self.begin, self.template, self.others = (GloveButton(look, self) for _n in range(4))
        self.others.clicked.connect(self.other_people_wanted)
        self.promise.clicked.connect(self.promise_toggled)
        self.begin.clicked.connect(self.begin_wanted)
        self.template.clicked.connect(self.template_wanted)
        words = (_("−1 day"), _("−1 h"), _("−15 min"), _("+15 min"), _("+1 h"), _("+1 day"))
        self.shifts: list[GloveButton] = []
        for shift, text in zip(SHIFTS, words, strict=True):
            button = GloveButton(look, self)
            button.show_words(text, title_mm=5.0)
            button.patience = KEY_PATIENCE
            button.clicked.connect(lambda _=False, by=shift: self.promise_moved.emit(by))
            self.shifts.append(button)

    @property
    def view(self) -> BeginView | None:
        """What is shown."""
        return self._view

    def show_begin(self, view: BeginView) -> None:
        """Show what is chosen and what follows from it."""
        self._view = view
        self.show_title(view.title, _("What is it called, who works on it, when was it promised?"))
        self._fill(self.colours, len(view.colours))
        for button, name in zip(self.colours, view.colours, strict=False):
            button.show_words(capital(name), style=_style(name == view.colour), title_mm=4.6)
        self._fill(self.people, min(MOST_PEOPLE, len(view.people)))
        for button, person in zip(self.people, view.people, strict=False):
            button.show_words(person, style=_style(person in view.crew), glyph="person", title_mm=5.4)
        more = len(view.people) - MOST_PEOPLE
        left = ngettext("{n} more, or a new name", "{n} more, or a new name", more).format(n=more)
        self.others.show_words(_("Others"), left if more > 0 else _("a new name"), glyph="person", title_mm=5.4)
        promised = view.promise or _("no promise")
        self.promise.show_words(_("Promised"), promised, style=_style(bool(view.promise)), glyph="clock", title_mm=5.4)
        for button in self.shifts:
            button.setVisible(bool(view.promise))
        self.template.show_words(_("Save"), _("as a ready job, for other cars"), title_mm=5.4, glyph="paper")
        if view.trouble:
            self.begin.show_words(_("Begin"), view.trouble, style=Style.REFUSED, title_mm=8.5)
        else:
            self.begin.show_words(_("Begin"), view.title, style=Style.FILLED, badge=Urgency.OPEN, title_mm=8.5)
        self.lay_out()
        self.update()

    def _fill(self, buttons: list[GloveButton], wanted: int) -> None:
        while len(buttons) < wanted:
            button, number = GloveButton(self._look, self), len(buttons)
            button.clicked.connect(lambda _=False, n=number: self._touched(buttons, n))
            buttons.append(button)
        for n, button in enumerate(buttons):
            button.setVisible(n < wanted)

    def _touched(self, buttons: list[GloveButton], number: int) -> None:
        if self._view is None:
            return
        if buttons is self.colours:
            self.colour_chosen.emit(self._view.colours[number])
        else:
            self.person_chosen.emit(self._view.people[number])

    def _rows(self) -> list[QRectF]:
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        tall = min(mm(BUTTON + 6), (box.height() - mm(GAP) * (ROWS - 1)) / ROWS)
        return [QRectF(box.left(), box.top() + n * (tall + mm(GAP)), box.width(), tall) for n in range(ROWS)]

    def lay_out(self) -> None:
        super().lay_out()
        mm, (colours, people, promise, _note, go) = self._look.mm, self._rows()
        self._spread(self.colours, colours)
        self._spread([*self.people, self.others], people)
        shown = mm(SHIFT * len(self.shifts) + GAP * len(self.shifts))
        place(self.promise, QRectF(promise.left(), promise.top(), promise.width() - shown, promise.height()))
        for n, button in enumerate(self.shifts):
            x = promise.right() - shown + mm(GAP) + n * mm(SHIFT + GAP)
            place(button, QRectF(x, promise.top(), mm(SHIFT), promise.height()))
        keep = mm(70)
        place(self.begin, QRectF(go.left(), go.top(), go.width() - keep - mm(GAP), go.height()))
        place(self.template, QRectF(go.right() - keep, go.top(), keep, go.height()))

    def _spread(self, buttons: list[GloveButton], row: QRectF) -> None:
        shown = [button for button in buttons if not button.isHidden()]
        if not shown:
            return
        gap = self._look.mm(GAP)
        wide = min(self._look.mm(60), (row.width() - gap * (len(shown) - 1)) / len(shown))
        for n, button in enumerate(shown):
            place(button, QRectF(row.left() + n * (wide + gap), row.top(), wide, row.height()))

    def paint_body(self, painter: QPainter) -> None:
        if self._view is None:
            return
        mm, palette, row = self._look.mm, self._look.palette, self._rows()[3]
        late = self._view.holds is False
        ink = palette.line(Urgency.LAPSED) if late else palette.text
        paint_words(painter, row, self._view.note, mm(6.6), ink, lines=2, align=Qt.AlignmentFlag.AlignLeft)


def _style(chosen: bool) -> Style:
    return Style.CHOSEN if chosen else Style.OUTLINED
