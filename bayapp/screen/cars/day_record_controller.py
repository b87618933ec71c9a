"""Asks for the day of the record, has it written, shows it, prints it and copies it to a stick."""

from collections.abc import Sequence
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from bayapp.bay.door import Change
from bayapp.job.model.ids import JobId
from bayapp.pages.selection import Selection
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.processes.drives import drives
from bayapp.screen.processes.paper_errands import PaperErrands, printers
from bayapp.screen.processes.report_runner import ReportRunner
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.days import day_text, long_date
from bayapp.text.figures import clock_time
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.screen.cars.day_record import DayRecordPage

MOST_DAYS = 9
PRINT = "print"


class DayRecordController(QObject):
    """Has the day record of a car written, and shows it; ``show`` fills the choice page.

    Attributes:
        errands: prints and copies.
    """

    def __init__(self, selection: Selection, pages: PageStack, runner: ReportRunner, show: Show) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._runner, self._show = selection, pages, runner, show
        self._job: JobId | None = None  # whose record was written last, or is being written
        self._day: date | None = None
        self._state = ""
        self._followed = False  # whether anything was recorded since it was asked for
        self._page = 0  # which showing of the choice page says that the record is being written
        self._results: dict[str, str] = {}
        self.errands = PaperErrands(self)
        self.errands.ended.connect(self._errand_ended)
        runner.setParent(self)
        runner.written.connect(self._written)
        runner.failed.connect(self._failed)
        selection.bay.follow(self._happened)

    def state_of(self, job: JobId | None) -> str:
        """Return how far the last record of a car is, for the page "more"; empty where something followed it."""
        if job is None or job != self._job or (self._followed and not self._runner.running):
            return ""
        return self._state

    @cached_property
    def page(self) -> "DayRecordPage":
        """The page of the paper; it loads what reads PDFs."""
        from bayapp.screen.cars.day_record import DayRecordPage  # noqa: PLC0415 (only once a record is shown)

        page = DayRecordPage(self._pages.look, self._pages.window)
        page.errand_wanted.connect(self._errand)
        self._pages.add(page)
        return page

    def open(self) -> None:
        """Show the record of the car that is shown."""
        if self._selection.job is not None:
            self.open_of(self._selection.job)

    def open_of(self, job: JobId) -> None:
        """Ask for the day where the car has entries of several; today comes first."""
        if self._runner.running:
            self._say_writing()
            return
        days = self._selection.bay.days_of(job, self._selection.tz)
        if len(days) == 1:
            self._write(job, days[0])
            return
        today = self._selection.bay.now().astimezone(self._selection.tz).date()
        entries = [
            Entry(day, _("Today") if day == today else day_text(day), day_text(day) if day == today else "")
            for day in days[:MOST_DAYS]
        ]
        more = _("For an earlier day: bayapp report --day") if len(days) > MOST_DAYS else ""
        self._show(_("Day record of which day?"), more, entries, lambda day: self._write(job, day), ())

    def _happened(self, changes: Sequence[Change]) -> None:
        if any(change.event.job in (None, self._job) for change in changes):
            self._followed = True

    def _write(self, job: JobId, day: date) -> None:
        self._job, self._day, self._followed, self._results = job, day, False, {}
        self._state = _("is being written")
        self._say_writing()  # first: a program that cannot be started says so at once
        self._runner.write(job, day, self._selection.bay.now())

    def _say_writing(self) -> None:
        self._say(_("Writing the day record …"))
        self._page = self._pages.choices.showing

    def _written(self) -> None:
        self._state = _("written")
        if self._is_waited_for():
            self._show_paper()

    def _failed(self, why: str) -> None:
        sentence = _("The day record could not be written: {why}. Free some space or check the folder, then try again.")
        self._state = _("was not written")
        if self._is_waited_for():
            self._say(sentence.format(why=why.rstrip(".")))

    def _is_waited_for(self) -> bool:
        """Whether somebody still waits on that page; others find the record on the page "more"."""
        choices = self._pages.choices
        return self._pages.standing is choices and choices.showing == self._page

    def _say(self, sentence: str) -> None:
        self._show(_("Day record"), "", [], lambda key: None, (sentence,))

    # The paper.

    def _show_paper(self) -> None:
        car = self._selection.bay.state.jobs.get(self._job) if self._job else None
        title = _("Day record: {car}").format(car=car.job.name) if car else _("Day record")
        subtitle = _("{day}. Its PDF, table (CSV) and file for programs (JSON) are in {folder}.").format(
            day=long_date(self._day) if self._day else "", folder=self._runner.folder
        )
        pdf = self._pdf()
        if pdf is None or not self.page.show_record(title, subtitle, pdf):
            self._say(subtitle)
            return
        self._show_errands()
        self._pages.show(self.page)

    def _pdf(self) -> Path | None:
        return self._runner.paper_of(self._job, self._day) if self._job and self._day else None

    def _show_errands(self) -> None:
        from bayapp.screen.cars.day_record import Errand  # noqa: PLC0415 (see above)

        known = printers()
        said = _("on {printer}").format(printer=known[0]) if known else _("no printer")
        found = [Errand(_("Print"), self._results.get(PRINT, said))]
        for drive in self._sticks():
            title = _("Copy to {stick}").format(stick=drive.name)
            found.append(Errand(title, self._results.get(str(drive), _("PDF, CSV and JSON"))))
        if len(found) == 1:
            found.append(Errand(_("Copy to a stick"), self._results.get("", _("none is plugged in"))))
        self.page.show_errands(found)

    def _sticks(self) -> list[Path]:
        from bayapp.screen.cars.day_record import MOST_STICKS  # noqa: PLC0415 (see above)

        return drives()[:MOST_STICKS]

    def _errand(self, number: int) -> None:
        pdf, sticks = self._pdf(), self._sticks()
        if pdf is None or self.errands.running:
            return
        if number == 0:
            self._print(pdf)
        elif number <= len(sticks):
            drive = sticks[number - 1]
            self._results[str(drive)] = _("copying …")
            self.errands.copy(str(drive), [pdf, pdf.with_suffix(".csv"), pdf.with_suffix(".json")], drive)
        else:
            sentence = _("No stick is plugged in. Plug one in, then touch again.")
            self._show(_("Copy to a stick"), "", [], lambda key: None, (sentence,))
        self._show_errands()

    def _print(self, pdf: Path) -> None:
        known = printers()
        if not known:
            sentence = _("This machine knows no printer. Set one up on it (CUPS), or copy the record to a stick.")
            self._show(_("Print"), "", [], lambda key: None, (sentence,))
        elif len(known) == 1:
            self._print_on(pdf, known[0])
        else:
            entries = [Entry(name, name, glyph="paper") for name in known[:MOST_DAYS]]
            self._show(_("On which printer?"), "", entries, lambda name: self._print_and_show(pdf, name), ())

    def _print_and_show(self, pdf: Path, printer: str) -> None:
        self._print_on(pdf, printer)
        self._show_errands()
        self._pages.show(self.page)

    def _print_on(self, pdf: Path, printer: str) -> None:
        self._results[PRINT] = _("printing …")
        self.errands.print(PRINT, pdf, printer)

    def _errand_ended(self, name: str, why: str) -> None:
        time = clock_time(self._selection.bay.now(), self._selection.tz, seconds=False)
        done = _("sent to the printer at {time}") if name == PRINT else _("copied at {time}")
        self._results[name] = _("failed: {why}").format(why=why) if why else done.format(time=time)
        if self._pages.standing is self.page:
            self._show_errands()
