"""The page of the working hours: where each stretch of work begins and ends, and how many there are."""

from dataclasses import dataclass
from datetime import time

from bayapp.files.shop.hours import DAY_ENDS, WorkingHours
from bayapp.files.shop.settings import Settings
from bayapp.pages.settings.cells import Cell
from bayapp.text.language import _

QUARTER = 15
DAY = 24 * 60
MORNING = WorkingHours(time(8), time(12, 30))
AFTERNOON = WorkingHours(time(13), time(17))


@dataclass(frozen=True, slots=True)
class StretchCount:
    """So many stretches of work a day."""

    count: int


@dataclass(frozen=True, slots=True)
class HourEdge:
    """Where a stretch begins or ends, counted through the day from 0."""

    place: int


def hours_cells(now: Settings) -> tuple[Cell[StretchCount | HourEdge], ...]:
    """Return the cells of the working hours: begin and end of each stretch, and how many there are."""
    names = (_("First begins"), _("First ends"), _("Second begins"), _("Second ends"))
    edges = [edge for stretch in now.hours[:2] for edge in stretch]
    cells: list[Cell[StretchCount | HourEdge]] = [
        Cell(HourEdge(n), names[n], _shown(edge), steps=True) for n, edge in enumerate(edges)
    ]
    cells = [*cells[:2], Cell(None, "", ""), *cells[2:]]  # a stretch a row
    many = len(now.hours)
    choices = (_("At any time"), _("One stretch"), _("Two stretches"))
    return (*(Cell(StretchCount(n), title, "", chosen=many == n) for n, title in enumerate(choices)), *cells)


def with_stretches(now: Settings, count: int) -> Settings:
    """Return the settings with so many stretches of work a day; existing ones stay if they fit."""
    had = now.hours[:count]
    if len(had) == count:
        return now.model_copy(update={"hours": had})
    if not had:
        return now.model_copy(update={"hours": (MORNING, AFTERNOON)[:count]})
    ends = _minutes(had[0].ends)
    begins = min(ends + 2 * QUARTER, DAY - QUARTER)
    if begins < ends:
        return now
    second = WorkingHours(_time(begins), _time(min(max(begins + 4 * QUARTER, _minutes(AFTERNOON.ends)), DAY)))
    return now.model_copy(update={"hours": (had[0], second)})


def hour_moved(now: Settings, edge: HourEdge, way: int) -> Settings:
    """Move an edge to the next quarter of an hour; it stops at its neighbours, a quarter away from its own other."""
    place = edge.place
    edges = [_minutes(each) for stretch in now.hours for each in stretch]
    least = 0 if place == 0 else edges[place - 1] + (QUARTER if place % 2 else 0)
    most = DAY if place == len(edges) - 1 else edges[place + 1] - (0 if place % 2 else QUARTER)
    target = ((edges[place] - 1) // QUARTER if way < 0 else edges[place] // QUARTER + 1) * QUARTER
    if least <= target <= most:
        edges[place] = target
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return now.model_copy(update={"hours": tuple(WorkingHours(_time(a), _time(b)) for a, b in pairs)})


def _minutes(edge: time) -> int:
    return DAY if edge == DAY_ENDS else edge.hour * 60 + edge.minute


def _time(minutes: int) -> time:
    return DAY_ENDS if minutes == DAY else time(minutes // 60, minutes % 60)


def _shown(edge: time) -> str:
    return "24:00" if edge == DAY_ENDS else f"{edge:%H:%M}"
