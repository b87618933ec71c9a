"""``[[sensor]]`` in the settings: what may stand there, and what is said when it is wrong."""

import subprocess
import sys
from pathlib import Path

import pytest

from bayapp.files.problems import BadFile
from bayapp.files.shop.sensor_settings import Quantity, SensorSettings, Topic
from bayapp.files.shop.settings import load_settings
from bayapp.paths import resource

HEAD = '[[sensor]]\nid = "hall"\nname = "hall sensor"\n'
IIO = HEAD + 'kind = "iio"\ndevice = "bme280"\n'
MQTT = HEAD + 'kind = "mqtt"\nhost = "localhost"\n'
TOPIC = '[[sensor.topic]]\ntopic = "hall/air"\ngives = "air_c"\n'


def loaded(store: Path, text: str) -> tuple[SensorSettings, ...]:
    (store / "settings.toml").write_text(text, encoding="utf-8")
    return load_settings(store).sensor


def shown_in_help() -> str:
    """The manual's own example."""
    text = resource("help", "sensors.md").read_text(encoding="utf-8")
    return text.split("```toml\n", 1)[1].split("```", 1)[0]


def test_the_example_of_the_manual_is_two_sensors(tmp_path: Path):
    door, hall = loaded(tmp_path, shown_in_help())
    assert (door.kind, door.device, door.place) == ("iio", "bme280", "bay")
    assert (hall.kind, hall.host, hall.port, hall.tls) == ("mqtt", "localhost", 1883, False)
    assert hall.topic == (Topic(topic="hall/air", gives=Quantity.AIR, key="air.temperature", time_key="at"),)


def test_a_password_is_not_shown_when_a_sensor_is(tmp_path: Path):
    (hall,) = loaded(tmp_path, MQTT + 'user = "bay"\npassword = "wet gloves"\n' + TOPIC)
    assert hall.password == "wet gloves"
    assert "wet gloves" not in repr(hall)


@pytest.mark.parametrize(
    ("text", "place", "reason"),
    [
        (HEAD + 'kind = "iio"\n', "line 1, sensor 1", "'device' is missing for an iio sensor; write e.g. device ="),
        (HEAD + 'kind = "mqtt"\n', "line 1, sensor 1", "'host' is missing for an mqtt sensor; write e.g. host ="),
        (MQTT, "line 1, sensor 1", "write at least one [[sensor.topic]] table"),
        (IIO + 'host = "localhost"\n', "line ", "host and topic are of mqtt"),
        (IIO + "possible_c = [40, 10]\n", "line ", "write the lowest first, e.g. [-20, 70]"),
        (IIO + IIO, "line 7, sensor", "'hall' is the id of two sensors; give one of them another"),
        (IIO + "silent_minutes = 0\n", "line 6, sensor 1", "silent_minutes must be more than 0"),
        (IIO + "every_seconds = 0\n", "line 6, sensor 1", "every_seconds must be at least 0.05"),
        (IIO + 'devise = "x"\n', "line 6, sensor 1", "did you mean 'device'?"),
        (IIO.replace('"iio"', '"i2c"'), "line 4, sensor 1", "write one of iio, mqtt"),
        (MQTT + "port = 70000\n" + TOPIC, "line 6, sensor 1", "port must be at most 65535"),
        (MQTT + TOPIC.replace("air_c", "air"), "line 8, sensor 1", "did you mean 'air_c'?"),
        (MQTT + '[[sensor.topic]]\ngives = "air_c"\n', "line 6, sensor 1", "key 'topic' is missing"),
    ],
)
def test_what_is_wrong_is_reported_with_its_place_and_what_would_be_right(
    tmp_path: Path, text: str, place: str, reason: str
):
    with pytest.raises(BadFile) as bad:
        loaded(tmp_path, text)
    (found,) = bad.value.findings
    assert found.place.startswith(place)
    assert reason in found.reason


def test_settings_and_the_wall_load_no_library_for_a_broker_before_a_sensor_needs_it():
    code = "import sys, bayapp.bay, bayapp.files.shop.settings, bayapp.screen.app; print('paho' in sys.modules)"
    code += "; print(any(m.startswith('bayapp.sensing') for m in sys.modules))"
    assert subprocess.check_output([sys.executable, "-c", code], text=True).split() == ["False", "False"]
