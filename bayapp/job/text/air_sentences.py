"""What an air comes to, in sentences for people: fit to coat or not, why, and what would make it so."""

from bayapp.air import Fitness, Hindrance, ImpossibleAirError, Remedy
from bayapp.air.fitness import Span
from bayapp.job.model.wait_tables import By
from bayapp.job.text.naming import capital, span_text
from bayapp.text.figures import percent, short_figure, temperature, warmth
from bayapp.text.language import _


def impossible_told(error: ImpossibleAirError) -> str:
    """Return why a reading cannot be, and between what it can."""
    told = {
        "rh_percent": _("relative humidity is {value:g} %; it must be more than 0 and at most 100"),
        "air_c": _("the air's temperature is {value:g} °C; it must be between -100 and 200"),
        "surface_c": _("the surface's temperature is {value:g} °C; it must be between -100 and 200"),
    }
    return told[error.quantity].format(value=error.value)


def point_told(dew_c: float) -> str:
    """Return what a person calls the temperature at which water settles: "dew point of 9.3 °C"; frost below 0 °C."""
    if dew_c < 0:
        return _("frost point of {value}").format(value=temperature(dew_c))
    return _("dew point of {value}").format(value=temperature(dew_c))


def margin_told(surface_margin_k: float, dew_c: float) -> str:
    """Return where the surface stands: "The surface is 10.7 °C above the dew point of 9.3 °C"; without a full stop."""
    point, margin = point_told(dew_c), round(surface_margin_k, 1)
    if margin > 0:
        return _("The surface is {margin} above the {point}").format(margin=warmth(margin), point=point)
    if margin == 0:
        return _("The surface is at the {point}").format(point=point)
    return _("The surface is {margin} below the {point}").format(margin=warmth(-margin), point=point)


def short_margin_told(margin_k: float, dew_c: float, needed_k: float) -> str:
    """Return that the surface is too close to the dew point; 2.96 of 3.0 °C must not read as if it were enough."""
    close = _(", a little less than the {needed} that a coat needs.")
    plain = _("; a coat needs {needed} above it.")
    said = close if round(margin_k, 1) == round(needed_k, 1) else plain
    return margin_told(margin_k, dew_c) + said.format(needed=warmth(needed_k))


def hindrances_told(fitness: Fitness) -> tuple[str, ...]:
    """Return why not, a sentence each; empty where it is fit."""
    limits = fitness.limits
    found = []
    for hindrance in fitness.hindrances:
        if hindrance is Hindrance.DEW_POINT:
            found.append(short_margin_told(fitness.margin_k, fitness.dew_c, limits.margin_k))
        elif hindrance is Hindrance.AIR:
            told = _("The air is {value}; it must be {span}.")
            found.append(told.format(value=temperature(fitness.air_c), span=_degrees_told(limits.air_c)))
        elif hindrance is Hindrance.SURFACE:
            told = _("The surface is {value}; it must be {span}.")
            found.append(told.format(value=temperature(fitness.surface_c), span=_degrees_told(limits.surface_c)))
        else:
            told = _("Humidity is {value}; it must be {span}.")
            found.append(told.format(value=percent(fitness.rh_percent, 1), span=_percents_told(limits.rh_percent)))
    return tuple(found)


def advice_told(fitness: Fitness) -> str:
    """Return what would make it fit: "Warm the panel by 2.4 °C, or dry the air to 61 %."; empty where it is fit."""
    if fitness.fit:
        return ""
    told = _(", or ").join(_remedy_told(fitness, remedy) for remedy in fitness.remedies())
    return capital(told) + "." if told else _("No change of air or panel is enough: the limits cannot all be kept.")


def _remedy_told(now: Fitness, remedy: Remedy) -> str:
    parts = []
    air, surface, rh = remedy.air_to_c, remedy.surface_by_k, remedy.rh_to_percent
    if air is not None:
        warm = _("warm the air to {value}") if air > now.air_c else _("cool the air to {value}")
        parts.append(warm.format(value=temperature(air)))
    if rh is not None:
        before = now.after(Remedy(air_to_c=air)).rh_percent
        dry = _("dry the air to {value}") if rh < before else _("moisten the air to {value}")
        parts.append(dry.format(value=f"{short_figure(rh)} %"))
    if surface is not None:
        warm = _("warm the panel by {value}") if surface > 0 else _("let the panel cool by {value}")
        parts.append(warm.format(value=warmth(abs(surface))))
    return _(" and ").join(parts)


def _degrees_told(span: Span | None) -> str:
    assert span
    return span_text(By.TEMPERATURE, *span)


def _percents_told(span: Span | None) -> str:
    assert span
    return span_text(By.HUMIDITY, *span)
