"""Records the readings of the sensors, and lets a person choose which ones not to trust."""

import logging
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol

from PySide6.QtCore import QObject, QTimer, Signal

from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.job import ReadAir
from bayapp.job.model.ids import PlaceId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.events import AirRead
from bayapp.pages.air.sensors import conditions_of, contradictions_of, sensor_lines, tomorrow
from bayapp.pages.selection import Selection
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.sensing.iio import IioSource
from bayapp.sensing.inbox import Inbox
from bayapp.sensing.message import OnMessage, SensorMessage
from bayapp.sensing.mqtt import MqttSource
from bayapp.sensing.watch import SensorWatch, Trouble
from bayapp.text.language import _

LOG = logging.getLogger("bayapp")
POLL_MS = 1_000
MOST_WAITING = 1_000


@dataclass(frozen=True, slots=True)
class Trust:
    """The request of a touch on a sensor: to use it again, or not to use it today."""

    sensor: str
    use: bool


class SensorSource(Protocol):
    """Where a sensor's numbers come from."""

    def start(self) -> None:
        """Begin to listen."""

    def stop(self) -> None:
        """Listen no more."""


def source_of(sensor: SensorSettings, on_message: OnMessage) -> SensorSource:
    """Return the source for a sensor."""
    return IioSource(sensor, on_message) if sensor.kind == "iio" else MqttSource(sensor, on_message)


class SensorsController(QObject):
    """Polls the sensors' messages and records what is news; call ``begin`` once the board stands.

    Readings that cannot be recorded now, because the store fails or a person must settle the clock, are kept and
    recorded later with their own time.

    Signals:
        changed: what is wrong with the sensors has changed, or a reading was recorded.
    """

    changed = Signal()

    def __init__(self, selection: Selection, sensors: Sequence[SensorSettings], parent: QObject) -> None:
        super().__init__(parent)
        self._bay, self._selection = selection.bay, selection
        bay = self._bay
        self._inbox = Inbox()
        self.watch = SensorWatch(sensors, bay.now())
        self.watch.near = self._near
        self._sources = [source_of(sensor, self.hear) for sensor in sensors]
        self._waiting: list[ReadAir] = []
        self.troubles: tuple[Trouble, ...] = ()
        self._timer = QTimer(self)
        self._timer.setInterval(POLL_MS)
        self._timer.timeout.connect(self.poll)

    def begin(self) -> None:
        """Listen from now on."""
        for source in self._sources:
            source.start()
        self._timer.start()

    def stop(self) -> None:
        """Listen no more."""
        self._timer.stop()
        for source in self._sources:
            source.stop()

    def hear(self, message: SensorMessage) -> None:
        """Keep what a source says, in whatever thread, until it is taken in."""
        self._inbox.put(message)

    def poll(self) -> None:
        """Take in the new messages, record what is news, and report what is wrong."""
        at = self._bay.now()
        for message in self._inbox.take():
            self.watch.receive(message, at)
        unused = self._bay.sensors.unused(at)
        late = self.watch.late(self._bay.state.readings, at, unused)
        self._tell_troubles(at)
        self._record([*self._waiting, *late], at)
        for air, sensors in self._by_air().items():
            known = [r for r in self._bay.state.readings if r.place in air]
            elsewhere = unused | (self.watch.sensors.keys() - sensors)
            now = self.watch.reading(self._with_waiting(known, at, air), at, elsewhere)
            if now:
                stands = self._bay.state.places.sensors.get(now.source.partition("+")[0])
                self._record([*self._waiting, replace(now, place=stands)], at)

    def _by_air(self) -> dict[tuple[PlaceId | None, ...], set[str]]:
        """Return the sensors by the places that share their air; those of which nobody said where they stand by None.

        In one air the first healthy sensor counts, as in a shop whose bays have no names.
        """
        places, found = self._bay.state.places, dict[tuple[PlaceId | None, ...], set[str]]()
        for sensor in self.watch.sensors:
            stands = places.sensors.get(sensor)
            air = (stands,) if stands in (None, OUTSIDE) else tuple(bay.id for bay in places.around(stands))
            found.setdefault(air, set()).add(sensor)
        return found

    def _near(self, sensor: str, reading: AirRead) -> bool:
        places = self._bay.state.places
        return places.same_air(places.sensors.get(sensor), reading.place)

    def _with_waiting(
        self, readings: Sequence[AirRead], at: datetime, air: tuple[PlaceId | None, ...]
    ) -> Sequence[AirRead]:
        """Return the readings with the last one waiting to be recorded, so that it does not count as news twice."""
        waiting = [asked for asked in self._waiting if asked.place in air]
        if not waiting:
            return readings
        last = waiting[-1]
        values = {"air_c": last.air_c, "rh_percent": last.rh_percent, "surface_c": last.surface_c}
        return (
            *readings,
            AirRead.model_validate({"at": last.read_at or at, "source": last.source, "place": last.place, **values}),
        )

    def _record(self, asked: Sequence[ReadAir], at: datetime) -> None:
        self._waiting = []
        for number, one in enumerate(asked):
            try:
                verdict = self._bay.request(one)
            except StoreProblem as trouble:
                self._keep(asked[number:], at)
                raise BackgroundWriteFailed(trouble.what, trouble.where, trouble.remedy) from trouble
            if verdict.refusal and self._bay.clock_watch.unsure:
                self._keep(asked[number:], at)
                return
            if verdict.refusal:
                LOG.warning("a reading of sensor %s was refused: %s", one.source, verdict.refusal)
        if asked:
            self.changed.emit()

    def _keep(self, asked: Sequence[ReadAir], at: datetime) -> None:
        kept = [one if one.read_at else replace(one, read_at=at) for one in asked]
        self._waiting = kept[-MOST_WAITING:]

    def _tell_troubles(self, at: datetime) -> None:
        unused = self._bay.sensors.unused(at)
        readings = self._bay.state.readings
        self.troubles = self.watch.troubles(readings, at, unused)
        places = self._bay.state.places
        stands = places.sensors.get
        apart = tuple(
            c
            for c in self.watch.contradictions(readings, at, unused)
            if places.same_air(stands(c.first.id), stands(c.second.id))
        )
        conditions = (*conditions_of(self.troubles, self._selection.tz), *contradictions_of(apart))
        if self._bay.sensors.take(conditions, apart):
            self.changed.emit()

    # The page.

    def open(self, show: Show) -> None:
        """Show every sensor; a touch takes it out of use for today, or into use again."""
        at = self._bay.now()
        unused = self._bay.sensors.unused(at)
        lines = sensor_lines(self.watch, self.troubles, self._bay.sensors.contradictions, unused, self._selection.tz)
        entries = [
            Entry(Trust(line.id, use=not line.used), line.title, line.says, glyph="air", chosen=line.used)
            for line in lines
        ]
        title, subtitle = _("Sensors"), _("Touch one that is not to be used today; touch it again to use it.")

        def chosen(trust: Trust) -> None:
            self.trust(trust)
            self.open(show)

        show(title, subtitle, entries, chosen, ())

    def trust(self, trust: Trust) -> None:
        """Do what the button shows, also if midnight has passed since it was painted."""
        at = self._bay.now()
        self._bay.sensors.trust(trust.sensor, at if trust.use else tomorrow(at, self._selection.tz), self._selection.by)
        self._tell_troubles(at)
