"""Splits and joins zones of a new car."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import Stage, ZoneId
from bayapp.job.text.naming import capital
from bayapp.pages.board.car_view import Face
from bayapp.pages.cars.new_job import Draft
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.pages.cars.dividing import Dividing
    from bayapp.screen.cars.dividing import DividingPage

MOST_RECIPES = 8


class DividingController(QObject):
    """Lets the zones of a draft be split and joined; ``done`` gets the resulting draft."""

    def __init__(self, pages: PageStack, show: Show, done: Callable[[Draft, FormDrawing], None]) -> None:
        super().__init__(pages)
        self._pages, self._show, self._done = pages, show, done
        self.page: DividingPage | None = None
        self._drawn: tuple[str, FormDrawing] | None = None
        self._dividing: Dividing | None = None

    @property
    def _now(self) -> "Dividing":
        assert self._dividing
        return self._dividing

    @property
    def draft(self) -> Draft:
        """The car as it is divided now; an AssertionError before it has been opened."""
        return self._now.draft

    def open(self, draft: Draft) -> None:
        """Show the page in the car's place."""
        from bayapp.pages.cars.dividing import Dividing  # noqa: PLC0415 (shapely loads when zones are first divided)

        page = self.page or self._make()
        page.open_car(_("The zones of this {form}").format(form=draft.form.title.lower()))
        self._to(Dividing(draft))
        self._pages.show(page)

    def _make(self) -> "DividingPage":
        from bayapp.screen.cars.dividing import DividingPage  # noqa: PLC0415 (see above)

        page = self.page = DividingPage(self._pages.look, self._pages.window)
        page.zones_touched.connect(self._zones_touched)
        page.cut_wanted.connect(lambda direction: self._to(self._now.cut(direction)))
        page.moved.connect(lambda steps: self._to(self._now.moved(steps)))
        page.join_wanted.connect(lambda: self._to(self._now.join_wanted()))
        page.undo_wanted.connect(lambda: self._to(self._now.undone()))
        page.recipe_wanted.connect(self._choose_recipe)
        self._pages.add(page)
        page.done.connect(self._finish)
        page.closed.connect(self._finish)  # the way back loses nothing: a cut can be undone before
        return page

    def _finish(self) -> None:
        self._done(self.draft, self._drawing())

    def _drawing(self) -> FormDrawing:
        """Return the drawing of the car with its present zones."""
        draft = self.draft
        if self._drawn is None or self._drawn[0] != draft.drawing:
            self._drawn = draft.drawing, FormDrawing(draft.form, draft.drawing)
        return self._drawn[1]

    def _to(self, dividing: "Dividing") -> None:
        from bayapp.pages.cars.dividing import dividing_view  # noqa: PLC0415 (see above)

        self._dividing = dividing
        draft = dividing.draft
        faces = {
            ZoneId(zone.id): Face(
                zone.short or zone.name,
                Stage.BUFFED if zone.id in draft.picks else Stage.UNTOUCHED,
                worked=zone.id in draft.picks,
                selected=zone.id in dividing.chosen,
            )
            for zone in draft.form.zone
        }
        if self.page:
            self.page.show_zones(dividing_view(dividing), self._drawing(), faces)

    def _back(self) -> None:
        if self.page:
            self._pages.show(self.page)

    def _zones_touched(self, zones: list[ZoneId]) -> None:
        if len(zones) == 1:
            self._to(self._now.touched(zones[0]))
            return
        entries = [Entry(zone, capital(self.draft.form.zone_named(zone).name)) for zone in zones]
        self._show(_("Which one?"), _("Several zones lie under the glove."), entries, self._zone_chosen, ())

    def _zone_chosen(self, zone: ZoneId) -> None:
        self._to(self._now.touched(zone))
        self._back()

    def _choose_recipe(self) -> None:
        """Ask for the recipe of the chosen zones."""
        dividing = self._now
        if not dividing.chosen:
            return
        draft = dividing.draft
        offered = draft.recipes_for(*dividing.chosen)[:MOST_RECIPES]
        picked = {draft.picks.get(zone) for zone in dividing.chosen}
        entries = [Entry(r.name, r.title or r.name, chosen=picked == {r.name}, glyph="paper") for r in offered]

        def chosen(name: str) -> None:
            self._to(dividing.worked_by(name))
            self._back()

        zones = ", ".join(capital(draft.form.zone_named(zone).name) for zone in dividing.chosen)
        self._show(_("By which recipe?"), zones, entries, chosen, ())
