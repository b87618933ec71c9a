"""Sensors that a real Mosquitto broker tells of: topics, wild cards, retained messages, a broker that dies."""

import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.sensing import mqtt
from bayapp.sensing.message import SensorMessage
from bayapp.sensing.mqtt import MqttSource
from tests.sensing.brokers import Broker, broker

PATIENCE_S = 20.0
AIR, HUMIDITY = Quantity.AIR, Quantity.HUMIDITY


class Ear:
    """Keeps what was received, and waits for what is wanted."""

    def __init__(self) -> None:
        self.messages: list[SensorMessage] = []
        self._news = threading.Condition()

    def __call__(self, message: SensorMessage) -> None:
        with self._news:
            self.messages.append(message)
            self._news.notify_all()

    def hears(self, wanted: Callable[[SensorMessage], bool], patience_s: float) -> bool:
        with self._news:
            return self._news.wait_for(lambda: any(map(wanted, self.messages)), patience_s)

    def wait_for(self, wanted: Callable[[SensorMessage], bool]) -> SensorMessage:
        assert self.hears(wanted, PATIENCE_S), self.messages
        return next(filter(wanted, self.messages))

    def values(self, quantity: Quantity = AIR) -> list[float]:
        return [message.value for message in self.messages if message.quantity is quantity]


@pytest.fixture
def hub(tmp_path: Path) -> Iterator[Broker]:
    with broker(tmp_path) as found:
        yield found


@pytest.fixture(autouse=True)
def comes_back_soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mqtt, "LONGEST_PAUSE_S", 1)


def sensor(hub: Broker, *topics: dict[str, object], **more: object) -> SensorSettings:
    fields = {
        "id": "hall",
        "name": "hall sensor",
        "kind": "mqtt",
        "host": "127.0.0.1",
        "port": hub.port,
        "topic": topics,
    }
    return SensorSettings.model_validate({**fields, "topic": topics, **more})


@pytest.fixture
def listen() -> Iterator[Callable[[SensorSettings], tuple[MqttSource, Ear]]]:
    open_now: list[MqttSource] = []

    def begin(settings: SensorSettings) -> tuple[MqttSource, Ear]:
        ear = Ear()
        source = MqttSource(settings, ear)
        open_now.append(source)
        source.start()
        return source, ear

    yield begin
    for source in open_now:
        source.stop()


def until_heard(hub: Broker, ear: Ear, topic: str, payload: str = "20.0") -> None:
    """Publish until it arrives: the subscription is made some moments after the broker answers."""
    for _ in range(100):
        hub.publish(topic, payload)
        if ear.hears(lambda message: message.quantity is not None, 0.2):
            return
    raise AssertionError(ear.messages)


def test_numbers_and_json_come_from_their_topics(hub: Broker, listen):
    hub.start()
    plain: dict[str, object] = {"topic": "bay/+/air", "gives": "air_c"}
    inside: dict[str, object] = {"topic": "hall/#", "gives": "rh_percent", "key": "rh", "time_key": "at"}
    _, ear = listen(sensor(hub, plain, inside))
    until_heard(hub, ear, "bay/door/air", "20.5")
    hub.publish("hall/a/b", '{"rh": 51, "at": "2026-03-02T09:00:00Z"}')
    message = ear.wait_for(lambda message: message.quantity is HUMIDITY)
    assert (message.value, message.read_at) == (51.0, datetime(2026, 3, 2, 9, tzinfo=UTC))
    assert set(ear.values()) == {20.5}


def test_a_retained_message_counts_only_where_it_says_its_moment(hub: Broker, listen):
    hub.start()
    hub.publish("old/plain", "35.0", retain=True)
    hub.publish("old/dated", '{"t": 18.0, "at": "2026-03-02T09:00:00Z"}', retain=True)
    dated: dict[str, object] = {"topic": "old/dated", "gives": "air_c", "key": "t", "time_key": "at"}
    _, ear = listen(sensor(hub, {"topic": "old/plain", "gives": "air_c"}, dated))
    message = ear.wait_for(lambda message: message.quantity is AIR)
    assert (message.value, message.read_at) == (18.0, datetime(2026, 3, 2, 9, tzinfo=UTC))
    hub.publish("old/plain", "21.0")
    ear.wait_for(lambda message: message.value == 21.0)
    assert 35.0 not in ear.values()


def test_garbage_is_reported_and_the_next_number_is_heard(hub: Broker, listen):
    hub.start()
    _, ear = listen(sensor(hub, {"topic": "bay/air", "gives": "air_c"}))
    until_heard(hub, ear, "bay/air")
    hub.publish("bay/air", b"\xff\xfe\x00")
    assert "not UTF-8" in ear.wait_for(lambda message: bool(message.trouble)).trouble
    hub.publish("bay/air", "22.25")
    ear.wait_for(lambda message: message.value == 22.25)


def test_a_broker_that_is_not_there_at_the_start_is_reported_and_heard_once_it_is(hub: Broker, listen):
    source, ear = listen(sensor(hub, {"topic": "bay/air", "gives": "air_c"}))
    assert "no broker answers" in ear.wait_for(lambda message: bool(message.trouble)).trouble
    assert not source.connected
    hub.start()
    until_heard(hub, ear, "bay/air")


def test_a_broker_that_is_killed_is_reported_and_heard_again_when_it_is_back(hub: Broker, listen):
    hub.start()
    _, ear = listen(sensor(hub, {"topic": "bay/air", "gives": "air_c"}))
    until_heard(hub, ear, "bay/air")
    hub.kill()
    assert "is gone" in ear.wait_for(lambda message: bool(message.trouble)).trouble
    ear.messages.clear()
    hub.start()
    until_heard(hub, ear, "bay/air", "19.5")
    assert set(ear.values()) == {19.5}


def test_a_broker_with_a_password_lets_in_who_has_it_and_refuses_the_others_in_words(tmp_path: Path, listen):
    with broker(tmp_path, password="wet gloves") as hub:
        hub.start()
        topics: dict[str, object] = {"topic": "bay/air", "gives": "air_c"}
        _, out = listen(sensor(hub, topics))
        assert "refuses" in out.wait_for(lambda message: "refuses" in message.trouble).trouble
        _, ear = listen(sensor(hub, topics, user="bay", password="wet gloves"))
        until_heard(hub, ear, "bay/air")


def test_a_missing_certificate_file_is_reported(hub: Broker, listen):
    source, ear = listen(sensor(hub, {"topic": "bay/air", "gives": "air_c"}, tls=True, ca_file="/nowhere/ca.pem"))
    assert "/nowhere/ca.pem" in ear.messages[0].trouble
    assert not source.connected
