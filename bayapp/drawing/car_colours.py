"""The colours in which a car's sign is painted, so that several cars are told apart without a word."""

from bayapp.job.model.ids import CarColour

_BODY = {
    CarColour.WHITE: "#ffffff",
    CarColour.SILVER: "#c3c9cf",
    CarColour.GREY: "#7c838a",
    CarColour.BLACK: "#050607",
    CarColour.BLUE: "#2f62c9",
    CarColour.RED: "#cc2b2b",
    CarColour.GREEN: "#2e8b57",
    CarColour.YELLOW: "#e6c229",
}


def body_colour(colour: CarColour | None) -> str:
    """Return the paint of a car's sign as ``#rrggbb``; empty for one whose colour nobody has told."""
    return _BODY[colour] if colour else ""
