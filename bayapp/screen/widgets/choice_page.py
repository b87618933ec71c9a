"""A page of big buttons: which zone, which reason, which car, what more."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any, Generic, Protocol, TypeVar

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Urgency
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.page_head import HEAD, close_rect, paint_head
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

GAP = 6.5
ROW = 27.0
TALLEST = 38.0
FEW = 3
CAPS, LEAST_CAP = ((FEW, 9.6), (6, 7.8)), 6.6
"""The fewer the buttons, the larger their letters: up to so many, and how large, mm."""
LEAST = 25.5
HEADING = 34.0


Key = TypeVar("Key")
Key_co = TypeVar("Key_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Entry(Generic[Key_co]):
    """One button: its key, its words, and its look.

    ``hold``: it cannot be undone, so it needs a hold of two seconds instead of a touch. ``fill``: the paint of a car
    that the glyph stands for. Entries of one ``heading`` stand together under it.
    """

    key: Key_co
    title: str
    detail: str = ""
    badge: Urgency | None = None
    glyph: str = ""
    chosen: bool = False
    hold: bool = False
    fill: str = ""
    heading: str = ""


class Show(Protocol):
    """Fills the choice page and shows it; the way back may be left out."""

    def __call__(
        self,
        title: str,
        subtitle: str,
        entries: Sequence[Entry[Key]],
        answer: Callable[[Key], None],
        sentences: tuple[str, ...] = (),
        *,
        may_close: bool = True,
    ) -> None: ...


def tell(show: Show, title: str, subtitle: str, *sentences: str) -> None:
    """Show sentences to read, with only the way back."""
    nothing: Sequence[Entry[None]] = ()
    show(title, subtitle, nothing, lambda key: None, sentences)


class ChoicePage(QWidget):
    """Big buttons in a grid, or sentences to read.

    Attributes:
        showing: counts what has been shown, to tell whether it is still the same.

    Signals:
        chosen: a button was touched, or held if it needs that; carries its key.
        closed: the way back was touched.
    """

    chosen = Signal(object)
    closed = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._title = self._subtitle = ""
        self._entries: Sequence[Entry[Any]] = ()
        self._sentences: Sequence[str] = ()
        self._headings: list[tuple[QRectF, str]] = []
        self.showing = 0
        self.buttons: list[GloveButton] = []
        self.close_button = GloveButton(look, self)
        self.close_button.show_words("", glyph="back", style=Style.OUTLINED)
        self.close_button.setAccessibleName("back")
        self.close_button.clicked.connect(self.closed)

    def show_choices(
        self,
        title: str,
        subtitle: str,
        entries: Sequence[Entry[Any]],
        sentences: Sequence[str] = (),
        may_close: bool = True,
    ) -> None:
        """Show these buttons, and under them these sentences."""
        turned = title != self._title
        self._title, self._subtitle, self._entries, self._sentences = title, subtitle, entries, sentences
        self.showing += 1
        self.close_button.setVisible(may_close)
        while len(self.buttons) < len(entries):
            button = GloveButton(self._look, self)
            button.clicked.connect(lambda _=False, b=button: self._touched(self._entries[self.buttons.index(b)]))
            button.held.connect(lambda b=button: self.chosen.emit(self._entries[self.buttons.index(b)].key))
            self.buttons.append(button)
        cap = next((cap for most, cap in CAPS if len(entries) <= most and not sentences), LEAST_CAP)
        for n, button in enumerate(self.buttons):
            button.setVisible(n < len(entries))
            if n < len(entries):
                e = entries[n]
                style = Style.CHOSEN if e.chosen else Style.OUTLINED
                title = _("Hold for 2 s: {what}").format(what=e.title) if e.hold else e.title
                button.show_words(title, e.detail, style=style, badge=e.badge, glyph=e.glyph, title_mm=cap, fill=e.fill)
                button.hold_to_act = e.hold
                if turned:
                    button.come_up()
        self._lay_out()
        self.update()

    def _touched(self, entry: Entry[Any]) -> None:
        if entry.hold:
            self._subtitle = _("A touch alone does nothing: keep the finger on the button for 2 s.")
            self.update()
        else:
            self.chosen.emit(entry.key)

    @property
    def title(self) -> str:
        """What stands large at the top."""
        return self._title

    @property
    def subtitle(self) -> str:
        """The line under the title."""
        return self._subtitle

    @property
    def sentences(self) -> Sequence[str]:
        """The sentences to read."""
        return self._sentences

    def _grid(self) -> QRectF:
        mm = self._look.mm
        box = QRectF(self.rect()).adjusted(mm(6), mm(HEAD + GAP), -mm(6), -mm(6))
        if self._sentences and self._entries:
            rows = ceil(len(self._entries) / 3)
            row = TALLEST if rows == len(self._sentences) == 1 else ROW
            tall = mm(row * rows + GAP * (rows - 1))
            return QRectF(box.left(), box.bottom() - tall, box.width(), tall)
        return box

    def _lay_out(self) -> None:
        mm, box, count = self._look.mm, self._grid(), len(self._entries)
        place(self.close_button, close_rect(self.width(), self._look))
        self._headings = []
        if not count:
            return
        if any(entry.heading for entry in self._entries) and self._lay_out_groups(box):
            return
        columns = 1 if count <= 3 and not self._sentences else 2
        if self._sentences or ceil(count / 2) * mm(25.5 + GAP) > box.height() + mm(GAP):
            columns = 3
            if ceil(count / 3) * mm(25.5 + GAP) > box.height() + mm(GAP):
                columns = 4
        rows = ceil(count / columns)
        gap = mm(GAP)
        tall = min(mm(TALLEST), (box.height() - gap * (rows - 1)) / rows)
        wide = (box.width() - gap * (columns - 1)) / columns
        for n in range(count):
            row, column = divmod(n, columns)
            x, y = box.left() + column * (wide + gap), box.top() + row * (tall + gap)
            place(self.buttons[n], QRectF(x, y, wide, tall))

    def _lay_out_groups(self, box: QRectF) -> bool:
        """Lay out the buttons group by group, each beside its heading; return whether there is room for that."""
        mm, groups = self._look.mm, self._groups()
        gap, words = mm(GAP), mm(HEADING + GAP)

        def tall(columns: int) -> float:
            rows = sum(ceil(len(group) / columns) for group in groups)
            return (box.height() - gap * (rows - 1)) / rows

        columns = next((n for n in (2, 3) if tall(n) >= mm(LEAST)), 0)
        if not columns:
            return False
        high, wide = min(mm(TALLEST), tall(columns)), (box.width() - words - gap * (columns - 1)) / columns
        y = box.top()
        for group in groups:
            self._headings.append((QRectF(box.left(), y, mm(HEADING), high), self._entries[group[0]].heading))
            for first in range(0, len(group), columns):
                for column, n in enumerate(group[first : first + columns]):
                    place(self.buttons[n], QRectF(box.left() + words + column * (wide + gap), y, wide, high))
                y += high + gap
        return True

    def _groups(self) -> list[list[int]]:
        """Return the numbers of the entries that follow each other under one heading."""
        found: list[list[int]] = []
        for n, entry in enumerate(self._entries):
            if not n or entry.heading != self._entries[n - 1].heading:
                found.append([])
            found[-1].append(n)
        return found

    @property
    def headings(self) -> Sequence[str]:
        """The headings that stand beside groups of buttons; none where there is no room for them."""
        return [words for _box, words in self._headings]

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            box = QRectF(self.rect())
            paint_head(painter, box, self._look, self._title, self._subtitle)
            self._paint_sentences(painter, box)
            for spot, words in self._headings:
                paint_words(painter, spot, words, self._look.mm(5.0), self._look.palette.text_quiet, lines=3)

    def _paint_sentences(self, painter: QPainter, box: QRectF) -> None:
        if not self._sentences:
            return
        mm, palette = self._look.mm, self._look.palette
        y, bottom = box.top() + mm(HEAD + 7), self._grid().top() - mm(4) if self._entries else box.bottom() - mm(6)
        alone = len(self._sentences) == 1
        step = min(mm(36 if alone else 24), (bottom - y) / len(self._sentences))
        lines = 3 if alone else 2
        cap = 8.0 if alone else 6.0 if len(self._sentences) <= FEW else 5.4
        for n, sentence in enumerate(self._sentences):
            row = QRectF(box.left() + mm(7), y + n * step, box.width() - mm(14), step)
            paint_words(
                painter,
                row,
                sentence,
                mm(cap),
                palette.text if n == 0 else palette.text_quiet,
                bold=n == 0,
                lines=lines,
            )
