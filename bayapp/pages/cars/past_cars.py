"""The cars that left: the list of them, the last to leave first, and what one was like when it left."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import JobState
from bayapp.job.text.naming import capital
from bayapp.pages.cars.cars import CarEntry, work_text
from bayapp.pages.cars.leaving import day_of_week_and_time, unfinished_and_wet
from bayapp.record.journal import PastCar
from bayapp.text.days import day_of_week, same_day
from bayapp.text.figures import clock_time
from bayapp.text.language import _


def past_entries(cars: Iterable[PastCar], at: datetime, tz: tzinfo) -> tuple[CarEntry, ...]:
    """Return an entry for each car: its title, the day and hour at which it left, and what was worked."""
    return tuple(
        CarEntry(
            car.job.id,
            car.job.name,
            _("{left}; {work}").format(left=_left_text(car.left_at, at, tz), work=work_text(car.job)),
            car.job.colour,
            _day_text(car.left_at, at, tz),
        )
        for car in cars
    )


def _day_text(left_at: datetime, at: datetime, tz: tzinfo) -> str:
    """Return the day under which a car stands in the list."""
    if same_day(left_at, at, tz):
        return _("Today")
    day = left_at.astimezone(tz).date()
    return capital(f"{day_of_week(day)}" if day.year == at.astimezone(tz).year else f"{day_of_week(day)} {day.year}")


def _left_text(left_at: datetime, at: datetime, tz: tzinfo) -> str:
    time = clock_time(left_at, tz, seconds=False)
    if same_day(left_at, at, tz):
        return _("left today at {time}").format(time=time)
    day = left_at.astimezone(tz).date()
    year = "" if day.year == at.astimezone(tz).year else f" {day.year}"
    return _("left {day}, {time}").format(day=f"{day_of_week(day)}{year}", time=time)


@dataclass(frozen=True, slots=True)
class PastCarView:
    """One car as it was when it left.

    Attributes:
        subtitle: when it came and when it left.
        sentences: what was unfinished and what was wet, as of then; then its notes.
    """

    title: str
    subtitle: str
    sentences: tuple[str, ...]


def past_car(car: JobState, at: datetime, tz: tzinfo) -> PastCarView:
    """Return what is shown of a car that left.

    Raises:
        ValueError: it has not left.
    """
    left_at = car.closed_at
    if left_at is None:
        raise ValueError(f"{car.job.id} is in the bay")
    came = day_of_week_and_time(car.opened_at, left_at, tz)
    subtitle = _("Came {came}, {left}.").format(came=came, left=_left_text(left_at, at, tz))
    notes = (
        _("Note, {zone}: {text}").format(zone=car.job.zone_names[note.zone], text=note.text)
        if note.zone
        else _("Note: {text}").format(text=note.text)
        for note in car.notes
    )
    return PastCarView(car.job.name, subtitle, (*unfinished_and_wet(car, left_at, tz), *notes))
