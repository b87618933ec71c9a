"""What is wrong with the bay's sensors, and which of them are not used."""

from datetime import datetime

from bayapp.alerts.condition import Condition
from bayapp.bay.door import Door
from bayapp.job import Verdict
from bayapp.job.model.ids import Person, PlaceId
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.state.requests import TrustSensor
from bayapp.job.state.sensor_trust import unused


class BaySensors:
    """The latest that is known of the sensors.

    Attributes:
        troubles: what is wrong with them; each calls for a person.
        contradictions: those of the air that contradict each other.
    """

    def __init__(self, door: Door) -> None:
        self._door = door
        self.troubles: tuple[Condition, ...] = ()
        self.contradictions: tuple[Contradiction, ...] = ()

    def take(self, troubles: tuple[Condition, ...], contradictions: tuple[Contradiction, ...]) -> bool:
        """Keep what is wrong now; return whether that is anything new."""
        new = (troubles, contradictions) != (self.troubles, self.contradictions)
        self.troubles, self.contradictions = troubles, contradictions
        return new

    def contradictions_at(self, place: PlaceId | None) -> tuple[Contradiction, ...]:
        """Return which sensors contradict each other in the air of a place."""
        places = self._door.state.places
        return tuple(c for c in self.contradictions if places.same_air(places.sensors.get(c.first.id), place))

    def trust(self, sensor: str, again_from: datetime, by: Person | None = None) -> Verdict:
        """A person has said not to use a sensor before an instant; recorded, so that a restart keeps to it."""
        return self._door.request(TrustSensor(sensor, again_from, by))

    def unused(self, at: datetime) -> frozenset[str]:
        """Return the sensors that are not used at an instant."""
        return unused(self._door.state.answers, at)
