"""Fills in the card of a test spot, one question a page, by ready words or own ones."""

from collections.abc import Callable, Sequence

from bayapp.job import TrySpot
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.text.naming import capital
from bayapp.job.text.spot_words import card_text
from bayapp.pages.board.aids import FillSpotCard
from bayapp.pages.board.spot_phrases import PASSES, machines, pads, pastes, results
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _, ngettext

LONGEST = 60


class SpotController:
    """Asks machine, pad, paste, passes and what is seen; nothing is recorded before the last touch."""

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

    def open(self, wanted: FillSpotCard) -> None:
        """Begin with the machine."""
        self._ask(wanted, {})

    def _ask(self, wanted: FillSpotCard, said: dict[str, str | int]) -> None:
        """Ask for the next part that has not been said."""
        parts: dict[str, tuple[str, Callable[[], Sequence[str]]]] = {
            "machine": (_("Which machine?"), machines),
            "pad": (_("Which pad?"), pads),
            "paste": (_("Which paste?"), lambda: self._pastes(wanted)),
        }
        for part, (title, words) in parts.items():
            if part not in said:
                self._ask_words(wanted, said, part, title, words())
                return
        if "passes" not in said:
            self._ask_passes(wanted, said)
        elif "result" not in said:
            self._ask_words(wanted, said, "result", _("What is seen by light?"), results())
        else:
            self._ask_chosen(wanted, SpotCard.model_validate(said))

    def _pastes(self, wanted: FillSpotCard) -> Sequence[str]:
        """Return the recipe's own paste first."""
        job = self._selection.bay.state.jobs[wanted.job].job
        step = job.recipe_of(wanted.zones[0]).named(wanted.step)
        product = job.products.get(step.product or "")
        own = [(product.title or product.name)[:LONGEST]] if product else []
        return (*own, *pastes())

    def _ask_words(
        self, wanted: FillSpotCard, said: dict[str, str | int], part: str, title: str, words: Sequence[str]
    ) -> None:
        entries: list[Entry[str | None]] = [Entry(word, capital(word)) for word in words]
        entries.append(Entry(None, _("In own words"), _("typed by letters"), glyph="note"))

        def go_on(word: str) -> None:
            self._ask(wanted, {**said, part: word})

        def chosen(word: str | None) -> None:
            if word is None:
                typing = Typing(Kind.NOTE, title, self._so_far(said))
                self._typing.ask(typing, lambda typed: go_on(typed.sentence[:LONGEST]), about=(wanted, part))
            else:
                go_on(word)

        self._choices.show(title, self._so_far(said), entries, chosen)

    def _ask_passes(self, wanted: FillSpotCard, said: dict[str, str | int]) -> None:
        entries = [Entry(n, ngettext("{n} pass", "{n} passes", n).format(n=n)) for n in PASSES]
        title = _("How many passes?")
        self._choices.show(title, self._so_far(said), entries, lambda n: self._ask(wanted, {**said, "passes": n}))

    def _ask_chosen(self, wanted: FillSpotCard, card: SpotCard) -> None:
        entries = [
            Entry(True, _("Polish the car so"), _("it stands on every polish button of its paint"), glyph="light"),
            Entry(False, _("Only tried"), _("it is written down; then another one")),
        ]
        title = capital(card_text(card))

        def record(chosen: bool) -> None:
            tried = card.model_copy(update={"chosen": chosen})
            request = TrySpot(wanted.job, wanted.zones, wanted.step, tried, self._selection.by)
            if not self._sender.send_or_show_refusal(request):
                return
            if chosen:
                self._pages.show_ladder(wanted.job, wanted.zones)
                self._refresher.refresh()
            else:
                self._ask(wanted, {})

        self._choices.show(title, capital(card.result), entries, record)

    def _so_far(self, said: dict[str, str | int]) -> str:
        start = _("A test spot: the gentlest way first. Common practice, no source; the product's sheet comes first.")
        return ", ".join(map(str, said.values())) or start
