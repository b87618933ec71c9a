"""The page "more": the way to all other pages."""

from collections.abc import Callable

from bayapp.job.gate.stock import Stock
from bayapp.job.model.ids import JobId
from bayapp.pages.plan.planner_words import planner_sentence
from bayapp.pages.selection import Selection
from bayapp.pages.shelf.shelf import order_line
from bayapp.pages.wanted import NoteAbout, Page, Wanted
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.sound import Voice
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class MoreController:
    """Offers every page; ``record_of`` returns how far the last day record of a car is."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        choices: Choices,
        voice: Voice,
        record_of: Callable[[JobId | None], str],
    ) -> None:
        self._selection, self._pages, self._choices = selection, pages, choices
        self._voice, self._record_of = voice, record_of

    def open(self) -> None:
        """Show them; those that need a car are left out if there is none."""
        car = self._of_car()
        entries: list[Entry[Wanted]] = [
            Entry(Page.CARS, _("Cars"), _("take one in, or show another"), glyph="car"),
            Entry(Page.CREW, _("Who is in today"), _("people come and go"), glyph="person"),
            *car[:4],
            *self._of_shop(),
            *car[4:5],
            Entry(Page.HELP, _("Help"), _("the manual, topic by topic"), glyph="help"),
            Entry(Page.CAUTIONS, _("Cautions"), _("solvent, fire, eyes, hot metal"), glyph="warning"),
            *car[5:],
        ]
        self._choices.show(_("More"), "", entries, self._pages.want)

    def _of_car(self) -> list[Entry[Wanted]]:
        job = self._selection.job
        if job is None:
            return []
        return [
            Entry(Page.ARRIVAL, _("Arrival"), _("plate, owner, marks, thickness, photos"), glyph="car"),
            Entry(Page.PLAN, _("Plan"), self._of_plan(), glyph="clock"),
            Entry(Page.CHANGE, _("Change this job"), _("add work, another recipe, set zones aside"), glyph="change"),
            Entry(
                Page.REPORT, _("Day record"), self._record_of(job) or _("see, print, copy to a stick"), glyph="paper"
            ),
            Entry(NoteAbout(job), _("Note"), _("about the whole car"), glyph="note"),
            Entry(Page.CLOSE, _("Car leaves the bay"), _("closes its job"), glyph="car"),
        ]

    def _of_plan(self) -> str:
        out = self._selection.bay.advice.planner_out
        return planner_sentence(out).rstrip(".") if out else _("who does what when, and the finish")

    def _of_shop(self) -> list[Entry[Wanted]]:
        bay, sound = self._selection.bay, self._voice.sound
        low = order_line(Stock(bay.state, bay.now()).short())
        return [
            Entry(Page.SHELF, _("Shelf"), low or _("bottles, batch and expiry"), glyph="bottle"),
            Entry(Page.RECIPES, _("Recipes"), _("see, make, change, import, export"), glyph="paper"),
            Entry(Page.SOUND, _("Sound check"), sound.why() if sound else "", glyph="sound"),
            Entry(Page.AIR_DAY, _("The air"), _("right for coating or not, the day, solvent vapour"), glyph="air"),
            Entry(Page.CLOCK, _("The time"), _("put it right"), glyph="clock"),
            Entry(Page.SETTINGS, _("Settings"), _("screen, sound, units, hours, backup"), glyph="settings"),
            Entry(Page.LOCK, _("Glove lock"), _("touches do nothing, keys do"), glyph="lock"),
        ]
