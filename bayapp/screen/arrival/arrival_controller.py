"""Asks what a car is when it arrives, and later: plate, key hook, mileage, wishes."""

from collections.abc import Callable
from dataclasses import replace

from bayapp.job import GiveIdentity, JobState
from bayapp.job.model.identity import MOST_WISHES, Identity, Mileage, MileageUnit
from bayapp.job.model.ids import JobId
from bayapp.job.text.naming import capital
from bayapp.pages.arrival.arrival import Fact, arrival_view, mileage_text
from bayapp.pages.arrival.wishes import is_full, wish_choices, with_wish, without_wish
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.screen.widgets.paged_choices import Portion, show_paged
from bayapp.text.language import _

GLYPHS = {
    Fact.PLATE: "plate",
    Fact.KEY_HOOK: "key",
    Fact.MILEAGE: "clock",
    Fact.WISHES: "speech",
    Fact.OWNER: "person",
    Fact.MARKS: "warning",
    Fact.THICKNESS: "gauge",
    Fact.PHOTOS: "photo",
}


class ArrivalController:
    """Offers each part of what can be told of the car in view; the page tells what is known, and nobody is shut in."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        choices: Choices,
        typing: TypedEntryController,
        owner_is_told: Callable[[JobId], bool],
    ) -> None:
        self._selection, self._pages, self._sender = selection, pages, sender
        self._owner_is_told = owner_is_told
        self._choices, self._typing = choices, typing
        self._parts: dict[Fact, Callable[[JobId], None]] = {
            Fact.PLATE: self._ask_plate,
            Fact.KEY_HOOK: self._ask_key_hook,
            Fact.MILEAGE: self._ask_unit,
            Fact.WISHES: self._ask_wishes,
        }

    def add(self, fact: Fact, opener: Callable[[JobId], None]) -> None:
        """Offer one part more; ``opener`` asks for it."""
        self._parts[fact] = opener

    def open(self) -> None:
        """Show what is known of the car in view."""
        car = self._selection.car
        if car is None or self._selection.job is None:
            return
        job = self._selection.job
        entries: list[Entry[Fact | None]] = [
            Entry(one.fact, one.title, one.known, glyph=GLYPHS[one.fact], chosen=one.told)
            for one in arrival_view(car, self._parts, self._owner_is_told(job))
        ]
        entries.append(Entry(None, _("To the car"), _("all of this can wait: More, Arrival"), glyph="back"))
        subtitle = _("{car}: tell what you like, in any order.").format(car=car.job.name)
        self._choices.show(_("Arrival"), subtitle, entries, lambda fact: self._go(job, fact))

    def _go(self, job: JobId, fact: Fact | None) -> None:
        if fact is None:
            self._pages.show_board()
        else:
            self._parts[fact](job)

    def _car(self, job: JobId) -> JobState:
        return self._selection.bay.state.jobs[job]

    def _give(self, job: JobId, **said: object) -> None:
        """Say one part anew, and go back to all of them."""
        if self._said(job, **said):
            self.open()

    def _said(self, job: JobId, **said: object) -> bool:
        """Say one part anew; the others stay as they are known by now. Return whether it was taken."""
        identity = Identity.model_validate({**dict(self._car(job).identity), **said})
        return self._sender.send_or_show_refusal(GiveIdentity(job, identity, self._selection.by))

    # Typed.

    def _ask_plate(self, job: JobId) -> None:
        self._type(job, "plate", Typing(Kind.PLATE, _("Plate"), _("As it stands on the car, in any script.")))

    def _ask_key_hook(self, job: JobId) -> None:
        typing = Typing(Kind.PLATE, _("Key hook"), _("Where the key hangs, by number or name."), letters=False)
        self._type(job, "key_hook", typing)

    def _type(self, job: JobId, part: str, typing: Typing) -> None:
        """Ask for a text; one that is known may be erased and recorded empty."""
        old = str(getattr(self._car(job).identity, part))
        if old:
            typing = replace(typing, may_be_empty=True, subtitle=_("Erased and recorded, it is taken away."))
            typing = typing.opened_with(old)
        self._typing.ask(typing, lambda typed: self._give(job, **{part: typed.text}), unchanged=self.open)

    # Mileage.

    def _ask_unit(self, job: JobId) -> None:
        known = self._car(job).identity.mileage
        units: list[Entry[MileageUnit | None]] = [
            Entry("km", _("In km"), chosen=bool(known and known.unit == "km")),
            Entry("mi", _("In miles"), chosen=bool(known and known.unit == "mi")),
        ]
        if known:
            units.append(Entry(None, _("Take it away"), mileage_text(known)))
        subtitle = _("Which does the car count in?")
        self._choices.show(_("Mileage"), subtitle, units, lambda unit: self._ask_mileage(job, unit))

    def _ask_mileage(self, job: JobId, unit: MileageUnit | None) -> None:
        if unit is None:
            self._give(job, mileage=None)
            return
        known = self._car(job).identity.mileage
        shown = _("miles") if unit == "mi" else _("km")
        typing = Typing(Kind.MILEAGE, _("Mileage"), _("As the car shows it."), unit=shown)
        typing = typing.opened_with(str(known.figure) if known and known.unit == unit else None)

        def take(typed: Typing) -> None:
            if typed.number is not None:
                self._give(job, mileage=Mileage(figure=int(typed.number), unit=unit))

        self._typing.ask(typing, take, unchanged=self.open)

    # Wishes.

    def _ask_wishes(self, job: JobId) -> None:
        car = self._car(job)
        entries: list[Entry[str | None]] = [Entry(None, _("In own words"), _("typed by letters"), glyph="note")]
        entries += [Entry(one.wish, capital(one.wish), chosen=one.chosen) for one in wish_choices(car.identity)]
        subtitle = _("{car}: a touch takes a wish down, another takes it back.").format(car=car.job.name)
        show_paged(
            _("Wishes"), subtitle, entries, lambda wish: self._wish(job, wish), self._choices.show, Portion(most=11)
        )

    def _wish(self, job: JobId, wish: str | None) -> None:
        known = self._car(job).identity
        if wish is None:
            typing = Typing(Kind.NOTE, _("A wish"), self._car(job).job.name)
            self._typing.ask(typing, lambda typed: self._wished(job, typed.sentence), about=(job, Fact.WISHES))
        elif wish in known.wishes:
            self._take_back(job, wish)
        else:
            self._wished(job, wish)

    def _wished(self, job: JobId, wish: str) -> None:
        known = self._car(job).identity
        if is_full(known):
            full = _("At most {n} wishes are kept: take one back first.").format(n=MOST_WISHES)
            self._choices.tell(_("One wish too many"), "", full)
        elif self._said(job, wishes=with_wish(known, wish)):
            self._ask_wishes(job)

    def _take_back(self, job: JobId, wish: str) -> None:
        if self._said(job, wishes=without_wish(self._car(job).identity, wish)):
            self._ask_wishes(job)
