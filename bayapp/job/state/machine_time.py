"""What is known of the machine's time: when it was off, for how long, and when a time service had set its clock."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job.state.events import Length


@dataclass(frozen=True, slots=True)
class Outage:
    """A stretch in which the machine was off, and by the board how long.

    Attributes:
        since, until: the last moment known before, and where the board's time went on.
        at_least: so much real time has passed between them: since the machine was switched on.
        offset: how far the board was ahead of the machine's clock before.
        length: how its length is known.
    """

    since: datetime
    until: datetime
    at_least: timedelta
    offset: timedelta
    length: Length

    @property
    def slack(self) -> timedelta:
        """By how much it can have been shorter."""
        return max(timedelta(), self.until - self.since - self.at_least)


@dataclass(frozen=True, slots=True)
class Anchor:
    """A moment of the board at which the machine's clock, set by a time service, said ``utc``."""

    at: datetime
    utc: datetime


@dataclass(frozen=True, slots=True)
class MachineTime:
    """The outages and anchors, oldest first."""

    outages: tuple[Outage, ...] = ()
    anchors: tuple[Anchor, ...] = ()

    @property
    def asked(self) -> tuple[Outage, ...]:
        """The outages whose length a person has still to tell; where there is one, the time is not known."""
        return tuple(outage for outage in self.outages if outage.length == "asked")

    @property
    def unsure_since(self) -> tuple[datetime, ...]:
        """From when to the next entry nobody knows how much time passed."""
        return tuple(outage.since for outage in self.outages if outage.length == "unsure")

    @property
    def chain(self) -> Anchor | None:
        """The newest anchor, where no outage since then was told by a person or not known; the one asked about may be.

        From it a clock that a time service sets tells how long that one was.
        """
        anchor = self.anchors[-1] if self.anchors else None
        if anchor is None:
            return None
        since = [outage for outage in self.outages if outage.until > anchor.at]
        return anchor if all(o.length in ("measured", "asked") for o in since) else None

    @property
    def anchor(self) -> Anchor | None:
        """The newest anchor, where it is of this boot."""
        anchor = self.anchors[-1] if self.anchors else None
        return None if anchor is None or any(o.until > anchor.at for o in self.outages) else anchor

    @property
    def _anchor_before(self) -> Anchor | None:
        """The newest anchor of an earlier boot, where the board never took the machine's time since."""
        last = self.anchor
        earlier = [a for a in self.anchors if last and any(a.at < o.until <= last.at for o in self.outages)]
        if not earlier or any(o.length == "unasked" for o in self.outages if o.until > earlier[-1].at):
            return None
        return earlier[-1]

    @property
    def lost(self) -> timedelta | None:
        """How much time outages took beyond what the board counted, by a time service; None where none can tell."""
        last, before = self.anchor, self._anchor_before
        return (last.utc - before.utc) - (last.at - before.at) if last and before else None

    @property
    def blamed_for_lost(self) -> tuple[Outage, ...]:
        """The outages that can have taken it, oldest first."""
        before = self._anchor_before
        return tuple(outage for outage in self.blamable if before and outage.until > before.at)

    @property
    def behind(self) -> timedelta | None:
        """How far the board is behind the clock that a time service sets; None where none has in this boot."""
        return None if self.anchor is None else self.anchor.utc - self.anchor.at

    @property
    def began(self) -> datetime | None:
        """From when on the board has run as it does now: where it last took the machine's time with nothing running."""
        return next((o.until for o in reversed(self.outages) if o.length == "unasked"), None)

    @property
    def blamable(self) -> tuple[Outage, ...]:
        """The outages since then whose length no time service has measured, oldest first."""
        began = self.began
        late = [o for o in self.outages if began is None or o.until > began]
        return tuple(o for o in late if o.length in ("told", "unsure"))

    def ended(self, until: datetime) -> Outage | None:
        """Return the outage that ended at an instant, or None."""
        return next((outage for outage in self.outages if outage.until == until), None)


NOTHING_KNOWN = MachineTime()
