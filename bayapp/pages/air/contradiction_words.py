"""Sentences about two sensors of the air that contradict each other."""

from bayapp.job.state.contradiction import HUMIDITY, Contradiction
from bayapp.text.figures import percent, temperature
from bayapp.text.language import _


def contradiction(found: Contradiction) -> str:
    """Return which two contradict each other, their values and what to do."""
    said = _("The {first} says {value}, the {second} {other}: one is wrong. Type a reading.")
    return said.format(**_both(found))


def short_contradiction(found: Contradiction) -> str:
    """Return the same in short, to stand beside the air."""
    return _("Sensors differ: {first} {value}, {second} {other}.").format(**_both(found))


def said_by_both(found: Contradiction) -> str:
    """Return the two values alone, the lower first."""
    return _("{low} or {high}").format(low=_value(found, min(found.values)), high=_value(found, max(found.values)))


def _both(found: Contradiction) -> dict[str, str]:
    value, other = found.values
    names = {"first": found.first.name, "second": found.second.name}
    return {**names, "value": _value(found, value), "other": _value(found, other)}


def _value(found: Contradiction, value: float) -> str:
    return percent(value) if found.quantity == HUMIDITY else temperature(value)
