"""The recipe: ordered steps for a zone and the waits between them."""

from collections import Counter
from datetime import timedelta
from enum import StrEnum
from functools import cached_property
from itertools import groupby
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from bayapp.job.model.ids import LapseTo, Motion, StepId, StepKind, ZoneId
from bayapp.job.model.mark import Days
from bayapp.job.model.misfit import KeyMisfitError
from bayapp.job.model.vehicle import FileModel, Slug, Surface, VehicleForm
from bayapp.job.model.wait_tables import (
    A_YEAR_MIN,
    By,
    ByHumidity,
    ByTemperature,
    Rows,
    apart,
    base_minutes,
    base_value,
    out_of_order,
)
from bayapp.text.language import _

Minutes = Annotated[float, Field(strict=True, ge=0, le=A_YEAR_MIN, allow_inf_nan=False)]
Hours = Annotated[float, Field(strict=True, ge=0, le=A_YEAR_MIN / 60, allow_inf_nan=False)]

WET_KINDS = frozenset({StepKind.WASH, StepKind.DECONTAMINATE, StepKind.RINSE})
DUSTY_KINDS = frozenset({StepKind.POLISH, StepKind.DUST_OFF})
COVERING_KINDS = frozenset({StepKind.COAT, StepKind.LEVEL, StepKind.BUFF})
COUNTED_KINDS = {
    None: frozenset({StepKind.COAT}),
    "level": COVERING_KINDS,
    "polish": frozenset({StepKind.POLISH, StepKind.DUST_OFF}),
}
"""What a wait of a set counts from on each zone, by its ``after_last``: the last step of one of these kinds."""


class Suits(StrEnum):
    """Surfaces of their own kind that a recipe may be made for."""

    FILM = "film"
    MATT = "matt"


def _from_to(rows: Rows) -> str:
    return f"{rows[0][0]:g} to {rows[-1][0]:g}"


def in_milliseconds(minutes: float) -> timedelta:
    """Return a wait in minutes as a whole number of milliseconds, the resolution of every instant here."""
    return timedelta(milliseconds=round(minutes * 60_000))


class Wait(FileModel):
    """The wait between the end of one step (``after``) and the start of the step that carries it.

    Attributes:
        min: earliest moment, minutes after the end of ``after``.
        max: latest moment, minutes; none when the step may wait for ever.
        min_by_c, max_by_c: the sheet's own rows of °C and minutes instead, between which the wait ripens with the
            temperature of the surface, or of the air where that was not read. Never beyond the first and last row.
        min_by_rh, max_by_rh: the same by % relative humidity. A wait depends on one of the two, for a sheet that gives
            both does not say how they go together. With a table, ``min`` or ``max`` is the row shown as the base.
        after: step id; by default the step before. With ``of`` naming a set, a step of those zones' own recipes.
        of: "block" counts from the last zone of the work block, the name of a set or zone from the last zone of it
            in this job to finish its last coat (or ``after`` or ``after_last``, where given).
        also: further sets or zones that count with those of ``of``.
        after_last: with a set, the last of its kind on each zone's own ladder, whatever it is called there: "polish"
            its last polish or the dusting off after it, "level" what levels or buffs its last coat, or that coat where
            nothing does. A zone without one is not waited for.
        max_from: whether ``max`` counts from the end of ``after`` or from its first stroke.
        lapse: what a missed latest moment costs; "nothing" is for a look that is best taken in time, and is only told.
    """

    min: Minutes = 0
    max: Minutes | None = None
    after: Slug | None = None
    of: Slug | None = None
    also: tuple[Slug, ...] = ()
    after_last: Literal["polish", "level"] | None = None
    max_from: Literal["end", "start"] = "end"
    lapse: LapseTo | None = None
    min_by_c: ByTemperature | None = None
    max_by_c: ByTemperature | None = None
    min_by_rh: ByHumidity | None = None
    max_by_rh: ByHumidity | None = None

    @model_validator(mode="before")
    @classmethod
    def _base_is_a_row(cls, data: object) -> object:
        """A table without ``min`` or ``max`` beside it has its row nearest to the usual air as its base."""
        if not isinstance(data, dict):
            return data
        bases = {
            edge: base_minutes(data.get(f"{edge}_by_{by}"), by)
            for edge in ("min", "max")
            for by in By
            if data.get(f"{edge}_by_{by}") is not None
        }
        return {**{edge: minutes for edge, minutes in bases.items() if minutes is not None}, **data}

    @model_validator(mode="after")
    def _tables_go_together(self) -> Self:
        for edge in ("min", "max"):
            if getattr(self, f"{edge}_by_c") and getattr(self, f"{edge}_by_rh"):
                raise KeyMisfitError(
                    f"{edge}_by_c",
                    _(
                        "{edge}_by_c and {edge}_by_rh both say how long; no sheet says how they go together, so "
                        "give one"
                    ).format(edge=edge),
                )
            by, rows = self.table(edge)
            minutes = getattr(self, edge)
            if rows and base_value(rows, by, minutes) is None:
                raise KeyMisfitError(
                    edge,
                    _(
                        "{edge} is {minutes:g} min, but no row of {edge}_by_{by} has that; with a table {edge} "
                        "only names the row shown as the base, so leave it out or take a row's minutes"
                    ).format(edge=edge, minutes=minutes, by=by),
                )
        return self

    @model_validator(mode="after")
    def _some_moment_is_right(self) -> Self:
        (by_min, earliest), (by_max, latest) = self.table("min"), self.table("max")
        if self.max is None or not (earliest or latest):
            return self
        alike = bool(earliest) and bool(latest) and by_min is by_max
        if alike and apart(earliest, latest):
            raise KeyMisfitError(
                f"min_by_{by_min}",
                _(
                    "min_by_{by_min} is for {earliest} and max_by_{by_min} for {latest}: in no air do both "
                    "hold; give both the rows that the sheet has for the same air"
                ).format(by_min=by_min, earliest=_from_to(earliest), latest=_from_to(latest)),
            )
        clash = out_of_order(earliest or ((0, self.min),), latest or ((0, self.max),), alike)
        if clash:
            low, high = clash
            raise KeyMisfitError(
                "max",
                _("max ({high:g} min) is less than min ({low:g} min) in some air; no moment would be right").format(
                    high=high, low=low
                ),
            )
        return self

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.max is not None and not self.by_table and self.max < self.min:
            raise KeyMisfitError(
                "max",
                _("max ({max:g} min) is less than min ({min:g} min); no moment would be right").format(
                    max=self.max, min=self.min
                ),
            )
        if self.after_last is not None and (self.of in (None, "block") or self.after is not None):
            raise KeyMisfitError(
                "after_last",
                _('after_last is for a wait of a set and stands instead of after; give of = "<set name>" and no after'),
            )
        if self.max is None and self.lapse is not None:
            raise KeyMisfitError(
                "lapse", _("lapse says what a missed latest moment costs, but there is no max; give max as well")
            )
        if self.max is None and self.max_from == "start":
            raise KeyMisfitError(
                "max_from", _('max_from = "start" says how max counts, but there is no max; give max as well')
            )
        return self

    @model_validator(mode="after")
    def _sets_are_named(self) -> Self:
        if self.also and not self.sets:
            raise KeyMisfitError("also", _("also names more sets to count, but of names none; name the first in of"))
        return self

    @property
    def sets(self) -> tuple[str, ...]:
        """The names of the sets and zones that it counts; none where it counts its own zone or work block."""
        return () if self.of in (None, "block") else (self.of or "", *self.also)

    @property
    def can_lapse(self) -> bool:
        """Whether it has a latest moment that costs more than being told when it is missed."""
        return self.max is not None and self.lapse is not LapseTo.NOTHING

    @property
    def binding(self) -> "Wait":
        """What of it must be kept: without a latest moment that is only told."""
        if self.max is None or self.can_lapse:
            return self
        loose = {"max": None, "max_by_c": None, "max_by_rh": None, "max_from": "end", "lapse": None}
        return self.model_copy(update=loose)

    def table(self, edge: str) -> tuple[By, Rows]:
        """Return what the earliest ("min") or latest ("max") moment depends on, and its rows; empty for a plain one."""
        by_c, by_rh = (self.min_by_c, self.min_by_rh) if edge == "min" else (self.max_by_c, self.max_by_rh)
        return (By.HUMIDITY, by_rh) if by_rh else (By.TEMPERATURE, by_c or ())

    @property
    def by_table(self) -> bool:
        """Whether one of its moments has a table; not kept, for a copy would keep it too."""
        return any((self.min_by_c, self.max_by_c, self.min_by_rh, self.max_by_rh))

    @property
    def earliest(self) -> timedelta:
        """The least time, to the millisecond; the base where there is a table."""
        return in_milliseconds(self.min)

    @property
    def latest(self) -> timedelta | None:
        """The most time, to the millisecond, or None; the base where there is a table."""
        return None if self.max is None else in_milliseconds(self.max)


class Step(FileModel):
    """One rung of the ladder.

    Attributes:
        title: what a person calls the step, e.g. "buff, dry towel"; by default its kind's own words.
        minutes: expected work for one zone.
        product: what is laid or used, by product name.
        tool: a tool there is only one of in the bay, by name.
        how: one short sentence for the person at the zone.
        wet, dusty: whether the step throws water or dust; by default as its kind does.
        any_order: steps side by side that share this name may be done in any order, each once.
    """

    id: Slug
    kind: StepKind
    title: str | None = Field(default=None, min_length=1, max_length=60)
    minutes: Annotated[float, Field(strict=True, gt=0, le=24 * 60, allow_inf_nan=False)] = 5
    layer: Annotated[int, Field(strict=True, ge=1, le=20)] | None = None
    motion: Motion | None = None
    product: Slug | None = None
    tool: Slug | None = None
    how: str | None = Field(default=None, max_length=180)
    wet: bool | None = None
    dusty: bool | None = None
    any_order: Slug | None = None
    wait: Wait | None = None

    @model_validator(mode="after")
    def _layers_are_coats(self) -> Self:
        if self.kind is not StepKind.COAT and (self.layer is not None or self.motion is not None):
            raise ValueError(
                _("step {id!r} has a layer or a motion, but its kind is {kind}; only a coat has").format(
                    id=self.id, kind=self.kind
                )
            )
        return self

    @property
    def makes_wet(self) -> bool:
        """Whether water flies while this step runs."""
        return self.kind in WET_KINDS if self.wet is None else self.wet

    @property
    def makes_dust(self) -> bool:
        """Whether dust flies while this step runs."""
        return self.kind in DUSTY_KINDS if self.dusty is None else self.dusty


class Aftercare(FileModel):
    """What holds after the last step: hours to keep dry, hours not to drive, months until its next check is due.

    ``full_cure_days``: how long until the product calls the coat fully cured, days to weeks; it is not washed before.
    ``protects_months`` says when the coat is to be looked at again, and is no guarantee.
    ``dust_free_minutes``: how long after its last levelling or buffing dust still sticks to a coat; the state that
    ISO 9117-5 and the sheets call dust-free or dry to touch is reached then.
    """

    dust_free_minutes: Minutes = 0
    keep_dry_hours: Hours = 0
    no_drive_hours: Hours = 0
    protects_months: Annotated[int, Field(strict=True, ge=1, le=240)] | None = None
    full_cure_days: Annotated[int, Field(strict=True, ge=1, le=365)] | None = None

    @property
    def duration(self) -> timedelta:
        """How long after the last step it is until the zone may get wet and be driven."""
        return timedelta(hours=max(self.keep_dry_hours, self.no_drive_hours))


class Recipe(FileModel):
    """The ordered steps for a zone; ``format`` is ``bayapp-recipe/1``.

    ``air = "refuse"`` refuses a coat without a fresh reading of the air; ``"ask"`` only asks for one. ``surfaces`` says
    what it is made for, so that a new job offers it there; empty: for any surface, offered last. ``zones`` names the
    only zones or sets that it is for, and ``forms`` the vehicle forms on which it comes before the usual one.
    ``suits``: it is also made for zones that are marked so; a zone under film takes only recipes that suit film.
    ``repaint_days``: for how many days after a repaint its coats are not laid; by default as the shop says.
    """

    format: Literal["bayapp-recipe/1"] = "bayapp-recipe/1"
    name: Slug
    title: str = Field(default="", max_length=90)
    air: Literal["ask", "refuse"] = "ask"
    surfaces: tuple[Surface, ...] = ()
    zones: tuple[Slug, ...] = ()
    forms: tuple[Slug, ...] = ()
    suits: tuple[Suits, ...] = ()
    repaint_days: Days | None = None
    step: tuple[Step, ...] = Field(min_length=1)
    finish: Aftercare = Aftercare()

    @model_validator(mode="after")
    def _steps_stand_for_one_thing(self) -> Self:
        twice = [name for name, n in Counter(s.id for s in self.step).items() if n > 1]
        if twice:
            raise ValueError(_("step id {name!r} stands twice; give each step an id of its own").format(name=twice[0]))
        groups = [s.any_order for s in self.step]
        for position, group in enumerate(groups):
            if group and group in groups[:position] and groups[position - 1] != group:
                raise ValueError(_("steps of any_order {group!r} do not stand side by side").format(group=group))
        return self

    @model_validator(mode="after")
    def _matt_is_not_polished(self) -> Self:
        polish = next((s.id for s in self.step if s.kind is StepKind.POLISH), None)
        if polish is not None and Suits.MATT in self.suits:
            raise KeyMisfitError(
                "suits",
                _("suits names matt, but step {id!r} polishes, which matt paint does not stand; leave one out").format(
                    id=polish
                ),
            )
        return self

    @model_validator(mode="after")
    def _waits_look_back(self) -> Self:
        for position, step in enumerate(self.step):
            wait = step.wait
            if wait is None or (wait.of not in (None, "block")):
                continue
            earlier = {s.id for s in self.step[:position]}
            if wait.after is None and position == 0:
                raise ValueError(
                    _("the first step {id!r} has a wait, but there is no step before it to wait for").format(id=step.id)
                )
            if wait.after is not None and wait.after not in earlier:
                later = wait.after in {s.id for s in self.step}
                why = _("which comes no earlier: a cycle") if later else _("which is no step of this recipe")
                raise ValueError(
                    _("the wait of step {id!r} counts after {after!r}, {why}").format(
                        id=step.id, after=wait.after, why=why
                    )
                )
        return self

    def is_for(self, form: VehicleForm, zone: ZoneId) -> bool:
        """Whether it is made for a zone of a form: for its surface, and where it names zones, for that one."""
        if self.surfaces and form.zone_named(zone).surface not in self.surfaces:
            return False
        if not self.zones:
            return True
        there = {z.id for z in form.zone} | form.sets.keys()
        return zone in form.zones_of(name for name in self.zones if name in there)

    def position(self, step: StepId) -> int:
        """Return the step's place on the ladder, 0 first; KeyError when the recipe has none such."""
        return self._places[step]

    @cached_property
    def _places(self) -> dict[StepId, int]:
        return {StepId(step.id): place for place, step in enumerate(self.step)}

    def has(self, step: StepId) -> bool:
        """Whether a step of this id stands on the ladder."""
        return step in self._places

    def knows(self, step: StepId) -> bool:
        """Whether a step of this id stands on the ladder, or was climbed by a recipe that this one followed."""
        return self.has(step)

    def holder(self, step: StepId) -> "Recipe":
        """Return the recipe on whose ladder a step stands: this one, or one before it; KeyError when there is none."""
        if not self.has(step):
            raise KeyError(step)
        return self

    def named(self, step: StepId) -> Step:
        """Return the step with this id; KeyError when neither this recipe nor one before it has such a step."""
        holder = self if step in self._places else self.holder(step)
        return holder.step[holder.position(step)]

    def group_of(self, place: int) -> range:
        """Return the places of the steps that may swap with the step at ``place``, itself included."""
        return self._groups[place]

    @cached_property
    def _groups(self) -> tuple[range, ...]:
        groups: list[range] = []
        for name, steps in groupby(enumerate(self.step), key=lambda numbered: numbered[1].any_order):
            places = [place for place, _ in steps]
            alone = [range(place, place + 1) for place in places]
            groups += alone if name is None else [range(places[0], places[-1] + 1)] * len(places)
        return tuple(groups)

    @property
    def last_coat(self) -> int | None:
        """The place of the last coat, or None where nothing is laid."""
        coats = [place for place, s in enumerate(self.step) if s.kind is StepKind.COAT]
        return coats[-1] if coats else None

    @cached_property
    def covering(self) -> tuple[int, ...]:
        """The places of all that is done to a coat while it is open: laid, levelled, buffed."""
        return tuple(place for place, step in enumerate(self.step) if step.kind in COVERING_KINDS)

    @property
    def dries_by_itself(self) -> bool:
        """Whether nothing is done to the last coat, and no sheet says when it is dry to touch: it dries as it may."""
        return self.step[self.covering[-1]].kind is StepKind.COAT and not self.finish.dust_free_minutes

    @property
    def layers(self) -> int:
        """How many coats are laid in all."""
        return sum(s.kind is StepKind.COAT for s in self.step)

    def counted_for_set(self, wait: Wait) -> tuple[StepId, ...]:
        """Return what a zone of this recipe must have finished for a wait of its set: the last coat, or what it names.

        Several where those may swap; none when the recipe has nothing that the wait could count from.
        """
        if wait.after is not None:
            return (StepId(wait.after),) if self.has(StepId(wait.after)) else ()
        kinds = COUNTED_KINDS[wait.after_last]
        places = [place for place, s in enumerate(self.step) if s.kind in kinds]
        if not places or (wait.after_last != "polish" and self.last_coat is None):
            return ()
        return tuple(StepId(self.step[p].id) for p in self.group_of(places[-1]) if self.step[p].kind in kinds)

    def falls_back_to(self, place: int) -> int | None:
        """Return the rung a zone steps back to when the wait of the step at ``place`` lapses.

        None means that the recipe has no such rung: the zone is held where it is until a person has looked
        and carries on with a reason. Where the recipe is silent, a wipe is wiped again and anything else
        is for a person to inspect.
        """
        wait = self.step[place].wait
        if wait is None or wait.max is None:
            return None
        after = self.position(StepId(wait.after)) if wait.after and wait.of in (None, "block") else place - 1
        word = wait.lapse
        if word is None:
            word = LapseTo.WIPE if after >= 0 and self.step[after].kind is StepKind.WIPE else LapseTo.INSPECT
        if word is LapseTo.REPEAT:
            return max(after, 0)
        return max((p for p in range(place) if self.step[p].kind == word.value), default=None)


class FollowingRecipe(Recipe):
    """A recipe by which a zone went on after a fall.

    Attributes:
        earlier: the recipes before it, the last one first, of which it lacks a step that was done or missed.
    """

    earlier: tuple[Recipe, ...] = Field(min_length=1)

    def knows(self, step: StepId) -> bool:
        """Whether a step of this id stands on the ladder, or was climbed by a recipe that this one followed."""
        return self.has(step) or any(recipe.has(step) for recipe in self.earlier)

    def holder(self, step: StepId) -> Recipe:
        """Return the recipe on whose ladder a step stands: this one, or one before it; KeyError when there is none."""
        found = next((recipe for recipe in (self, *self.earlier) if recipe.has(step)), None)
        if found is None:
            raise KeyError(step)
        return found
