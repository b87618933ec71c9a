"""One cell of the zone table: when, by whom, the wait against what was required."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bayapp.report.facts.day_record import Kept, StepRecord, WaitKept
from bayapp.report.facts.phrases import Phrases, actual, ripened, stretch, verdict
from bayapp.report.paper.paper import Ink, Type, broken, height_of, lines_at
from bayapp.text.language import _

QUIET = "#4b545b"
RULE = "#c3c8cb"
INK = "#10161c"
BAR_HEIGHT = 1.8
PAD = 0.7


@dataclass(frozen=True, slots=True)
class CellEntry:
    """One carrying-out as it stands in a cell: lines of text, and the wait that is drawn below them."""

    lines: tuple[tuple[str, Type], ...]
    wait: WaitKept | None
    boxed: bool

    @property
    def height(self) -> float:
        """How high it stands, padding included."""
        return height_of(self.lines) + (BAR_HEIGHT if self.drawn else 0) + 2 * PAD + (0.6 if self.boxed else 0)

    @property
    def drawn(self) -> bool:
        """Whether the wait has a bar."""
        return self.wait is not None and self.wait.opens_at is not None

    def paint(self, ink: Ink, x: float, top: float, width: float) -> None:
        """Paint it at its place."""
        if self.boxed:
            ink.box(x, top + 0.2, width, self.height - 0.4, None, INK)
        below = lines_at(ink, x + PAD, top + PAD, self.lines)
        if self.drawn and self.wait:
            paint_bar(ink, self.wait, x + PAD, below + BAR_HEIGHT / 2, width - 2 * PAD)


def entry(ink: Ink, phrases: Phrases, step: StepRecord, size: float, width: float) -> CellEntry:
    """Return a step's carrying-out broken to a cell's width."""
    wait = step.wait
    plain = Type(size, narrow=True, ink=INK if step.stands else QUIET, struck=not step.stands)
    quiet = Type(size, narrow=True, ink=QUIET)
    loud = Type(size, bold=True, narrow=True)
    by_and_wait = "  ".join(part for part in (phrases.who(step), _waited(wait) if wait else "") if part)
    texts = (
        (phrases.span(step), plain),
        (by_and_wait, replace(plain, struck=False)),
        (ripened(wait), quiet),
        (verdict(wait) if wait else "", loud),
        (_("deviation") if step.deviation else "", loud),
        (_("time corrected") if step.corrected else "", quiet),
    )
    lines = [(line, how) for text, how in texts if text for line in broken(ink, text, how, width - 2 * PAD)]
    boxed = step.deviation is not None or (wait is not None and wait.kept is not Kept.INSIDE)
    return CellEntry(tuple(lines), wait, boxed)


def _waited(wait: WaitKept) -> str:
    """Return the actual wait; where the latest moment counts from the first stroke, with what that left."""
    waited = actual(wait)
    if waited and wait.max_from == "start" and wait.latest is not None:
        return _("{waited} of {left}").format(waited=waited, left=stretch(wait.latest))
    return waited


def paint_bar(ink: Ink, wait: WaitKept, x: float, y: float, width: float) -> None:
    """Draw the wait thin, its window thick, and a mark where the step did start."""
    since, opens = wait.since, wait.opens_at
    if since is None or opens is None:
        return
    last = max(moment for moment in (wait.started_at, opens, wait.lapses_at) if moment)
    whole = max((last - since).total_seconds() * (1.0 if wait.lapses_at else 1.25), 1.0)

    def place(seconds: float) -> float:
        return x + 0.3 + (width - 0.6) * min(1.0, seconds / whole)

    opening = place((opens - since).total_seconds())
    closing = place((wait.lapses_at - since).total_seconds() if wait.lapses_at else whole)
    start = place((wait.started_at - since).total_seconds())
    ink.line(place(0), y, place(whole), y, 0.2, QUIET)
    ink.line(opening, y, max(closing, opening + 0.3), y, 0.9, "#9aa2a7")
    ink.line(start, y - 0.85, start, y + 0.85, 0.45, INK)


def cell_height(entries: Sequence[CellEntry]) -> float:
    """Return how high a cell with these entries stands."""
    return sum(one.height for one in entries)
