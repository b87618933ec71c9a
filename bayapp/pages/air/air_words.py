"""Texts about waits that depend on the air: the base value, the adjusted wait, what is unknown."""

from datetime import timedelta

from bayapp.job import Recipe, ZoneClock
from bayapp.job.model.ids import StepId, Urgency, ZoneId
from bayapp.job.model.wait_tables import By
from bayapp.job.state.state import JobState
from bayapp.job.text.naming import left_text, value_text
from bayapp.job.waits.ripening_waits import Ripening, WaitEdge, edges_of, now_of
from bayapp.text.language import _

NO_TIME = "–:––"


def ripening_text(ripening: Ripening) -> str:
    """Return base and adjusted wait: "5:00 at 20 °C, here 7:10 at 12 °C"; a rule of thumb is said to be one."""
    base = _("{wait} at {value}").format(wait=left_text(ripening.base), value=value_text(ripening.by, ripening.base_at))
    if ripening.latest:
        base = _("latest {base}").format(base=base)
    if ripening.value is None:
        return _("{base}; read the air").format(base=base)
    value = value_text(ripening.by, ripening.value)
    if ripening.here is None:
        return _("{base}; not timed at {value}").format(base=base, value=value)
    sentence = (
        _("{base}, by rule of thumb {wait} at {value}") if ripening.thumb else _("{base}, here {wait} at {value}")
    )
    return sentence.format(base=base, wait=left_text(ripening.here), value=value)


def clock_air_text(clock: ZoneClock, short: bool = False) -> str:
    """Return base and adjusted wait of a running clock that depends on the air, else nothing; ``short``: no base."""
    runs = clock.urgency in (Urgency.WAITING, Urgency.OPEN, Urgency.CLOSING)
    if clock.ripening is None or not runs:
        return ""
    return _adjusted(clock.ripening) if short else ripening_text(clock.ripening)


def _adjusted(ripening: Ripening) -> str:
    if ripening.value is None:
        return _("read the air")
    value = value_text(ripening.by, ripening.value)
    if ripening.here is None:
        return _("not timed at {value}").format(value=value)
    return _("{wait} at {value}").format(wait=left_text(ripening.here), value=value)


def careful_note(clock: ZoneClock) -> str:
    """Return a note if the latest moment is given early to be safe, because the air was unknown; else nothing."""
    if clock.ripening is None or not clock.ripening.air_was_unknown or clock.lapses_at is None:
        return ""
    return _("The air was not known for some time; the latest moment counts that as the air that leaves the least.")


def not_timed(clock: ZoneClock) -> str:
    """Return why a wait cannot be timed now: what to do, or what is wrong with the air; empty if it can."""
    ripening = clock.ripening
    if clock.urgency is not Urgency.WAITING or clock.opens_at or ripening is None:
        return ""
    if ripening.value is None:
        return _("read the air")
    low = ripening.value < ripening.low
    if ripening.by is By.TEMPERATURE:
        return _("too cold to time") if low else _("too warm to time")
    return _("too dry to time") if low else _("too damp to time")


def present_wait_text(state: JobState, zone: ZoneId, recipe: Recipe, place: int) -> str:
    """Return the wait before a step in the present air: "here 6:30 to 50:00"; else nothing."""
    wait = recipe.step[place].wait
    after = StepId((wait and wait.after) or recipe.step[max(0, place - 1)].id)
    edges = edges_of(state.job, zone, after, wait) if wait else None
    if wait is None or edges is None:
        return ""
    least, most = _now(state, edges.earliest, wait.earliest), _now(state, edges.latest, wait.latest)
    if (edges.earliest and least is None) or (edges.latest and most is None):
        return ""
    thumb = any(edge and edge.thumb for edge in (edges.earliest, edges.latest))
    shown = [left_text(moment) for moment in (least or None, most) if moment is not None]
    span = shown[0] if len(shown) == 1 else _("{least} to {most}").format(least=shown[0], most=shown[1])
    return (_("by rule of thumb {span} here") if thumb else _("here {span}")).format(span=span)


def _now(state: JobState, edge: WaitEdge | None, plain: timedelta | None) -> timedelta | None:
    return now_of(edge, state.readings[-1] if state.readings else None) if edge else plain
