"""Reads sensors of this machine through Linux industrial I/O (sysfs), each in a thread of its own.

Units are those of the kernel's Documentation/ABI/testing/sysfs-bus-iio: after scale and offset, in thousandths of a
degree Celsius and of a per cent. Some drivers give per cent; the settings say so (``humidity_in``).
"""

import threading
from collections.abc import Iterator
from pathlib import Path

from bayapp.files.plain_file import read_bytes
from bayapp.files.problems import BadFile
from bayapp.files.shop.sensor_settings import Quantity, SensorSettings
from bayapp.sensing.message import OnMessage, SensorMessage
from bayapp.text.language import _

MILLI = 1000.0
LARGEST = 4_096
"""Bytes of one file of sysfs, which gives at most a page."""


class NoDeviceError(Exception):
    """There is no such device now: plug it in, or name another in the settings."""


def read_device(sensor: SensorSettings) -> dict[Quantity, float]:
    """Return the present values of a device, °C and % relative humidity.

    Raises:
        NoDeviceError: it is not there.
        OSError, ValueError: it is there, but cannot be read or gives no number.
    """
    device = _find(sensor)
    found = {}
    for quantity, channels in _channels(sensor):
        value = next((v for name in channels if (v := _channel(device, name)) is not None), None)
        if value is not None:
            percent = quantity is Quantity.HUMIDITY and sensor.humidity_in == "percent"
            found[quantity] = value if percent else value / MILLI
    if not found:
        raise NoDeviceError(_("{device} has no channel of temperature or humidity").format(device=device))
    return found


def quantities(sensor: SensorSettings) -> tuple[Quantity, ...]:
    """Return the quantities that a plugged-in device measures; those usual at its place when it is not plugged in."""
    usual = tuple(quantity for quantity, _ in _channels(sensor))
    try:
        device = _find(sensor)
    except (NoDeviceError, OSError):
        return usual
    has = [q for q, names in _channels(sensor) if any(_files(device, name) for name in names)]
    return tuple(has) or usual


def _channels(sensor: SensorSettings) -> Iterator[tuple[Quantity, tuple[str, ...]]]:
    own = (sensor.temp_channel,) if sensor.temp_channel else ()
    if sensor.place == "panel":
        yield Quantity.SURFACE, own or ("in_temp_object", "in_temp")
        return
    yield Quantity.AIR, own or ("in_temp", "in_temp_ambient")
    yield Quantity.HUMIDITY, ("in_humidityrelative",)


def _find(sensor: SensorSettings) -> Path:
    """Return the device's folder, by the folder's name or by its file ``name``: device numbers change at each boot."""
    folder = Path(sensor.folder)
    direct = folder / sensor.device
    if direct.is_dir():
        return direct
    for device in sorted(folder.glob("iio:device*")):
        try:
            if _text(device / "name") == sensor.device:
                return device
        except OSError:
            continue
    raise NoDeviceError(_("there is no device {device} in {folder}").format(device=sensor.device, folder=folder))


def _files(device: Path, channel: str) -> bool:
    return (device / f"{channel}_input").exists() or (device / f"{channel}_raw").exists()


def _channel(device: Path, channel: str) -> float | None:
    """Return the scaled value of a channel, or None where the device has no such channel."""
    ready = device / f"{channel}_input"
    if ready.exists():
        return _number(ready)
    raw = device / f"{channel}_raw"
    if not raw.exists():
        return None
    scale, offset = device / f"{channel}_scale", device / f"{channel}_offset"
    return (_number(raw) + (_number(offset) if offset.exists() else 0.0)) * (_number(scale) if scale.exists() else 1.0)


def _number(file: Path) -> float:
    return float(_text(file))


def _text(file: Path) -> str:
    try:
        return read_bytes(file, LARGEST).decode(errors="replace").strip()
    except BadFile as bad:
        raise OSError(str(bad)) from bad


class IioSource:
    """Polls one device; a slow or broken driver blocks only this thread."""

    def __init__(self, sensor: SensorSettings, on_message: OnMessage) -> None:
        self._sensor, self._on_message = sensor, on_message
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._run, name=f"sensor-{sensor.id}", daemon=True)

    def start(self) -> None:
        """Begin to poll."""
        self._thread.start()

    def stop(self) -> None:
        """Stop polling."""
        self._end.set()
        if self._thread.is_alive():
            self._thread.join(2.0)

    def _run(self) -> None:
        while not self._end.is_set():
            try:
                values = read_device(self._sensor)
            except (NoDeviceError, OSError, ValueError) as trouble:
                self._on_message(SensorMessage(self._sensor.id, trouble=str(trouble)))
            else:
                for quantity, value in values.items():
                    self._on_message(SensorMessage(self._sensor.id, quantity, value))
            self._end.wait(self._sensor.every_seconds)
