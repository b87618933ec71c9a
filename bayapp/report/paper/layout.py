"""Lays out a day record on two pages, or on more where two are too few."""

from datetime import tzinfo

from bayapp.job.model.job import Job
from bayapp.report.facts.day_record import DayRecord
from bayapp.report.facts.phrases import Phrases
from bayapp.report.paper.cells import QUIET
from bayapp.report.paper.paper import Ink, Page, Piece, Type, broken, lines_at, paged
from bayapp.report.paper.sections import Sections
from bayapp.report.paper.zone_table import ZoneTable
from bayapp.text.language import _, ngettext

FOOT = 7.0
SIZES = ((8.0, 86.0), (7.5, 80.0), (7.0, 74.0), (6.5, 68.0), (6.2, 64.0), (6.0, 60.0), (6.0, 50.0), (5.8, 46.0))
FEW = 2
READABLE = (7.0, 74.0)


def pages_of(ink: Ink, record: DayRecord, job: Job, tz: tzinfo, width: float, height: float) -> tuple[Page, ...]:
    """Return two pages, set in the largest type that fits; if none does, as many pages as a readable size needs.

    Args:
        width, height: the page's inner area, mm.
    """

    phrases = Phrases(record, tz)

    def at_size(size: float, car: float) -> tuple[Page, ...]:
        return paged(_pieces(Sections(ink, phrases, record, job, width, size), car), height - FOOT)

    for size, car in SIZES:
        pages = at_size(size, car)
        if len(pages) <= FEW:
            return pages
    return at_size(*READABLE)


def _pieces(sections: Sections, car_height: float) -> list[Piece]:
    table = ZoneTable(sections.ink, sections.phrases, sections.job, sections.width, sections.size)
    return [
        *sections.head(),
        *sections.car_and_summary(car_height),
        *sections.deviations_and_lapses(),
        *sections.marks(),
        *sections.aside(),
        *sections.covers(),
        *sections.changes(),
        *sections.left(),
        *table.pieces(sections.record),
        *sections.bottles(),
        *sections.small_print(),
        *sections.cautions(),
    ]


def paint_page(ink: Ink, pages: tuple[Page, ...], number: int, foot: str, width: float, height: float) -> None:
    """Paint one page, counted from 1, with its foot."""
    for top, piece in pages[number - 1]:
        piece.paint(ink, top)
    how = Type(6.5, narrow=True, ink=QUIET)
    count = _("page {n} of {all}").format(n=number, all=len(pages))
    room = width - ink.width(count, how) - 6
    ink.line(0, height - FOOT + 2.5, width, height - FOOT + 2.5, 0.15, QUIET)
    lines_at(ink, 0, height - FOOT + 3.5, [(broken(ink, foot, how, room)[0], how)])
    lines_at(ink, width - ink.width(count, how), height - FOOT + 3.5, [(count, how)])


def foot_of(record: DayRecord, tz: tzinfo) -> str:
    """Return what stands at the foot of every page."""
    entries = ngettext("{n} entry in the journal", "{n} entries in the journal", record.entries).format(
        n=record.entries
    )
    printed = Phrases(record, tz).moment(record.printed_at)
    return _("{entries}, printed {time}; job {job}, {title}").format(
        entries=entries, time=printed, job=record.job, title=record.title
    )
