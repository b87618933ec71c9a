"""Sensors of this machine: what a sysfs tree says, in the units of the kernel's rule.

Source of units and names: Linux, Documentation/ABI/testing/sysfs-bus-iio: in_temp_raw "Units after application of scale
and offset are milli degrees Celsius"; in_humidityrelative_raw "Units after application of scale and offset are milli
percent"; in_humidityrelative_input "Scaled humidity measurement in milli percent".
"""

import os
from pathlib import Path

import pytest

from bayapp.files.shop.sensor_settings import Quantity
from bayapp.sensing.iio import NoDeviceError, quantities, read_device
from tests.sensing.sysfs import Device

AIR, HUMIDITY, SURFACE = Quantity.AIR, Quantity.HUMIDITY, Quantity.SURFACE


@pytest.fixture
def device(tmp_path: Path) -> Device:
    return Device(tmp_path)


def test_input_files_are_thousandths(device: Device):
    device.say(in_temp_input=21437, in_humidityrelative_input=48250)
    assert read_device(device.settings()) == {AIR: 21.437, HUMIDITY: 48.25}


def test_raw_offset_and_scale_make_thousandths_too(device: Device):
    """(raw + offset) * scale, the rule of the ABI; figures as of a 14-bit sensor: 165 °C over 16384, from -40 °C."""
    device.say(in_temp_raw=6102, in_temp_scale="10.070801", in_temp_offset="-3971.879455", in_humidityrelative_raw=8192)
    device.say(in_humidityrelative_scale="6.103515625")
    found = read_device(device.settings())
    assert found[AIR] == pytest.approx(6102 * 165 / 16384 - 40, abs=0.001)
    assert found[HUMIDITY] == 50.0


def test_a_device_is_found_by_its_folder_and_by_its_name_whatever_its_number(tmp_path: Path):
    Device(tmp_path, 0, "light").say(in_illuminance_input=300)
    device = Device(tmp_path, 7)
    device.air(20.0, 50.0)
    assert (
        read_device(device.settings()) == read_device(device.settings(device="iio:device7")) == {AIR: 20, HUMIDITY: 50}
    )


def test_frost_is_read(device: Device):
    device.air(-3.25, 90)
    assert read_device(device.settings())[AIR] == -3.25


def test_a_panel_sensor_gives_the_surface_and_prefers_what_it_looks_at(device: Device):
    device.say(in_temp_object_input=31500, in_temp_ambient_input=22000)
    assert read_device(device.settings(place="panel")) == {SURFACE: 31.5}
    assert quantities(device.settings(place="panel")) == (SURFACE,)


def test_a_driver_that_gives_per_cent_can_be_declared(device: Device):
    """A driver was seen to give in_humidityrelative_input as "41.074000000" beside in_temp_input "24540"."""
    device.say(in_temp_input=24540, in_humidityrelative_input="41.074000000")
    assert read_device(device.settings(humidity_in="percent")) == {AIR: 24.54, HUMIDITY: 41.074}
    assert read_device(device.settings())[HUMIDITY] == pytest.approx(0.041, abs=0.001)


def test_an_unplugged_device_says_so_and_comes_back(device: Device):
    device.unplug()
    with pytest.raises(NoDeviceError, match="no device bay-air"):
        read_device(device.settings())
    assert quantities(device.settings()) == (AIR, HUMIDITY)
    device.plug_in()
    device.air(19, 51)
    assert read_device(device.settings()) == {AIR: 19, HUMIDITY: 51}


@pytest.mark.parametrize("said", ["", "no number", "21,4", "\x00\x00"])
def test_what_is_no_number_is_refused(device: Device, said: str):
    device.say(in_temp_input=said)
    with pytest.raises(ValueError, match="could not convert"):
        read_device(device.settings())


@pytest.mark.parametrize("place", ["/dev/zero", "/dev/tty"])
def test_a_channel_that_never_ends_or_never_answers_is_an_error_of_the_machine(device: Device, place: str):
    (device.path / "in_temp_input").symlink_to(place)
    with pytest.raises(OSError, match="in_temp_input"):
        read_device(device.settings())


def test_a_pipe_in_the_place_of_a_channel_is_not_waited_for(device: Device):
    os.mkfifo(device.path / "in_temp_input")
    with pytest.raises(OSError, match="a pipe, a socket or a device"):
        read_device(device.settings())


def test_a_file_that_cannot_be_read_is_an_error_of_the_machine(device: Device):
    """A directory in a file's place fails at reading, as a driver does that answers EIO."""
    (device.path / "in_temp_input").mkdir()
    with pytest.raises(OSError, match="in_temp_input"):
        read_device(device.settings())
