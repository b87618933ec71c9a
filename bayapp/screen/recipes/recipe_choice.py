"""Chooses the recipe for a part of the work in a draft."""

from collections.abc import Callable

from bayapp.job.model.ids import ZoneId
from bayapp.pages.cars.new_job import Draft, work_view
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _

Take = Callable[[Draft], None]


def choose_recipes(draft: Draft, show: Show, take: Take) -> None:
    """Ask which part of the work gets another recipe, then which recipe; ``take`` receives the changed draft."""

    def one_surface(name: str) -> bool:
        return len({draft.form.zone_named(zone).surface for zone in draft.zones_of(name)}) == 1

    def part_chosen(key: str) -> None:
        zones = tuple(zone for zone in draft.zones_of(key) if zone in draft.picks)
        choose_recipe(draft, zones, show, take)

    parts = [choice for choice in work_view(draft).choices if choice.some and one_surface(choice.name)]
    entries = [Entry(c.name, c.title, c.detail, glyph="paper") for c in parts]
    sentences = (draft.trouble(),) if not entries else ()
    show(_("Which recipe is to be another?"), "", entries, part_chosen, sentences)


def choose_recipe(draft: Draft, zones: tuple[ZoneId, ...], show: Show, take: Take) -> None:
    """Ask for the recipe of these zones, all of one surface; ``take`` receives the changed draft."""
    recipes = draft.recipes_for(*zones)
    entries = [
        Entry(r.name, r.title or r.name, chosen=all(draft.picks.get(z) == r.name for z in zones)) for r in recipes
    ]
    show_paged(_("By which recipe?"), "", entries, lambda name: take(draft.worked_by(zones, name)), show)
