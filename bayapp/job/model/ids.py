"""The closed sets and id types that every room shares."""

from enum import StrEnum
from typing import NewType

ZoneId = NewType("ZoneId", str)
SetName = NewType("SetName", str)
StepId = NewType("StepId", str)
JobId = NewType("JobId", str)
Person = NewType("Person", str)
BottleId = NewType("BottleId", str)
PlaceId = NewType("PlaceId", str)

THE_CAR = ZoneId("car")
"""The car itself, as a zone: work on the whole of it. Waits may name it where a form or a job has no such zone."""


class StepKind(StrEnum):
    """What a rung of the ladder does to the surface."""

    WASH = "wash"
    DECONTAMINATE = "decontaminate"
    RINSE = "rinse"
    DRY = "dry"
    POLISH = "polish"
    DUST_OFF = "dust-off"
    WIPE = "wipe"
    COAT = "coat"
    LEVEL = "level"
    BUFF = "buff"
    CURE = "cure"
    DRESS = "dress"
    CLEAN = "clean"
    MASK = "mask"
    UNMASK = "unmask"
    INSPECT = "inspect"


class CarColour(StrEnum):
    """The colours that a car may be called by."""

    WHITE = "white"
    SILVER = "silver"
    GREY = "grey"
    BLACK = "black"
    BLUE = "blue"
    RED = "red"
    GREEN = "green"
    YELLOW = "yellow"


class Motion(StrEnum):
    """How the strokes of a layer are laid."""

    VERTICAL = "vertical"
    HORIZONTAL = "horizontal"
    CIRCULAR = "circular"


class Stage(StrEnum):
    """How far a surface has got; drawn as texture."""

    UNTOUCHED = "untouched"
    CLEAN = "clean"
    POLISHED = "polished"
    WIPED = "wiped"
    COATED = "coated"
    BUFFED = "buffed"
    FINISHED = "finished"


class Urgency(StrEnum):
    """How a zone's clock stands; drawn as colour and badge."""

    IDLE = "idle"
    WORKING = "working"
    WAITING = "waiting"
    OPEN = "open"
    CLOSING = "closing"
    LAPSED = "lapsed"
    FINISHED = "finished"


class LapseTo(StrEnum):
    """What a missed latest moment costs: the rung the zone steps back to, or nothing but being told."""

    WIPE = "wipe"
    POLISH = "polish"
    REPEAT = "repeat"
    INSPECT = "inspect"
    NOTHING = "nothing"


class Code(StrEnum):
    """Why the gate refused."""

    EARLY = "early"
    LATE = "late"
    ORDER = "order"
    BUSY = "busy"
    BAY = "bay"
    AIR = "air"
    EXPIRED = "expired"
    UNKNOWN = "unknown"
    CLOCK = "clock"
    DONE = "done"
    MARK = "mark"
