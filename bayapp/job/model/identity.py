"""What tells a car from others and what its owner wishes: plate, key hook, mileage, wishes."""

import unicodedata
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from bayapp.job.model.vehicle import FileModel
from bayapp.text.language import _
from bayapp.text.readable import fault_in

MOST_SIGNS = 20
"""Characters of a plate or a key hook; marks on a letter are not counted."""
MOST_MILEAGE = 9_999_999
MOST_WISHES = 20
LONGEST_WISH = 200

MileageUnit = Literal["km", "mi"]


def fault_in_plate(text: str) -> str:
    """Return what is wrong with a plate or a key hook, and what would be right; empty where nothing is."""
    signs = signs_in(tidied(text))
    if signs > MOST_SIGNS:
        return _("it has {n} characters; at most {most} are kept").format(n=signs, most=MOST_SIGNS)
    return fault_in(text)


def tidied(text: str) -> str:
    """Return a text without blanks around it, single blanks in it, its letters composed (Unicode's form C)."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def signs_in(text: str) -> int:
    """Return how many characters people count in a text."""
    return sum(not unicodedata.category(character).startswith("M") for character in text)


def _plate(text: str) -> str:
    fault = fault_in_plate(text)
    if fault:
        raise ValueError(fault)
    return tidied(text)


def _wish(text: str) -> str:
    fault = fault_in(text)
    if fault:
        raise ValueError(fault)
    return tidied(text)


def called(title: str, plate: str) -> str:
    """Return what people call a car: its title, and its plate where that is known."""
    return _("{title} · {plate}").format(title=title, plate=plate) if plate else title


Plate = Annotated[str, AfterValidator(_plate)]
"""A number plate in any script, as it stands on the car; empty where nobody has said."""
KeyHook = Annotated[str, AfterValidator(_plate)]
"""Where the car's key hangs; empty where nobody has said."""
Wish = Annotated[str, Field(min_length=1, max_length=LONGEST_WISH), AfterValidator(_wish)]


class Mileage(FileModel):
    """What the car's counter shows, in its own unit."""

    figure: int = Field(strict=True, ge=0, le=MOST_MILEAGE)
    unit: MileageUnit = "km"


class Identity(FileModel):
    """All that is known of what tells a car from others, and what its owner wishes, in the order it was said."""

    plate: Plate = ""
    key_hook: KeyHook = ""
    mileage: Mileage | None = None
    wishes: tuple[Wish, ...] = Field(default=(), max_length=MOST_WISHES)


NOTHING_SAID = Identity()
