"""Ready-made words for the card of a test spot, so that nobody needs a keyboard (common practice, no source)."""

from bayapp.text.language import _

PASSES = (1, 2, 3, 4, 5, 6, 8, 10)


def machines() -> tuple[str, ...]:
    """Return the machines to choose from."""
    return (_("eccentric"), _("forced rotation"), _("rotary"), _("small rotary"), _("by hand"))


def pads() -> tuple[str, ...]:
    """Return the pads to choose from, the gentlest first."""
    return (_("soft foam"), _("medium foam"), _("hard foam"), _("microfibre"), _("short wool"), _("long wool"))


def pastes() -> tuple[str, ...]:
    """Return the pastes to choose from, the gentlest first."""
    return (_("finishing paste"), _("one-step paste"), _("cutting paste"))


def results() -> tuple[str, ...]:
    """Return what can be seen by light of a test spot."""
    return (
        _("swirls out, no haze"),
        _("swirls out, haze left to refine"),
        _("deep scratches stay"),
        _("hardly any change"),
        _("too much: go gentler"),
    )
