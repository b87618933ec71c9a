"""Changes the job of a car in the bay: work added, another recipe, zones set aside."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from enum import Enum
from pathlib import Path

from PySide6.QtCore import QObject

from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.job import AddWork, Job, Product, Recipe, SwapRecipe
from bayapp.job.gate.wetting import not_dry_yet
from bayapp.job.model.ids import Stage, Urgency, ZoneId
from bayapp.job.text.naming import capital, zones_in_brief, zones_title
from bayapp.pages.board.car_view import Face, faces
from bayapp.pages.board.phrases import add_reasons, swap_reasons
from bayapp.pages.cars.change import (
    Picking,
    SwapChoice,
    add_view,
    additions,
    against_adding_here,
    draft_of,
    pick_view,
    still_to_add,
    swap_choices,
    workable,
)
from bayapp.pages.cars.curing import may_get_wet
from bayapp.pages.cars.new_job import Draft
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import AddZone, GotWetWhen, Refused, WhichGotWet, WhyAside
from bayapp.paths import resource
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.cars.new_job_work import WorkPage
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.recipes.recipe_choice import choose_recipes
from bayapp.screen.widgets.choice_page import Entry, Show, tell
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _


class ChangeKind(Enum):
    """What is to change of a job."""

    WORK = "work"
    RECIPE = "recipe"
    ASIDE = "aside"


class ChangeController(QObject):
    """Changes the job of the car that is shown; ``show`` fills the choice page.

    ``jobs`` is the folder of the ready jobs; the shop's own recipes and products lie beside it.

    Attributes:
        page: the car, on which zones are chosen.
    """

    def __init__(
        self, selection: Selection, pages: PageStack, sender: RequestSender, drawings: Drawings, jobs: Path, show: Show
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._drawings, self._show = drawings, show
        self._library = Library(jobs.parent, resource())
        self._draft: Draft | None = None  # work that is being added
        self._picking: Picking | None = None  # zones that are being chosen
        self._picked: Callable[[tuple[ZoneId, ...]], None] = lambda zones: None
        self.page = WorkPage(pages.look, pages.window)
        self.page.toggled.connect(self._toggle)
        self.page.zones_touched.connect(self._zones_touched)
        self.page.recipes_wanted.connect(self._choose_recipes)
        self.page.next_wanted.connect(self._go)
        self._pages.add(self.page)

    @property
    def _job(self) -> Job:
        assert self._selection.job
        return self._selection.bay.state.jobs[self._selection.job].job

    def open(self) -> None:
        """Ask what is to change."""
        if self._selection.job is None:
            return
        entries = [
            Entry(ChangeKind.WORK, _("Add work"), _("zones that are not worked yet"), glyph="more"),
            Entry(ChangeKind.RECIPE, _("Another recipe"), _("for steps that are not done yet"), glyph="paper"),
            Entry(ChangeKind.ASIDE, _("Set aside"), _("zones out of the work, with a reason"), glyph="aside"),
        ]
        subtitle = _("{car}: every change stands in the day record.").format(car=self._job.name)
        self._show(_("Change this job"), subtitle, entries, self._what, ())

    def _what(self, what: ChangeKind) -> None:
        if what is ChangeKind.WORK:
            self._add()
        elif what is ChangeKind.RECIPE:
            self._pick(_("Another recipe: for which zones?"), self._swap)
        else:
            self._pick(_("Set aside: which zones?"), lambda zones: self._pages.want(WhyAside(self._job.id, zones)))

    def open_add(self, wanted: AddZone) -> None:
        """Add work, with one zone chosen beforehand; say so where it cannot be chosen."""
        if self._selection.job != wanted.job:
            self._pages.show_car(wanted.job)
        self._add(wanted.zone)

    def open_wet(self, wanted: WhichGotWet) -> None:
        """Choose on which zones of a car water came; those that are not dry yet are chosen beforehand."""
        self._pages.show_car(wanted.job)
        car, at = self._selection.bay.state.jobs[wanted.job], self._selection.bay.now()
        self._draft, self._picked = None, lambda zones: self._pages.want(GotWetWhen(wanted.job, zones))
        self._picking = Picking(car.job.vehicle, may_get_wet(car), not_dry_yet(car, at))
        subtitle = _("Ringed is what is not dry yet: touch sets, or zones on the car, in or out.")
        self._open(_("What got wet?"), subtitle, recipes=False)

    # Zones are chosen.

    def _pick(self, title: str, picked: Callable[[tuple[ZoneId, ...]], None]) -> None:
        self._draft, self._picked = None, picked
        self._picking = Picking(self._job.vehicle, workable(self._selection.bay, self._job.id))
        subtitle = _("Touch sets, or zones on the car, in or out: ringed is chosen.")
        self._open(title, subtitle, recipes=False)

    def _open(self, title: str, subtitle: str, *, recipes: bool) -> None:
        drawing = self._drawings.of(self._job.id, [state.job for state in self._selection.bay.state.open_jobs])
        self.page.open_car(title, drawing, subtitle, recipes=recipes, zones=False)
        self._pages.show(self.page)
        self._show_page()

    def _show_page(self) -> None:
        if self._draft:
            self.page.show_work(add_view(self._draft), self._faces(self._draft.picks))
        elif self._picking:
            self.page.show_work(pick_view(self._picking), self._faces(self._picking.chosen))

    def _faces(self, chosen: object) -> dict[ZoneId, Face]:
        """Return the faces of the car without clocks, the chosen zones ringed."""
        bay, wanted = self._selection.bay, tuple(chosen) if isinstance(chosen, tuple | dict) else ()
        at = bay.now()
        clocks = faces(bay.state.jobs[self._job.id], bay.clocks(at), at, selected=wanted)
        added = self._draft.picks if self._draft else {}
        return {
            zone: replace(
                face,
                urgency=Urgency.IDLE,
                time_text="",
                show_time=False,
                stage=Stage.BUFFED if zone in added else face.stage,
            )
            for zone, face in clocks.items()
        }

    def _toggle(self, name: str) -> None:
        if self._draft:
            if name in self._draft.worked:
                self._say_worked(ZoneId(name))
                return
            self._draft = self._draft.toggled(name)
        elif self._picking:
            self._picking = self._picking.toggled(name)
        self._show_page()

    def _say_worked(self, zone: ZoneId) -> None:
        refusal = against_adding_here(self._selection.bay, self._job.id, zone, self._job.recipe_of(zone))
        if refusal:
            self._pages.want(Refused((refusal,)))

    def _zones_touched(self, zones: list[ZoneId]) -> None:
        if self._picking and not self._draft:
            zones = [zone for zone in zones if zone in self._picking.among]
        if len(zones) == 1:
            self._toggle(zones[0])
        elif zones:
            entries = [Entry(zone, capital(self._job.zone_names[zone])) for zone in zones]
            self._show(_("Which one?"), _("Several zones lie under the glove."), entries, self._zone_chosen, ())

    def _zone_chosen(self, zone: ZoneId) -> None:
        self._pages.show(self.page)
        self._toggle(zone)

    def _go(self) -> None:
        if self._draft:
            self._ask_why_added(self._draft)
        elif self._picking and self._picking.chosen:
            self._picked(self._picking.chosen)

    # Work is added.

    def _add(self, zone: ZoneId | None = None) -> None:
        books = self._books()
        if books is None:
            return
        drawing = self._job.drawing or resource("vehicles", self._job.vehicle.drawing).read_text(encoding="utf-8")
        draft = draft_of(self._job, drawing, *books)
        if zone in draft.worked:
            self._say_worked(zone)
            return
        if zone and not draft.zones_of(zone):
            tell(self._show, capital(self._job.zone_names[zone]), "", _("No recipe is for this surface."))
            return
        self._draft, self._picking = draft.toggled(zone) if zone else draft, None
        subtitle = _("Touch sets, or zones on the car, in or out: ringed is added.")
        self._open(_("Add work to {car}").format(car=self._job.name), subtitle, recipes=True)

    def _choose_recipes(self) -> None:
        if self._draft:
            choose_recipes(self._draft, self._show, self._take_recipes)

    def _take_recipes(self, draft: Draft) -> None:
        self._draft = draft
        self._pages.show(self.page)
        self._show_page()

    def _ask_why_added(self, draft: Draft) -> None:
        if draft.trouble():
            return
        entries = [Entry(reason, capital(reason)) for reason in add_reasons()]
        zones = capital(zones_in_brief(self._job, draft.picks))
        subtitle = _("{zones}: it stands in the day record.").format(zones=zones)
        self._show(_("Why is work added?"), subtitle, entries, lambda reason: self._request_added(draft, reason), ())

    def _request_added(self, draft: Draft, reason: str) -> None:
        """Request one block after another; refusals are shown, and what was accepted stays."""
        asked = list(additions(draft, self._job.id, self._selection.by, reason))
        if all(self._sender.send_or_show_refusal(one) for one in asked):
            self._say_added(asked)
        else:
            self._draft = still_to_add(draft, self._job)
            self._show_page()

    def _say_added(self, added: Sequence[AddWork]) -> None:
        """Say what is worked from now on, and where it is seen."""
        job = self._job
        sentences = tuple(
            _("{zones}: {recipe}.").format(
                zones=capital(zones_in_brief(job, one.block.zones)),
                recipe=one.block.recipe.title or one.block.recipe.name,
            )
            for one in added
        )
        title = _("Added to {car}").format(car=job.name)
        subtitle = _("It stands on the car and on the ladders now; the plan takes it in.")
        entries = [Entry(True, _("See the car"), glyph="car"), Entry(False, _("Add more"), glyph="more")]
        self._show(title, subtitle, entries, lambda see: self._pages.show_board() if see else self._add(), sentences)

    # Another recipe.

    def _swap(self, zones: tuple[ZoneId, ...]) -> None:
        books = self._books()
        if books is None:
            return
        job = self._job
        asked = SwapRecipe(job.id, zones, job.recipe_of(zones[0]), swap_reasons()[0], by=self._selection.by)
        choices = swap_choices(self._selection.bay, asked, books[0].values(), books[1], self._selection.tz)
        title = capital(zones_title(job, zones))
        if not choices:
            sentence = _("No recipe is for all of these surfaces: choose zones of one surface.")
            tell(self._show, title, "", sentence)
            return
        entries = [Entry(c, c.title, c.why, glyph="warning" if c.refusal else "paper") for c in choices]
        show_paged(_("Go on by which recipe?"), title, entries, self._swap_chosen, self._show)

    def _swap_chosen(self, key: SwapChoice) -> None:
        if key.refusal:
            self._pages.want(Refused((key.refusal,)))
            return

        def because(reason: str) -> None:
            if self._sender.send_or_show_refusal(replace(key.request, reason=reason)):
                self._pages.show_board()

        entries = [Entry(reason, capital(reason)) for reason in swap_reasons()]
        zones = capital(zones_title(self._job, key.request.zones))
        subtitle = _("{zones}: {recipe}, for what is not done yet.").format(zones=zones, recipe=key.title)
        self._show(_("Why another recipe?"), subtitle, entries, because, ())

    def _books(self) -> tuple[dict[str, Recipe], dict[str, Product]] | None:
        """Return the recipes and products by name; if one cannot be read, show why and return None."""
        library = self._library
        try:
            recipes = {name: library.load_recipe(name) for name in library.names("recipe")}
            return recipes, {name: library.load_product(name) for name in library.names("product")}
        except BadFile as bad:
            tell(self._show, _("A recipe cannot be used"), "", str(bad))
            return None
