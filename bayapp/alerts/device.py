"""The state of the sound device."""

from dataclasses import dataclass
from enum import StrEnum

NOWHERE = (b"auto_null", b"null")
"""The devices that PulseAudio and ALSA make up to take what nobody shall hear."""


class DeviceState(StrEnum):
    """Whether calls can be heard."""

    WORKING = "working"
    NONE = "none"
    FAILED = "failed"


class Cause(StrEnum):
    """Why the device is in its state; ``device_words`` has a sentence for each."""

    STARTING = "starting"
    IN_USE = "in use"
    NO_LIBRARY = "no library"
    NO_DEVICE = "no device"
    NOWHERE = "nowhere"
    NO_SERVER = "no server"
    SERVER_HANGS = "server hangs"
    MUTED = "muted"
    TURNED_DOWN = "turned down"
    NOT_OPENED = "not opened"
    HANGS = "hangs"
    BROKE_OFF = "broke off"
    PROCESS_ENDED = "process ended"
    NO_PROCESS = "no process"


@dataclass(frozen=True, slots=True)
class DeviceReport:
    """The state of the sound device, and why.

    Attributes:
        named: what the cause is about: the device's own name, or what the system said.
    """

    state: DeviceState
    cause: Cause
    named: str = ""
