"""Leads from a new car to its running job: form, work, people, promise, begin."""

import logging
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QObject

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.files.save_document import save_document
from bayapp.files.shop.half_filled import forget_half_filled, half_filled, keep_half_filled
from bayapp.files.shop.settings import people_recorded
from bayapp.files.validation_messages import slug
from bayapp.job import Job, Product, Recipe
from bayapp.job.model.ids import JobId, Person, Stage, ZoneId
from bayapp.job.text.naming import capital
from bayapp.pages.board.car_view import Face
from bayapp.pages.cars.half_filled import kept_of, taken_up
from bayapp.pages.cars.new_job import Draft, PromiseCheck, check_promise, colours, work_view
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page
from bayapp.paths import resource
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.ready import Beside, beside
from bayapp.screen.cars.dividing_controller import DividingController
from bayapp.screen.cars.new_job_begin import BeginPage, BeginView
from bayapp.screen.cars.new_job_form import FormPage
from bayapp.screen.cars.new_job_work import WorkPage
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.recipes.recipe_choice import choose_recipes
from bayapp.screen.settings.people_names import add_person
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show, tell
from bayapp.screen.widgets.entry_page import HeadedPage
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.figures import day_and_time, length_text, moment_text
from bayapp.text.language import _

USUAL_HANDOVER = time(17, 0)

T = TypeVar("T")
LOG = logging.getLogger("bayapp")


class NewJobController(QObject):
    """Makes a job by touch and takes it in; ``show`` fills the choice page.

    ``jobs`` is the folder of the ready jobs; the shop's own recipes, products and forms lie beside it.
    """

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        jobs: Path,
        settings: ShopSettings,
        show: Show,
        typing: TypedEntryController,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages = selection, pages
        self._jobs, self._settings, self._show, self._typing = jobs, settings, show, typing
        self._shop_files = jobs.parent
        self._library = Library(jobs.parent, resource())
        self._draft: Draft | None = None
        self._drawings: dict[str, FormDrawing] = {}
        self.forms, self.work = FormPage(pages.look, pages.window), WorkPage(pages.look, pages.window)
        self.begin = BeginPage(pages.look, pages.window)
        self.forms.chosen.connect(self._form_chosen)
        self.work.toggled.connect(self._toggle)
        self.work.zones_touched.connect(self._zones_touched)
        self.work.recipes_wanted.connect(lambda: choose_recipes(self.draft, show, self._take_recipes))
        self.dividing = DividingController(pages, show, self._divided)
        self.work.zones_wanted.connect(lambda: self.dividing.open(self.draft))
        self.work.next_wanted.connect(self._to_begin)
        self.begin.colour_chosen.connect(lambda name: self._change(replace(self.draft, colour=name)))
        self.begin.person_chosen.connect(lambda name: self._change(self.draft.with_person(Person(name))))
        self.begin.other_people_wanted.connect(self._ask_people)
        self.begin.promise_toggled.connect(self._toggle_promise)
        self.begin.promise_moved.connect(self._move_promise)
        self.begin.begin_wanted.connect(self._begin)
        self.begin.template_wanted.connect(self._keep)
        own: tuple[HeadedPage, ...] = (self.forms, self.work, self.begin)
        for page in own:
            self._pages.add(page)

    @property
    def draft(self) -> Draft:
        """The car as it has been put together; an AssertionError before a form was chosen."""
        assert self._draft
        return self._draft

    def open(self) -> None:
        """Begin with the forms."""
        wrong: list[str] = []
        for name in self._library.names("vehicle"):
            if name not in self._drawings:
                try:
                    self._drawings[name] = FormDrawing(*self._library.load_drawn_vehicle(name))
                except (BadFile, ValueError) as bad:
                    wrong.append(str(bad))
        self.forms.show_forms(list(self._drawings.values()))
        self._pages.show(self.forms)
        if wrong:
            tell(self._show, _("Some forms cannot be used"), "", *wrong)

    def _form_chosen(self, name: str) -> None:
        form, drawing = self._library.load_drawn_vehicle(name)
        recipes, products = self._books()
        people = self._people()
        by = self._selection.by
        crew = (by,) if by in people and by is not None else people[:1]
        self._keep_half(Draft(form, drawing, recipes, products, crew=crew))
        self.work.open_car(form.title, self._drawings[name])
        self._pages.show(self.work)
        self._show_work()

    def _books(self) -> tuple[dict[str, Recipe], dict[str, Product]]:
        """Return the recipes and products that there are now."""
        recipes = _sound(self._library.names("recipe"), self._library.load_recipe)
        return recipes, _sound(self._library.names("product"), self._library.load_product)

    # Left half filled.

    def begin_ready(self, job: Job) -> None:
        """Ask for colour, people and promise of a car that comes in for the work of a ready job."""
        drawing = job.drawing or resource("vehicles", job.vehicle.drawing).read_text(encoding="utf-8")
        self._draft = Draft.of_ready(job, drawing, *self._books())
        self._pages.show(self.begin)
        self._change(self._draft)

    def _keep_half(self, draft: Draft) -> None:
        """Go on with a car as it is now, and keep it: whoever leaves the page, or restarts, finds it under Cars.

        A ready job lies there anyway.
        """
        self._draft = draft
        if draft.name:
            return
        plain = self._drawings.get(draft.form.name)
        try:
            keep_half_filled(self._shop_files, kept_of(draft, plain.form if plain else None))
        except OSError as trouble:
            LOG.error("the new car cannot be kept: %s", trouble)

    def go_on(self) -> None:
        """Take up the car that was left half filled; where there is none, begin with the forms."""
        kept = half_filled(self._shop_files)
        if kept is None:
            self.open()
            return
        try:
            plain = self._library.load_drawn_vehicle(kept.form)
            draft = taken_up(kept, plain, *self._books(), self._selection.bay.now())
            drawing = FormDrawing(draft.form, draft.drawing)
        except (BadFile, ValueError):
            self.open()
            return
        self._drawings.setdefault(kept.form, FormDrawing(*plain))
        self._draft = draft
        self.work.open_car(draft.form.title, drawing)
        self._pages.show(self.work)
        self._show_work()

    # The work.

    def _show_work(self) -> None:
        draft = self.draft
        faces = {
            ZoneId(zone.id): Face(
                zone.short or zone.name,
                Stage.BUFFED if zone.id in draft.picks else Stage.UNTOUCHED,
                worked=zone.id in draft.picks,
            )
            for zone in draft.form.zone
        }
        self.work.show_work(work_view(draft), faces)

    def _toggle(self, name: str) -> None:
        self._keep_half(self.draft.toggled(name))
        self._show_work()

    def _zones_touched(self, zones: list[ZoneId]) -> None:
        if len(zones) == 1:
            self._toggle(zones[0])
            return
        draft = self.draft
        entries = [
            Entry(zone, capital(draft.form.zone_named(zone).name), _("in") if zone in draft.picks else _("out"))
            for zone in zones
        ]
        self._show(_("Which one?"), _("Several zones lie under the glove."), entries, self._zone_chosen, ())

    def _zone_chosen(self, zone: ZoneId) -> None:
        self._pages.show(self.work)
        self._toggle(zone)

    def _divided(self, draft: Draft, drawing: FormDrawing) -> None:
        """Continue after zones were split or joined."""
        self._keep_half(draft)
        self.work.open_car(draft.form.title, drawing)
        self._pages.show(self.work)
        self._show_work()

    def _take_recipes(self, draft: Draft) -> None:
        self._keep_half(draft)
        self._pages.show(self.work)
        self._show_work()

    # People, promise, go.

    def _to_begin(self) -> None:
        if self.draft.trouble():
            return
        self._pages.show(self.begin)
        self._change(self.draft)

    def _change(self, draft: Draft) -> None:
        self._keep_half(draft)
        at = self._selection.bay.now()
        comes = self._comes(draft, at)
        promise = self._promise(_shown(comes.ready))
        let_down = self._let_down(comes.let_down)
        trouble = ""
        try:
            draft.job(JobId("draft"), at)
        except ValueError as clash:
            trouble = str(clash)
        self.begin.show_begin(
            BeginView(
                title=draft.title(self._taken()),
                colours=colours(),
                colour=draft.colour,
                people=self._people(),
                crew=draft.crew,
                promise=day_and_time(draft.promised, self._selection.tz) if draft.promised else "",
                note=f"{promise.words} {let_down}".strip(),
                holds=False if let_down else promise.holds,
                trouble=trouble,
            )
        )

    def _ask_people(self) -> None:
        """Offer a new name, and everybody of the shop."""
        draft = self.draft
        entries: list[Entry[Person | None]] = [
            Entry(None, _("A new name"), _("typed letter by letter"), glyph="person")
        ]
        entries += [Entry(name, name, glyph="person", chosen=name in draft.crew) for name in self._people()]
        show_paged(_("Who works on it?"), draft.title(), entries, self._person_chosen, self._show)

    def _person_chosen(self, person: Person | None) -> None:
        if person is None:
            self._typing.ask(Typing(Kind.NAME, _("Name"), _("Offered for every car from now on.")), self._add_person)
        else:
            self._keep_half(self.draft.with_person(person))
            self._ask_people()

    def _add_person(self, typing: Typing) -> None:
        person = add_person(self._settings, typing.text)
        draft = self.draft
        self._pages.show(self.begin)
        self._change(draft.with_person(person) if person and person not in draft.crew else draft)

    def _comes(self, draft: Draft, at: datetime) -> Beside:
        """Return what would come of the car beside those in the bay, as far as a first plan knows."""
        try:
            return beside(self._selection.bay.state, draft.job(JobId("draft"), at), at, self._shop())
        except ValueError:
            return Beside(None)

    def _let_down(self, cars: Sequence[JobId]) -> str:
        """Return which promises to others would then be broken."""
        at, tz = self._selection.bay.now(), self._selection.tz
        jobs = (self._selection.bay.state.jobs[car].job for car in cars)
        told = ((job.title, moment_text(job.promised, at, tz)) for job in jobs if job.promised)
        return " ".join(_("{car}: not by {promised} any more.").format(car=car, promised=by) for car, by in told)

    def _promise(self, ready: datetime | None) -> PromiseCheck:
        draft = self.draft
        spare = length_text(abs(draft.promised - ready)) if draft.promised and ready else ""
        return check_promise(draft.promised, ready, day_and_time(ready, self._selection.tz) if ready else "", spare)

    def _people(self) -> tuple[Person, ...]:
        """Return the people in the settings; if there are none, those of the cars inside."""
        settings = self._settings.read()
        if settings.people or settings.names == "none":
            return people_recorded(settings)
        return tuple(dict.fromkeys(name for state in self._selection.bay.state.open_jobs for name in state.job.crew))

    def _shop(self) -> Shop:
        settings = self._settings.read()
        cannot = {person: frozenset(kinds) for person, kinds in settings.cannot.items()}
        return Shop(hours=settings.hours, cannot=cannot, tz=self._selection.tz)

    def _taken(self) -> list[str]:
        return [state.job.title for state in self._selection.bay.state.open_jobs]

    def _toggle_promise(self) -> None:
        self._change(replace(self.draft, promised=None if self.draft.promised else self._usual_promise()))

    def _usual_promise(self) -> datetime:
        """Return the usual hour of handover, in the shop's time: today if the car is ready by then, else tomorrow."""
        at, tz = self._selection.bay.now(), self._selection.tz
        today = datetime.combine(at.astimezone(tz).date(), USUAL_HANDOVER, tz)
        ready = _shown(self._comes(self.draft, at).ready)
        return today if ready and ready <= today else today + timedelta(days=1)

    def _move_promise(self, by: timedelta) -> None:
        promised = self.draft.promised
        if promised:
            self._change(replace(self.draft, promised=max(promised + by, self._selection.bay.now())))

    def _begin(self) -> None:
        draft, bay = self.draft, self._selection.bay
        at = bay.now()
        title = draft.title(self._taken())
        try:
            job = draft.job(JobId(f"{slug(title)}-{at:%Y%m%d-%H%M%S}"), at, self._taken())
        except ValueError:
            self._change(draft)  # the button says what stands in the way
            return
        bay.open_job(job)
        self._draft = None
        if not draft.name:
            with suppress(OSError):
                forget_half_filled(self._shop_files)
        self._pages.show_car(job.id)
        self._pages.want_below(Page.ARRIVAL)

    def _keep(self) -> None:
        """Save the work as a job file for other cars."""
        draft = replace(self.draft, promised=None)
        path = self._jobs / f"{slug(draft.title())}-{len(draft.picks)}.toml"
        try:
            draft = self._with_form_kept(draft, path.stem)
            save_document(path, draft.written(self._selection.bay.now()))
            sentence = _("It is a ready job now, under Cars. Its file: {file}.").format(file=path)
        except OSError as trouble:
            sentence = _("It could not be saved: {why}").format(why=trouble)
        tell(self._show, _("For other cars"), "", sentence)

    def _with_form_kept(self, draft: Draft, name: str) -> Draft:
        """Return the draft on a form that a job file can name: a form with split or joined zones is saved too."""
        if draft.form == self._drawings[draft.form.name].form:
            return draft
        folder = self._jobs.parent / "vehicles"
        title = _("{form}, divided").format(form=draft.form.title)
        form = draft.form.model_copy(update={"name": name, "title": title[:90], "drawing": f"{name}.svg"})
        folder.mkdir(exist_ok=True)
        (folder / form.drawing).write_text(draft.drawing, encoding="utf-8")
        save_document(folder / f"{name}.toml", form)
        return replace(draft, form=form)


def _shown(ready: datetime | None) -> datetime | None:
    """Return the moment of being ready as it is shown, never too soon; None where that is unknown."""
    return ready.replace(second=0, microsecond=0) + timedelta(minutes=1) if ready else None


def _sound(names: Iterable[str], load: Callable[[str], T]) -> dict[str, T]:
    """Return those that can be loaded; the recipes page shows what is wrong with the rest."""
    found = {}
    for name in names:
        with suppress(BadFile):
            found[name] = load(name)
    return found
