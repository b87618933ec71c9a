"""What an air comes to, in sentences for people: right for coating or not, why, and what would make it so."""

from bayapp.air import Fitness, Hindrance, ImpossibleAirError, Remedy
from bayapp.air.fitness import Span
from bayapp.job.model.wait_tables import By
from bayapp.job.text.naming import capital, span_text
from bayapp.text.figures import percent, short_figure, temperature, warmth
from bayapp.text.language import _


def impossible_text(error: ImpossibleAirError) -> str:
    """Return why a reading cannot be, and between what it can."""
    sentences = {
        "rh_percent": _("relative humidity is {value:g} %; it must be more than 0 and at most 100"),
        "air_c": _("the air's temperature is {value:g} °C; it must be between -100 and 200"),
        "surface_c": _("the surface's temperature is {value:g} °C; it must be between -100 and 200"),
    }
    return sentences[error.quantity].format(value=error.value)


def dew_point_text(dew_c: float) -> str:
    """Return what a person calls the temperature at which water settles: "dew point of 9.3 °C"; frost below 0 °C."""
    if dew_c < 0:
        return _("frost point of {value}").format(value=temperature(dew_c))
    return _("dew point of {value}").format(value=temperature(dew_c))


def margin_text(surface_margin_k: float, dew_c: float) -> str:
    """Return where the surface stands: "The surface is 10.7 °C above the dew point of 9.3 °C"; without a full stop."""
    point, margin = dew_point_text(dew_c), round(surface_margin_k, 1)
    if margin > 0:
        return _("The surface is {margin} above the {point}").format(margin=warmth(margin), point=point)
    if margin == 0:
        return _("The surface is at the {point}").format(point=point)
    return _("The surface is {margin} below the {point}").format(margin=warmth(-margin), point=point)


def short_margin_text(margin_k: float, dew_c: float, needed_k: float) -> str:
    """Return that the surface is too close to the dew point; 2.96 of 3.0 °C must not read as if it were enough."""
    close = _(", a little less than the {needed} that a coat needs.")
    plain = _("; a coat needs {needed} above it.")
    said = close if round(margin_k, 1) == round(needed_k, 1) else plain
    return margin_text(margin_k, dew_c) + said.format(needed=warmth(needed_k))


def hindrance_texts(fitness: Fitness) -> tuple[str, ...]:
    """Return why not, a sentence each; empty where it is fit."""
    limits = fitness.limits
    found = []
    for hindrance in fitness.hindrances:
        if hindrance is Hindrance.DEW_POINT:
            found.append(short_margin_text(fitness.margin_k, fitness.dew_c, limits.margin_k))
        elif hindrance is Hindrance.AIR:
            words = _("The air is {value}; it must be {span}.")
            found.append(words.format(value=temperature(fitness.air_c), span=_degrees_text(limits.air_c)))
        elif hindrance is Hindrance.SURFACE:
            words = _("The surface is {value}; it must be {span}.")
            found.append(words.format(value=temperature(fitness.surface_c), span=_degrees_text(limits.surface_c)))
        else:
            words = _("Humidity is {value}; it must be {span}.")
            found.append(words.format(value=percent(fitness.rh_percent, 1), span=_percents_text(limits.rh_percent)))
    return tuple(found)


def advice_text(fitness: Fitness) -> str:
    """Return what would make it fit: "Warm the panel by 2.4 °C, or dry the air to 61 %."; empty where it is fit."""
    if fitness.fit:
        return ""
    remedies = _(", or ").join(_remedy_text(fitness, remedy) for remedy in fitness.remedies())
    return (
        capital(remedies) + "."
        if remedies
        else _("No change of air or panel is enough: the limits cannot all be kept.")
    )


def _remedy_text(now: Fitness, remedy: Remedy) -> str:
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


def _degrees_text(span: Span | None) -> str:
    assert span, "what is not limited hinders nothing"
    return span_text(By.TEMPERATURE, *span)


def _percents_text(span: Span | None) -> str:
    assert span, "what is not limited hinders nothing"
    return span_text(By.HUMIDITY, *span)
