"""Who works in the bay, what they can do, and when.

Steps are not interrupted: none runs into a break. Whoever is at work when the hours end is planned to the end of that
step.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from bayapp.job.model.ids import Person
from bayapp.job.model.recipe import Step
from bayapp.job.state.state import BayState, JobState
from bayapp.planning.from_bay.shop import Shop

POOL = "person"
NIGHT = time.max


@dataclass(frozen=True)
class Crew:
    """The people of every car in the bay; one without a name if no job names anybody."""

    people: tuple[Person, ...]
    shop: Shop

    @classmethod
    def of(cls, state: BayState, shop: Shop) -> "Crew":
        """Return the people that the open jobs name."""
        return cls(tuple(dict.fromkeys(p for job in state.open_jobs for p in job.job.crew)), shop)

    def able(self, job: JobState, step: Step) -> tuple[Person, ...]:
        """Return who may and can do a step of a car."""
        own = job.job.crew or self.people
        return tuple(p for p in self.people if p in own and step.kind not in self.shop.cannot.get(p, ()))

    def alike(self, work: Iterable[tuple[JobState, Step]]) -> bool:
        """Whether everybody can do all of this work: then they are a pool of hands, and names are assigned later."""
        return all(len(self.able(job, step)) == len(self.people) for job, step in work)

    def hands(self, alike: bool) -> dict[str, int]:
        """Return the resources of a problem: one pool, or a pair of hands for each person."""
        return {POOL: max(1, len(self.people))} if alike else dict.fromkeys(map(str, self.people), 1)


def closed_stretches(shop: Shop, at: datetime, until: datetime, open_until: datetime) -> tuple[tuple[int, int], ...]:
    """Return when nobody works between two instants, in seconds from the first.

    ``open_until``: whoever is at work now continues at least until then, whatever the hours say.
    """
    if not shop.hours:
        return ()
    found: list[tuple[int, int]] = []
    away_from = max(at, open_until)
    for begins, ends in _days(shop, at, until):
        if begins > away_from:
            found.append((_seconds(away_from - at), _seconds(begins - at)))
        away_from = max(away_from, ends)
    found.append((_seconds(away_from - at), _seconds(until - at) + 24 * 3600))
    return tuple((a, b) for a, b in found if a < b)


def _days(shop: Shop, at: datetime, until: datetime) -> Iterable[tuple[datetime, datetime]]:
    day = at.astimezone(shop.tz).date()
    while datetime.combine(day, time.min, shop.tz) <= until:
        for begins, ends in shop.hours:
            over = datetime.combine(day, time.min, shop.tz) + timedelta(days=1)
            yield (
                datetime.combine(day, begins, shop.tz),
                over if ends == NIGHT else datetime.combine(day, ends, shop.tz),
            )
        day += timedelta(days=1)


def _seconds(stretch: timedelta) -> int:
    return stretch // timedelta(seconds=1)


def names_for(
    spans: Iterable[tuple[str, int, int]],
    people: tuple[Person, ...],
    given: Mapping[str, Person],
    way: Callable[[str, str], int],
) -> dict[str, Person]:
    """Assign steps to people who can all do everything: each to whoever is free and nearest.

    Args:
        spans: task, start and end of what needs hands; never more at once than there are people.
        given: tasks whose person is known.
        way: the distance between two tasks.
    """
    busy_until, last = dict.fromkeys(people, 0), dict[Person, str]()
    found: dict[str, Person] = {}
    for task, start, end in sorted(spans, key=lambda s: (s[1], s[0] not in given, s[2])):
        free = [p for p in people if busy_until[p] <= start] or list(people)
        person = given.get(task) or min(free, key=lambda p: way(last[p], task) if p in last else 0)
        found[task], last[person] = person, task
        busy_until[person] = max(busy_until[person], end)
    return found
