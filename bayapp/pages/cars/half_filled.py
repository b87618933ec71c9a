"""A new car that was left half filled: what of it is kept, and the same car taken up again."""

from collections.abc import Mapping
from datetime import datetime

from bayapp.files.shop.half_filled import HalfFilled
from bayapp.job import Product, Recipe, VehicleForm
from bayapp.pages.cars.new_job import Draft
from bayapp.text.language import _, ngettext


def kept_of(draft: Draft, plain: VehicleForm | None) -> HalfFilled:
    """Return what is kept of a car; ``plain`` is its form as the library has it, None where it has none."""
    divided = draft.form != plain
    return HalfFilled(
        title=draft.title(),
        form=draft.form.name,
        divided=draft.form if divided else None,
        drawing=draft.drawing if divided else "",
        picks=dict(draft.picks),
        crew=draft.crew,
        colour=draft.colour,
        promised=draft.promised,
    )


def taken_up(
    kept: HalfFilled,
    plain: tuple[VehicleForm, str],
    recipes: Mapping[str, Recipe],
    products: Mapping[str, Product],
    at: datetime,
) -> Draft:
    """Return the car as it was left; what is no more (a recipe, a zone, a promise in the past) is left out."""
    form, drawing = (kept.divided, kept.drawing) if kept.divided else plain
    zones = {zone.id for zone in form.zone}
    picks = {zone: recipe for zone, recipe in kept.picks.items() if zone in zones and recipe in recipes}
    return Draft(form, drawing, recipes, products, picks, kept.crew, kept.colour, kept.promise_after(at))


def kept_line(kept: HalfFilled) -> str:
    """Return how far it has got: "half filled in, 12 zones"."""
    zones = len(kept.picks)
    return ngettext("half filled in, {n} zone", "half filled in, {n} zones", zones).format(n=zones)


def kept_title(kept: HalfFilled) -> str:
    """Return what the button to it says."""
    return _("Go on: {car}").format(car=kept.title)
