"""Checks for ``doctor`` whether the sensors of a shop answer, and says what to do where one does not."""

import threading
from pathlib import Path
from typing import TYPE_CHECKING

from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.files.shop.sensor_settings import SensorSettings
    from bayapp.sensing.message import SensorMessage

BROKER_ANSWERS_IN_S = 5.0


def check_sensors(store: Path) -> tuple[bool, str]:
    """Return whether every sensor in the settings answers, and a sentence; a shop without sensors is fine."""
    from bayapp.files.problems import BadFile
    from bayapp.files.shop.passwords import with_passwords
    from bayapp.files.shop.settings import load_settings

    try:
        sensors = with_passwords(store, load_settings(store).sensor)
    except BadFile as bad:
        return False, str(bad)
    if not sensors:
        return True, _("None is set; the air is typed.")
    results = [_check(sensor) for sensor in sensors]
    return all(ok for ok, _says in results), " ".join(says for _ok, says in results)


def _check(sensor: "SensorSettings") -> tuple[bool, str]:
    return _check_iio(sensor) if sensor.kind == "iio" else _check_broker(sensor)


def _check_iio(sensor: "SensorSettings") -> tuple[bool, str]:
    from bayapp.sensing.iio import NoDeviceError, read_device
    from bayapp.sensing.watch import rules_of

    try:
        values = read_device(sensor)
    except (NoDeviceError, OSError, ValueError) as trouble:
        return False, _("{id}: {trouble}; look at its cable, and at device in the settings.").format(
            id=sensor.id, trouble=trouble
        )
    rules, said = rules_of(sensor), ", ".join(f"{quantity} {value:g}" for quantity, value in values.items())
    wrong = [quantity for quantity, value in values.items() if not rules.possible(quantity, value)]
    if wrong:
        return (
            False,
            _("{id}: says {said}; {wrong} cannot be; see humidity_in and temp_channel.").format(
                id=sensor.id, said=said, wrong=wrong[0]
            ),
        )
    return True, _("{id}: says {said}.").format(id=sensor.id, said=said)


def _check_broker(sensor: "SensorSettings") -> tuple[bool, str]:
    """Subscribe until one number has come; a broker that sends none in this time is fine."""
    from bayapp.sensing.mqtt import MqttSource

    answered = threading.Event()
    received: list[SensorMessage] = []

    def on_message(message: "SensorMessage") -> None:
        received.append(message)
        answered.set()

    source = MqttSource(sensor, on_message)
    source.start()
    answered.wait(BROKER_ANSWERS_IN_S)
    connected = source.connected
    source.stop()
    numbers = [message for message in received if message.quantity]
    if numbers:
        return True, _("{id}: says {said}.").format(id=sensor.id, said=f"{numbers[0].quantity} {numbers[0].value:g}")
    if received:
        return False, _("{id}: {trouble}; see host, port, topic and key in the settings.").format(
            id=sensor.id, trouble=received[0].trouble
        )
    if connected:
        return True, _("{id}: the broker answers; no message came within {seconds:g} s.").format(
            id=sensor.id, seconds=BROKER_ANSWERS_IN_S
        )
    return False, _("{id}: {host}:{port} does not answer; is the broker on?").format(
        id=sensor.id, host=sensor.host, port=sensor.port
    )
