"""What sensors send faster than the wall takes in: of each the newest is kept, in the order in which it came."""

import gc
import threading
import tracemalloc
from collections.abc import Callable
from pathlib import Path

from paho.mqtt.client import Client
from paho.mqtt.enums import CallbackAPIVersion

from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.sensing.inbox import MOST_KEPT, Inbox
from bayapp.sensing.message import SensorMessage
from bayapp.sensing.mqtt import MqttSource
from tests.sensing.brokers import Broker, broker

AIR, HUMIDITY = Quantity.AIR, Quantity.HUMIDITY
FLOOD = 10_000


def test_what_came_is_taken_once_in_its_order():
    inbox = Inbox()
    sent = [SensorMessage("a", AIR, 1.0), SensorMessage("b", AIR, 2.0), SensorMessage("a", HUMIDITY, 3.0)]
    for message in sent:
        inbox.put(message)
    assert inbox.take() == sent
    assert inbox.take() == []


def test_of_a_flood_the_newest_stays_and_another_sensor_loses_nothing():
    inbox = Inbox()
    inbox.put(SensorMessage("quiet", AIR, 20.0))
    for number in range(FLOOD):
        inbox.put(SensorMessage("flood", AIR, float(number)))
        inbox.put(SensorMessage("flood", trouble=f"it coughs for the {number}th time"))
    taken = inbox.take()
    assert taken[0] == SensorMessage("quiet", AIR, 20.0)
    assert [m.value for m in taken if m.quantity and m.sensor == "flood"] == [
        float(n) for n in range(FLOOD - MOST_KEPT, FLOOD)
    ]
    assert [m.trouble for m in taken if not m.quantity] == [f"it coughs for the {FLOOD - 1}th time"]


def test_memory_stays_flat_however_long_nobody_takes_anything_in():
    inbox = Inbox()

    def after(messages: int) -> int:
        for number in range(messages):
            inbox.put(SensorMessage("flood", AIR, float(number)))
        gc.collect()
        return tracemalloc.get_traced_memory()[0]

    tracemalloc.start()
    try:
        full = after(2 * MOST_KEPT)
        assert after(20 * MOST_KEPT) < full + 20_000
    finally:
        tracemalloc.stop()


def test_many_threads_put_while_one_takes_and_the_last_of_each_arrives():
    inbox, last = Inbox(), dict[str, float]()

    def run(name: str) -> None:
        for number in range(5_000):
            inbox.put(SensorMessage(name, AIR, float(number)))

    threads = [threading.Thread(target=run, args=(f"t{n}",)) for n in range(4)]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        last |= {message.sensor: message.value for message in inbox.take()}
    last |= {message.sensor: message.value for message in inbox.take()}
    assert last == {f"t{n}": 4_999.0 for n in range(4)}


def test_a_flood_by_a_real_broker_ends_with_the_newest_number(tmp_path: Path):
    topic = {"topic": "bay/air", "gives": "air_c"}
    with broker(tmp_path) as hub:
        hub.start()
        fields = {"id": "hall", "name": "hall", "kind": "mqtt", "host": "127.0.0.1", "port": hub.port, "topic": [topic]}
        inbox, heard = Inbox(), threading.Event()

        def on_message(message: SensorMessage) -> None:
            inbox.put(message)
            if message.value == 99.0:
                heard.set()

        source = MqttSource(SensorSettings.model_validate(fields), on_message)
        source.start()
        try:
            until(lambda: hub.publish("bay/air", "1.0"), inbox.take)
            flood(hub, "bay/air", 8 * MOST_KEPT)
            until(lambda: hub.publish("bay/air", "99.0"), heard.is_set)
        finally:
            source.stop()
    taken = inbox.take()
    assert len(taken) <= MOST_KEPT
    assert taken[-1].value == 99.0


def until(act: Callable[[], None], done: Callable[[], object]) -> None:
    """Do something again and again until it has had its effect."""
    pause = threading.Event()
    for _ in range(200):
        act()
        pause.wait(0.05)
        if done():
            return
    raise AssertionError("it has no effect")


def flood(hub: Broker, topic: str, messages: int) -> None:
    """Publish as fast as the broker takes it."""
    client = Client(CallbackAPIVersion.VERSION2)
    client.connect("127.0.0.1", hub.port)
    client.loop_start()
    for number in range(messages):
        client.publish(topic, str(number % 40))
    client.publish(topic, "5.0", qos=1).wait_for_publish(30)
    client.disconnect()
    client.loop_stop()
