"""The first start of a shop: short pages that ask what differs from shop to shop; left at any point."""

from dataclasses import dataclass
from enum import Enum

from bayapp.files.shop.settings import Settings
from bayapp.job.model.ids import Person
from bayapp.pages.settings.cells import Cell
from bayapp.pages.settings.hours import HourEdge, StretchCount, hours_cells
from bayapp.pages.settings.settings import Seen, Setting, bay_cells, settings_cells
from bayapp.text.language import _

LARGE = (Setting.INCH, Setting.DISTANCE, Setting.LETTERS, Setting.THEME)
PLACES = 12
"""So many cells fill the page; the ways on and back are the last ones, in the same place on every page."""
MOST_NAMED = 9
HEARD = (Setting.VOLUME, Setting.SPOKEN)


class Question(Enum):
    """What the pages ask, in this order."""

    SIZE = "size"
    HOURS = "hours"
    PEOPLE = "people"
    BAY = "bay"
    SOUND = "sound"


class Touch(Enum):
    """What is touched besides the settings themselves."""

    NEXT = "next"
    BEFORE = "before"
    ADD_NAME = "add-name"
    CHECK_SOUND = "check-sound"


@dataclass(frozen=True, slots=True)
class Named:
    """Somebody who works here; a touch takes the name out again."""

    name: Person


Key = Setting | HourEdge | StretchCount | Touch | Named


@dataclass(frozen=True, slots=True)
class FirstStartView:
    """One of the pages."""

    title: str
    subtitle: str
    cells: tuple[Cell[Key], ...]


def after(question: Question, ways: int = 1) -> Question | None:
    """Return the next question, or the one before; None beyond the last, and the first one before the first."""
    order = list(Question)
    place = max(0, order.index(question) + ways)
    return order[place] if place < len(order) else None


def first_start(question: Question, now: Settings, seen: Seen) -> FirstStartView:
    """Return the page of a question."""
    words = {
        Question.SIZE: (_("Can you read this from where you work?"), _("Make it larger until you can.")),
        Question.HOURS: (_("When is work done?"), _("No step is planned into a break. Every day, local time.")),
        Question.PEOPLE: (_("Who works here?"), _("Every touch is recorded with a name, if there are names.")),
        Question.BAY: (
            _("What is the bay like?"),
            _("For coats, and for the estimate of vapour. What nobody knows stays untold."),
        ),
        Question.SOUND: (_("Is it heard over the machines?"), _("A layer that is ready calls out loud.")),
    }
    title, hint = words[question]
    number = _("{n} of {all}").format(n=list(Question).index(question) + 1, all=len(Question))
    later = f" {_('All of it can be changed later under More, Settings.')}" if question is Question.SIZE else ""
    asked, ways = _asked(question, now, seen), _ways(question)
    empty: tuple[Cell[Key], ...] = (Cell(None, "", ""),) * (PLACES - len(asked) - len(ways))
    return FirstStartView(title, f"{number}. {hint}{later}", (*asked, *empty, *ways))


def _asked(question: Question, now: Settings, seen: Seen) -> tuple[Cell[Key], ...]:
    if question is Question.SIZE:
        return tuple(cell for cell in settings_cells(now, seen) if cell.key in LARGE)
    if question is Question.HOURS:
        return hours_cells(now)
    if question is Question.PEOPLE:
        nobody = "" if now.people else _("nobody named")
        named: list[Cell[Key]] = [
            Cell(Named(Person(name)), name, _("touch: off this list"), glyph="person")
            for name in now.people[:MOST_NAMED]
        ]
        return (Cell(Touch.ADD_NAME, _("Add a name"), nobody, glyph="more"), *named)
    if question is Question.BAY:
        return bay_cells(now, seen)
    heard = tuple(cell for cell in settings_cells(now, seen) if cell.key in HEARD)
    return (*heard, Cell(Touch.CHECK_SOUND, _("Check the sound"), _("plays every tone"), glyph="speech"))


def _ways(question: Question) -> tuple[Cell[Key], ...]:
    """Return the ways on and back."""
    last = after(question) is None
    on = Cell(Touch.NEXT, _("Begin") if last else _("Next"), "", chosen=True)
    return (on,) if question is Question.SIZE else (Cell(Touch.BEFORE, _("Question before"), "", glyph="back"), on)
