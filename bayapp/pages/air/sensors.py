"""The sensors page: the values of each, what is wrong with it, whether it is used today."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind
from bayapp.files.shop.sensor_settings import Quantity
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.text.naming import capital
from bayapp.pages.air.contradiction_words import contradiction
from bayapp.sensing.judge import SensorHealth
from bayapp.sensing.watch import SensorWatch, Trouble
from bayapp.text.figures import clock_time, percent, temperature
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class SensorLine:
    """One sensor on the page; ``used``: its readings count."""

    id: str
    title: str
    says: str
    used: bool


def sensor_lines(
    watch: SensorWatch,
    troubles: Collection[Trouble],
    apart: Collection[Contradiction],
    unused: Collection[str],
    tz: tzinfo,
) -> tuple[SensorLine, ...]:
    """Return every sensor with its values or what is wrong with it."""
    wrong = {said.id: contradiction(one) for one in apart for said in (one.first, one.second)}
    wrong |= {trouble.sensor.id: sentence(trouble, tz) for trouble in troubles}
    found = []
    for sensor in watch.sensors.values():
        if sensor.id in unused:
            says = _("not used today; touch to use it again")
        elif sensor.id in wrong:
            says = wrong[sensor.id]
        else:
            says = _values(watch, sensor.id, tz)
        found.append(SensorLine(sensor.id, capital(sensor.name), says, sensor.id not in unused))
    return tuple(found)


def sentence(trouble: Trouble, tz: tzinfo) -> str:
    """Return what is wrong with a sensor and what to do."""
    facts = {
        "name": trouble.sensor.name,
        "time": clock_time(trouble.since, tz, seconds=False),
        "value": _value(trouble.quantity, trouble.value),
        "typed": _value(trouble.quantity, trouble.typed),
        "said": trouble.machine_text,
    }
    if trouble.health is SensorHealth.GOOD:
        said = _("The {name} says {value}, your meter said {typed}: one of them is wrong. Not trusted? More, Sensors.")
    elif trouble.health is SensorHealth.SILENT:
        said = _silence(trouble)
    elif trouble.health is SensorHealth.STUCK:
        said = _("The {name} has said {value} without moving since {time}: it seems stuck. Type a reading.")
    elif trouble.health is SensorHealth.JUMPED:
        said = _("The {name} jumps to {value}, faster than air can change. It is not used; type a reading.")
    elif trouble.health is SensorHealth.AHEAD:
        said = _("The clock of the {name} is ahead of this one. It is not used; set its clock, or type a reading.")
    elif trouble.health is SensorHealth.TOO_OLD:
        said = _("The {name} sends only readings older than 30 minutes. They are not used; type a reading.")
    else:
        said = _("The {name} says {value}, which cannot be. It is not used; look at its cable, and type a reading.")
    return said.format(**facts)


def _silence(trouble: Trouble) -> str:
    if not trouble.ever_good:
        return _("The {name} has said nothing yet; look at its cable and power, and type a reading.")
    return _("The {name} has said nothing since {time}; type a reading.")


def contradictions_of(apart: Collection[Contradiction]) -> tuple[Condition, ...]:
    """Return the contradictions of sensors as conditions that raise alerts."""
    return tuple(
        Condition(AlertKind.ATTENTION, "/".join(("sensors", *a.pair)), "sensors", contradiction(a).rstrip("."), a.since)
        for a in apart
    )


def conditions_of(troubles: Collection[Trouble], tz: tzinfo) -> tuple[Condition, ...]:
    """Return the troubles as conditions that raise alerts; the subject names the kind of trouble."""
    return tuple(
        Condition(
            AlertKind.ATTENTION, f"sensor/{t.sensor.id}/{t.health}", "sensors", sentence(t, tz).rstrip("."), t.since
        )
        for t in troubles
    )


def tomorrow(at: datetime, tz: tzinfo) -> datetime:
    """Return the shop's next midnight, when a sensor not trusted today is used again."""
    day = at.astimezone(tz).date() + timedelta(days=1)
    return datetime(day.year, day.month, day.day, tzinfo=tz)


def _values(watch: SensorWatch, sensor: str, tz: tzinfo) -> str:
    last = watch.last(sensor)
    if not last:
        return _("has said nothing yet")
    said: Sequence[str] = [_value(q, last[q].value) for q in Quantity if q in last]
    time = clock_time(max(s.read_at for s in last.values()), tz, seconds=False)
    return _("{values} at {time}").format(values=", ".join(said), time=time)


def _value(quantity: Quantity | None, value: float | None) -> str:
    if value is None:
        return "–"
    return percent(value) if quantity is Quantity.HUMIDITY else temperature(value)
