"""The bay as the screen has it: the door, and beside it what changes together."""

from bayapp.alerts.withdrawn import after_restart
from bayapp.bay.advice import BayAdvice
from bayapp.bay.alerts import BayAlerts
from bayapp.bay.clock_watch import ClockWatch
from bayapp.bay.door import Door
from bayapp.bay.sensors import BaySensors
from bayapp.bay.sound import BaySound
from bayapp.bay.store_watch import StoreWatch
from bayapp.bay.told import Told
from bayapp.clock import Clock
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
        self.alerts = BayAlerts(self, self.sensors, self.sound, found, journal.last_heartbeat())
        self.advice = BayAdvice(self)
        self.told: Told | None = None
        self.clock_watch = ClockWatch(self, journal, clock)
        self.store_watch = StoreWatch(journal)
