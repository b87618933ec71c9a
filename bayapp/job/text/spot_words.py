"""What a polish button says of the test spot: the combination that was chosen, or that there is none yet."""

from collections.abc import Iterable

from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.spots import chosen_spot, wants_spot
from bayapp.job.state.state import JobState
from bayapp.job.text.naming import capital
from bayapp.text.language import _, ngettext


def card_text(card: SpotCard) -> str:
    """Return a combination in one line: "eccentric, soft foam, finishing paste, 4 passes"."""
    return ngettext("{machine}, {pad}, {paste}, {n} pass", "{machine}, {pad}, {paste}, {n} passes", card.passes).format(
        machine=card.machine, pad=card.pad, paste=card.paste, n=card.passes
    )


def spot_text(car: JobState, zones: Iterable[ZoneId], step: StepId | None) -> str:
    """Return what a polish button says of the test spot; empty for every other step, and where none is made."""
    zones = tuple(zones)
    card = chosen_spot(car, zones, step)
    if card:
        return _("{card}.").format(card=capital(card_text(card)))
    return _("First a test spot.") if wants_spot(car, zones, step) else ""
