"""The names of the parts of a split zone, in ids and in words."""

from collections.abc import Sequence

from bayapp.text.language import _

PARTS = ("front", "rear", "left", "right", "upper", "lower")


def part_name(zone: str, place: str) -> str:
    """Return the name of a part of a zone, by its place."""
    said = {
        "front": _("{zone}, front part"),
        "rear": _("{zone}, rear part"),
        "left": _("{zone}, left part"),
        "right": _("{zone}, right part"),
        "upper": _("{zone}, upper part"),
        "lower": _("{zone}, lower part"),
    }
    return said[place].format(zone=zone)


def part_short(zone: str, place: str) -> str:
    """Return the short name of a part, as shown on the drawing."""
    said = {
        "front": _("{zone}, front"),
        "rear": _("{zone}, rear"),
        "left": _("{zone}, left"),
        "right": _("{zone}, right"),
        "upper": _("{zone}, upper"),
        "lower": _("{zone}, lower"),
    }
    return said[place].format(zone=zone)[:45]


def short_of_whole(parts: Sequence[str]) -> str:
    """Return the short name of the zone that these parts come from; empty if it cannot be seen."""
    for place in PARTS:
        before, after = part_short("\0", place).split("\0")
        for part in parts:
            if part.startswith(before) and part.endswith(after) and after + before:
                return part[len(before) : len(part) - len(after)]
    return ""


def joined_name(zones: Sequence[str]) -> str:
    """Return the name of a joined zone."""
    name = zones[0]
    for other in zones[1:]:
        name = _("{one} and {other}").format(one=name, other=other)
    return name
