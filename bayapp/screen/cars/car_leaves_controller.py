"""Asks for confirmation that a car leaves the bay, and closes its job."""

from dataclasses import replace

from bayapp.job import CloseJob, why_not
from bayapp.job.text.naming import capital
from bayapp.pages.board.phrases import leaving_reasons
from bayapp.pages.cars.leaving import unfinished_and_wet
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page, WhereStands
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class CarLeavesController:
    """Closes the job of the car that is shown, by a hold."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, choices: Choices) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices

    def open(self) -> None:
        """Ask for confirmation."""
        chosen = self._selection
        if chosen.job is None:
            return
        car = chosen.bay.state.jobs[chosen.job]
        title = car.job.name
        leaving = CloseJob(chosen.job, chosen.by)
        unseen = bool(chosen.bay.judge(leaving).refusals)
        first = _("not all of it was seen by light") if unseen else _("seen by light: good, or again")
        entries: list[Entry[CloseJob | Page | WhereStands | None]] = [
            Entry(Page.FINAL_CHECK, _("Final check"), first, glyph="light"),
            Entry(leaving, _("{car} has left").format(car=title), _("with a reason") if unseen else "", hold=True),
            Entry(None, _("It stays")),
            Entry(WhereStands(chosen.job), _("It is only moved"), _("to another bay, or outside"), glyph="change"),
            Entry(Page.REPORT, _("Day record"), _("see, print, copy"), glyph="paper"),
        ]
        told = unfinished_and_wet(car, chosen.bay.now(), chosen.tz)
        subtitle = _("Its clocks and calls go away; its record stays. It can be taken back under Cars, Past cars.")
        self._choices.show(_("{car} leaves the bay?").format(car=title), subtitle, entries, self._answered, told)

    def _answered(self, leaving: CloseJob | Page | WhereStands | None) -> None:
        if isinstance(leaving, Page | WhereStands):
            self._pages.want(leaving)
            return
        if leaving and leaving.deviation is None and (refusals := self._selection.bay.judge(leaving).refusals):
            self._ask_why(
                leaving, " ".join(why_not(r, self._selection.bay.state, self._selection.tz) for r in refusals)
            )
            return
        if leaving:
            if not self._sender.send_or_show_refusal(leaving):
                return
            self._selection.turn_to_first_car()
        self._pages.show_board()
        if not self._selection.bay.state.open_jobs:
            self._pages.want(Page.CARS)

    def _ask_why(self, leaving: CloseJob, why: str) -> None:
        """Ask why a car goes before all of it was seen by light."""
        entries = [Entry(replace(leaving, deviation=reason), capital(reason)) for reason in leaving_reasons()]
        entries_or_check: list[Entry[CloseJob | Page | WhereStands | None]] = [
            Entry(Page.FINAL_CHECK, _("Final check"), _("look first"), glyph="light"),
            *entries,
        ]
        self._choices.show(_("Why does it go all the same?"), why, entries_or_check, self._answered)
