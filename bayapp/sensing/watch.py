"""Watches all sensors together: judges their samples, joins them into readings, reports what is wrong."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.job import ReadAir
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.state.events import AirRead
from bayapp.sensing.contradictions import Pair, contradictions, lasting, values_of
from bayapp.sensing.iio import quantities
from bayapp.sensing.judge import Channel, Rules, Sample, SampleQuality, SensorHealth, health, moved, take_sample
from bayapp.sensing.message import SensorMessage

EVERY = timedelta(minutes=10)
NOT_OFTENER = timedelta(minutes=1)
TOGETHER = timedelta(seconds=60)
SURFACE_HOLDS = timedelta(minutes=30)
NEWS = {Quantity.AIR: 0.2, Quantity.HUMIDITY: 1.0, Quantity.SURFACE: 0.2}
MUCH = {Quantity.AIR: 1.0, Quantity.HUMIDITY: 5.0, Quantity.SURFACE: 1.0}
DISAGREE = {Quantity.AIR: 3.0, Quantity.HUMIDITY: 12.0, Quantity.SURFACE: 3.0}
ROUNDING = 1e-9
PATIENCE = {
    SensorHealth.ABSURD: timedelta(minutes=1),
    SensorHealth.AHEAD: timedelta(minutes=1),
    SensorHealth.TOO_OLD: timedelta(minutes=1),
    SensorHealth.JUMPED: timedelta(minutes=3),
}
"""How long a fault must last before it is reported: one garbled number alarms nobody."""

Key = tuple[str, Quantity]


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with a sensor.

    Attributes:
        quantity: of which of its quantities.
        value: its last value, good or not.
        machine_text: the machine's own words for it; empty where it said nothing.
        typed: what a person measured, where the sensor disagrees with it; ``health`` is then GOOD.
        ever_good: whether a good sample has come since the program started.
    """

    sensor: SensorSettings
    health: SensorHealth
    quantity: Quantity | None
    since: datetime
    value: float | None = None
    machine_text: str = ""
    typed: float | None = None
    ever_good: bool = True


class SensorWatch:
    """Everything that the sensors have sent since the program started, and what follows from it.

    Attributes:
        near: whether a reading is one of the air in which a sensor stands.
    """

    def __init__(self, sensors: Sequence[SensorSettings], since: datetime) -> None:
        self.sensors = {sensor.id: sensor for sensor in sensors}
        self._rules = {s.id: rules_of(s) for s in sensors}
        self._channels: dict[Key, Channel] = {
            (s.id, quantity): Channel(quantity, since) for s in sensors for quantity in _quantities(s)
        }
        self._machine_text: dict[str, str] = {}
        self._late: list[Sample] = []
        self._bad_since: dict[tuple[str, SensorHealth], datetime] = {}
        self._moved: dict[Key, tuple[Sample, datetime]] = {}
        self._differ_since: dict[Pair, datetime] = {}
        self.near: Callable[[str, AirRead], bool] = lambda sensor, reading: True

    def receive(self, message: SensorMessage, at: datetime) -> None:
        """Take in a message that arrived at ``at``."""
        if message.quantity is None:
            self._machine_text[message.sensor] = message.trouble
            return
        key = (message.sensor, message.quantity)
        channel = self._channels.get(key)
        if channel is None:
            return
        sample = Sample(message.sensor, message.quantity, message.value, message.read_at or at, at)
        self._channels[key], quality = take_sample(channel, sample, self._rules[message.sensor])
        if quality in (SampleQuality.GOOD, SampleQuality.LATE):
            self._machine_text.pop(message.sensor, None)
            self._note_move(key, sample)
        if quality is SampleQuality.LATE:
            self._late.append(sample)

    def health(self, key: Key, at: datetime) -> SensorHealth:
        """Return the health of one sensor for one quantity."""
        return health(self._channels[key], at, self._rules[key[0]], self._others_moved(key))

    def last(self, sensor: str) -> dict[Quantity, Sample]:
        """Return the latest good samples of a sensor."""
        return {q: c.good for (name, q), c in self._channels.items() if name == sensor and c.good}

    def keys(self) -> tuple[Key, ...]:
        """Return every sensor with each of its quantities."""
        return tuple(self._channels)

    def reading(self, readings: Sequence[AirRead], at: datetime, unused: Collection[str] = ()) -> ReadAir | None:
        """Return the reading that the sensors give now, if it is news; of several sensors the first healthy one counts.

        A surface temperature typed by a person stays in the readings for as long as a reading holds: without it, a
        panel colder than the air would count as being as warm as the air.
        """
        chosen = self._chosen(at, unused)
        if Quantity.AIR not in chosen or Quantity.HUMIDITY not in chosen:
            return None
        values = {quantity: sample.value for quantity, sample in chosen.items()}
        surface = values.get(Quantity.SURFACE, _typed_surface(readings, at))
        asked = _request(values, surface, chosen.values(), at)
        last = readings[-1] if readings else None
        return asked if _is_news(asked, last, at) else None

    def late(self, readings: Sequence[AirRead], at: datetime, unused: Collection[str] = ()) -> tuple[ReadAir, ...]:
        """Return readings that arrived late; what such a sample lacks comes from the reading that held at its time.

        Of each sensor at most one a minute, the last, as readings that come in time are recorded.
        """
        late, self._late = self._late, []
        groups: dict[tuple[str, datetime], dict[Quantity, float]] = {}
        for sample in late:
            if sample.sensor not in unused:
                groups.setdefault((sample.sensor, sample.read_at), {})[sample.quantity] = sample.value
        one_a_minute = {(name, _minute(moment)): (name, moment) for name, moment in sorted(groups, key=_moment_of)}
        known = {(reading.source, _minute(reading.measured_at)) for reading in readings} if groups else set()
        found = []
        for minute, (name, moment) in one_a_minute.items():
            if minute not in known:
                near = [r for r in readings if self.near(name, r)]
                found.append(_past(name, moment, groups[name, moment], near))
        return tuple(asked for asked in found if asked)

    def troubles(self, readings: Sequence[AirRead], at: datetime, unused: Collection[str] = ()) -> tuple[Trouble, ...]:
        """Return what is wrong with the sensors in use, at most one trouble each, in the order of the settings."""
        found = []
        for sensor in self.sensors.values():
            if sensor.id in unused:
                continue
            trouble = self._fault(sensor, at) or self._disproved(sensor, readings, at)
            if trouble:
                found.append(trouble)
        now = {(t.sensor.id, t.health) for t in found}
        self._bad_since = {key: since for key, since in self._bad_since.items() if key in now}
        return tuple(t for t in found if at - t.since >= PATIENCE.get(t.health, timedelta()))

    def contradictions(
        self, readings: Sequence[AirRead], at: datetime, unused: Collection[str] = ()
    ) -> tuple[Contradiction, ...]:
        """Return which sensors in use contradict each other, without those that a person's own reading proves wrong."""
        fit = [s for s in self.sensors.values() if s.id not in unused and not self._disproved(s, readings, at)]
        found = contradictions([values_of(s, self._believed(s.id, at)) for s in fit], self._differ_since, at)
        self._differ_since = {one.pair: one.since for one in found}
        return lasting(found, at)

    def _believed(self, sensor: str, at: datetime) -> dict[Quantity, float]:
        """Return the values of a sensor that may be believed now."""
        good = {key: self._channels[key].good for key in self._channels if self.health(key, at) is SensorHealth.GOOD}
        return {quantity: sample.value for (name, quantity), sample in good.items() if name == sensor and sample}

    def _fault(self, sensor: SensorSettings, at: datetime) -> Trouble | None:
        for key, channel in self._channels.items():
            state = self.health(key, at) if key[0] == sensor.id else SensorHealth.GOOD
            if state in (SensorHealth.GOOD, SensorHealth.UNHEARD):
                continue
            since = self._bad_since.setdefault((sensor.id, state), at)
            if state is SensorHealth.SILENT:
                since = channel.last_good_at
            if state is SensorHealth.STUCK and channel.same_since:
                since = channel.same_since
            value = channel.last.value if channel.last else None
            machine_text = self._machine_text.get(sensor.id, "")
            return Trouble(sensor, state, key[1], since, value, machine_text, ever_good=channel.good is not None)
        return None

    def _disproved(self, sensor: SensorSettings, readings: Sequence[AirRead], at: datetime) -> Trouble | None:
        """Return the trouble of a sensor that is far from what a person measured at about the same time."""
        typed = next((r for r in reversed(readings) if not r.source and self.near(sensor.id, r)), None)
        if typed is None or at - typed.measured_at > SURFACE_HOLDS:
            return None
        for quantity, sample in self.last(sensor.id).items():
            read = getattr(typed, quantity.value)
            near = sample.read_at >= typed.measured_at - timedelta(seconds=sensor.silent_minutes * 60)
            if near and read is not None and abs(read - sample.value) > DISAGREE[quantity]:
                since = self._bad_since.setdefault((sensor.id, SensorHealth.GOOD), at)
                return Trouble(sensor, SensorHealth.GOOD, quantity, since, sample.value, typed=read)
        return None

    def _chosen(self, at: datetime, unused: Collection[str]) -> dict[Quantity, Sample]:
        chosen: dict[Quantity, Sample] = {}
        for key, channel in self._channels.items():
            name, quantity = key
            if name in unused or quantity in chosen or channel.good is None:
                continue
            if self.health(key, at) is SensorHealth.GOOD:
                chosen[quantity] = channel.good
        return chosen

    def _note_move(self, key: Key, sample: Sample) -> None:
        before = self._moved.get(key)
        if before is None or moved(before[0], sample):
            self._moved[key] = (sample, sample.read_at)

    def _others_moved(self, key: Key) -> bool:
        since = self._channels[key].same_since
        if since is None:
            return False
        return any(when > since for other, (_, when) in self._moved.items() if other != key)


def rules_of(sensor: SensorSettings) -> Rules:
    """Return the limits that a sensor is judged by."""
    silent, stuck = timedelta(minutes=sensor.silent_minutes), timedelta(minutes=sensor.stuck_minutes)
    return Rules(silent, stuck, sensor.possible_c)


def _quantities(sensor: SensorSettings) -> tuple[Quantity, ...]:
    if sensor.kind == "iio":
        return quantities(sensor)
    return tuple(dict.fromkeys(topic.gives for topic in sensor.topic))


def _typed_surface(readings: Sequence[AirRead], at: datetime) -> float | None:
    for reading in reversed(readings):
        if at - reading.measured_at > SURFACE_HOLDS:
            return None
        if not reading.source:
            return reading.surface_c
    return None


def _request(
    values: Mapping[Quantity, float], surface: float | None, parts: Collection[Sample], at: datetime
) -> ReadAir:
    """Return one reading made of several samples, dated by the latest of them."""
    read_at = min(at, max(sample.read_at for sample in parts))
    source = "+".join(dict.fromkeys(sample.sensor for sample in parts))
    dated = read_at if at - read_at > TOGETHER else None
    return ReadAir(values[Quantity.AIR], values[Quantity.HUMIDITY], surface, read_at=dated, source=source)


def _is_news(asked: ReadAir, last: AirRead | None, at: datetime) -> bool:
    if last is None:
        return True
    if asked.read_at is not None and asked.read_at <= last.measured_at:
        return False
    age = at - last.measured_at
    if age >= EVERY:
        return True
    if last.source == "" or (asked.surface_c is None) is not (last.surface_c is None):
        return age >= NOT_OFTENER or _apart(asked, last, MUCH)
    return _apart(asked, last, MUCH) or (age >= NOT_OFTENER and _apart(asked, last, NEWS))


def _apart(asked: ReadAir, last: AirRead, by: Mapping[Quantity, float]) -> bool:
    for quantity, least in by.items():
        now, before = getattr(asked, quantity.value), getattr(last, quantity.value)
        if now is not None and before is not None and abs(now - before) >= least - ROUNDING:
            return True
    return False


def _moment_of(group: tuple[str, datetime]) -> datetime:
    return group[1]


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0)


def _past(
    sensor: str, moment: datetime, values: Mapping[Quantity, float], readings: Sequence[AirRead]
) -> ReadAir | None:
    held = next((r for r in reversed(readings) if r.measured_at <= moment), None)
    if held is None and not {Quantity.AIR, Quantity.HUMIDITY} <= values.keys():
        return None
    if held and held.source == sensor and held.measured_at == moment:
        return None
    then = {q: getattr(held, q.value) for q in Quantity} if held else {}
    whole = {**then, **values}
    asked = ReadAir(whole[Quantity.AIR], whole[Quantity.HUMIDITY], whole.get(Quantity.SURFACE), read_at=moment)
    return replace(asked, source=sensor)
