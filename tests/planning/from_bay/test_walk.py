"""The way round a car, on the shipped estate and on a row of zones."""

from itertools import pairwise

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.vehicle import VehicleForm
from bayapp.planning.from_bay.walk import NO_WAY, round_tour, steps_between
from tests.recipes.shipped import vehicle_named


def row(*names: str) -> VehicleForm:
    """Zones in a row; a zone is a neighbour of the one before."""
    zones = [
        {"id": n, "name": n, "surface": "paint", "area_m2": 1.0, "neighbours": [names[i - 1]] if i else []}
        for i, n in enumerate(names)
    ]
    entries = {"format": "bayapp-vehicle/1", "name": "row", "title": "Row", "drawing": "row.svg", "zone": zones}
    return VehicleForm.model_validate(entries)


def test_each_neighbour_on_the_way_is_one_step():
    ways = steps_between(row("a", "b", "c", "d"))
    assert ways[ZoneId("a")] == {"a": 0, "b": 1, "c": 2, "d": 3}
    assert ways[ZoneId("d")][ZoneId("a")] == 3


def test_a_tour_goes_from_each_zone_to_the_nearest_that_is_left():
    zones = [ZoneId(z) for z in "bdacb"]
    assert round_tour(row("a", "b", "c", "d"), zones) == ["b", "a", "c", "d"]


def test_a_zone_that_nothing_leads_to_comes_last():
    form = row("a", "b")
    lonely = form.zone[0].model_copy(update={"id": "x", "name": "x", "neighbours": ()})
    form = form.model_copy(update={"zone": (form.zone[0], lonely, form.zone[1])})
    assert round_tour(form, [ZoneId(z) for z in ("a", "x", "b")]) == ["a", "b", "x"]


def test_the_car_itself_is_no_way_off_and_no_way_through():
    ways = steps_between(row("a", "b", "c", "car"))
    assert {zone: ways[zone][ZoneId("car")] for zone in ways} == dict.fromkeys(("a", "b", "c", "car"), 0)
    assert ways[ZoneId("car")] == dict.fromkeys(("a", "b", "c", "car"), 0)
    assert ways[ZoneId("a")][ZoneId("c")] == 2


def test_the_panes_of_an_estate_are_toured_side_by_side():
    form = vehicle_named("estate")
    tour = round_tour(form, form.zones_of(["all-glass"]))
    assert sorted(tour) == sorted(form.zones_of(["all-glass"]))
    given = list(form.zones_of(["all-glass"]))
    assert _walked(form, tour) < _walked(form, [*given[::2], *given[1::2]])


def _walked(form: VehicleForm, zones: list[ZoneId]) -> int:
    ways = steps_between(form)
    return sum(ways[a].get(b, NO_WAY) for a, b in pairwise(zones))
