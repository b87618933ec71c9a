"""Which sensors were not trusted, by whom and until when."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bayapp.job.state.events import AlertAnswered, Event
from bayapp.job.state.sensor_trust import sensor_of
from bayapp.report.facts.air_values import Distrusted


def distrusted(events: Sequence[Event]) -> tuple[Distrusted, ...]:
    """Return every stretch in which a sensor was out of use, in the order of the journal; a touch may end it sooner."""
    stretches: list[Distrusted] = []
    last: dict[str, int] = {}
    for event, sensor in _answers(events):
        place = last.get(sensor)
        if place is not None and stretches[place].until > event.at:
            stretches[place] = replace(stretches[place], until=event.at, ended_by=event.by)
        if event.until and event.until > event.at:
            last[sensor] = len(stretches)
            stretches.append(Distrusted(sensor, event.at, event.by, event.until))
    return tuple(stretches)


def _answers(events: Sequence[Event]) -> Iterator[tuple[AlertAnswered, str]]:
    for event in events:
        if isinstance(event, AlertAnswered):
            yield from ((event, sensor) for subject in event.subjects if (sensor := sensor_of(subject)))
