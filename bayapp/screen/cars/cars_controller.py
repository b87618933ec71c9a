"""Shows the cars in the bay and the ready job files: switches to one, or takes one in."""

from pathlib import Path

from bayapp.drawing.car_colours import body_colour
from bayapp.files.bounds import MOST_READY_JOBS
from bayapp.files.library import Library
from bayapp.files.plain_file import newest_files, plain_files
from bayapp.files.problems import BadFile
from bayapp.files.shop.half_filled import half_filled
from bayapp.job import Job
from bayapp.job.model.ids import JobId
from bayapp.pages.cars.cars import ReadyJob, cars
from bayapp.pages.cars.half_filled import kept_line, kept_title
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page, TakeIn
from bayapp.paths import resource
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry, Show, tell
from bayapp.screen.widgets.paged_choices import Portion, Rest, page_of
from bayapp.text.language import _

MOST_CARS = 8

CarKey = JobId | ReadyJob | Page | Rest
"""A car in the bay, a job that lies ready, the page of a new car or of past cars, or the way to the rest."""


class CarsController:
    """Lets a person show another car, or take one in from a job file in the folder ``jobs``."""

    def __init__(self, selection: Selection, pages: PageStack, jobs: Path, show: Show) -> None:
        self._selection, self._pages, self._jobs, self._show = selection, pages, jobs, show
        self._library = Library(jobs.parent, resource())

    def open(self, first: int = 0) -> None:
        """Show the cars in the bay, and the ready job files from the given one on."""
        view = cars(self._selection.bay.state, self._ready())
        entries: list[Entry[CarKey]] = [
            Entry(
                c.job,
                c.title,
                c.detail,
                glyph="car",
                chosen=c.job == self._selection.job,
                fill=body_colour(c.colour),
                heading=c.group,
            )
            for c in view.inside
        ]
        later = _("To come in")
        if kept := half_filled(self._jobs.parent):
            entries.append(Entry(Page.HALF_FILLED, kept_title(kept), kept_line(kept), glyph="note", heading=later))
        new = _("choose what it is and what is to be done")
        entries.append(Entry(Page.NEW_CAR, _("New car"), new, glyph="more", heading=later))
        if self._selection.bay.past_cars(0, 1):
            left = _("those that left, with their records")
            entries.append(Entry(Page.PAST_CARS, _("Past cars"), left, glyph="car", heading=_("Left")))
        ready = _("Ready jobs, for any car")
        entries += [
            Entry(r, r.title, r.detail, glyph="warning" if r.problem else "paper", heading=ready) for r in view.ready
        ]
        subtitle = _("Touch a car to see its board.") if view.inside else ""
        shown = page_of(entries, Portion(first if first < len(entries) else 0, MOST_CARS), _("More cars and jobs"))
        self._show(_("Which car?"), subtitle, shown, self._car_chosen)

    def _ready(self) -> list[tuple[Path, Job | str]]:
        found: list[tuple[Path, Job | str]] = []
        own, whole = newest_files(self._jobs, ".toml", MOST_READY_JOBS)
        if not whole:
            most = _("only the {n} newest job files are read; put others away").format(n=MOST_READY_JOBS)
            found.append((self._jobs, most))
        for path in [*own, *plain_files(resource("jobs"), ".toml")]:
            try:
                found.append((path, self._library.load_job(path)))
            except BadFile as bad:
                found.append((path, str(bad)))
        return found

    def _car_chosen(self, key: CarKey) -> None:
        if isinstance(key, Page):
            self._pages.want(key)
        elif isinstance(key, Rest):
            self.open(key.first)
        elif not isinstance(key, ReadyJob):
            self._pages.show_car(key)
        elif key.problem:
            tell(self._show, key.title, _("This job cannot be opened."), key.problem)
        else:
            self._open_ready(key)

    def _open_ready(self, ready: ReadyJob) -> None:
        """Take in a ready job; its file may have changed since it was listed, and it may serve many cars."""
        try:
            self._pages.want(TakeIn(self._library.load_job(ready.path)))
        except BadFile as bad:
            tell(self._show, ready.title, _("This job cannot be opened."), str(bad))
