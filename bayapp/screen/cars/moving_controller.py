"""Asks where a car stands from now on, and moves it by one touch."""

from bayapp.job import MoveCar, UndoMove
from bayapp.pages.cars.curing import cures_text, may_get_wet, wet_text
from bayapp.pages.cars.places import curing_text, place_choices
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import CureWhere, Page, WhereStands, WhichGotWet
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class MovingController:
    """Shows the places of the shop, with what each would mean for the coats on the car."""

    def __init__(
        self, selection: Selection, pages: PageStack, sender: RequestSender, refresher: Refresher, choices: Choices
    ) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices
        self._refresher = refresher

    def open(self, wanted: WhereStands) -> None:
        """Ask where the car stands."""
        bay, chosen = self._selection.bay, self._selection
        car = bay.state.jobs[wanted.job]
        job = car.job
        by = chosen.by if chosen.job == wanted.job else None
        entries: list[Entry[MoveCar | UndoMove | CureWhere | WhichGotWet | Page]] = [
            Entry(c.request, c.title, c.detail, glyph="warning" if c.warns else "", chosen=c.here, hold=c.hold)
            for c in place_choices(bay, wanted.job, by, chosen.tz)
        ]
        if car.curing:
            cures = _("Cures: {spot}").format(spot=curing_text(bay.state, wanted.job))
            entries.append(Entry(CureWhere(wanted.job), cures, cures_text(car, chosen.tz), chosen=True))
        else:
            out = _("nobody works on it, its clocks go on")
            entries.append(Entry(CureWhere(wanted.job), _("Moved out, still curing"), out, glyph="clock"))
        if may_get_wet(car):
            wet = wet_text(car, bay.now())
            entries.append(Entry(WhichGotWet(wanted.job), _("It got wet"), wet, glyph="warning"))
        if not bay.state.places.bays:
            entries.append(
                Entry(Page.NAMED_BAYS, _("Name the bays"), _("and say where curtains hang"), glyph="settings")
            )
        subtitle = _("Dust, water and the air count within a place.")
        self._choices.show(_("Where is {car} now?").format(car=job.name), subtitle, entries, self._chosen)

    def _chosen(self, key: MoveCar | UndoMove | CureWhere | WhichGotWet | Page) -> None:
        if isinstance(key, Page | CureWhere | WhichGotWet):
            self._pages.want(key)
            return
        car = self._selection.bay.state.jobs[key.job]
        stays = isinstance(key, MoveCar) and car.place == key.to and not car.curing
        if stays or self._sender.send_or_show_refusal(key):
            self._pages.back()
            self._refresher.refresh()  # the page it came back to shows where the car stands
