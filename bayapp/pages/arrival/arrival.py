"""The page on which a car arrives: what is known of it so far, and the way to each part of that."""

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from bayapp.job import JobState
from bayapp.job.model.identity import Identity, Mileage
from bayapp.pages.arrival.marks import summary
from bayapp.pages.arrival.photos import counted_text
from bayapp.pages.arrival.thickness import measured_text
from bayapp.text.figures import distance_text
from bayapp.text.language import _, ngettext


class Fact(StrEnum):
    """What can be told of a car when it arrives, in the order in which one walks around it."""

    PLATE = "plate"
    KEY_HOOK = "key-hook"
    MILEAGE = "mileage"
    WISHES = "wishes"
    OWNER = "owner"
    MARKS = "marks"
    THICKNESS = "thickness"
    PHOTOS = "photos"


@dataclass(frozen=True, slots=True)
class FactView:
    """One part of what is told: its name, what is known of it so far, and whether anything is."""

    fact: Fact
    title: str
    known: str
    told: bool


def arrival_view(car: JobState, offered: Collection[Fact], owner_told: bool = False) -> tuple[FactView, ...]:
    """Return what is known of a car, of the parts that are offered; the owner's name is for no visitor to read."""
    told = {
        **_known(car.identity),
        Fact.OWNER: _("told; touch to see") if owner_told else "",
        Fact.MARKS: summary(car),
        Fact.THICKNESS: measured_text(car),
        Fact.PHOTOS: counted_text(car),
    }
    known = {fact: words for fact, words in told.items() if fact in offered}
    titles = {
        Fact.PLATE: _("Plate"),
        Fact.KEY_HOOK: _("Key hook"),
        Fact.MILEAGE: _("Mileage"),
        Fact.WISHES: _("Wishes"),
        Fact.OWNER: _("Owner"),
        Fact.MARKS: _("Marks"),
        Fact.THICKNESS: _("Paint thickness"),
        Fact.PHOTOS: _("Photos"),
    }
    return tuple(FactView(fact, titles[fact], words or _nothing(fact), bool(words)) for fact, words in known.items())


def _known(identity: Identity) -> dict[Fact, str]:
    return {
        Fact.PLATE: identity.plate,
        Fact.KEY_HOOK: identity.key_hook,
        Fact.MILEAGE: mileage_text(identity.mileage) if identity.mileage else "",
        Fact.WISHES: wishes_text(identity.wishes),
    }


def _nothing(fact: Fact) -> str:
    return {
        Fact.PLATE: _("tells two cars of one colour apart"),
        Fact.KEY_HOOK: _("where the key hangs"),
        Fact.MILEAGE: _("if it is wanted"),
        Fact.WISHES: _("of the owner"),
        Fact.OWNER: _("name and phone, if wanted"),
        Fact.MARKS: _("damage, matt, film, repainted, sensor, leave alone"),
        Fact.THICKNESS: _("before anybody polishes"),
        Fact.PHOTOS: _("what it looks like, before and after"),
    }[fact]


def mileage_text(mileage: Mileage) -> str:
    """Return what the car's counter shows, with its unit."""
    return distance_text(mileage.figure, mileage.unit)


def wishes_text(wishes: tuple[str, ...]) -> str:
    """Return the wishes in a line: one as it is, of several the first and how many more."""
    if len(wishes) <= 1:
        return "".join(wishes)
    more = len(wishes) - 1
    return ngettext("{first}, and {n} more", "{first}, and {n} more", more).format(first=wishes[0], n=more)
