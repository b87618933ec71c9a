"""The bay as the screen has it: the door, and beside it what changes together."""

from datetime import tzinfo
from typing import Self

from bayapp.alerts.withdrawn import after_restart
from bayapp.bay.advice import BayAdvice
from bayapp.bay.alerts import BayAlerts
from bayapp.bay.clock_watch import ClockWatch, how_it_begins
from bayapp.bay.door import Door
from bayapp.bay.sensors import BaySensors
from bayapp.bay.sound import BaySound
from bayapp.bay.store_watch import StoreWatch, upgraded
from bayapp.bay.told import Told
from bayapp.clock import BayClock, Clock, Readings
from bayapp.record.journal import Journal


class Bay(Door):
    """The door of the bay with all that stands beside it.

    Attributes:
        sensors: what is wrong with sensors, which contradict each other, which are not used.
        sound: whether calls can be heard.
        alerts: the alerts, their answers, and what must be sounded.
        advice: the newest work order and what may be begun by it.
        told: what the board says once of something beside the work, or None.
        clock_watch: jumps of the machine's clock, its time zone, and signs of life.
        store_watch: whether the store is still the one that was opened, and whole.
    """

    def __init__(self, journal: Journal, clock: Clock) -> None:
        found = after_restart(journal.read_open())
        super().__init__(journal, clock, found.state)
        self.sensors = BaySensors(self)
        self.sound = BaySound()
        beat = journal.last_heartbeat()
        alive = beat and min(beat[0], clock.now())
        self.alerts = BayAlerts(self, self.sensors, self.sound, found, alive)
        self.advice = BayAdvice(self)
        said = upgraded(journal.noticed)
        self.told = Told(self.now(), said) if said else None
        self.clock_watch = ClockWatch(self, journal, clock)
        self.store_watch = StoreWatch(journal)

    @classmethod
    def begun(cls, journal: Journal, readings: Readings, tz: tzinfo) -> Self:
        """Return the bay of a journal as a start of the program finds it; ``tz`` tells what is today."""
        begins = how_it_begins(journal, readings, tz)
        bay = cls(journal, BayClock(begins.at, readings))
        bay.clock_watch.begin(begins)
        return bay
