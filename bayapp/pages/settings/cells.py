"""One setting as it stands in a grid."""

from dataclasses import dataclass
from typing import Generic, TypeVar

Key_co = TypeVar("Key_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Cell(Generic[Key_co]):
    """One setting: its name and value; ``steps`` where it is moved by - and +, else a touch changes or opens it.

    Without a key it is an empty place.
    """

    key: Key_co | None
    title: str
    value: str
    steps: bool = False
    glyph: str = ""
    chosen: bool = False
