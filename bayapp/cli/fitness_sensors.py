"""Looks at the sensors of a shop for ``doctor``: each answers now, or what to do. Prints nothing."""

import threading
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bayapp.files.sensor_settings import SensorSettings
    from bayapp.sensing.told import Told

BROKER_ANSWERS_IN_S = 5.0


def look_at_sensors(store: Path) -> tuple[bool, str]:
    """Whether every sensor of the settings can be heard; a shop without sensors is fine."""
    from bayapp.files.problems import BadFile
    from bayapp.files.settings import load_settings

    try:
        sensors = load_settings(store).sensor
    except BadFile as bad:
        return False, str(bad)
    if not sensors:
        return True, "None is set; the air is typed."
    looks = [_look(sensor) for sensor in sensors]
    return all(ok for ok, _ in looks), " ".join(says for _, says in looks)


def _look(sensor: "SensorSettings") -> tuple[bool, str]:
    return _look_at_iio(sensor) if sensor.kind == "iio" else _look_at_broker(sensor)


def _look_at_iio(sensor: "SensorSettings") -> tuple[bool, str]:
    from bayapp.sensing.iio import NoDeviceError, read_device
    from bayapp.sensing.watch import rules_of

    try:
        values = read_device(sensor)
    except (NoDeviceError, OSError, ValueError) as trouble:
        return False, f"{sensor.id}: {trouble}; look at its cable, and at device in the settings."
    rules, said = rules_of(sensor), ", ".join(f"{quantity} {value:g}" for quantity, value in values.items())
    wrong = [quantity for quantity, value in values.items() if not rules.possible(quantity, value)]
    if wrong:
        return (
            False,
            f"{sensor.id}: says {said}; {wrong[0]} cannot be; see humidity_in and temp_channel.",
        )
    return True, f"{sensor.id}: says {said}."


def _look_at_broker(sensor: "SensorSettings") -> tuple[bool, str]:
    """Ask for the topics until one number has come; a broker that has none to tell in this time is fine."""
    from bayapp.sensing.mqtt import MqttSource

    answered = threading.Event()
    heard: list[Told] = []

    def hear(told: "Told") -> None:
        heard.append(told)
        answered.set()

    source = MqttSource(sensor, hear)
    source.start()
    answered.wait(BROKER_ANSWERS_IN_S)
    connected = source.connected
    source.stop()
    numbers = [told for told in heard if told.quantity]
    if numbers:
        return True, f"{sensor.id}: says {numbers[0].quantity} {numbers[0].value:g}."
    if heard:
        return False, f"{sensor.id}: {heard[0].trouble}; see host, port, topic and key in the settings."
    if connected:
        return True, f"{sensor.id}: the broker answers; no message came within {BROKER_ANSWERS_IN_S:g} s."
    return False, f"{sensor.id}: {sensor.host}:{sensor.port} does not answer; is the broker on?"
