"""What is chosen on the wall: the car, its open zones, the person, and the time zone of the times shown."""

from datetime import datetime, tzinfo

from bayapp.bay import Bay
from bayapp.job import JobState
from bayapp.job.model.ids import JobId, Person, PlaceId, StepId, ZoneId
from bayapp.pages.viewpoint import Viewpoint
from bayapp.text.days import same_day


class Selection:
    """What a person has turned to on the wall; one for all its parts.

    Attributes:
        bay: where the cars are.
        job: the car that is shown; None where there is none.
        zones: those whose ladder is open, or was until a page was opened from it.
        step: the one chosen among steps of the ladder that may swap.
        by: who stands at the car.
        tz: the time zone of the times shown.
    """

    def __init__(self, bay: Bay, tz: tzinfo, by: Person | None = None) -> None:
        self.bay, self.tz, self.by = bay, tz, by
        self.job: JobId | None = None
        self.zones: tuple[ZoneId, ...] = ()
        self.step: StepId | None = None
        self._said_at: datetime | None = None
        self.turn_to_first_car()

    @property
    def car(self) -> JobState | None:
        """The car that is shown, as it stands."""
        return self.bay.state.jobs[self.job] if self.job else None

    @property
    def place(self) -> PlaceId | None:
        """Where the car that is shown stands; None where bays have no names, or no car is shown."""
        car = self.bay.state.jobs.get(self.job) if self.job else None
        return car.place if car else None

    def seen_at(self, at: datetime) -> Viewpoint:
        """Return from where the bay is looked at, at an instant."""
        return Viewpoint(self.by, at, self.tz, self.job)

    def turn_to_first_car(self) -> None:
        """Turn to the first car in the bay, or to none."""
        inside = self.bay.state.open_jobs
        self.job = inside[0].job.id if inside else None
        self.ensure_person_in_crew()

    def turn_to_car(self, job: JobId) -> None:
        """Turn to this car."""
        self.job = job
        self.ensure_person_in_crew()

    def open_zones(self, job: JobId, zones: tuple[ZoneId, ...]) -> None:
        """Open the ladder of these zones."""
        if job != self.job:
            self.turn_to_car(job)
        self.zones = tuple(zones)

    def close_zones(self) -> None:
        """Turn away from the ladder."""
        self.zones, self.step = (), None

    def choose_step(self, step: StepId | None) -> None:
        """Say which of the steps that may swap comes first."""
        self.step = step

    def choose_person(self, person: Person | None) -> None:
        """Say who stands at the car."""
        self.by, self._said_at = person, self.bay.now()

    def somebody_said_today(self) -> bool:
        """Whether somebody has said today who stands at the car, or there is only one to stand there."""
        if len({person for job in self.bay.state.open_jobs for person in job.job.crew}) < 2:
            return True
        return self._said_at is not None and same_day(self._said_at, self.bay.now(), self.tz)

    def ensure_person_in_crew(self) -> None:
        """Turn to the first of the crew unless the person chosen is one of them; without a crew, to nobody."""
        crew = self.car.job.crew if self.car else ()
        if self.by not in crew:
            self.by = crew[0] if crew else None

    def set_time_zone(self, tz: tzinfo) -> None:
        """Show times in this time zone from now on."""
        self.tz = tz
