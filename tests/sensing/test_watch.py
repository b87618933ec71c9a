"""All sensors together: one reading of several, none twice, what is wrong, and what a person read beside them."""

from datetime import UTC, datetime, timedelta

import pytest

from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.job import ReadAir
from bayapp.job.state.events import AirRead
from bayapp.sensing.judge import SensorHealth
from bayapp.sensing.message import SensorMessage
from bayapp.sensing.watch import SensorWatch, Trouble

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
AIR, HUMIDITY, SURFACE = Quantity.AIR, Quantity.HUMIDITY, Quantity.SURFACE


def at(minutes: float) -> datetime:
    return NINE + timedelta(minutes=minutes)


def sensor(name: str, *gives: str, **more: object) -> SensorSettings:
    topics = [{"topic": f"{name}/{quantity}", "gives": quantity} for quantity in gives]
    fields = {"id": name, "name": f"{name} sensor", "kind": "mqtt", "host": "localhost", "topic": topics}
    return SensorSettings.model_validate({**fields, **more})


def both(name: str = "door", **more: object) -> SensorSettings:
    return sensor(name, "air_c", "rh_percent", **more)


class Hall:
    """A watch, and the readings that were recorded of it."""

    def __init__(self, *sensors: SensorSettings) -> None:
        self.watch = SensorWatch(sensors, NINE)
        self.readings: list[AirRead] = []
        self.unused: set[str] = set()

    def say(self, minutes: float, name: str = "door", read: float | None = None, **values: float) -> None:
        for quantity, value in values.items():
            read_at = None if read is None else at(read)
            self.watch.receive(SensorMessage(name, Quantity(quantity), value, read_at), at(minutes))

    def ask(self, minutes: float) -> ReadAir | None:
        asked = self.watch.reading(self.readings, at(minutes), self.unused)
        if asked:
            self.record(minutes, asked)
        return asked

    def record(self, minutes: float, asked: ReadAir) -> None:
        fields = {"air_c": asked.air_c, "rh_percent": asked.rh_percent, "surface_c": asked.surface_c}
        read = AirRead.model_validate({"at": at(minutes), "source": asked.source, "read_at": asked.read_at, **fields})
        self.readings = sorted([*self.readings, read], key=lambda r: r.measured_at)

    def troubles(self, minutes: float) -> tuple[Trouble, ...]:
        return self.watch.troubles(self.readings, at(minutes), self.unused)


def test_air_and_humidity_of_two_sensors_make_one_reading_and_a_third_gives_the_surface():
    hall = Hall(sensor("warm", "air_c"), sensor("damp", "rh_percent"), sensor("panel", "surface_c"))
    hall.say(0, "warm", air_c=21.4)
    assert hall.ask(0) is None
    hall.say(0, "damp", rh_percent=50)
    assert hall.ask(0) == ReadAir(21.4, 50, None, source="warm+damp")
    hall.say(1.5, "panel", surface_c=17.0)
    assert hall.ask(1.5) == ReadAir(21.4, 50, 17.0, source="warm+damp+panel")


def test_an_hour_of_a_steady_sensor_is_seven_readings_and_they_are_never_older_than_ten_minutes():
    hall = Hall(both())
    for second in range(0, 3601, 10):
        hall.say(second / 60, air_c=21.0 + (second % 20) / 200, rh_percent=50.0)
        hall.ask(second / 60)
    assert len(hall.readings) == 7


def test_a_noisy_sensor_writes_at_most_once_a_minute():
    hall = Hall(both())
    for second in range(601):
        hall.say(second / 60, air_c=21.0 + (0.5 if second % 2 else 0.0), rh_percent=50.0)
        hall.ask(second / 60)
    assert 5 <= len(hall.readings) <= 11


@pytest.mark.parametrize(("air_c", "news"), [(21.1, False), (21.2, True), (20.8, True)])
def test_two_tenths_of_a_degree_are_news_after_a_minute(air_c: float, news: bool):
    hall = Hall(both())
    hall.say(0, air_c=21.0, rh_percent=50)
    hall.ask(0)
    hall.say(1, air_c=air_c, rh_percent=50)
    assert (hall.ask(1) is not None) is news


def test_a_gate_that_opens_is_recorded_as_soon_as_it_is_believed():
    hall = Hall(both())
    hall.say(0, air_c=21, rh_percent=50)
    hall.ask(0)
    for minutes in (0.5, 1.0, 2.0):
        hall.say(minutes, air_c=11, rh_percent=50)
        assert hall.ask(minutes) is None
    hall.say(2.6, air_c=11, rh_percent=50)
    asked = hall.ask(2.6)
    assert asked
    assert asked.air_c == 11


@pytest.mark.parametrize("value", [-127.0, 85.0])
def test_what_is_absurd_is_never_a_reading_and_is_reported_when_it_lasts(value: float):
    hall = Hall(both())
    hall.say(0, air_c=21, rh_percent=50)
    hall.ask(0)
    hall.say(1, air_c=value, rh_percent=50)
    assert hall.troubles(1) == ()
    hall.say(2, air_c=value, rh_percent=58)
    (trouble,) = hall.troubles(2)
    assert (trouble.health, trouble.value, trouble.quantity) == (SensorHealth.ABSURD, value, AIR)
    assert hall.ask(2) is None


def test_a_silent_sensor_is_reported_with_when_it_last_spoke_and_its_last_number_is_no_news_any_more():
    hall = Hall(both())
    hall.say(2, air_c=21, rh_percent=50)
    hall.ask(2)
    assert hall.troubles(7) == ()
    (trouble,) = hall.troubles(7.1)
    assert (trouble.health, trouble.since) == (SensorHealth.SILENT, at(2))
    assert hall.ask(30) is None


def test_a_second_sensor_stands_in_for_the_first():
    hall = Hall(both("door"), both("wall"))
    for minutes in range(9):
        if minutes < 2:
            hall.say(minutes, "door", air_c=21, rh_percent=50)
        hall.say(minutes, "wall", air_c=22, rh_percent=51)
    asked = hall.ask(8)
    assert asked
    assert (asked.air_c, asked.source) == (22, "wall")


def test_a_stuck_thermometer_is_reported_while_the_humidity_moves():
    hall = Hall(both())
    for minutes in range(65):
        hall.say(minutes, air_c=21.4, rh_percent=40 + minutes / 3)
        hall.ask(minutes)
    (trouble,) = hall.troubles(64)
    assert (trouble.health, trouble.quantity, trouble.since) == (SensorHealth.STUCK, AIR, at(0))
    hall.say(65, air_c=21.4, rh_percent=70)
    assert hall.ask(65) is None


def test_a_late_message_is_a_reading_of_its_own_moment_with_what_held_then():
    hall = Hall(both())
    hall.say(0, air_c=20, rh_percent=50)
    hall.ask(0)
    hall.say(10, air_c=24, rh_percent=55)
    hall.ask(10)
    hall.say(12, read=5, air_c=22)
    (asked,) = hall.watch.late(hall.readings, at(12))
    assert asked == ReadAir(22, 50, None, read_at=at(5), source="door")
    assert hall.watch.late(hall.readings, at(12)) == ()


def test_of_a_flood_of_late_messages_one_a_minute_is_a_reading_and_only_once():
    hall = Hall(both())
    hall.say(0, air_c=20, rh_percent=50)
    hall.ask(0)
    for again in range(3):
        for second in range(0, 180, 5):
            hall.say(12, read=5 + second / 60, air_c=20 + again + second / 1_000, rh_percent=50)
        found = hall.watch.late(hall.readings, at(12))
        assert [asked.read_at for asked in found] == ([] if again else [at(5 + s / 60) for s in (55, 115, 175)])
        for asked in found:
            hall.record(12, asked)


def test_a_sensor_that_is_not_trusted_gives_nothing_and_calls_nobody():
    hall = Hall(both())
    hall.unused.add("door")
    hall.say(0, air_c=21, rh_percent=50)
    hall.say(1, read=-5, air_c=21, rh_percent=50)
    assert hall.ask(1) is None
    assert hall.watch.late([], at(1), hall.unused) == ()
    assert hall.troubles(60) == ()


def test_a_sensor_far_from_what_a_person_read_is_reported():
    hall = Hall(both())
    hall.say(0, air_c=27, rh_percent=50)
    hall.record(1, ReadAir(21, 50))
    (trouble,) = hall.troubles(1)
    assert (trouble.health, trouble.value, trouble.typed) == (SensorHealth.GOOD, 27, 21)
    hall.say(2, air_c=23.9, rh_percent=50)
    hall.say(3, air_c=23.9, rh_percent=50)
    hall.say(4.5, air_c=23.9, rh_percent=50)
    assert hall.troubles(4.5) == ()


def test_a_typed_reading_counts_until_the_sensor_speaks_a_minute_later():
    hall = Hall(both())
    hall.say(0, air_c=21, rh_percent=50)
    hall.ask(0)
    hall.record(0.5, ReadAir(21.5, 52))
    hall.say(1, air_c=21, rh_percent=50)
    assert hall.ask(1) is None
    hall.say(1.5, air_c=21, rh_percent=50)
    assert hall.ask(1.5)


def test_a_surface_that_a_person_read_stays_for_half_an_hour_beside_a_sensor_of_the_air():
    """Else a panel colder than the air would pass for as warm as it, and its wait would open early."""
    hall = Hall(both())
    hall.record(0, ReadAir(21, 50, 14.0))
    for minutes in range(2, 34):
        hall.say(minutes, air_c=21 + minutes / 10, rh_percent=50)
        hall.ask(minutes)
    surfaces = {(r.at - NINE) / timedelta(minutes=1): r.surface_c for r in hall.readings}
    assert surfaces[30] == 14.0
    assert surfaces[31] is None


def test_a_garbled_number_calls_nobody():
    hall = Hall(both())
    for minutes in range(30):
        hall.say(minutes, air_c=-127 if minutes % 7 == 3 else 21 + minutes / 100, rh_percent=50)
        assert hall.troubles(minutes) == ()
