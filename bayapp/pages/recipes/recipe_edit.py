"""A recipe while it is being edited, step by step and wait by wait.

It is held in the form of the file, so that it may be wrong for a while. It is saved only without ``trouble()``, which
refuses what the model refuses. A window from the first stroke that is shorter than the coat's own minutes may be kept,
for those are an estimate; ``tight`` says so.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from pydantic import ValidationError

from bayapp.job import Recipe
from bayapp.job.model.healing import unhealed
from bayapp.job.model.ids import LapseTo, Motion, StepId, StepKind
from bayapp.job.model.recipe import Step, Wait
from bayapp.job.model.vehicle import FileModel
from bayapp.job.model.wait_tables import By, base_minutes
from bayapp.job.text.naming import capital, kind_words, minutes_text, step_title
from bayapp.text.figures import short_figure
from bayapp.text.language import _, ngettext

Plain = dict[str, Any]
MOST_STEPS = 30
USUAL_MINUTES = 5.0
_NAMING = ("id", "kind", "title")


class AirTable(NamedTuple):
    """The rows of a wait: what they depend on, and for each its °C or % humidity, earliest and latest minutes."""

    by: By
    rows: tuple[tuple[float, float, float | None], ...]


@dataclass(frozen=True, slots=True)
class RecipeDraft:
    """A recipe that may be wrong for a while; every change makes a new one.

    Attributes:
        head: everything but the steps, in the form of the file.
        steps: the steps, in the form of the file. Each has an ``id`` of its own and a ``kind``.
    """

    head: Plain
    steps: tuple[Plain, ...]

    @classmethod
    def of(cls, recipe: Recipe) -> "RecipeDraft":
        """Return a draft of an existing recipe."""
        head = recipe.model_dump(mode="python", exclude_none=True, exclude_defaults=True)
        steps = tuple(dict(step) for step in head.pop("step"))
        return cls({"format": recipe.format, **head}, steps)

    def named(self, name: str, title: str) -> "RecipeDraft":
        """Return the draft under another name, as another recipe."""
        return replace(self, head={**self.head, "name": name, "title": title[:90]})

    # What is read off it.

    def recipe(self) -> Recipe:
        """Return the recipe.

        Raises:
            ValueError: something in it is impossible; see ``trouble``.
        """
        return Recipe.model_validate({**self.head, "step": self.steps})

    def outline(self) -> Recipe:
        """Return the steps with only what cannot be wrong: enough for titles and textures."""
        bare = []
        for step in self.steps:
            kept = ("id", "kind", "title", "layer", "motion") if step["kind"] == StepKind.COAT else _NAMING
            bare.append({key: step[key] for key in kept if key in step})
        return Recipe.model_validate({**{k: v for k, v in self.head.items() if k != "finish"}, "step": bare})

    def title_of(self, place: int) -> str:
        """Return the title of a step."""
        return capital(step_title(self.outline(), StepId(self.steps[place]["id"])))

    def wait_of(self, place: int) -> Plain:
        """Return the wait of a step in the form of the file; empty if it has none."""
        return dict(self.steps[place].get("wait", {}))

    def edge(self, place: int, edge: str) -> float | None:
        """Return the earliest ("min") or latest ("max") minutes, for a table the base value; None for none."""
        wait = self.wait_of(place)
        tables = (base_minutes(wait.get(f"{edge}_by_{by}"), by) for by in By)
        return wait.get(edge, next((minutes for minutes in tables if minutes is not None), None))

    def rows_of(self, place: int) -> bool:
        """Whether the wait of a step has rows by temperature or humidity."""
        return any("_by_" in key for key in self.wait_of(place))

    def table(self, place: int) -> AirTable | None:
        """Return the rows of a wait, empty if it has none; None if they are too complex for this page."""
        wait = self.wait_of(place)
        by = next((by for by in By if f"min_by_{by}" in wait or f"max_by_{by}" in wait), By.TEMPERATURE)
        least, most = dict(wait.get(f"min_by_{by}", ())), dict(wait.get(f"max_by_{by}", ()))
        others = (f"{edge}_by_{other}" for edge in ("min", "max") for other in By if other is not by)
        if any(key in wait for key in others) or not most.keys() <= least.keys():
            return None
        return AirTable(by, tuple((at, minutes, most.get(at)) for at, minutes in least.items()))

    def with_table(
        self, place: int, rows: Sequence[tuple[float, float, float | None]], by: By = By.TEMPERATURE
    ) -> "RecipeDraft":
        """Return the draft with these rows for a wait; without rows, their base values stay as plain ones."""
        bare: Plain = {f"{edge}_by_{other}": None for edge in ("min", "max") for other in By}
        if not rows:
            return self._with_wait(place, **{**bare, "min": self.edge(place, "min"), "max": self.edge(place, "max")})
        least = tuple((at, minutes) for at, minutes, _most in rows)
        most = tuple((at, until) for at, _least, until in rows if until is not None)
        said: Plain = {"min": None, f"min_by_{by}": least, f"max_by_{by}": most or None}
        return self._with_wait(place, **{**bare, **said, **({"max": None} if most else {})})

    def anchors(self, place: int) -> tuple[int, ...]:
        """Return the steps that a wait of this step may be counted from."""
        return tuple(range(place))

    def trouble(self) -> str:
        """Return what is wrong, in plain words; empty if the recipe can be used."""
        for place in range(len(self.steps)):
            if problem := self.trouble_at(place):
                return problem
        try:
            wrong = unhealed(self.recipe())
        except ValidationError as error:
            return _plain(error)
        if wrong is None:
            return ""
        return _(
            "{step}: once it is missed it would be missed for ever. Choose what it costs, or counts from, anew."
        ).format(step=self.title_of(wrong[0]))

    def trouble_at(self, place: int) -> str:
        """Return what is wrong with one step and its wait, or empty."""
        step, wait = self.steps[place], self.wait_of(place)
        problem = _impossible(wait) or _refused(Step, {k: v for k, v in step.items() if k != "wait"})
        problem = problem or self._misplaced(place) or (_refused(Wait, wait) if wait else "")
        return _("{step}: {trouble}").format(step=self.title_of(place), trouble=problem) if problem else ""

    def tight(self) -> str:
        """Return which window from the first stroke is shorter than its own coat takes; empty if none is."""
        for place in range(len(self.steps)):
            wait, stroke = self.wait_of(place), self._stroke(place)
            least, most = wait.get("min", 0.0), wait.get("max")
            if wait.get("max_from") == "start" and most is not None and most < stroke + least:
                sentence = _(
                    "{step}: {max} from the first stroke are short, for the step before takes {stroke} a zone. Lay "
                    "small fields."
                )
                times = {"max": minutes_text(most), "stroke": minutes_text(stroke)}
                return sentence.format(step=self.title_of(place), **times)
        return ""

    def _stroke(self, place: int) -> float:
        """Return the duration of the step that the wait of this step is counted from."""
        after = self._after(place)
        return float(self.steps[after].get("minutes", USUAL_MINUTES)) if after is not None else 0.0

    def _after(self, place: int) -> int | None:
        wait = self.wait_of(place)
        if wait.get("of") not in (None, "block"):
            return None
        if "after" not in wait:
            return place - 1 if place else None
        return next((n for n, step in enumerate(self.steps) if step["id"] == wait["after"]), None)

    def _misplaced(self, place: int) -> str:
        wait = self.wait_of(place)
        if not wait or wait.get("of") not in (None, "block"):
            return ""
        after = self._after(place)
        if place == 0:
            return _("The first step has no step before it to wait for: take its wait away, or move it down.")
        if after is None:
            return _("Its wait is counted from a step that is no longer there: choose another.")
        if after >= place:
            other = self.title_of(after)
            return _("Its wait is counted from “{other}”, which comes no earlier: choose another.").format(other=other)
        return ""

    # What is changed on it.

    def _with(self, place: int, **said: Any) -> "RecipeDraft":
        """Return the draft with keys of one step set; None removes a key."""
        step = {k: v for k, v in {**self.steps[place], **said}.items() if v is not None}
        return replace(self, steps=(*self.steps[:place], step, *self.steps[place + 1 :]))

    def _with_wait(self, place: int, **said: Any) -> "RecipeDraft":
        wait = {k: v for k, v in {**self.wait_of(place), **said}.items() if v is not None}
        if "max" not in wait and not any(key.startswith("max_by") for key in wait):
            wait = {k: v for k, v in wait.items() if k not in ("lapse", "max_from")}
        return self._with(place, wait=wait or None)

    def with_minutes(self, place: int, minutes: float | None) -> "RecipeDraft":
        """Return the draft with another working time of a step for one zone."""
        return self._with(place, minutes=minutes)

    def with_edge(self, place: int, edge: str, minutes: float | None) -> "RecipeDraft":
        """Return the draft with another earliest ("min") or latest ("max") moment, which replaces any rows."""
        return self._with_wait(place, **{edge: minutes, f"{edge}_by_c": None, f"{edge}_by_rh": None})

    def with_max_from(self, place: int, start: bool) -> "RecipeDraft":
        """Return the draft with the latest moment counted from the first stroke, or from the end."""
        return self._with_wait(place, max_from="start" if start else None)

    def with_lapse(self, place: int, lapse: LapseTo | None) -> "RecipeDraft":
        """Return the draft with another cost of a missed latest moment."""
        return self._with_wait(place, lapse=lapse)

    def counted_from(self, place: int, after: int | None) -> "RecipeDraft":
        """Return the draft with the wait of a step counted from another step, or from the one before."""
        step = None if after is None else self.steps[after]["id"]
        return self._with_wait(place, after=step, of=None, also=None, after_last=None)

    def with_kind(self, place: int, kind: StepKind) -> "RecipeDraft":
        """Return the draft with a step of another kind, whose other values are reset."""
        if self.steps[place]["kind"] == kind:
            return self
        old = ("layer", "motion", "product", "tool", "title", "how", "wet", "dusty", "any_order")
        return self._with(place, **{**dict.fromkeys(old), "kind": kind})

    def with_motion(self, place: int, motion: Motion | None) -> "RecipeDraft":
        """Return the draft with a layer laid by other strokes."""
        return self._with(place, motion=motion)

    def with_product(self, place: int, product: str | None) -> "RecipeDraft":
        """Return the draft with another product in a step."""
        return self._with(place, product=product)

    def moved(self, place: int, by: int) -> "RecipeDraft":
        """Return the draft with a step moved up or down; unchanged at an end."""
        to = place + by
        if not 0 <= to < len(self.steps):
            return self
        steps = list(self.steps)
        steps.insert(to, steps.pop(place))
        return replace(self, steps=tuple(steps))

    def inserted(self, place: int, kind: StepKind) -> "RecipeDraft":
        """Return the draft with a new step at a place; unchanged if the ladder is full."""
        if len(self.steps) >= MOST_STEPS:
            return self
        taken = {step["id"] for step in self.steps}
        step: Plain = {"id": free_name(kind.value, taken), "kind": kind, "minutes": USUAL_MINUTES}
        return replace(self, steps=(*self.steps[:place], step, *self.steps[place:]))

    def removed(self, place: int) -> "RecipeDraft":
        """Return the draft without a step; unchanged if it is the only one."""
        if len(self.steps) == 1:
            return self
        return replace(self, steps=(*self.steps[:place], *self.steps[place + 1 :]))

    def with_finish(self, key: str, number: float | None) -> "RecipeDraft":
        """Return the draft with other hours to keep dry or not to drive, or other months of protection."""
        finish = {**self.head.get("finish", {}), key: int(number) if key == "protects_months" and number else number}
        return self._with_head("finish", {k: v for k, v in finish.items() if v} or None)

    def with_surface(self, surface: str) -> "RecipeDraft":
        """Return the draft with a surface added, or removed; it is then for all zones of its surfaces."""
        made_for = tuple(self.head.get("surfaces", ()))
        without = tuple(name for name in made_for if name != surface)
        return self._with_head("zones", None)._with_head(
            "surfaces", (without if surface in made_for else (*made_for, surface)) or None
        )

    def _with_head(self, key: str, value: Any) -> "RecipeDraft":
        return replace(self, head={k: v for k, v in {**self.head, key: value}.items() if v is not None})


def free_name(wanted: str, taken: Iterable[str]) -> str:
    """Return an unused name: the wanted one, else numbered."""
    names, number = set(taken), 2
    if wanted not in names:
        return wanted
    while f"{wanted[:56]}-{number}" in names:
        number += 1
    return f"{wanted[:56]}-{number}"


def free_title(wanted: str, taken: Iterable[str]) -> str:
    """Return an unused title: the wanted one, else numbered."""
    titles, number = set(taken), 2
    if wanted not in titles:
        return wanted
    while f"{wanted} {number}" in titles:
        number += 1
    return f"{wanted} {number}"


def built_title(surfaces: Sequence[str], layers: int) -> str:
    """Return the title of a recipe, by its surfaces and number of layers: "Paint, 2 layers"."""
    words = surface_words()
    what = capital(", ".join(words[s] for s in surfaces[:2])) if surfaces else _("Any surface")
    if not layers:
        return what
    sentence = ngettext("{what}, {n} layer", "{what}, {n} layers", layers)
    return sentence.format(what=what, n=layers)


def surface_words() -> Mapping[str, str]:
    """Return the words for the surfaces that a recipe may be made for."""
    return {
        "paint": _("paint"),
        "glass": _("glass"),
        "rim": _("rims"),
        "tyre": _("tyres"),
        "caliper": _("calipers"),
        "tip": _("exhaust tips"),
        "lamp": _("headlamps and tail lamps"),
        "trim": _("bare trim"),
        "cabin": _("cabin"),
        "screen": _("clear screen"),
        "metal": _("bare metal"),
        "car": _("the car itself"),
    }


def rows_words(by: By) -> str:
    """Return the words for what rows depend on."""
    return {By.TEMPERATURE: _("rows of temperature"), By.HUMIDITY: _("rows of humidity")}[by]


def lapse_words(lapse: LapseTo | None) -> str:
    """Return the words for the cost of a missed latest moment."""
    return {
        None: _("what is usual"),
        LapseTo.WIPE: _("wipe again"),
        LapseTo.POLISH: _("polish again"),
        LapseTo.REPEAT: _("the step before again"),
        LapseTo.INSPECT: _("look, then decide"),
        LapseTo.NOTHING: _("nothing, it is only told"),
    }[lapse]


def kinds() -> tuple[tuple[StepKind, str], ...]:
    """Return the kinds of steps with their words."""
    return tuple((kind, capital(kind_words(kind))) for kind in StepKind)


def _impossible(wait: Plain) -> str:
    """Return why a wait of plain minutes has no possible moment; empty if it has."""
    least, most = wait.get("min", 0.0), wait.get("max")
    if most is None or most >= least or any("_by_" in key for key in wait):
        return ""
    sentence = _("The latest moment, {max}, lies before the earliest, {min}: no moment would be right.")
    return sentence.format(max=minutes_text(most), min=minutes_text(least))


def _refused(model: type[FileModel], said: Plain) -> str:
    """Return why a model refuses these values; empty if it does not."""
    try:
        model.model_validate(said)
    except ValidationError as error:
        return _plain(error)
    return ""


def _plain(error: ValidationError) -> str:
    """Return the first thing that a model refused, without pydantic's own words."""
    first = error.errors(include_url=False)[0]
    if first["type"] == "value_error":
        return str(first["ctx"]["error"])
    limits = first.get("ctx", {})
    if "le" in limits:
        return _("That is too much: {most} at most.").format(most=short_figure(float(limits["le"])))
    if "gt" in limits or "ge" in limits:
        least = float(limits.get("gt", limits.get("ge", 0)))
        return _("That is too little: it must be more than {least}.").format(least=short_figure(least))
    key = " ".join(str(part) for part in first["loc"] if isinstance(part, str))
    return _("“{key}” cannot be so.").format(key=key)
