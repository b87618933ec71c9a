"""The machine's clock, watched: starts, jumps, time services, its time zone, and a sign of life for the next start."""

from datetime import datetime, tzinfo
from typing import NamedTuple

from bayapp.bay.door import Door
from bayapp.clock import Clock, ClockJump, Readings, from_wall
from bayapp.job import Verdict, fold
from bayapp.job.state.beginning import TOLERANCE, Beginning, Sign, beginning, by_service, newest
from bayapp.job.state.requests import ReportClockJump, ReportSynchronised, ReportTimeZone, SayTime
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.record.journal import Journal
from bayapp.text.days import same_day


class TimeZoneChange(NamedTuple):
    """Which time zone the machine had, and which it has now."""

    was: str
    becomes: str


def how_it_begins(journal: Journal, readings: Readings, tz: tzinfo) -> Beginning:
    """Return where the board's time goes on at a start on this journal; ``tz`` tells what is today."""
    now, known = readings.stamp(), fold(journal.machine_time()).machine
    entry, beat, touched = journal.last_stamp(), journal.last_heartbeat(), journal.last_touch()
    last = newest(entry and Sign(*entry), beat and Sign(*beat), bool(known.outages))
    today = touched is not None and same_day(touched, from_wall(now), tz)
    return beginning(now, readings.synchronised(), last, known, hangs=today or bool(journal.open_jobs()))


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
        return bool(self._door.state.machine.asked)

    @property
    def by_service(self) -> bool:
        """Whether the system says that a time service sets the machine's clock."""
        return self._clock.synchronised()

    def wall_time(self) -> datetime:
        """Return what the machine's wall clock says, right or wrong."""
        return from_wall(self._clock.stamp())

    def by_machine(self) -> datetime:
        """Return what time it is by the machine's clock, if that is as far from the board's as before the outage."""
        asked = self._door.state.machine.asked
        return self.wall_time() + asked[0].offset if asked else self.wall_time()

    def begin(self, begins: Beginning) -> None:
        """Record what was found at the start."""
        if begins.start:
            self._door.request(begins.start, begins.at)
        if begins.jump:
            self.jumped(begins.jump)

    def jumped(self, jump: ClockJump) -> Verdict:
        """Record that the machine's wall clock moved against elapsed time."""
        return self._door.request(ReportClockJump(jump.by_ms))

    def say(self, said: SayTime) -> Verdict:
        """A person has said what time it is, or a time service: go on from that."""
        verdict = self._door.request(said)
        if verdict.accepted:
            self._beat()
        return verdict

    def time_zone_changed(self, was: str, becomes: str) -> None:
        """Take note that the machine was given another time zone, to be recorded at the next watch."""
        self._noticed.append(TimeZoneChange(was, becomes))

    def watch(self) -> None:
        """Notice and record what happened to the clock, and leave a sign of life for the next start.

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
            if self._clock.synchronised():
                self._hear_time_service()
            self._beat()
        except StoreProblem as trouble:
            raise BackgroundWriteFailed(trouble.what, trouble.where, trouble.remedy) from trouble

    def _beat(self) -> None:
        self._journal.heartbeat(self._door.now(), self._clock.stamp())

    def _record(self, noticed: ClockJump | TimeZoneChange) -> None:
        if isinstance(noticed, ClockJump):
            self.jumped(noticed)
        else:
            self._door.request(ReportTimeZone(noticed.was, noticed.becomes))

    def _hear_time_service(self) -> None:
        """Answer the question of an outage where a time service set the clock before, too; else keep what it says."""
        wall, now = self.wall_time(), self._door.now()
        state = self._door.state
        if state.machine.asked:
            right = by_service(state.machine, wall)
            if right is not None and right >= now - TOLERANCE:
                self.say(SayTime("service", right))
            return
        behind = state.machine.behind
        if state.open_jobs and (behind is None or abs(wall - now - behind) > TOLERANCE):
            self._door.request(ReportSynchronised(wall))
