"""What ``doctor`` says of sensors: each answers, or what to do."""

from pathlib import Path

import pytest

from bayapp.cli import doctor_sensors
from bayapp.cli.doctor_sensors import check_sensors
from tests.sensing.brokers import broker
from tests.sensing.sysfs import Device


def iio(store: Path, device: Device) -> None:
    text = (
        f'[[sensor]]\nid = "door"\nname = "door sensor"\nkind = "iio"\ndevice = "bay-air"\nfolder = "{device.folder}"\n'
    )
    (store / "settings.toml").write_text(text)


def mqtt(store: Path, port: int) -> None:
    text = '[[sensor]]\nid = "hall"\nname = "hall sensor"\nkind = "mqtt"\nhost = "127.0.0.1"\n'
    text += f'port = {port}\n[[sensor.topic]]\ntopic = "hall/air"\ngives = "air_c"\nkey = "t"\ntime_key = "at"\n'
    (store / "settings.toml").write_text(text)


def test_a_shop_without_sensors_is_fine(tmp_path: Path):
    assert check_sensors(tmp_path) == (True, "None is set; the air is typed.")


def test_a_sensor_that_answers_is_fine_with_what_it_says(tmp_path: Path):
    device = Device(tmp_path / "iio")
    device.air(21.5, 48)
    iio(tmp_path, device)
    assert check_sensors(tmp_path) == (True, "door: says air_c 21.5, rh_percent 48.")


def test_an_unplugged_sensor_is_not_fine(tmp_path: Path):
    device = Device(tmp_path / "iio")
    iio(tmp_path, device)
    device.unplug()
    ok, says = check_sensors(tmp_path)
    assert not ok
    assert "no device bay-air" in says
    assert "look at its cable" in says


def test_a_humidity_in_per_cent_is_found_out(tmp_path: Path):
    device = Device(tmp_path / "iio")
    device.say(in_temp_input=24540, in_humidityrelative_input="41.074000000")
    iio(tmp_path, device)
    ok, says = check_sensors(tmp_path)
    assert not ok
    assert "rh_percent cannot be; see humidity_in" in says


def test_settings_that_are_wrong_are_reported(tmp_path: Path):
    (tmp_path / "settings.toml").write_text("sensor = 3\n")
    ok, says = check_sensors(tmp_path)
    assert not ok
    assert "line 1, sensor" in says


def test_a_broker_is_fine_when_it_answers_and_not_when_it_is_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    with broker(tmp_path) as hub:
        mqtt(tmp_path, hub.port)
        ok, says = check_sensors(tmp_path)
        assert not ok
        assert f"no broker answers at 127.0.0.1:{hub.port}" in says
        hub.start()
        hub.publish("hall/air", '{"t": 20.5, "at": "2026-03-02T09:00:00Z"}', retain=True)
        assert check_sensors(tmp_path) == (True, "hall: says air_c 20.5.")
        hub.publish("hall/air", "", retain=True)
        monkeypatch.setattr(doctor_sensors, "BROKER_ANSWERS_IN_S", 1.0)
        ok, says = check_sensors(tmp_path)
        assert ok
        assert "the broker answers; no message came" in says
