"""One sensor of the air or of a panel, as ``[[sensor]]`` in the settings says it."""

from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from bayapp.job.model.product import Celsius
from bayapp.job.model.vehicle import FileModel, Slug
from bayapp.text.language import _

Short = Annotated[str, StringConstraints(min_length=1, max_length=200, strip_whitespace=True)]
Minutes = Annotated[float, Field(gt=0, le=24 * 60, allow_inf_nan=False)]


class Quantity(StrEnum):
    """What a sensor measures, in the words of a reading: °C of the air, % relative humidity, °C of the surface."""

    AIR = "air_c"
    HUMIDITY = "rh_percent"
    SURFACE = "surface_c"


class Topic(FileModel):
    """One MQTT topic and what its messages hold.

    Attributes:
        topic: a topic filter of MQTT; "+" and "#" stand for any part.
        gives: which quantity the number is.
        key: where the number stands in a JSON message, parts joined by dots; empty: the message is the number.
        time_key: where the moment of measuring stands: RFC 3339, or seconds or milliseconds since 1970.
    """

    topic: Short
    gives: Quantity
    key: Annotated[str, StringConstraints(max_length=200)] = ""
    time_key: Annotated[str, StringConstraints(max_length=200)] = ""


class SensorSettings(FileModel):
    """One sensor.

    Attributes:
        id: stands in the journal as the source of its readings.
        name: what people call it, as in a sentence: "air sensor by the door".
        kind: "iio" is a sensor of this machine (Linux industrial I/O), "mqtt" one that a broker tells of.
        place: whether an iio sensor's temperature is that of the bay's air or of a panel.
        device: the iio device, as its folder or its file ``name`` says: "iio:device0", "bme280".
        folder: where iio devices stand.
        temp_channel: the iio channel of the temperature where it is another, e.g. "in_temp_object".
        humidity_in: some drivers give per cent where the kernel's rule is thousandths of it.
        host, port, user, password, tls, ca_file: the broker, and how to get in.
        topic: which topics to hear.
        every_seconds: how often an iio sensor is asked.
        silent_minutes: nothing for so long is silence.
        stuck_minutes: the very same number for so long, while something else moves, is being stuck.
        possible_c: lowest and highest temperature that this sensor may say.
        tolerance_c, tolerance_percent: how far off it may be, where it hangs included; two sensors that differ by more
            than both allow contradict each other (the defaults are common practice, no source).
    """

    id: Slug
    name: Annotated[str, StringConstraints(min_length=1, max_length=60, strip_whitespace=True)]
    kind: Literal["iio", "mqtt"]
    place: Literal["bay", "panel"] = "bay"
    device: Annotated[str, StringConstraints(max_length=100)] = ""
    folder: Short = "/sys/bus/iio/devices"
    temp_channel: Annotated[str, StringConstraints(max_length=60)] = ""
    humidity_in: Literal["milli-percent", "percent"] = "milli-percent"
    host: Annotated[str, StringConstraints(max_length=200)] = ""
    port: Annotated[int, Field(ge=1, le=65535)] = 1883
    user: Annotated[str, StringConstraints(max_length=200)] = ""
    password: Annotated[str, StringConstraints(max_length=500)] = Field(default="", repr=False)
    tls: bool = False
    ca_file: Annotated[str, StringConstraints(max_length=500)] = ""
    topic: tuple[Topic, ...] = ()
    every_seconds: Annotated[float, Field(ge=0.05, le=300, allow_inf_nan=False)] = 10
    silent_minutes: Minutes = 5
    stuck_minutes: Minutes = 60
    possible_c: tuple[Celsius, Celsius] = (-20.0, 70.0)
    tolerance_c: Annotated[float, Field(gt=0, le=20, allow_inf_nan=False)] = 1.5
    tolerance_percent: Annotated[float, Field(gt=0, le=50, allow_inf_nan=False)] = 6.0

    @model_validator(mode="after")
    def _has_what_its_kind_needs(self) -> Self:
        if self.kind == "iio" and not self.device:
            raise ValueError(_("'device' is missing for an iio sensor; write e.g. device = \"iio:device0\""))
        if self.kind == "mqtt" and not self.host:
            raise ValueError(_("'host' is missing for an mqtt sensor; write e.g. host = \"localhost\""))
        if self.kind == "mqtt" and not self.topic:
            raise ValueError(_("'topic' is missing for an mqtt sensor; write at least one [[sensor.topic]] table"))
        if self.kind == "iio" and (self.topic or self.host):
            raise ValueError(
                _("'kind' is iio, and host and topic are of mqtt; write kind = \"mqtt\", or leave them out")
            )
        if self.possible_c[0] >= self.possible_c[1]:
            raise ValueError(_("'possible_c' must go up; write the lowest first, e.g. [-20, 70]"))
        return self


def ids_once(sensors: tuple[SensorSettings, ...]) -> tuple[SensorSettings, ...]:
    """Return the sensors; ValueError where two of them have one id."""
    ids = [sensor.id for sensor in sensors]
    for name in ids:
        if ids.count(name) > 1:
            raise ValueError(_("{name!r} is the id of two sensors; give one of them another").format(name=name))
    return sensors
