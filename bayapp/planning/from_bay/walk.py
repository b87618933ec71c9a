"""Walking round a car: the distances between zones, and an order with few walks."""

from collections import deque
from collections.abc import Sequence

from bayapp.job.model.ids import THE_CAR, ZoneId
from bayapp.job.model.vehicle import VehicleForm

NO_WAY = 9


def steps_between(form: VehicleForm) -> dict[ZoneId, dict[ZoneId, int]]:
    """Return for each zone how many neighbours lie on the shortest way to each other: 0 itself, 1 next to it.

    Work on the car itself begins and ends wherever one stands.
    """
    beside: dict[ZoneId, set[ZoneId]] = {ZoneId(z.id): set() for z in form.zone}
    for zone in form.zone:
        for other in zone.neighbours:
            beside[ZoneId(zone.id)].add(ZoneId(other))
            beside[ZoneId(other)].add(ZoneId(zone.id))
    ways = {zone: _ways(zone, beside) for zone in beside}
    if THE_CAR in ways:
        ways[THE_CAR] = dict.fromkeys(ways, 0)
        for of_zone in ways.values():
            of_zone[THE_CAR] = 0
    return ways


def _ways(zone: ZoneId, beside: dict[ZoneId, set[ZoneId]]) -> dict[ZoneId, int]:
    ways = {zone: 0}
    ahead = deque([zone])
    while ahead:
        here = ahead.popleft()
        for other in sorted(beside[here]):
            if other not in ways:
                ways[other] = ways[here] + 1
                ahead.append(other)
    return ways


def round_tour(form: VehicleForm, zones: Sequence[ZoneId]) -> list[ZoneId]:
    """Return the zones ordered so that each is near the one before, beginning with the first."""
    ways, left = steps_between(form), list(dict.fromkeys(zones))
    tour = left[:1]
    left = left[1:]
    while left:
        here = ways[tour[-1]]
        nearest = min(left, key=lambda zone: here.get(zone, NO_WAY))
        left.remove(nearest)
        tour.append(nearest)
    return tour
