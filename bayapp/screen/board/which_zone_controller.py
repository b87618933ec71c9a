"""Asks which of several zones under one glove was meant."""

from bayapp.job import zone_clock
from bayapp.job.model.ids import ZoneId
from bayapp.job.text.naming import capital, step_title
from bayapp.pages.board.clock_column import words_of
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import WhichZone
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class WhichZoneController:
    """Opens the ladder of the one that is chosen."""

    def __init__(self, selection: Selection, pages: PageStack, choices: Choices) -> None:
        self._selection, self._pages, self._choices = selection, pages, choices

    def open(self, wanted: WhichZone) -> None:
        """Ask which."""
        bay = self._selection.bay
        state, at = bay.state.jobs[wanted.job], bay.now()
        entries = []
        for zone in wanted.zones:
            clock = zone_clock(state, zone, at)
            clock_words = " ".join(words_of(clock, at)).strip()
            step = step_title(state.job.recipe_of(zone), clock.step) if clock.step else _("done")
            detail = f"{step}  {clock_words}".strip()
            entries.append(Entry(zone, capital(state.job.zone_names[zone]), detail, badge=clock.urgency))

        def chosen(zone: ZoneId) -> None:
            self._pages.show_ladder(wanted.job, (zone,))

        self._choices.show(_("Which one?"), _("Several zones lie under the glove."), entries, chosen)
