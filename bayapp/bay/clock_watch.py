"""The machine's clock, watched: its jumps, its time zone, and a sign of life for the next start."""

from datetime import datetime
from typing import NamedTuple

from bayapp.bay.door import Door
from bayapp.clock import Clock, ClockJump, from_wall
from bayapp.job import Verdict
from bayapp.job.state.requests import ReportClockJump, ReportTimeZone, SettleClock
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.record.journal import Journal


class TimeZoneChange(NamedTuple):
    """Which time zone the machine had, and which it has now."""

    was: str
    becomes: str


class ClockWatch:
    """Notices what happens to the machine's clock and has it recorded; running waits do not move."""

    def __init__(self, door: Door, journal: Journal, clock: Clock) -> None:
        self._door = door
        self._journal = journal
        self._clock = clock
        self._noticed: list[ClockJump | TimeZoneChange] = []

    @property
    def unsure(self) -> bool:
        """Whether a person must still say what time it is."""
        return self._door.state.open_clock_step is not None

    def wall_time(self) -> datetime:
        """Return what the machine's wall clock says, right or wrong."""
        return from_wall(self._clock.stamp())

    def jumped(self, jump: ClockJump) -> Verdict:
        """Record that the machine's wall clock moved against elapsed time."""
        return self._door.request(ReportClockJump(jump.by_ms, jump.certain))

    def settle(self, to_wall: bool = False) -> Verdict:
        """A person has said that the time shown is right, or that the machine's clock is by now: go on from that."""
        verdict = self._door.judge(SettleClock())
        if not verdict.accepted:
            return verdict
        if to_wall:
            self._clock.set_to_wall()
        return self._door.request(SettleClock())

    def time_zone_changed(self, was: str, becomes: str) -> None:
        """Take note that the machine was given another time zone, to be recorded at the next watch."""
        self._noticed.append(TimeZoneChange(was, becomes))

    def watch(self) -> None:
        """Notice and record a jump of the wall clock, and leave a sign of life for the next start.

        Raises:
            BackgroundWriteFailed: the store failed; what was noticed is kept and recorded at a later watch.
        """
        jump = self._clock.watch()
        if jump:
            self._noticed.append(jump)
        try:
            while self._noticed:
                self._record(self._noticed[0])
                del self._noticed[0]
            self._journal.heartbeat(self._door.now(), self._clock.stamp())
        except StoreProblem as trouble:
            raise BackgroundWriteFailed(trouble.what, trouble.where, trouble.remedy) from trouble

    def _record(self, noticed: ClockJump | TimeZoneChange) -> None:
        if isinstance(noticed, ClockJump):
            self.jumped(noticed)
        else:
            self._door.request(ReportTimeZone(noticed.was, noticed.becomes))
