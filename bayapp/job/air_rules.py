"""Rules of the air for laying a coat. Knows no bay rule and no wait."""

from datetime import datetime, timedelta

from bayapp.air import dew_point
from bayapp.job.events import AirRead
from bayapp.job.product import Product
from bayapp.job.recipe import Recipe, Step
from bayapp.job.verdict import Refusal, Why
from bayapp.job.words import Code, StepKind

READING_HOLDS = timedelta(minutes=30)
DEW_MARGIN_K = 3.0
ROUNDING_K = 1e-9


def fit_to_coat(step: Step, product: Product | None, reading: AirRead | None, at: datetime) -> Refusal | None:
    """Return why the air forbids or does not vouch for laying this coat now, or None.

    Surface at least 3 °C above the dew point (ISO 8502-4's rule for painting steel, borrowed), and air,
    surface and humidity inside the product's limits. Without a surface reading the air's temperature counts.
    """
    if step.kind is not StepKind.COAT:
        return None
    if reading is None:
        return Refusal(Code.AIR, Why.NO_READING)
    if at - reading.measured_at > READING_HOLDS:
        return Refusal(Code.AIR, Why.OLD_READING, facts={"read_at": reading.measured_at})
    return unfit(product, reading)


def unfit(product: Product | None, reading: AirRead) -> Refusal | None:
    """Return what this reading, however old, forbids."""
    surface = reading.coat_c
    dew = dew_point(reading.air_c, reading.rh_percent)
    needed = product.dew_margin_c if product else DEW_MARGIN_K
    if surface - dew < needed - ROUNDING_K:
        return Refusal(Code.AIR, Why.DEW_POINT, facts={"margin": surface - dew, "needed": needed, "dew": dew})
    return _outside_limits(product, reading, surface) if product else None


def _outside_limits(product: Product, reading: AirRead, surface: float) -> Refusal | None:
    checks = (
        (product.air_c, reading.air_c, Why.AIR_LIMIT),
        (product.surface_c, surface, Why.SURFACE_LIMIT),
        (product.rh_percent, reading.rh_percent, Why.HUMIDITY_LIMIT),
    )
    for limits, value, why in checks:
        if limits and not limits[0] <= value <= limits[1]:
            told = {"value": value, "low": limits[0], "high": limits[1], "product": product.title or product.name}
            return Refusal(Code.AIR, why, facts=told)
    return None


def only_asks(recipe: Recipe, refusal: Refusal) -> bool:
    """Whether the recipe lets the step go on and the screen merely asks for a reading."""
    return recipe.air == "ask" and refusal.why in (Why.NO_READING, Why.OLD_READING)
