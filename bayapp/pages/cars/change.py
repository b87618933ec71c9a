"""Changes of a job while its car is in the bay: more zones, other recipes, and the requests for them."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import tzinfo

from bayapp.bay import Bay
from bayapp.job import AddWork, Job, Product, Recipe, SwapRecipe, VehicleForm, WorkBlock, why_not
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.verdict import Refusal
from bayapp.pages.cars.new_job import Draft, SetChoice, WorkView, called, offered, work_view
from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class Picking:
    """A choice of zones of a car in the bay, ``among`` those that may be chosen."""

    form: VehicleForm
    among: tuple[ZoneId, ...]
    chosen: tuple[ZoneId, ...] = ()

    def zones_of(self, name: str) -> tuple[ZoneId, ...]:
        """Return the zones of a set, or the one zone of this id, that may be chosen."""
        return tuple(zone for zone in self.form.zones_of([name]) if zone in self.among)

    def toggled(self, name: str) -> "Picking":
        """Return the choice with a set or zone added, or removed if all of it was chosen."""
        zones = self.zones_of(name)
        whole = all(zone in self.chosen for zone in zones)
        wanted = {*self.chosen} - {*zones} if whole else {*self.chosen, *zones}
        return replace(self, chosen=tuple(zone for zone in self.among if zone in wanted))


def pick_view(picking: Picking) -> WorkView:
    """Return the page on which zones are chosen."""
    count = len(picking.chosen)
    summary = ngettext("{n} zone is chosen.", "{n} zones are chosen.", count).format(n=count) if count else ""
    choices = tuple(_choice(picking, name) for name in offered(picking.form, picking.zones_of))
    return WorkView(choices, summary, "" if count else _("Touch the zones it is about."))


def _choice(picking: Picking, name: str) -> SetChoice:
    zones = picking.zones_of(name)
    chosen = [zone for zone in zones if zone in picking.chosen]
    detail = _("{chosen} of {all}").format(chosen=len(chosen), all=len(zones)) if chosen else ""
    return SetChoice(name, called(picking.form, name), detail, len(chosen) == len(zones), bool(chosen))


def add_view(draft: Draft) -> WorkView:
    """Return the page on which work is added to a car in the bay."""
    zones = len(draft.picks)
    summary = ngettext("{n} zone is added.", "{n} zones are added.", zones).format(n=zones) if zones else ""
    return replace(work_view(draft), note=summary, go=_("Add"))


def draft_of(job: Job, drawing: str, recipes: Mapping[str, Recipe], products: Mapping[str, Product]) -> Draft:
    """Return a draft on the job's own form, to which work can be added."""
    return Draft(job.vehicle, job.drawing or drawing, recipes, products, worked=frozenset(job.block_of))


def still_to_add(draft: Draft, job: Job) -> Draft:
    """Return the draft without what has been added in the meantime."""
    worked = frozenset(job.block_of)
    return replace(draft, worked=worked, picks={zone: r for zone, r in draft.picks.items() if zone not in worked})


def additions(draft: Draft, job: JobId, by: Person | None, reason: str) -> Iterator[AddWork]:
    """Yield the requests to the gate: one block for each recipe."""
    for name in dict.fromkeys(draft.picks.values()):
        zones = tuple(zone for zone, picked in draft.picks.items() if picked == name)
        recipe = draft.recipes[name]
        yield AddWork(job, WorkBlock(zones=zones, recipe=recipe), _sheets(recipe, draft.products), by, reason)


def against_adding_here(bay: Bay, job: JobId, zone: ZoneId, recipe: Recipe) -> Refusal | None:
    """Return why the gate allows no work to be added on a zone."""
    return bay.judge(AddWork(job, WorkBlock(zones=(zone,), recipe=recipe))).refusal


@dataclass(frozen=True, slots=True)
class SwapChoice:
    """A recipe that zones might change to: the request, and its refusal; None if it is allowed."""

    request: SwapRecipe
    title: str
    why: str
    refusal: Refusal | None


def swap_choices(
    bay: Bay, asked: SwapRecipe, recipes: Iterable[Recipe], products: Mapping[str, Product], tz: tzinfo
) -> list[SwapChoice]:
    """Return the recipes that are made for all of these zones, each judged by the gate, the allowed ones first.

    ``asked`` holds the zones and the person; its recipe is ignored, its reason is a placeholder.
    """
    form = bay.state.jobs[asked.job].job.vehicle
    found = []
    for recipe in recipes:
        if not all(recipe.is_for(form, zone) for zone in asked.zones):
            continue
        request = replace(asked, recipe=recipe, products=_sheets(recipe, products))
        refusal = bay.judge(request).refusal
        why = why_not(refusal, bay.state, tz) if refusal else ""
        found.append(SwapChoice(request, recipe.title or recipe.name, why, refusal))
    return sorted(found, key=lambda choice: (choice.refusal is not None, choice.title))


def workable(bay: Bay, job: JobId) -> tuple[ZoneId, ...]:
    """Return the zones of a job that are worked and not set aside."""
    state = bay.state.jobs[job]
    return tuple(zone for zone in state.job.block_of if zone not in state.aside)


def _sheets(recipe: Recipe, products: Mapping[str, Product]) -> dict[str, Product]:
    names: Collection[str] = {step.product for step in recipe.step if step.product}
    return {name: products[name] for name in sorted(names) if name in products}
