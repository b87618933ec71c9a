"""The pages of a recipe: its ladder, and buttons for what can be changed."""

from collections.abc import Iterable
from dataclasses import dataclass

from bayapp.job import Product
from bayapp.job.model.ids import LapseTo, Motion, StepKind
from bayapp.job.text.naming import capital, kind_words, minutes_text, motion_words
from bayapp.pages.recipes.recipe_edit import (
    USUAL_MINUTES,
    AirTable,
    RecipeDraft,
    lapse_words,
    rows_words,
    surface_words,
)
from bayapp.pages.recipes.recipe_rungs import DrawnLadder, drawn_ladder, set_words
from bayapp.text.figures import short_figure
from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class Field:
    """One button: what it changes, and the present value."""

    key: str
    title: str
    detail: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class RecipeView:
    """A page with a ladder.

    Attributes:
        chosen: the rung that the buttons belong to, or None.
        side: the words of the button beside the large one; empty for none.
        notes: remarks beside the buttons; the first ``loud`` of them stand out.
        main, note: the words of the large button; a ``trouble`` blocks it and replaces the note.
    """

    title: str
    subtitle: str
    ladder: DrawnLadder
    chosen: int | None
    fields: tuple[Field, ...]
    side: str
    main: str
    note: str
    trouble: str
    notes: tuple[str, ...] = ()
    loud: int = 0


def shown_recipe(draft: RecipeDraft, ours: bool, products: Iterable[Product] = ()) -> RecipeView:
    """Return a recipe to look at.

    Args:
        ours: it is in the shop's own folder, and may be changed in place.
        products: the products of its coats, if their sheets are known.
    """
    whose = _("Our own.") if ours else _("Comes with the program; the sheet of the product in your hand comes first.")
    fields = [Field("export", _("Export"), _("to a stick or a folder"))]
    if ours:
        fields.insert(0, Field("copy", _("Copy"), _("under another name, then change it")))
        fields.append(Field("rename", _("Another name"), _("of chosen words")))
    note = "" if ours else _("as a copy: what comes with the program stays")
    title = str(draft.head.get("title") or draft.head["name"])
    loud = (_work(draft), _cure(draft))
    quiet = [line for product in products for line in (product.title or product.name, *product.cautions[:3])]
    return RecipeView(
        title,
        whose,
        drawn_ladder(draft),
        None,
        tuple(fields),
        "",
        _("Change"),
        note,
        "",
        (*loud, *quiet),
        len(loud),
    )


def _work(draft: RecipeDraft) -> str:
    """Return the working time of one zone, without waits."""
    minutes = sum(float(step.get("minutes", USUAL_MINUTES)) for step in draft.steps)
    return _("{minutes} of work for one zone, waits not counted.").format(minutes=minutes_text(minutes))


def _cure(draft: RecipeDraft) -> str:
    finish = draft.head.get("finish", {})
    dry, drive = finish.get("keep_dry_hours"), finish.get("no_drive_hours")
    wet = (
        _("Then keep it dry for {n} h.").format(n=short_figure(dry))
        if dry
        else _("How long to keep it dry, the sheet does not say.")
    )
    driven = (
        _("Do not drive for {n} h.").format(n=short_figure(drive))
        if drive
        else _("From when to drive, the sheet does not say.")
    )
    free, fully = finish.get("dust_free_minutes"), finish.get("full_cure_days")
    said = (
        _("Dust sticks to it for {time} after its last levelling.").format(time=minutes_text(free)) if free else "",
        wet,
        driven,
        ngettext(
            "Fully cured after {n} day: no wash before.", "Fully cured after {n} days: no wash before.", fully
        ).format(n=fully)
        if fully
        else "",
    )
    return " ".join(sentence for sentence in said if sentence)


def edited_recipe(draft: RecipeDraft, place: int, known_as: str) -> RecipeView:
    """Return the page of a recipe being edited, at one of its steps."""
    step = draft.steps[place]
    most = draft.edge(place, "max")
    fields = [
        Field("kind", capital(kind_words(StepKind(step["kind"]))), _("kind of step")),
        Field("minutes", minutes_text(float(step.get("minutes", USUAL_MINUTES))), _("work for one zone")),
        *_moments(draft, place),
        Field("up", _("Move up"), _("one rung")),
        Field("down", _("Move down"), _("one rung")),
        Field("insert", _("Add a step"), _("after this one")),
        Field("remove", _("Remove"), draft.title_of(place)),
    ]
    wait = draft.wait_of(place)
    table = draft.table(place)
    if table is not None and (place or table.rows):
        fields.append(Field("rows", _rows(table), rows_words(table.by) if table.rows else _("rows by the air")))
    if place:
        fields.append(Field("after", _counted(draft, place), _("counted from")))
    if most is not None:
        start = wait.get("max_from") == "start"
        fields.append(Field("max_from", _("first stroke") if start else _("its end"), _("latest counts from")))
        lapse = LapseTo(wait["lapse"]) if "lapse" in wait else None
        fields.append(Field("lapse", capital(lapse_words(lapse)), _("if it is missed")))
    if step["kind"] == StepKind.COAT:
        motion = step.get("motion")
        fields.append(
            Field("motion", capital(motion_words(Motion(motion))) if motion else _("as one likes"), _("strokes"))
        )
    fields.append(Field("product", str(step.get("product") or _("none")).replace("-", " "), _("product")))
    finish = draft.head.get("finish", {})
    for key, title in (("keep_dry_hours", _("keep dry after it all")), ("no_drive_hours", _("do not drive"))):
        hours = finish.get(key)
        fields.append(Field(key, _("{h} h").format(h=short_figure(hours)) if hours else _("not said"), title))
    made_for = ", ".join(surface_words()[name] for name in draft.head.get("surfaces", ())) or _("any surface")
    if only := ", ".join(name.replace("-", " ") for name in draft.head.get("zones", ())):
        made_for = _("{surface}: {zones} only").format(surface=made_for, zones=only)
    fields.append(Field("surfaces", capital(made_for), _("made for")))
    subtitle = _("Touch a rung to change it. Lines: thin until it opens, thick while it is open.")
    note = draft.tight() or _("Cars in the bay keep the recipe that they have.")
    return RecipeView(
        known_as,
        subtitle,
        drawn_ladder(draft),
        place,
        tuple(fields),
        _("Next rung"),
        _("Save"),
        note,
        draft.trouble(),
    )


def _rows(table: AirTable) -> str:
    count = len(table.rows)
    return ngettext("{n} row", "{n} rows", count).format(n=count) if count else _("none")


def _moments(draft: RecipeDraft, place: int) -> tuple[Field, ...]:
    """Return the fields of earliest and latest moment; the first step has none unless it was moved there."""
    if place == 0 and not draft.wait_of(place):
        return ()
    least, most = draft.edge(place, "min"), draft.edge(place, "max")
    return (
        Field("min", minutes_text(least) if least else _("at once"), _("from when: earliest")),
        Field("max", minutes_text(most) if most is not None else _("no end"), _("until when: latest")),
    )


def _counted(draft: RecipeDraft, place: int) -> str:
    """Return what a wait is counted from, in words."""
    wait = draft.wait_of(place)
    of = wait.get("of")
    if of == "block":
        return _("all zones of the work")
    if of:
        return set_words(wait)
    after = next((n for n, step in enumerate(draft.steps) if step["id"] == wait.get("after")), None)
    if after is not None:
        return draft.title_of(after)
    return _("a step that is gone") if "after" in wait else _("the step before")
