"""The job: one car, its work blocks and its crew, as written and as resolved.

A job carries its form, recipes, products and drawing within its first entry, so a file that is changed later changes no
running job.
"""

import sys
from collections import Counter
from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, StringConstraints, model_validator

from bayapp.job.model.healing import unhealed, unhealed_in_set
from bayapp.job.model.identity import Plate, called
from bayapp.job.model.ids import THE_CAR, CarColour, JobId, Person, SetName, StepId, ZoneId
from bayapp.job.model.instant import CalendarInstant, Instant
from bayapp.job.model.mark import Mark, Marks, with_mark
from bayapp.job.model.misfit import MisfitError
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import FollowingRecipe, Recipe, Wait
from bayapp.job.model.vehicle import FileModel, Slug, VehicleForm
from bayapp.job.model.wait_circles import circle_of_waits
from bayapp.text.language import _

PersonName = Annotated[str, StringConstraints(min_length=1, max_length=40, strip_whitespace=True)]


Drawing = Annotated[str, AfterValidator(sys.intern)]
"""The text of an SVG; cars of one form share one copy of it in memory."""


class WorkEntry(FileModel):
    """One ``[[work]]`` table: zone ids or set names, and a recipe by name or path."""

    zones: tuple[Slug, ...] = Field(min_length=1)
    recipe: str = Field(min_length=1, max_length=200)


class MarkEntry(Mark):
    """One ``[[mark]]`` table: zone ids or set names, and the mark that each of these zones has."""

    zones: tuple[Slug, ...] = Field(min_length=1)

    @property
    def mark(self) -> Mark:
        """The mark alone."""
        return Mark.model_validate(self.model_dump(exclude={"zones"}))


class JobFile(FileModel):
    """A job as a person writes it; ``format`` is ``bayapp-job/1``.

    ``vehicle`` and each ``recipe`` are names of shipped files, paths, or tables in this file. ``promised`` is when the
    owner was told that the car can be fetched.
    """

    format: Literal["bayapp-job/1"]
    title: str = Field(min_length=1, max_length=60)
    vehicle: str = Field(min_length=1, max_length=200)
    crew: tuple[PersonName, ...] = ()
    start: CalendarInstant
    promised: CalendarInstant | None = None
    work: tuple[WorkEntry, ...] = Field(min_length=1)
    mark: tuple[MarkEntry, ...] = ()
    recipe: dict[Slug, Recipe] = Field(default_factory=dict)
    product: dict[Slug, Product] = Field(default_factory=dict)

    @model_validator(mode="before")
    @classmethod
    def _tables_know_their_names(cls, data: object) -> object:
        if not isinstance(data, dict):
            return data
        named = {kind: _named(tables) for kind in ("recipe", "product") if (tables := data.get(kind)) is not None}
        return {**data, **named}

    @model_validator(mode="after")
    def _people_are_told_apart(self) -> Self:
        twice = [name for name, n in Counter(self.crew).items() if n > 1]
        if twice:
            raise ValueError(_("crew names {name!r} twice; tell the two apart").format(name=twice[0]))
        return self


def _named(tables: object) -> object:
    """Give each table under ``[recipe.NAME]`` its name, unless it says one itself."""
    if not isinstance(tables, dict):
        return tables
    return {name: {"name": name, **table} if isinstance(table, dict) else table for name, table in tables.items()}


class WorkBlock(FileModel):
    """Some zones and one recipe inside a job."""

    zones: tuple[ZoneId, ...]
    recipe: FollowingRecipe | Recipe  # the wider one last: what is written is by the first that fits


class Job(FileModel):
    """A job with everything it refers to inside it, so that a file changed later cannot change it.

    ``promised`` is when the owner was told that the car can be fetched. ``drawing`` is the vehicle's SVG; empty in
    entries from before it was kept, and where no file was read. ``colour`` is the car's, where somebody has told it.
    ``plate`` is known where somebody has told it, then or later. ``marks`` are those that the car comes in with,
    also on zones that are not worked.
    """

    id: JobId
    title: str
    crew: tuple[Person, ...] = ()
    start: Instant
    promised: Instant | None = None
    vehicle: VehicleForm
    blocks: tuple[WorkBlock, ...]
    products: dict[str, Product] = Field(default_factory=dict)
    drawing: Drawing = Field(default="", repr=False)
    colour: CarColour | None = None
    marks: dict[ZoneId, tuple[Mark, ...]] = Field(default_factory=dict)
    plate: Plate = ""

    @model_validator(mode="after")
    def _a_zone_climbs_one_ladder(self) -> Self:
        twice = [zone for zone, n in Counter(z for b in self.blocks for z in b.zones).items() if n > 1]
        if twice:
            raise ValueError(
                _("zone {name!r} stands in two work blocks; a zone climbs one ladder at a time").format(name=twice[0])
            )
        return self

    @property
    def name(self) -> str:
        """What people call the car: its title, and its plate where that is known."""
        return called(self.title, self.plate)

    @property
    def short_name(self) -> str:
        """What a line calls the car that has no room for more: its plate where its title needs a number, as "van 2"."""
        numbered = any(word.isdecimal() for word in self.title.split()[-1:])
        return self.plate if self.plate and numbered else self.title

    @cached_property
    def block_of(self) -> dict[ZoneId, WorkBlock]:
        """Each worked zone's block, in the order of the job."""
        return {zone: block for block in self.blocks for zone in block.zones}

    @cached_property
    def zone_names(self) -> dict[ZoneId, str]:
        """What a person calls each zone of the vehicle form."""
        return {ZoneId(z.id): z.name for z in self.vehicle.zone}

    @cached_property
    def has_temperature_rules(self) -> bool:
        """Whether waits after some product stretch by a rule of thumb."""
        return any(product.temperature_rule for product in self.products.values())

    @cached_property
    def waits_on_air(self) -> bool:
        """Whether any wait of this job depends on the air."""
        tables = any(step.wait and step.wait.by_table for block in self.blocks for step in block.recipe.step)
        return tables or self.has_temperature_rules

    @cached_property
    def ml_of(self) -> dict[tuple[ZoneId, StepId], float]:
        """What one carrying-out of a step takes on a zone, ml, by coverage and area; only where a product says so."""
        areas = {ZoneId(zone.id): zone.area_m2 for zone in self.vehicle.zone}
        found = {}
        for zone, block in self.block_of.items():
            for step in block.recipe.step:
                product = self.products.get(step.product or "")
                if product and product.coverage_ml_per_m2 is not None:
                    found[zone, StepId(step.id)] = product.coverage_ml_per_m2 * areas[zone]
        return found

    def recipe_of(self, zone: ZoneId) -> Recipe:
        """Return the recipe of a zone that is worked in this job; KeyError for any other."""
        return self.block_of[zone].recipe

    @cached_property
    def _members(self) -> dict[SetName, tuple[ZoneId, ...]]:
        sets = {SetName(name): self.vehicle.zones_of([name]) for name in self.vehicle.sets}
        return {name: tuple(z for z in zones if z in self.block_of) for name, zones in sets.items()}

    def members(self, set_name: SetName) -> tuple[ZoneId, ...]:
        """Return the worked zones of a set, or the worked zone of that id; KeyError for a name that the form lacks.

        The car itself may be named where the form has no such zone.
        """
        if set_name in self._members:
            return self._members[set_name]
        zone = ZoneId(set_name)
        if zone != THE_CAR and zone not in self.zone_names:
            raise KeyError(set_name)
        return (zone,) if zone in self.block_of else ()

    def counted(self, wait: Wait) -> tuple[ZoneId, ...]:
        """Return the worked zones of the sets that a wait counts, each once."""
        if len(wait.sets) == 1:
            return self.members(SetName(wait.sets[0]))
        return tuple(dict.fromkeys(zone for name in wait.sets for zone in self.members(SetName(name))))

    def zones_named(self, name: str) -> tuple[ZoneId, ...]:
        """Return the worked zones that a zone id or a set name stands for; empty when there are none."""
        if name in self.block_of:
            return (ZoneId(name),)
        return self._members.get(SetName(name), ())


def resolve(
    written: JobFile,
    job_id: JobId,
    form: VehicleForm,
    recipe_named: Callable[[str], Recipe],
    product_named: Callable[[str], Product | None],
    drawing: str = "",
) -> Job:
    """Join a written job with the form, recipes and products that it names.

    Raises:
        ValueError: a zone or set that the form lacks, a zone in two blocks, a wait on a set that the form lacks or
            on a step that no zone of the set has, or waits in a circle; names the key and what would be right.
            Whatever ``recipe_named`` raises passes through.
    """
    blocks = []
    for number, entry in enumerate(written.work, 1):
        recipe = written.recipe.get(entry.recipe) or recipe_named(entry.recipe)
        try:
            zones = form.zones_of(entry.zones)
        except KeyError as missing:
            raise MisfitError(
                _("zones: {missing!r} is neither a zone nor a set of {title!r}; it has {listed}").format(
                    missing=missing.args[0],
                    title=form.title,
                    listed=", ".join([*form.sets, *(z.id for z in form.zone)]),
                ),
                number - 1,
            ) from missing
        blocks.append(WorkBlock(zones=zones, recipe=recipe))
    names = {step.product for block in blocks for step in block.recipe.step if step.product}
    products = {name: found for name in sorted(names) if (found := written.product.get(name) or product_named(name))}
    job = Job(
        id=job_id,
        title=written.title,
        crew=tuple(Person(name) for name in written.crew),
        start=written.start,
        promised=written.promised,
        vehicle=form,
        blocks=tuple(blocks),
        products=products,
        drawing=drawing,
        marks=dict(marks_on(form, written.mark)),
    )
    check_waits(job)
    check_healing(job, job.blocks)
    return job


def marks_on(form: VehicleForm, entries: Iterable[MarkEntry]) -> Marks:
    """Return the marks that these tables set on a form; the last one holds where two say the same.

    Raises:
        ValueError: a zone or set that the form lacks; says which table.
    """
    marks: Marks = {}
    for number, entry in enumerate(entries, 1):
        try:
            zones = form.zones_of(entry.zones)
        except KeyError as missing:
            raise ValueError(
                _("mark {number}: {missing!r} is neither a zone nor a set of {title!r}").format(
                    number=number, missing=missing.args[0], title=form.title
                )
            ) from missing
        for zone in zones:
            marks = with_mark(marks, zone, entry.mark)
    return marks


def check_waits(job: Job) -> None:
    """Look over how the waits of a job hang together.

    Raises:
        ValueError: a wait on a set that the form lacks or on a step that no zone of the set has, or waits in a circle.
    """
    for number, block in enumerate(job.blocks, 1):
        _check_sets(block.recipe, job.vehicle, number)
    _check_anchors(job)
    _check_circles(job)


def check_healing(job: Job, blocks: Iterable[WorkBlock]) -> None:
    """Look whether what is missed on these blocks of a job can be made good.

    Raises:
        ValueError: a latest moment that is missed once is missed for ever; says why and what would be right.
    """
    for number, block in enumerate(blocks):
        waits = {step.wait.sets: step.wait for step in block.recipe.step if step.wait and step.wait.sets}
        found = [unhealed(block.recipe)]
        for sets, wait in waits.items():
            members = job.counted(wait)
            recipes = tuple(job.recipe_of(zone) for zone in members)
            found += [unhealed_in_set(block.recipe, zone in members, sets, recipes) for zone in block.zones]
        wrong = next((each for each in found if each), None)
        if wrong:
            place = number if blocks is job.blocks else None
            raise MisfitError(
                _("recipe {name!r}: {why}").format(name=block.recipe.name, why=wrong[1]), place, block.zones[0]
            )


def _check_anchors(job: Job) -> None:
    """Look for waits on a step that no zone of the set has.

    The ladder of the car itself is left out on both sides: jobs differ in what there is to wait for on it.
    """
    for number, block in enumerate(job.blocks, 1):
        for step in block.recipe.step:
            wait = step.wait
            if wait is None or not wait.sets or wait.after is None or THE_CAR in (*wait.sets, *block.zones):
                continue
            recipes = [job.recipe_of(zone) for zone in job.counted(wait)]
            if recipes and not any(recipe.counted_for_set(wait) for recipe in recipes):
                raise MisfitError(
                    _(
                        "step {id!r} of recipe {name!r} waits for step {after!r} of {of!r}, but "
                        "no zone of that set has such a step in this job"
                    ).format(id=step.id, name=block.recipe.name, after=wait.after, of=wait.of),
                    number - 1,
                )


def _check_circles(job: Job) -> None:
    mates = {zone: block.zones for zone, block in job.block_of.items()}
    circle = circle_of_waits({zone: job.recipe_of(zone) for zone in mates}, mates, job.counted)
    if circle:
        steps = _(", then ").join(_("{step!r} of zone {zone!r}").format(step=step, zone=zone) for zone, step in circle)
        raise MisfitError(
            _("these waits go round in a circle, so none could ever start: {steps}; break one of them").format(
                steps=steps
            ),
            zone=circle[0][0],
        )


def _check_sets(recipe: Recipe, form: VehicleForm, number: int) -> None:
    known = {*form.sets, *(zone.id for zone in form.zone), THE_CAR}
    for step in recipe.step:
        of = next((name for name in step.wait.sets if name not in known), None) if step.wait else None
        if of is not None:
            raise MisfitError(
                _(
                    "step {id!r} of recipe {name!r} waits of {of!r}, which is no set of {title!r}; it has {listed}"
                ).format(
                    id=step.id,
                    name=recipe.name,
                    of=of,
                    title=form.title or form.name,
                    listed=", ".join(form.sets),
                ),
                number - 1,
            )
