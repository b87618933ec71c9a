"""Chooses the recipe for a part of the work in a draft."""

from collections.abc import Callable

from bayapp.job.model.ids import ZoneId
from bayapp.job.text.naming import capital
from bayapp.pages.cars.new_job import Draft, OneApart, ones_apart, work_view
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _

Take = Callable[[Draft], None]


def choose_recipes(draft: Draft, show: Show, take: Take) -> None:
    """Ask which part of the work gets another recipe, then which recipe; ``take`` receives the changed draft."""

    def one_surface(name: str) -> bool:
        return len({draft.form.zone_named(zone).surface for zone in draft.zones_of(name)}) == 1

    def part_chosen(key: str | OneApart) -> None:
        if isinstance(key, OneApart):
            take(draft.worked_by((key.zone,), key.recipe))
            return
        zones = tuple(zone for zone in draft.zones_of(key) if zone in draft.picks)
        choose_recipe(draft, zones, show, take)

    parts = [choice for choice in work_view(draft).choices if choice.some and one_surface(choice.name)]
    entries: list[Entry[str | OneApart]] = []
    for part in parts:
        entries.append(Entry(part.name, part.title, part.detail, glyph="paper"))
        entries += [_entry(draft, apart) for apart in ones_apart(draft, part.name)]
    if entries:
        show_paged(_("Which recipe is to be another?"), "", entries, part_chosen, show)
    else:
        show(_("Which recipe is to be another?"), "", entries, part_chosen, (draft.trouble(),))


def _entry(draft: Draft, apart: OneApart) -> Entry[OneApart]:
    recipe = draft.recipes[apart.recipe]
    zone = capital(draft.form.zone_named(apart.zone).name)
    title = _("{zone} alone: {recipe}").format(zone=zone, recipe=recipe.title or recipe.name)
    return Entry(apart, title, _("the others stay as they are"), glyph="paper")


def choose_recipe(draft: Draft, zones: tuple[ZoneId, ...], show: Show, take: Take) -> None:
    """Ask for the recipe of these zones, all of one surface; ``take`` receives the changed draft."""
    recipes = draft.recipes_for(*zones)
    entries = [
        Entry(r.name, r.title or r.name, chosen=all(draft.picks.get(z) == r.name for z in zones)) for r in recipes
    ]
    show_paged(_("By which recipe?"), "", entries, lambda name: take(draft.worked_by(zones, name)), show)
