"""How the sound device stands. Knows no Qt and no device."""

from dataclasses import dataclass
from enum import StrEnum


class DeviceState(StrEnum):
    """Whether calls can be heard."""

    WORKING = "working"
    NONE = "none"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class DeviceReport:
    """How the sound device stands, and why, in a sentence for people."""

    state: DeviceState
    reason: str
