"""Rules of the air for laying a coat, and for the wipe before it."""

from datetime import datetime

from bayapp.air import DEW_MARGIN_K, Fitness, Hindrance, Limits, assess
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import AirDoubt, Bare, BeforeCoat, DewPoint, OldReading, OverLimit, UnreadPlace, Why
from bayapp.job.model.ids import Code, StepId, StepKind, ZoneId
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Recipe, Step
from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import READING_HOLDS
from bayapp.job.state.state import BayState, JobState
from bayapp.job.verdict import Refusal


def fit_to_coat(step: Step, product: Product | None, job: JobState, facts: BayFacts) -> tuple[Refusal, ...]:
    """Return every reason why the air around a car forbids or does not vouch for laying this coat now.

    Surface at least the shop's margin above the dew point, by default 3 °C (ISO 8502-4's rule for painting steel,
    borrowed), and air, surface and humidity inside the product's limits. Without a surface reading the air's
    temperature counts.
    """
    doubts = _doubts(product, job, facts) if step.kind is StepKind.COAT else ()
    return tuple(Refusal(Code.AIR, doubt) for doubt in doubts)


def air_for_coat(
    recipe: Recipe, step: Step, job: JobState, facts: BayFacts
) -> tuple[tuple[Refusal, ...], tuple[Refusal, ...]]:
    """Return what the air forbids of laying this coat now, and what it only asks for; nothing for any other step.

    An old reading that only asks for a new one still holds: what it forbids is not allowed by its growing older.
    """
    product = job.job.products.get(step.product or "")
    doubts = fit_to_coat(step, product, job, facts)
    if not doubts or not only_asks(recipe, doubts[0]):
        return doubts, ()
    air = facts.air_around(job)
    return unfit(product, air, facts.state.dew_margin_k) if air else (), doubts[:1]


def unfit(product: Product | None, reading: AirRead, margin_k: float) -> tuple[Refusal, ...]:
    """Return all that this reading, however old, forbids."""
    return tuple(Refusal(Code.AIR, doubt) for doubt in _unfit(product, reading, margin_k))


def _unfit(product: Product | None, reading: AirRead, margin_k: float) -> tuple[DewPoint | OverLimit, ...]:
    """Return what hinders a coat; what would help is said once, for it helps against all of it."""
    found = assessed(product, reading, margin_k)
    return tuple(_hindrance(product, found, one, said) for said, one in enumerate(found.hindrances))


def _hindrance(product: Product | None, found: Fitness, one: Hindrance, said: int) -> DewPoint | OverLimit:
    if one is Hindrance.DEW_POINT:
        return DewPoint(found)
    value, span = {
        Hindrance.AIR: (found.air_c, found.limits.air_c),
        Hindrance.SURFACE: (found.surface_c, found.limits.surface_c),
        Hindrance.HUMIDITY: (found.rh_percent, found.limits.rh_percent),
    }[one]
    assert product, "only a product has limits of its own"
    assert span, "what is not limited hinders nothing"
    return OverLimit(one, found, product.title or product.name, value, *span, advised=said == 0)


def assessed(product: Product | None, reading: AirRead, margin_k: float = DEW_MARGIN_K) -> Fitness:
    """Return what a reading comes to for a coat of this product."""
    return assess(reading.air_c, reading.rh_percent, reading.surface_c, limits_of(product, margin_k))


def limits_of(product: Product | None, margin_k: float = DEW_MARGIN_K) -> Limits:
    """Return what a coat asks of the air: the shop's margin, or the product's where that asks for more."""
    if product is None:
        return Limits(margin_k)
    margin_k = max(margin_k, product.dew_margin_c or 0.0)
    return Limits(margin_k, product.air_c, product.surface_c, product.rh_percent)


def before_coat(recipe: Recipe, step: Step, job: JobState, facts: BayFacts) -> Refusal | None:
    """Return why the coat that a wipe leads to could not be laid in this air, or None: a warning, no refusal.

    The warning comes before the wipe and not after it, as with a cold car in a warm bay; the car warms while it is
    wiped, so the person decides. A wipe that another polish follows leads to no coat.
    """
    if step.kind is not StepKind.WIPE:
        return None
    for later in recipe.step[recipe.position(StepId(step.id)) + 1 :]:
        if later.kind is StepKind.COAT:
            doubts = _doubts(job.job.products.get(later.product or ""), job, facts)
            return Refusal(Code.AIR, BeforeCoat(doubts[0])) if doubts else None
        if later.kind in (StepKind.POLISH, StepKind.DECONTAMINATE, StepKind.WIPE):
            return None
    return None


def wipe_warning(state: BayState, job: JobState, zone: ZoneId, step: StepId, at: datetime) -> Refusal | None:
    """Return the warning that belongs to a step that may be begun on a zone now, or None."""
    recipe = job.job.recipe_of(zone)
    return before_coat(recipe, recipe.named(step), job, BayFacts(state, at))


def only_asks(recipe: Recipe, refusal: Refusal) -> bool:
    """Whether the recipe lets the step go on and the screen merely asks for a reading."""
    return recipe.air == "ask" and refusal.why in (Why.NO_READING, Why.OLD_READING)


def _doubts(product: Product | None, job: JobState, facts: BayFacts) -> tuple[AirDoubt, ...]:
    reading = facts.air_around(job)
    if reading is None:
        return (Bare(Why.NO_READING) if job.place is None else UnreadPlace(job.place),)
    in_doubt = any(moment >= reading.measured_at for moment in job.unsure_since)
    if in_doubt or facts.at - reading.measured_at > READING_HOLDS:
        return (OldReading(reading.measured_at, job.place),)
    return _unfit(product, reading, facts.state.dew_margin_k)
