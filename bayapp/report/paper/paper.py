"""The page model: what can be painted on it, how text breaks, how pieces fill pages.

All lengths are millimetres from the left and top of the page's inner area.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from bayapp.job.model.ids import Motion, Stage, Urgency

POINT = 25.4 / 72


@dataclass(frozen=True, slots=True)
class Type:
    """How text is set: size in points, weight, the narrow face, ink as #rrggbb, a line through it."""

    size: float
    bold: bool = False
    narrow: bool = False
    ink: str = "#10161c"
    struck: bool = False

    @property
    def leading(self) -> float:
        """From one baseline to the next."""
        return self.size * POINT * 1.26


class Texture(NamedTuple):
    """How a zone is drawn: the state of its surface, the motions of its coats, whether it is set aside."""

    stage: Stage
    layers: tuple[Motion, ...] = ()
    aside: bool = False


class TextMeasure(Protocol):
    """What knows the width of letters."""

    def width(self, text: str, how: Type) -> float:
        """Return how wide text runs."""


class Ink(TextMeasure, Protocol):
    """What the paper can be painted with."""

    def text(self, x: float, baseline: float, text: str, how: Type) -> None:
        """Write one line."""

    def line(self, x1: float, y1: float, x2: float, y2: float, thick: float, ink: str) -> None:
        """Draw a line."""

    def box(self, x: float, y: float, w: float, h: float, fill: str | None, edge: str | None) -> None:
        """Draw a rectangle."""

    def car(self, x: float, y: float, w: float, h: float) -> None:
        """Draw the car as it stands."""

    def swatch(self, x: float, y: float, w: float, h: float, texture: Texture) -> None:
        """Draw a sample of a texture."""

    def badge(self, x: float, y: float, size: float, urgency: Urgency) -> None:
        """Draw a badge of the clock's state."""


Paint = Callable[[Ink, float], None]


@dataclass(frozen=True, slots=True)
class Piece:
    """A block that is never split over two pages: its height and how to paint it at a given top.

    Attributes:
        keep: it stays on one page with what follows.
        head: painted above it if it is the first on a page.
        blank: left out at the top of a page.
    """

    height: float
    paint: Paint
    keep: bool = False
    head: "Piece | None" = None
    blank: bool = False


Page = tuple[tuple[float, Piece], ...]


def space(height: float) -> Piece:
    """Return nothing, this high."""
    return Piece(height, lambda ink, top: None, blank=True)


def broken(ink: TextMeasure, text: str, how: Type, width: float) -> list[str]:
    """Break text into lines no wider than ``width``: between words if possible, else inside them."""
    lines: list[str] = []
    for paragraph in text.splitlines() or [""]:
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if ink.width(longer, how) <= width:
                line = longer
                continue
            *whole, line = [*([line] if line else []), *_chopped(ink, word, how, width)]
            lines += whole
        lines.append(line)
    return lines


def _chopped(ink: TextMeasure, word: str, how: Type, width: float) -> Iterator[str]:
    """Yield a word in parts that fit; a whole word when it does."""
    while word and ink.width(word, how) > width:
        fits = next((n for n in range(len(word) - 1, 1, -1) if ink.width(word[:n], how) <= width), 1)
        yield word[:fits]
        word = word[fits:]
    if word:
        yield word


def lines_at(ink: Ink, x: float, top: float, lines: Sequence[tuple[str, Type]]) -> float:
    """Write lines one below the other; return where the next would begin."""
    for text, how in lines:
        ink.text(x, top + how.leading * 0.78, text, how)
        top += how.leading
    return top


def height_of(lines: Sequence[tuple[str, Type]]) -> float:
    """Return how high these lines stand."""
    return sum(how.leading for _, how in lines)


def paged(pieces: Sequence[Piece], height: float) -> tuple[Page, ...]:
    """Fill pages of this height from the top; a piece that is kept moves on with what follows it."""
    pages: list[list[tuple[float, Piece]]] = [[]]
    top = 0.0
    for place, piece in enumerate(pieces):
        if top and top + _together(pieces, place) > height:
            pages.append([])
            top = 0.0
        if top == 0.0 and pages[-1] == [] and len(pages) > 1:
            if piece.head:
                pages[-1].append((0.0, piece.head))
                top = piece.head.height
            elif piece.blank:
                continue
        pages[-1].append((top, piece))
        top += piece.height
    return tuple(tuple(page) for page in pages if page)


def _together(pieces: Sequence[Piece], place: int) -> float:
    needed = 0.0
    for piece in pieces[place:]:
        needed += piece.height
        if not piece.keep:
            break
    return needed
