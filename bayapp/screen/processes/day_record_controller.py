"""Asks for the day of the record, has it written, and reports the result."""

from datetime import date

from PySide6.QtCore import QObject

from bayapp.job.model.ids import JobId
from bayapp.pages.selection import Selection
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.processes.report_runner import ReportRunner
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.days import day_text
from bayapp.text.language import _

MOST_DAYS = 9


class DayRecordController(QObject):
    """Has the day record of the shown car written; ``show`` fills the choice page.

    Attributes:
        state: the state of the last record, for the page "more"; empty before the first.
    """

    def __init__(self, selection: Selection, pages: PageStack, runner: ReportRunner, show: Show) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._runner, self._show = selection, pages, runner, show
        self.state = ""
        self._page = 0  # which showing of the choice page says that the record is being written
        runner.setParent(self)
        runner.written.connect(self._written)
        runner.failed.connect(self._failed)

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

    def _write(self, job: JobId, day: date) -> None:
        self.state = _("is being written")
        self._say_writing()  # first: a program that cannot be started says so at once
        self._runner.write(job, day, self._selection.bay.now())

    def _say_writing(self) -> None:
        self._say(_("Writing the day record …"))
        self._page = self._pages.choices.showing

    def _written(self) -> None:
        sentence = _("The day record is in {folder}: one PDF to print, one table (CSV), one file for programs (JSON).")
        self.state = _("written")
        self._say_if_waited_for(sentence.format(folder=self._runner.folder))

    def _failed(self, why: str) -> None:
        sentence = _("The day record could not be written: {why}. Free some space or check the folder, then try again.")
        self.state = _("was not written")
        self._say_if_waited_for(sentence.format(why=why.rstrip(".")))

    def _say_if_waited_for(self, sentence: str) -> None:
        """Show the result only to whoever still waits on that page; others find it on the page "more"."""
        choices = self._pages.choices
        if self._pages.standing is choices and choices.showing == self._page:
            self._say(sentence)

    def _say(self, sentence: str) -> None:
        self._show(_("Day record"), "", [], lambda key: None, (sentence,))
