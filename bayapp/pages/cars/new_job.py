"""A new car on its way to a job: form, work by set and zone, people, promise."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import get_args

from bayapp.job import Job, JobFile, Product, Recipe, VehicleForm, resolve
from bayapp.job.model.ids import THE_CAR, CarColour, JobId, Person, ZoneId
from bayapp.job.model.job import WorkEntry
from bayapp.job.model.vehicle import Surface
from bayapp.job.text.naming import capital
from bayapp.text.language import _, ngettext

USUAL = {
    "paint": "paint-two-layers",
    "glass": "glass-one-layer",
    "rim": "rim",
    "tyre": "tyre",
    "caliper": "caliper",
    "tip": "exhaust-tip",
    "lamp": "lamp",
    "trim": "trim",
    "cabin": "cabin",
    "screen": "clear-screen",
    "car": "whole-car",
}
"""The shipped recipe that a surface gets unless another is chosen; where it is not there, the first that fits."""


SURFACES: tuple[str, ...] = get_args(Surface)
TWO = 2
"""Of so many recipes in a set the page says which zone gets which; of more, only their number."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A job that is being made.

    Attributes:
        recipes, products: the ones to choose from, by name.
        picks: the recipe of each chosen zone, by name.
        colour: the car's colour in words; with the form it makes the title.
        promised: when the car was promised, or None.
        worked: zones that have work already, when work is added to a car in the bay.
        name: what a ready job calls the car; empty where the form gives the name.
    """

    form: VehicleForm
    drawing: str
    recipes: Mapping[str, Recipe]
    products: Mapping[str, Product]
    picks: Mapping[ZoneId, str] = field(default_factory=dict)
    crew: tuple[Person, ...] = ()
    colour: str = ""
    promised: datetime | None = None
    worked: frozenset[ZoneId] = frozenset()
    name: str = ""

    @classmethod
    def of_ready(
        cls, job: Job, drawing: str, recipes: Mapping[str, Recipe], products: Mapping[str, Product]
    ) -> "Draft":
        """Return the work of a ready job, to be given a name, people and a promise of its own."""
        known = dict(recipes)
        picks: dict[ZoneId, str] = {}
        for number, block in enumerate(job.blocks, 1):
            name = block.recipe.name
            if known.get(name, block.recipe) != block.recipe:
                name = f"{name}-{number}"  # the job's own recipe of that name
            known[name] = block.recipe
            picks |= dict.fromkeys(block.zones, name)
        books = {**products, **job.products}
        return cls(job.vehicle, drawing, known, books, picks, job.crew, promised=job.promised, name=job.title)

    def recipes_for(self, *zones: ZoneId) -> tuple[Recipe, ...]:
        """Return the recipes for all of these zones, the first as the first zone's surface wants it.

        One made for this zone or form comes first, then the usual one, the others, those made for other forms, and
        those for any surface.
        """
        surface = self.form.zone_named(zones[0]).surface

        def rank(recipe: Recipe) -> tuple[bool, int, str]:
            here = self.form.name in recipe.forms
            own = here if recipe.forms else bool(recipe.zones)
            place = 0 if own else 1 if recipe.name == USUAL.get(surface) else 3 if recipe.forms else 2
            return not recipe.surfaces, place, recipe.title or recipe.name

        return tuple(sorted((r for r in self.recipes.values() if all(r.is_for(self.form, z) for z in zones)), key=rank))

    def zones_of(self, name: str) -> tuple[ZoneId, ...]:
        """Return the zones of a set, or the one zone of this id, that may be worked and have a recipe."""
        zones = self.form.zones_of([name])
        return tuple(zone for zone in zones if zone not in self.worked and self.recipes_for(zone))

    def toggled(self, name: str) -> "Draft":
        """Return the draft with a set or zone added, by the usual recipes; or removed if all of it was chosen."""
        zones = self.zones_of(name)
        if zones and all(zone in self.picks for zone in zones):
            return replace(self, picks={zone: r for zone, r in self.picks.items() if zone not in zones})
        usual = {zone: self.recipes_for(zone)[0].name for zone in zones}
        return replace(self, picks=self._in_order({**usual, **self.picks}))

    def worked_by(self, zones: Iterable[ZoneId], recipe: str) -> "Draft":
        """Return the draft with these zones on a recipe."""
        return replace(self, picks=self._in_order({**self.picks, **dict.fromkeys(zones, recipe)}))

    def divided(self, form: VehicleForm, drawing: str, became: Mapping[ZoneId, tuple[ZoneId, ...]]) -> "Draft":
        """Return the draft on a form with zones split or joined: the new zones take over the work of the old."""
        picks: dict[ZoneId, str] = {}
        for zone, recipe in self.picks.items():
            for new in became.get(zone, (zone,)):
                picks.setdefault(new, recipe)
        changed = replace(self, form=form, drawing=drawing)
        return replace(changed, picks=changed._in_order(picks))

    def _in_order(self, picks: Mapping[ZoneId, str]) -> dict[ZoneId, str]:
        """Return the picks in the order of the form, independent of the order of touches."""
        return {ZoneId(z.id): picks[ZoneId(z.id)] for z in self.form.zone if ZoneId(z.id) in picks}

    def with_person(self, person: Person) -> "Draft":
        """Return the draft with a person added to the crew, or removed."""
        without = tuple(name for name in self.crew if name != person)
        return replace(self, crew=without if person in self.crew else (*self.crew, person))

    def title(self, taken: Iterable[str] = ()) -> str:
        """Return the car's title: colour and form or name, numbered if another car in the bay has the same."""
        plain = self.name or self.form.title
        form = plain[:1].lower() + plain[1:] if self.name else plain.lower()
        form = form if self.colour else plain
        plain = _("{colour} {form}").format(colour=capital(self.colour), form=form) if self.colour else form
        titles, number = set(taken), 2
        if plain not in titles:
            return plain
        while f"{plain} {number}" in titles:
            number += 1
        return f"{plain} {number}"

    def trouble(self) -> str:
        """Return what is still missing; empty when the job can begin."""
        return "" if self.picks else _("Choose what is to be done.")

    def written(self, at: datetime, taken: Iterable[str] = ()) -> JobFile:
        """Return the draft as a job file that contains its recipes, as saved for a template.

        Raises:
            ValueError: no work is chosen; see ``trouble``.
        """
        if self.trouble():
            raise ValueError(self.trouble())
        return JobFile(
            format="bayapp-job/1",
            title=self.title(taken),
            vehicle=self.form.name,
            crew=self.crew,
            start=at,
            promised=self.promised,
            work=tuple(self._entries()),
        )

    def job(self, job_id: JobId, at: datetime, taken: Iterable[str] = ()) -> Job:
        """Return the job as it would begin at ``at``.

        Raises:
            ValueError: no work is chosen, or waits of the recipes contradict each other; says which.
        """
        written = self.written(at, taken)
        job = resolve(written, job_id, self.form, self.recipes.__getitem__, self.products.get, self.drawing)
        return job.model_copy(update={"colour": colour_called(self.colour)})

    def _entries(self) -> list[WorkEntry]:
        """Return the work: the zones of one recipe together, named by the largest sets that they fill."""
        found = []
        for recipe in dict.fromkeys(self.picks.values()):
            zones = [zone for zone, name in self.picks.items() if name == recipe]
            found.append(WorkEntry(zones=tuple(self._named(zones)), recipe=recipe))
        return found

    def _named(self, zones: Sequence[ZoneId]) -> list[str]:
        left, names = set(zones), []
        sets = {name: set(self.form.zones_of([name])) for name in self.form.sets}
        for name, members in sorted(sets.items(), key=lambda item: -len(item[1])):
            if members <= left:
                names.append(name)
                left -= members
        return [*names, *(zone for zone in zones if zone in left)]


@dataclass(frozen=True, slots=True)
class SetChoice:
    """One set that can be chosen: how much of it is chosen, and with which recipes."""

    name: str
    title: str
    detail: str
    whole: bool
    some: bool


@dataclass(frozen=True, slots=True)
class WorkView:
    """What the page of the work shows.

    Attributes:
        choices: the sets, in the order of their surfaces, the whole of it first.
        note: how much has been chosen, in one line.
        trouble: what is missing, or empty.
        go: the words of the large button; empty for "next".
        told: which zones get which recipe, where a set has two; else empty.
    """

    choices: tuple[SetChoice, ...]
    note: str
    trouble: str
    go: str = ""
    told: str = ""


def work_view(draft: Draft) -> WorkView:
    """Return the page on which the work is chosen."""
    zones = len(draft.picks)
    summary = ngettext("{n} zone is worked.", "{n} zones are worked.", zones).format(n=zones) if zones else ""
    choices = tuple(_choice(draft, name) for name in offered(draft.form, draft.zones_of))
    return WorkView(choices, summary, draft.trouble(), told=_told(draft))


def _told(draft: Draft) -> str:
    """Return of each set of one surface with two recipes which of its zones gets which."""
    found = []
    for name in offered(draft.form, draft.zones_of):
        zones = draft.zones_of(name)
        chosen = [zone for zone in zones if zone in draft.picks]
        one_surface = len({draft.form.zone_named(zone).surface for zone in zones}) == 1
        if one_surface and (which := which_gets_which(draft, chosen)):
            found.append(_("{set}: {which}.").format(set=called(draft.form, name), which=which))
    return "  ".join(found)


def offered(form: VehicleForm, zones_of: Callable[[str], Sequence[ZoneId]]) -> list[str]:
    """Return the sets worth a button, and the zones in none of them; a set inside another only if it differs.

    They stand in the order of their surfaces, so that each is found in the same place whatever the form.
    """
    sets: dict[str, Sequence[ZoneId]] = {}
    for name in sorted(form.set_titles, key=lambda name: len(form.zones_of([name]))):
        if zones_of(name) and set(zones_of(name)) not in map(set, sets.values()):
            sets[name] = zones_of(name)  # of sets that come to the same here, the one that promises least
    one_surface = [name for name, zones in sets.items() if len({form.zone_named(zone).surface for zone in zones}) == 1]
    largest = [name for name in one_surface if not any(set(sets[name]) < set(sets[other]) for other in one_surface)]
    covered = {zone for name in largest for zone in sets[name]}
    whole = max(sets, key=lambda name: len(sets[name]), default=None)
    alone = [z.id for z in form.zone if ZoneId(z.id) not in covered and zones_of(z.id)]
    first = [whole] if whole and whole not in largest else []
    places = {zone.id: n for n, zone in enumerate(form.zone)}

    def place(name: str) -> tuple[int, int]:
        zones = form.zones_of([name])
        return SURFACES.index(form.zone_named(zones[0]).surface), min(places[zone] for zone in zones)

    return [*first, *sorted((*largest, *alone), key=place)]


def _choice(draft: Draft, name: str) -> SetChoice:
    zones = draft.zones_of(name)
    chosen = [zone for zone in zones if zone in draft.picks]
    recipes = dict.fromkeys(draft.picks[zone] for zone in chosen)
    if not chosen and THE_CAR in zones:  # said before it is chosen, lest it be taken for all zones of the car
        recipes = dict.fromkeys(recipe.name for recipe in draft.recipes_for(THE_CAR)[:1])
    detail = _recipe_names([draft.recipes[r].title or r for r in recipes])
    if chosen and len(chosen) < len(zones):
        detail = _("{chosen} of {all}: {recipes}").format(chosen=len(chosen), all=len(zones), recipes=detail)
    return SetChoice(name, called(draft.form, name), detail, len(chosen) == len(zones), bool(chosen))


def which_gets_which(draft: Draft, zones: Sequence[ZoneId]) -> str:
    """Return which of these zones are worked by which of two recipes; empty where they are not two."""
    by_recipe: dict[str, list[ZoneId]] = {}
    for zone in zones:
        by_recipe.setdefault(draft.picks[zone], []).append(zone)
    titles = {name: draft.recipes[name].title or name for name in by_recipe}
    if len(by_recipe) != TWO:
        return ""
    (few, some), (rest, _others) = sorted(by_recipe.items(), key=lambda item: len(item[1]))
    names = ", ".join(draft.form.zone_named(zone).name for zone in some)
    if len(some) > TWO:
        names = ngettext("{n} zone", "{n} zones", len(some)).format(n=len(some))
    return _("{zones} by {recipe}; the others by {other}").format(zones=names, recipe=titles[few], other=titles[rest])


@dataclass(frozen=True, slots=True)
class OneApart:
    """One zone of a set that is to go by another recipe than the rest of it."""

    zone: ZoneId
    recipe: str


def ones_apart(draft: Draft, name: str) -> tuple[OneApart, ...]:
    """Return what may be chosen by one touch for the largest zone of a set: each recipe of its surface but its own."""
    chosen = [zone for zone in draft.zones_of(name) if zone in draft.picks]
    if len(chosen) <= 1:
        return ()
    largest = max(chosen, key=lambda zone: draft.form.zone_named(zone).area_m2 or 0.0)
    surface = draft.form.zone_named(largest).surface
    made_for = [recipe for recipe in draft.recipes_for(largest) if surface in recipe.surfaces]
    return tuple(OneApart(largest, r.name) for r in made_for if r.name != draft.picks[largest])


def called(form: VehicleForm, name: str) -> str:
    """Return the title of a set or a zone."""
    return capital(form.set_titles.get(name) or next((z.name for z in form.zone if z.id == name), name))


def _recipe_names(titles: Sequence[str]) -> str:
    if len(titles) <= 1:
        return ", ".join(titles)
    return ngettext("{n} recipe", "{n} recipes", len(titles)).format(n=len(titles))


def colour_called(word: str) -> CarColour | None:
    """Return the colour of this name in the wall's language; None for no colour."""
    return dict(zip(colours(), CarColour, strict=True)).get(word)


def colours() -> tuple[str, ...]:
    """Return the colours to choose from, in the order of ``CarColour``: as many as a row of large buttons holds."""
    return (
        *(_("white"), _("silver"), _("grey"), _("black")),
        *(_("blue"), _("red"), _("green"), _("yellow")),
    )


@dataclass(frozen=True, slots=True)
class PromiseCheck:
    """Whether the plan keeps a promise: in words, and as yes, no or unknown."""

    words: str
    holds: bool | None


def check_promise(promised: datetime | None, finish: datetime | None, ready: str, spare: str) -> PromiseCheck:
    """Return whether the car will be ready as promised.

    Args:
        finish: when the last work and cure would end; None if no work order is known.
        ready, spare: that moment, and its distance to the promise, in words.
    """
    if finish is None:
        return PromiseCheck(
            _("When it will be ready is told once it has begun: no order is found at once that keeps every wait."), None
        )
    if promised is None:
        return PromiseCheck(_("It will be ready at {time}.").format(time=ready), None)
    if finish <= promised:
        sentence = _("It will be ready at {time}, {spare} before it was promised.").format(time=ready, spare=spare)
        return PromiseCheck(sentence, True)
    sentence = _("It will not be ready before {time}, {spare} later than promised.").format(time=ready, spare=spare)
    return PromiseCheck(sentence, False)
