"""What owners wish most often, ready to touch, and what is wished for a car."""

from dataclasses import dataclass

from bayapp.job.model.identity import MOST_WISHES, Identity
from bayapp.text.language import _


def usual_wishes() -> tuple[str, ...]:
    """Return the wishes to choose from."""
    return (
        _("swirls out, as far as it goes"),
        _("gloss before all"),
        _("leave stone chips as they are"),
        _("touch up stone chips"),
        _("no dressing on tyres and trim"),
        _("nothing with scent in the cabin"),
        _("leave the cabin as it is"),
        _("child seats stay where they are"),
        _("call before any extra work"),
    )


@dataclass(frozen=True, slots=True)
class WishChoice:
    """One wish that may be touched, and whether it is wished for this car."""

    wish: str
    chosen: bool


def wish_choices(identity: Identity) -> tuple[WishChoice, ...]:
    """Return the usual wishes, and before them those in own words."""
    usual = usual_wishes()
    own = [wish for wish in identity.wishes if wish not in usual]
    return tuple(WishChoice(wish, wish in identity.wishes) for wish in (*own, *usual))


def is_full(identity: Identity) -> bool:
    """Whether as many wishes are known of a car as are kept."""
    return len(identity.wishes) >= MOST_WISHES


def with_wish(identity: Identity, wish: str) -> tuple[str, ...]:
    """Return the wishes with one after the others; one that is there already stays where it is."""
    return tuple(dict.fromkeys((*identity.wishes, wish)))


def without_wish(identity: Identity, wish: str) -> tuple[str, ...]:
    """Return the wishes without one."""
    return tuple(other for other in identity.wishes if other != wish)
