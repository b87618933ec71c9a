"""A sensor of the air or of a panel: ``[[sensor]]`` in the settings."""

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
        key: where the number is in a JSON message, parts joined by dots; empty: the message is the number.
        time_key: where the time of measurement is: RFC 3339, or seconds or milliseconds since 1970.
    """

    topic: Short
    gives: Quantity
    key: Annotated[str, StringConstraints(max_length=200)] = ""
    time_key: Annotated[str, StringConstraints(max_length=200)] = ""


class SensorSettings(FileModel):
    """One sensor.

    Attributes:
        id: the source of its readings in the journal.
        name: what people call it, as in a sentence: "air sensor by the door".
        kind: "iio" is a sensor of this machine (Linux industrial I/O), "mqtt" one behind an MQTT broker.
        place: whether an iio sensor's temperature is that of the bay's air or of a panel.
        device: the iio device, by its folder or its file ``name``: "iio:device0", "bme280".
        folder: where the iio devices are.
        temp_channel: the iio channel of the temperature if it is not the usual one, e.g. "in_temp_object".
        humidity_in: some drivers give per cent instead of the kernel's thousandths of a per cent.
        host, port, user, password, tls, ca_file: the broker and the login.
        topic: the topics to subscribe to.
        every_seconds: how often an iio sensor is polled.
        silent_minutes: after so long without a sample the sensor counts as silent.
        stuck_minutes: after so long with exactly the same number, while others change, the sensor counts as stuck.
        possible_c: the lowest and highest plausible temperature.
        tolerance_c, tolerance_percent: its error, including that of its place; two sensors that differ by more than
            both tolerances contradict each other (the defaults are common practice, no source).
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
    """Return the sensors; ValueError if two of them have the same id."""
    ids = [sensor.id for sensor in sensors]
    for name in ids:
        if ids.count(name) > 1:
            raise ValueError(_("{name!r} is the id of two sensors; give one of them another").format(name=name))
    return sensors
