"""What does not fit together in a job: the sentence, and which work block it is about."""

from bayapp.job.model.ids import ZoneId
from bayapp.text.language import _


class MisfitError(ValueError):
    """Parts of a job do not fit together; change what the sentence says.

    Attributes:
        reason: what is wrong and what would be right, without the place.
        block: which work block it is about, 0 first; None where it is about a zone.
        zone: the zone it is about, where no block is named.
    """

    def __init__(self, reason: str, block: int | None = None, zone: ZoneId | None = None) -> None:
        place = _("work") if block is None else _("work {number}").format(number=block + 1)
        super().__init__(f"{place}: {reason}")
        self.reason = reason
        self.block = block
        self.zone = zone


class KeyMisfitError(ValueError):
    """A key of a file does not go with the others beside it.

    Attributes:
        key: the one to look at first.
    """

    def __init__(self, key: str, reason: str) -> None:
        super().__init__(reason)
        self.key = key
