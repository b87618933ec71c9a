"""Where a car stood and was moved, and what was said of the water used beside it."""

from collections.abc import Iterator, Sequence

from bayapp.job.model.ids import PlaceId
from bayapp.job.model.job import Job
from bayapp.job.model.place import Places
from bayapp.job.state.events import CarMoved, CarMoveUndone, Event, JobOpened, SplashAnswered
from bayapp.job.text.naming import place_title
from bayapp.report.facts.day_record import JobChange


def places_stood(events: Sequence[Event], job: Job, places: Places) -> Iterator[JobChange]:
    """Yield what the journal tells of a car's place, in its order and by the names of ``places``."""
    stood: list[PlaceId | None] = []
    for event in events:
        if isinstance(event, SplashAnswered) and job.id in (event.job, event.of):
            splash = (event.zones_text, event.out_of_reach)
            yield JobChange((), event.at, event.by, "", splash=splash)
        elif event.job != job.id:
            continue
        elif isinstance(event, JobOpened):
            stood = [event.place]
            if event.place is not None:
                yield JobChange((), event.at, event.by, "", place=place_title(places, event.place), move="in")
        elif isinstance(event, CarMoved):
            stood.append(event.to)
            reason = event.deviation.reason if event.deviation else ""
            place = ", ".join(filter(None, (place_title(places, event.to), event.spot)))
            yield JobChange((), event.at, event.by, "", reason, place=place, move="moved", curing=event.curing)
        elif isinstance(event, CarMoveUndone):
            stood = stood[:-1] or stood
            yield JobChange((), event.at, event.by, "", place=place_title(places, stood[-1]), move="undone")
