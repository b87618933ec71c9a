"""Whether the bay's calls can be heard."""

from datetime import datetime

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind
from bayapp.text.language import _

GROUP = "sound"


class BaySound:
    """What is known of the sound device.

    Attributes:
        troubles: that no call can be heard, which calls for a person; empty while all is well.
    """

    def __init__(self) -> None:
        self.troubles: tuple[Condition, ...] = ()

    def take(self, why: str, at: datetime) -> None:
        """Keep why no call can be heard, in a sentence; an empty one where they can."""
        since = self.troubles[0].since if self.troubles else at
        label = _("No sound. {why}").format(why=why.rstrip("."))
        subject = f"{GROUP}/{since.isoformat()}"
        self.troubles = (Condition(AlertKind.ATTENTION, subject, GROUP, label, since),) if why else ()
