"""Sensors unplugged, stuck, lying and late in the midst of a running clock: nothing lost, nothing opened early.

The sensor is a real folder of industrial I/O as Linux shows it; the wait ripens by a table of 10, 20 and 30 °C.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bayapp.files.shop.sensor_settings import Quantity
from bayapp.job import SetUpPlaces, gate
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.events import AirRead
from bayapp.pages.air.air_day import air_page
from bayapp.report.facts.content import day_record
from bayapp.screen.air.sensors_controller import SensorsController, Trust
from bayapp.sensing.iio import NoDeviceError, read_device
from bayapp.sensing.message import SensorMessage
from tests.job.builders import START, finish, job, start, two_step
from tests.job.gate.places import BAY_1, BAY_2, BAYS, DIVIDED
from tests.pages.bays import HandBay
from tests.screen.walls import Walled, walled
from tests.sensing.sysfs import Device

TABLES = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [30, 20]]}
CAR, ROOF = JobId("car"), ZoneId("roof")


class SensedWall:
    """A wall with a sensor that is asked by hand: what its thread would do every few seconds."""

    def __init__(self, hand: HandBay, wall: Walled, device: Device, **more: object) -> None:
        self.hand, self.wall, self.device = hand, wall, device
        self.settings = device.settings(**more)
        self.controller = SensorsController(wall.wall.selection, [self.settings], wall.wall)

    def ask(self, minutes: float = 0.0, every: float = 0.25) -> None:
        """Let time pass, and the sensor be asked every so many minutes."""
        end = self.hand.bay.now() + timedelta(minutes=minutes)
        while True:
            self._ask_once()
            if self.hand.bay.now() >= end:
                return
            self.hand.wait(every * 60)

    def _ask_once(self) -> None:
        try:
            values = read_device(self.settings)
        except (NoDeviceError, OSError, ValueError) as trouble:
            self.controller.hear(SensorMessage("door", trouble=str(trouble)))
        else:
            for quantity, value in values.items():
                self.controller.hear(SensorMessage("door", quantity, value))
        self.controller.poll()

    def late(self, air_c: float, rh_percent: float, read_at: datetime) -> None:
        self.controller.hear(SensorMessage("door", Quantity.AIR, air_c, read_at))
        self.controller.hear(SensorMessage("door", Quantity.HUMIDITY, rh_percent, read_at))
        self.controller.poll()

    def coat(self) -> None:
        for request in (start("roof", "coat"), finish("roof", "coat")):
            assert self.hand.bay.request(request).accepted

    def opens_after(self) -> timedelta | None:
        """How long after its coat the roof opens, as far as is known now."""
        clock = self.hand.clock_of("roof", CAR)
        return None if clock.opens_at is None or clock.since is None else clock.opens_at - clock.since

    def may_level(self) -> bool:
        bay = self.hand.bay
        return gate(bay.state, start("roof", "level"), bay.now()).accepted

    def troubles(self) -> str:
        return " ".join(trouble.label for trouble in self.hand.bay.sensors.troubles)

    def readings(self) -> list[AirRead]:
        return [e for e in self.hand.journal.read() if isinstance(e, AirRead)]


@pytest.fixture
def device(tmp_path: Path) -> Device:
    return Device(tmp_path / "iio")


@contextmanager
def sensed(tmp_path: Path, device: Device, **more: object) -> Iterator[SensedWall]:
    hand = HandBay(tmp_path / "store", START)
    try:
        hand.bay.open_job(job((["roof"], two_step(TABLES))), START)
        with walled(hand) as wall:
            yield SensedWall(hand, wall, device, **more)
    finally:
        hand.journal.close()


def ripe_after(readings: list[AirRead], since: datetime) -> timedelta:
    """Return when a wait of 8, 5 and 3 minutes at 10, 20 and 30 °C is ripe: reckoned second by second, on its own."""
    share, at = 0.0, since
    while share < 1.0:
        air = [r.air_c for r in readings if r.measured_at <= at][-1]
        minutes = 8.0 - 0.3 * (air - 10) if air <= 20 else 5.0 - 0.2 * (air - 20)
        share += 1 / (minutes * 60)
        at += timedelta(seconds=1)
    return at - since


def test_a_wait_follows_the_sensor_through_falling_air(tmp_path: Path, device: Device):
    device.air(20.0, 50.0)
    with sensed(tmp_path, device) as bay:
        bay.ask()
        bay.coat()
        coated = bay.hand.bay.now()
        for step in range(8):
            device.air(20.0 - 0.5 * step, 50.0)
            bay.ask(0.5)
        assert len(bay.readings()) > 2
        opens, expected = bay.opens_after(), ripe_after(bay.readings(), coated)
        assert opens is not None
        assert opens > timedelta(minutes=5)
        assert abs(opens - expected) <= timedelta(seconds=2)
        bay.hand.go_to(coated + expected - timedelta(seconds=3))
        assert not bay.may_level()
        bay.hand.wait(6)
        assert bay.may_level()


def test_an_unplugged_sensor_is_reported_and_its_last_reading_holds(tmp_path: Path, device: Device):
    device.air(20.0, 50.0)
    with sensed(tmp_path, device) as bay:
        bay.ask()
        bay.coat()
        known = len(bay.readings())
        device.unplug()
        bay.ask(8.0)
        assert "air sensor by the door" in bay.troubles().lower()
        assert "type a reading" in bay.troubles().lower()
        assert len(bay.readings()) == known
        assert bay.opens_after() == timedelta(minutes=5)
        assert bay.may_level()
        device.plug_in()
        device.air(20.2, 50.0)
        bay.ask(1.0)
        assert bay.troubles() == ""


def test_with_no_reading_at_all_nothing_opens_and_the_board_says_what_it_does_not_know(tmp_path: Path, device: Device):
    with sensed(tmp_path, device) as bay:
        device.unplug()
        bay.coat()
        bay.ask(30.0, every=1.0)
        assert bay.opens_after() is None
        assert not bay.may_level()
        assert "air sensor by the door" in bay.troubles().lower()


def test_a_lying_sensor_opens_nothing_early(tmp_path: Path, device: Device):
    """It jumps to 60 °C, and then to a number no air has; the wait goes by the last that can have been."""
    device.air(20.0, 50.0)
    with sensed(tmp_path, device) as bay:
        bay.ask()
        bay.coat()
        device.air(60.0, 50.0)
        bay.ask(1.0)
        device.say(in_temp_input=999_000)
        bay.ask(3.0)
        assert not bay.may_level()
        assert max(reading.air_c for reading in bay.readings()) == 20.0
        assert "door" in bay.troubles().lower()


def test_a_stuck_sensor_is_reported_and_loses_nothing(tmp_path: Path, device: Device):
    device.air(20.0, 50.0)
    with sensed(tmp_path, device, stuck_minutes=5, silent_minutes=5) as bay:
        bay.ask()
        bay.coat()
        bay.ask(40.0, every=1.0)
        assert "stuck" in bay.troubles().lower()
        assert bay.opens_after() == timedelta(minutes=5)


def test_a_late_reading_re_times_the_wait_from_when_it_was_measured(tmp_path: Path, device: Device):
    """20 °C were known; from the first minute on it had been 18 °C, at which the wait takes 5.6 minutes."""
    device.air(20.0, 50.0)
    with sensed(tmp_path, device) as bay:
        bay.ask()
        bay.coat()
        coated = bay.hand.bay.now()
        bay.hand.wait(4 * 60)
        before = bay.opens_after()
        bay.late(18.0, 50.0, coated + timedelta(minutes=1))
        after = bay.opens_after()
        assert before == timedelta(minutes=5)
        assert after is not None
        assert abs(after - timedelta(minutes=1 + 0.8 * 5.6)) <= timedelta(milliseconds=2)
        assert bay.readings()[-1].measured_at == coated + timedelta(minutes=1)


def test_two_sensors_that_contradict_each_other_are_reported_until_one_is_not_trusted(tmp_path: Path, device: Device):
    other = Device(tmp_path / "iio", 1, "hall-air")
    device.air(20.0, 50.0)
    other.air(12.0, 90.0)
    with sensed(tmp_path, device) as bay:
        hall = other.settings(id="hall", name="hall sensor", device="hall-air")
        bay.controller = SensorsController(bay.wall.wall.selection, [bay.settings, hall], bay.wall.wall)
        for _minute in range(11):
            for sensor in (bay.settings, hall):
                for quantity, value in read_device(sensor).items():
                    bay.controller.hear(SensorMessage(sensor.id, quantity, value))
            bay.controller.poll()
            bay.hand.wait(60)
        for said in ("air sensor by the door says 20.0 °C", "hall sensor 12.0 °C", "one is wrong"):
            assert said in bay.troubles()
        view = air_page(bay.hand.bay.state, bay.hand.bay.now(), UTC, bay.hand.bay.sensors.contradictions)
        assert view.why.startswith("By the hall sensor")
        bay.controller.trust(Trust("hall", use=False))
        assert bay.troubles() == ""
        assert bay.hand.bay.sensors.contradictions == ()


def test_one_that_is_not_trusted_today_is_not_used(tmp_path: Path, device: Device):
    device.air(20.0, 50.0)
    with sensed(tmp_path, device) as bay:
        bay.ask()
        known = len(bay.readings())
        bay.controller.trust(Trust("door", use=False))
        device.air(24.0, 60.0)
        bay.ask(15.0, every=1.0)
        assert len(bay.readings()) == known
        bay.controller.trust(Trust("door", use=True))
        bay.ask(2.0)
        assert bay.readings()[-1].air_c == 24.0
        record = day_record(bay.hand.journal.read(), CAR, START.date(), bay.hand.bay.now(), UTC)
        (distrusted,) = record.distrusted
        assert (distrusted.sensor, distrusted.until - distrusted.at) == ("door", timedelta(minutes=15))


def test_readings_that_cannot_be_recorded_now_are_kept_with_their_own_time(tmp_path: Path, device: Device):
    device.air(20.0, 50.0)
    with sensed(tmp_path, device) as bay:
        bay.ask()
        known = len(bay.readings())
        bay.hand.doubt_the_time()
        device.air(22.0, 50.0)
        bay.ask(3.0)
        assert len(bay.readings()) == known
        bay.hand.settle_the_time()
        bay.ask(1.0)
        assert [r.air_c for r in bay.readings()][known] == 22.0


def test_each_bay_has_the_air_of_the_sensor_that_stands_there(tmp_path: Path):
    """Behind a curtain the second sensor is no spare of the first, and their difference is no contradiction."""
    hand = HandBay(tmp_path, START)
    hand.bay.open_job(job((["roof"], two_step({"min": 5}))))
    settings = [Device(tmp_path / name).settings(id=name, name=f"sensor at the {name}") for name in ("gate", "wall")]
    stands = {"gate": BAY_1, "wall": BAY_2}
    with walled(hand) as wall:
        controller = SensorsController(wall.wall.selection, settings, wall.wall)

        def hear(gate: float, wall_c: float) -> list[tuple[str, float, str | None]]:
            for name, air_c in (("gate", gate), ("wall", wall_c)):
                controller.hear(SensorMessage(name, Quantity.AIR, air_c))
                controller.hear(SensorMessage(name, Quantity.HUMIDITY, 50.0))
            before = len(hand.journal.read())
            controller.poll()
            news = [e for e in hand.journal.read()[before:] if isinstance(e, AirRead)]
            return [(e.source, e.air_c, e.place) for e in news]

        assert hear(20.0, 27.0) == [("gate", 20.0, None)], "without bays the first that is well counts"
        assert hand.bay.request(SetUpPlaces(DIVIDED, stands)).accepted
        hand.wait(90)
        assert hear(20.5, 27.0) == [("gate", 20.5, BAY_1), ("wall", 27.0, BAY_2)]
        hand.wait(90)
        assert hear(20.5, 27.0) == [], "neither is news to the other"
        hand.wait(600)
        hear(20.5, 27.0)
        assert hand.bay.sensors.contradictions == ()
        here = [hand.bay.state.air_at(bay) for bay in (BAY_1, BAY_2)]
        assert [read.air_c for read in here if read] == [20.5, 27.0]
        assert hand.bay.request(SetUpPlaces(BAYS, stands)).accepted
        hand.wait(90)
        assert [source for source, _, _ in hear(22.5, 29.0)] == ["gate"], "one air, one sensor"
    hand.journal.close()
