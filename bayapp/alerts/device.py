"""How the sound device stands."""

from dataclasses import dataclass
from enum import StrEnum


class DeviceState(StrEnum):
    """Whether calls can be heard."""

    WORKING = "working"
    NONE = "none"
    FAILED = "failed"


class Cause(StrEnum):
    """Why the device stands as it does; ``device_words`` has the sentence of each."""

    STARTING = "starting"
    IN_USE = "in use"
    NO_LIBRARY = "no library"
    NO_DEVICE = "no device"
    NO_SERVER = "no server"
    NOT_OPENED = "not opened"
    HANGS = "hangs"
    BROKE_OFF = "broke off"
    PROCESS_ENDED = "process ended"
    NO_PROCESS = "no process"


@dataclass(frozen=True, slots=True)
class DeviceReport:
    """How the sound device stands, and why.

    Attributes:
        named: what the cause is about: the device's own name, or what the system said.
    """

    state: DeviceState
    cause: Cause
    named: str = ""
