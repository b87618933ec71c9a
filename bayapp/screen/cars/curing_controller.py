"""Asks where a car cures that is moved out, and when water came on it."""

from bayapp.job import MoveCar, ReportWet
from bayapp.job.model.ids import Person
from bayapp.job.text.naming import capital, zones_in_brief
from bayapp.pages.cars.curing import moved_out, spot_choices, wet_choices
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import CureWhere, GotWetWhen
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _

LONGEST_SPOT = 40


class CuringController:
    """Moves a car out to cure, and takes down what got wet."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        refresher: Refresher,
        choices: Choices,
        typing: TypedEntryController,
    ) -> None:
        self._selection, self._pages, self._sender, self._refresher = selection, pages, sender, refresher
        self._choices, self._typing = choices, typing

    def open(self, wanted: CureWhere) -> None:
        """Ask where it cures."""
        bay, by = self._selection.bay, self._by(wanted)
        car = bay.state.jobs[wanted.job]
        entries: list[Entry[MoveCar | None]] = [
            Entry(one.request, one.title, one.detail, glyph="warning" if one.warns else "")
            for one in spot_choices(bay, wanted.job, by, self._selection.tz)[:8]
        ]
        entries.append(Entry(None, _("In own words"), _("typed by letters"), glyph="note"))

        def chosen(request: MoveCar | None) -> None:
            if request is None:
                typing = Typing(Kind.NOTE, _("Where does it cure?"), car.job.name)
                self._typing.ask(
                    typing,
                    lambda typed: self._move(moved_out(wanted.job, typed.sentence[:LONGEST_SPOT], by)),
                    about=wanted,
                )
            else:
                self._move(request)

        subtitle = _("Nobody works on it there. Its clocks and calls go on, and its bay is free.")
        self._choices.show(_("Where does {car} cure?").format(car=car.job.name), subtitle, entries, chosen)

    def open_when(self, wanted: GotWetWhen) -> None:
        """Ask when the zones got wet."""
        bay, chosen = self._selection.bay, self._selection
        car = bay.state.jobs[wanted.job]
        choices = wet_choices(car, wanted.zones, self._by(wanted), bay.now(), chosen.tz)
        entries = [Entry(one.request, one.title, one.detail) for one in choices]
        zones = capital(zones_in_brief(car.job, wanted.zones))
        subtitle = _("{zones}: kept dry anew from then, and looked at for water spots.").format(zones=zones)
        self._choices.show(_("When did it get wet?"), subtitle, entries, self._report)

    def _by(self, wanted: CureWhere | GotWetWhen) -> Person | None:
        return self._selection.by if self._selection.job == wanted.job else None

    def _move(self, request: MoveCar) -> None:
        if self._sender.send_or_show_refusal(request):
            self._pages.show_board()
            self._refresher.refresh()

    def _report(self, request: ReportWet) -> None:
        if self._sender.send_or_show_refusal(request):
            self._pages.show_board()
            self._refresher.refresh()
