"""A folder of industrial-I/O devices as Linux shows them, with real files that can go and come back."""

import shutil
from pathlib import Path

from bayapp.files.shop.sensor_settings import SensorSettings


class Device:
    """One device: its channels are files, in thousandths as the kernel's rule has it."""

    def __init__(self, folder: Path, number: int = 0, name: str = "bay-air") -> None:
        self.folder, self.path, self._name = folder, folder / f"iio:device{number}", name
        self.plug_in()

    def plug_in(self) -> None:
        self.path.mkdir(parents=True)
        (self.path / "name").write_text(f"{self._name}\n")

    def unplug(self) -> None:
        shutil.rmtree(self.path)

    def say(self, **channels: str | int) -> None:
        for channel, value in channels.items():
            part = self.path / f"{channel}.part"
            part.write_text(f"{value}\n")
            part.replace(self.path / channel)

    def air(self, air_c: float, rh_percent: float) -> None:
        self.say(in_temp_input=round(air_c * 1000), in_humidityrelative_input=round(rh_percent * 1000))

    def settings(self, **more: object) -> SensorSettings:
        fields = {"id": "door", "name": "air sensor by the door", "kind": "iio", "device": "bay-air"}
        return SensorSettings.model_validate({**fields, "folder": str(self.folder), **more})
