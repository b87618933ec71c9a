"""A product sheet as it is typed in, and the recipe and product made from it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import pairwise
from typing import Any, get_args

from pydantic import ValidationError

from bayapp.job import Product, Recipe
from bayapp.job.model.ids import Motion, StepKind
from bayapp.job.model.product import COLDEST_C, LEAST_PERCENT, MOST_PERCENT, WARMEST_C
from bayapp.job.model.vehicle import Surface
from bayapp.job.model.wait_tables import By
from bayapp.job.text.naming import minutes_text, value_text
from bayapp.pages.recipes.recipe_edit import RecipeDraft, built_title, free_name, free_title
from bayapp.text.days import day_text
from bayapp.text.language import _

MOST_LAYERS = 6
USUAL_COAT_MIN = 3.0
SURFACES: tuple[Surface, ...] = tuple(surface for surface in get_args(Surface) if surface != "car")
"""What a product may be made for; the car itself is no surface that anything is laid on."""

WAITS = ("flash", "recoat", "buff")
"""What a sheet may give rows of temperature or humidity for."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a sheet's table: °C or % humidity, earliest and latest minutes; None: the sheet gives no latest."""

    at: float
    least: float
    most: float | None = None
    by: By = By.TEMPERATURE


@dataclass(frozen=True, slots=True)
class Sheet:
    """The answers so far, in minutes, hours and °C; None or empty if the sheet does not say.

    Attributes:
        motions: how each layer is laid; shorter than ``layers`` if the last ones are not given.
        flash_min: from the end of the coat until it may be levelled.
        level_within_min: until when it must be levelled, from the first stroke, or from the last one with
            ``level_from_last``. Neither this nor a flash: it is not levelled.
        recoat_min, recoat_max: from the end of one coat to the start of the next.
        buff_min, buff_max: from the end of the last coat; both None: it is not buffed.
        air_c, surface_c, rh: lowest and highest; an end that the sheet leaves open is None.
        rows: the rows of temperature, or of humidity, of a wait; the coldest or driest first. Their latest moments of
            a flash count from the last stroke.
    """

    surface: Surface | None = None
    layers: int = 1
    motions: tuple[Motion, ...] = ()
    coat_min: float = USUAL_COAT_MIN
    polish: bool = False
    wipe: bool = True
    wipe_holds_min: float | None = None
    flash_min: float | None = None
    level_within_min: float | None = None
    level_from_last: bool = False
    recoat_min: float | None = None
    recoat_max: float | None = None
    buff_min: float | None = None
    buff_max: float | None = None
    dry_hours: float | None = None
    drive_hours: float | None = None
    months: int | None = None
    air_c: tuple[float | None, float | None] = (None, None)
    surface_c: tuple[float | None, float | None] = (None, None)
    rh: tuple[float | None, float | None] = (None, None)
    coverage: float | None = None
    opened_days: int | None = None
    solvent: bool = True
    rows: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)

    def with_rows(self, wait: str, rows: Iterable[Row]) -> "Sheet":
        """Return the sheet with these rows for a wait, the coldest or driest first."""
        rows_by_wait = {**self.rows, wait: tuple(sorted(rows, key=lambda row: row.at))}
        return replace(self, rows={name: kept for name, kept in rows_by_wait.items() if kept})

    def motion_of(self, layer: int) -> Motion | None:
        """Return how a layer is laid, counted from 0."""
        return self.motions[layer] if layer < len(self.motions) else None

    @property
    def is_levelled(self) -> bool:
        """Whether each coat is levelled: the sheet says from when or until when."""
        return bool(self.flash_min or self.rows.get("flash")) or self.level_within_min is not None

    def title(self, taken: Iterable[str] = ()) -> str:
        """Return the title of the recipe."""
        return free_title(built_title((self.surface,) if self.surface else (), self.layers), taken)

    # What is wrong.

    def trouble(self) -> str:
        """Return what is missing or impossible; empty if the steps can be built."""
        return next((problem for problem in (*self._missing(), *self.wrong()) if problem), "")

    def _missing(self) -> Iterable[str]:
        """Yield what is still missing."""
        if self.surface is None:
            yield _("Say what the product is for.")
        if self.layers > 1 and self.recoat_min is None and not self.rows.get("recoat"):
            yield _("Say from when the next layer may be laid.")

    def wrong(self) -> tuple[str, ...]:
        """Return what is impossible, whatever is still missing."""
        return tuple(filter(None, self._wrong()))

    def _wrong(self) -> Iterable[str]:
        yield self._levelling()
        least, most = self._edges("recoat") if self.layers > 1 else (None, None)
        yield _backwards(_("The next layer"), least, most)
        yield _backwards(_("Buffing"), *self._edges("buff"))
        yield from (self._rows_trouble(wait) for wait in WAITS)
        for what, (low, high) in self._limits():
            if low is not None and high is not None and low > high:
                yield _("{what}: the lowest is above the highest.").format(what=what)
        yield self._too_much()

    def _limits(self) -> tuple[tuple[str, tuple[float | None, float | None]], ...]:
        return (_("Air"), self.air_c), (_("Surface"), self.surface_c), (_("Humidity"), self.rh)

    def _levelling(self) -> str:
        if self.level_within_min is None:
            return ""
        if any(row.most is not None for row in self.rows.get("flash", ())):
            return _("Until when it must be levelled stands twice: in the rows of the flash and as one number.")
        coat = 0.0 if self.level_from_last else self.coat_min
        need = coat + max([self.flash_min or 0.0, *(row.least for row in self.rows.get("flash", ()))])
        if self.level_within_min >= need:
            return ""
        sentence = _("It cannot be levelled within {within}: the coat takes {coat} and then flashes, {need} in all.")
        if self.level_from_last:
            sentence = _("It cannot be levelled within {within} of its last stroke: it flashes for {need}.")
        return sentence.format(
            within=minutes_text(self.level_within_min), coat=minutes_text(self.coat_min), need=minutes_text(need)
        )

    def _edges(self, wait: str) -> tuple[float | None, float | None]:
        if wait == "recoat":
            return self.recoat_min, self.recoat_max
        return (self.buff_min, self.buff_max) if wait == "buff" else (self.flash_min, None)

    def _rows_trouble(self, wait: str) -> str:
        rows = self.rows.get(wait, ())
        if not rows:
            return ""
        if len({row.by for row in rows}) > 1:
            return _("A wait hangs on temperature or on humidity: take the rows of one of them out.")
        if len(rows) == 1:
            return _("One row is no table: add another, or take it out.")
        for low, high in pairwise(rows):
            if low.at == high.at:
                return _("There are two rows for {at}: take one out.").format(at=value_text(low.by, low.at))
        for row in rows:
            at = value_text(row.by, row.at)
            if problem := _backwards(at, row.least, row.most):
                return problem
            if not row.least:
                return _("The row of {at} has no minutes.").format(at=at)
        if 0 < sum(row.most is not None for row in rows) < len(rows):
            return _("Some rows have a latest moment and some have none: fill them all, or none.")
        return ""

    def _too_much(self) -> str:
        """Yield what the models refuse besides: figures that no sheet would have."""
        try:
            self._draft("sheet", "").recipe()
            self._product("sheet", None)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            keys = " ".join(str(part).replace("_", " ") for part in first["loc"] if isinstance(part, str))
            what = keys or str(first.get("ctx", {}).get("error", ""))
            return _("A number cannot be so: {what}.").format(what=what)
        return ""

    # What is made of it.

    def draft(self, name: str, taken_titles: Iterable[str] = ()) -> RecipeDraft:
        """Return the steps as a draft; ``name`` is the name of both recipe and product in files."""
        return self._draft(name, self.title(taken_titles))

    def recipe(self, name: str, taken_titles: Iterable[str] = ()) -> Recipe:
        """Return the recipe.

        Raises:
            ValueError: see ``trouble``.
        """
        if problem := self.trouble():
            raise ValueError(problem)
        return self.draft(name, taken_titles).recipe()

    def product(self, name: str, day: date) -> Product:
        """Return the product as its sheet was typed on a day.

        Raises:
            ValueError: see ``trouble``.
        """
        if problem := self.trouble():
            raise ValueError(problem)
        return self._product(name, day)

    def free_name(self, taken: Iterable[str]) -> str:
        """Return an unused name for recipe and product."""
        return free_name(f"{self.surface or 'any'}-{self.layers}-{'layer' if self.layers == 1 else 'layers'}", taken)

    def _draft(self, name: str, title: str) -> RecipeDraft:
        head: dict[str, Any] = {"format": "bayapp-recipe/1", "name": name, "title": title[:90]}
        if self.surface:
            head["surfaces"] = (self.surface,)
        finish = {
            "keep_dry_hours": self.dry_hours,
            "no_drive_hours": self.drive_hours,
            "protects_months": self.months,
        }
        head["finish"] = {key: value for key, value in finish.items() if value}
        return RecipeDraft(head, tuple(self._steps(name)))

    def _steps(self, product: str) -> Iterable[dict[str, Any]]:
        yield {"id": "decontaminate", "kind": StepKind.DECONTAMINATE, "minutes": 5.0}
        if self.polish:
            yield {"id": "polish", "kind": StepKind.POLISH, "minutes": 15.0, "tool": "polisher"}
        if self.wipe:
            yield {"id": "wipe", "kind": StepKind.WIPE, "minutes": 2.0}
        for layer in range(self.layers):
            yield self._coat(layer, product)
            if self.is_levelled:
                wait = self._wait("flash", self.flash_min, self.level_within_min)
                if self.level_within_min is not None and not self.level_from_last:
                    wait["max_from"] = "start"
                yield {"id": self._id("level", layer), "kind": StepKind.LEVEL, "minutes": 2.0, "wait": wait}
        if self.buff_min is not None or self.buff_max is not None or self.rows.get("buff"):
            wait = self._wait("buff", self.buff_min, self.buff_max)
            after = {"after": self._id("coat", self.layers - 1)}
            yield {"id": "buff", "kind": StepKind.BUFF, "minutes": 3.0, "wait": {**after, **wait}}

    def _id(self, what: str, layer: int) -> str:
        return what if self.layers == 1 else f"{what}-{layer + 1}"

    def _coat(self, layer: int, product: str) -> dict[str, Any]:
        step: dict[str, Any] = {"id": self._id("coat", layer), "kind": StepKind.COAT, "minutes": self.coat_min}
        if self.layers > 1:
            step["layer"] = layer + 1
        if motion := self.motion_of(layer):
            step["motion"] = motion
        step["product"] = product
        if layer:
            wait = self._wait("recoat", self.recoat_min, self.recoat_max)
            step["wait"] = {"after": self._id("coat", layer - 1), **wait}
        elif self.wipe and self.wipe_holds_min is not None:
            step["wait"] = {"max": self.wipe_holds_min, "lapse": "wipe"}
        return step

    def _wait(self, name: str, least: float | None, most: float | None) -> dict[str, Any]:
        """Return a wait, by its rows if there are some; their latest moments replace the plain one."""
        rows = self.rows.get(name, ())
        if not rows:
            limits = {"min": least, "max": most}
            return {key: value for key, value in limits.items() if value is not None}
        by = rows[0].by
        wait: dict[str, Any] = {f"min_by_{by}": tuple((row.at, row.least) for row in rows)}
        latest = tuple((row.at, row.most) for row in rows if row.most is not None)
        if latest:
            wait[f"max_by_{by}"] = latest
        elif most is not None:
            wait["max"] = most
        return wait

    def _product(self, name: str, day: date | None) -> Product:
        limits = {"air_c": self.air_c, "surface_c": self.surface_c, "rh_percent": self.rh}
        said = {key: _whole(key, *pair) for key, pair in limits.items() if pair != (None, None)}
        figures = {
            "coverage_ml_per_m2": self.coverage,
            "opened_life_days": self.opened_days,
            "title": self._product_title()[:60],
            "cautions": cautions(self.surface, self.solvent, day),
        }
        return Product.model_validate(
            {"name": name, **said, **{key: value for key, value in figures.items() if value is not None}}
        )

    def _product_title(self) -> str:
        return _("Product of {recipe}").format(recipe=self.title())


def cautions(surface: Surface | None, solvent: bool, day: date | None) -> tuple[str, ...]:
    """Return the usual cautions if only the sheet's figures are known; common practice, no source."""
    lines = [_("The product's own safety sheet comes first, then local rules.")]
    if day is not None:
        made = _("Made from the sheet as typed on {day}; compare with the sheet.")
        lines.append(made.format(day=day_text(day)))
    if surface in ("rim", "caliper", "tip", "metal"):
        lines.append(_("Only on cold metal: on a hot exhaust or brake it can catch fire."))
    if surface == "lamp":
        lines.append(_("Headlamps and tail lamps off and cold until the coat is dry."))
    if surface == "tyre":
        lines.append(_("Never on the tread, the brake disc or the floor: it takes the grip away."))
    if surface == "cabin":
        lines.append(_("Never on the steering wheel, pedals, seat belts or covers of air bags."))
    if solvent:
        lines += [
            _("Solvent vapour burns: no flame, spark, heater or smoking; air the bay before and during work."),
            _("In poor air, wear a mask with a filter for organic vapour; a dust mask does not hold vapour back."),
        ]
    lines += [
        _("Nitrile gloves and safety glasses; wash splashes off at once and see a doctor if the eyes still sting."),
        _("Soiled towels go into a closed metal can at once, and out of the building at the end of the day."),
    ]
    return tuple(lines)


def _whole(key: str, low: float | None, high: float | None) -> tuple[float, float]:
    """Return both ends of a limit: one that a sheet leaves open lies where no air is."""
    lowest, highest = (LEAST_PERCENT, MOST_PERCENT) if key == "rh_percent" else (COLDEST_C, WARMEST_C)
    return lowest if low is None else low, highest if high is None else high


def _backwards(what: str, least: float | None, most: float | None) -> str:
    if least is None or most is None or most >= least:
        return ""
    sentence = _("{what}: the latest moment, {max}, lies before the earliest, {min}.")
    return sentence.format(what=what, max=minutes_text(most), min=minutes_text(least))
