"""The journal as its callers see it: entries go in, events come out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from bayapp.clock import Stamp
from bayapp.job.model.ids import JobId
from bayapp.job.model.job import Job
from bayapp.job.state.events import Event, PhotoAdded
from bayapp.record.chain import Head
from bayapp.record.findings import Finding


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """One event as it stands in the journal.

    Attributes:
        seq: 1, 2, 3 and so on without holes.
        stamp: what the machine's clocks said when it was recorded.
    """

    seq: int
    event: Event
    stamp: Stamp


@dataclass(frozen=True, slots=True)
class PastCar:
    """A car that left: its job as it came in, when it came and when it left."""

    job: Job
    came_at: datetime
    left_at: datetime


class Journal(Protocol):
    """The append-only record of everything that happened. All methods raise StoreProblem when the store fails.

    Events are read in the times that are known to be right by now; ``entries`` returns them as they were written.
    """

    def append(self, events: Sequence[Event], stamp: Stamp, after_seq: int | None = None) -> tuple[int, ...]:
        """Record events, all or none, and return their numbers; when this returns, they are on disk.

        Raises:
            AppendConflict: ``after_seq`` was given and is not the last entry any more.
            StoreProblem: nothing was recorded.
        """

    def read(self) -> list[Event]:
        """Return every event, oldest first."""

    def read_open(self) -> list[Event]:
        """Return the events that the present state depends on, oldest first.

        These are:
        - all events of jobs that are not closed;
        - of the last day, or since the oldest open job came in if that is longer ago: answered alerts, changes of
          time zone, and readings of the air, these back to the earliest time that a start was corrected to, and the
          one in force then;
        - however old they are: steps of the clock, what put the time right, corrections of readings, and all that
          happened to bottles;
        - the last starts of the machine and settings of its clock;
        - the last sound check, and what the bay was last set up with;
        - the last entry, whatever it is, because it gives the time of the last event.
        """

    def read_job(self, job: JobId, alone: bool = False) -> list[Event]:
        """Return one job's events and, unless ``alone``, those of no job (air, sound, clock), oldest first.

        What puts the time right is always among them.
        """

    def read_past(self, job: JobId) -> list[Event]:
        """Return the events of a job that left, and the readings of the air that its waits went by, oldest first.

        Of a job that has not left, or never was, there are none.
        """

    def moments_of(self, job: JobId) -> list[datetime]:
        """Return when each of one job's events happened, in the order of the journal, without reading the events."""

    def entries(self, after_seq: int = 0) -> list[JournalEntry]:
        """Return the entries after ``after_seq`` with their numbers and stamps, oldest first."""

    def open_jobs(self) -> tuple[JobId, ...]:
        """Return the jobs that are not closed, in the order in which they came in."""

    def left_since(self, at: datetime) -> tuple[JobId, ...]:
        """Return the jobs that were closed at an instant or later, in the order in which they came in."""

    def past_cars(self, first: int, count: int) -> tuple[PastCar, ...]:
        """Return so many of the cars that left and are not open again, from a place on, the last to leave first."""

    def last_seq(self) -> int:
        """Return the number of the last entry, 0 for an empty journal."""

    def head(self) -> Head:
        """Return the last entry's number and checksum, which stand for all that was recorded."""

    def last_stamp(self) -> tuple[datetime, Stamp] | None:
        """Return the instant and the stamp of the last entry."""

    def heartbeat(self, at: datetime, stamp: Stamp) -> None:
        """Record that the program runs, so that the next start knows how long it did at least."""

    def last_heartbeat(self) -> tuple[datetime, Stamp] | None:
        """Return the instant and the stamp of the last heartbeat."""

    def machine_time(self) -> list[Event]:
        """Return what tells of the machine's time: its last starts, settings of its clock, jumps, oldest first."""

    def last_touch(self) -> datetime | None:
        """Return when the last entry was recorded that tells of more than the time and how the bay is set up."""

    def photos(self) -> list[PhotoAdded]:
        """Return every photo that was ever added to a car, also those that were taken away again."""

    @property
    def noticed(self) -> tuple[Finding, ...]:
        """What was not as it should be when it was opened, and kept nobody from opening it."""

    def rebuild_indexes(self) -> None:
        """Make the indexes anew from the entries, where one is damaged and they are not."""

    def save_open(self) -> Path:
        """Copy a journal whose file was deleted under this program from the file that is open; return the copy.

        Raises:
            StoreProblem: that cannot be done; says why, and what can.
        """

    def look(self) -> None:
        """Make sure that the store on disk is the one that was opened, and has what was recorded; a reader need not.

        Raises:
            StoreProblem: it is not; nothing can be recorded.
        """

    def close(self) -> None:
        """Let go of the store."""
