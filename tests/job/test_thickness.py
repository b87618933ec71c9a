"""Least, mean and count of a zone's readings; thin zones, and zones unlike their neighbours."""

from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.job import ReadThickness, WithdrawThickness, Zone, apply
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.vehicle import VehicleForm
from bayapp.job.state.events import BaySetUp
from bayapp.job.thickness import Limits, Unlike, limits_of, readings_of, thickness_of
from tests.job.builders import Shop, at, job, recipe, step

CAR = JobId("car")
BESIDE = {
    "wing": ("bonnet", "door"),
    "bonnet": ("wing", "windscreen"),
    "door": ("wing",),
    "windscreen": ("bonnet", "roof"),
    "roof": ("windscreen", "rail"),
    "rail": ("roof", "sill"),
    "sill": ("rail", "stone-guard"),
    "stone-guard": ("sill",),
}


def shop() -> Shop:
    zones = tuple(
        Zone(id=name, name=name, surface="glass" if name == "windscreen" else "paint", area_m2=1, neighbours=beside)
        for name, beside in BESIDE.items()
    )
    form = VehicleForm(format="bayapp-vehicle/1", name="car", title="Car", drawing="car.svg", zone=zones)
    return Shop(job((["wing", "bonnet"], recipe(step("polish"))), vehicle=form))


def read(made: Shop, **um: tuple[float, ...]) -> None:
    made.must(ReadThickness(CAR, tuple((ZoneId(zone.replace("_", "-")), values) for zone, values in um.items())), 1)


def found(made: Shop, limits: Limits | None = None) -> dict:
    return thickness_of(made.state.jobs[CAR], limits or limits_of(made.state))


def test_a_zone_has_the_least_the_mean_and_the_count_of_its_readings() -> None:
    made = shop()
    read(made, bonnet=(112.0, 118.0))
    read(made, bonnet=(121.0,), door=(98.5,))
    assert list(found(made)) == ["bonnet", "door"], "in the order of the form, and none that was not measured"
    bonnet = found(made)[ZoneId("bonnet")]
    assert (bonnet.least, bonnet.mean, bonnet.most, bonnet.count) == (112.0, 117.0, 121.0, 3)


@given(st.lists(st.floats(0, 5_000), min_size=1, max_size=30))
def test_the_mean_lies_between_the_least_and_the_most_of_any_readings(um: list[float]) -> None:
    made = shop()
    for value in um:
        read(made, roof=(value,))
    roof = found(made)[ZoneId("roof")]
    assert (roof.least, roof.most, roof.count) == (min(um), max(um), len(um))
    assert roof.mean == pytest.approx(fmean(um))


def test_what_was_withdrawn_counts_no_more_and_the_last_goes_first() -> None:
    made = shop()
    read(made, bonnet=(112.0,))
    read(made, bonnet=(1118.0,))
    read(made, bonnet=(118.0,))
    made.must(WithdrawThickness(CAR, ZoneId("bonnet"), 2), 2)
    assert readings_of(made.state.jobs[CAR], ZoneId("bonnet")) == (112.0, 118.0)
    made.must(WithdrawThickness(CAR, ZoneId("bonnet")), 3)
    assert readings_of(made.state.jobs[CAR], ZoneId("bonnet")) == (112.0,)
    assert not made.ask(WithdrawThickness(CAR, ZoneId("bonnet"), 2), 4).accepted, "it is withdrawn already"
    made.must(WithdrawThickness(CAR, ZoneId("bonnet")), 4)
    assert found(made) == {}
    assert not made.ask(WithdrawThickness(CAR, ZoneId("bonnet")), 5).accepted
    kept = [entry.read.um for entry in made.state.jobs[CAR].thickness[ZoneId("bonnet")]]
    assert kept == [(112.0,), (1118.0,), (118.0,)], "nothing is deleted"


@pytest.mark.parametrize(("least", "thin"), [(79.9, True), (80.0, False), (80.1, False)])
def test_a_zone_is_thin_below_eighty_by_its_least_reading(least: float, thin: bool) -> None:
    made = shop()
    read(made, bonnet=(140.0, least, 150.0))
    assert found(made)[ZoneId("bonnet")].thin is thin


@pytest.mark.parametrize(
    ("bonnet", "unlike"),
    [(149.9, None), (150.0, Unlike.THICKER), (50.1, None), (50.0, Unlike.THINNER), (900.0, Unlike.THICKER)],
)
def test_a_zone_is_unlike_from_fifty_away_from_its_measured_neighbours(bonnet: float, unlike: Unlike | None) -> None:
    made = shop()
    read(made, wing=(100.0,), bonnet=(bonnet,))
    assert found(made)[ZoneId("bonnet")].unlike is unlike
    assert found(made)[ZoneId("bonnet")].neighbours_um == 100.0


def test_one_thick_neighbour_of_several_makes_no_zone_thin_or_unlike() -> None:
    made = shop()
    read(made, wing=(100.0,), bonnet=(105.0,), door=(180.0,))
    by_zone = found(made)
    assert by_zone[ZoneId("wing")].unlike is None, "the median of 105 and 180 is 142.5"
    assert by_zone[ZoneId("door")].unlike is Unlike.THICKER
    assert by_zone[ZoneId("bonnet")].unlike is None


def test_sound_paint_whose_only_measured_neighbour_was_repainted_is_not_taken_for_it() -> None:
    made = shop()
    read(made, roof=(112.0,), bonnet=(246.0,), wing=(118.0,), door=(121.0,))
    by_zone = found(made)
    assert by_zone[ZoneId("bonnet")].unlike is Unlike.THICKER
    assert by_zone[ZoneId("roof")].neighbours_um == 246.0
    assert by_zone[ZoneId("roof")].unlike is None, "it is 7.5 from the middle of the car"


def test_across_a_pane_the_next_painted_zone_is_the_neighbour_but_none_farther_off() -> None:
    made = shop()
    read(made, bonnet=(100.0,), roof=(180.0,), stone_guard=(900.0,))
    by_zone = found(made)
    assert by_zone[ZoneId("roof")].neighbours_um == 100.0, "the windscreen lies between"
    assert by_zone[ZoneId("stone-guard")].neighbours_um is None
    assert by_zone[ZoneId("stone-guard")].unlike is None


def test_a_zone_without_measured_neighbours_is_unlike_nothing() -> None:
    made = shop()
    read(made, roof=(900.0,))
    assert (found(made)[ZoneId("roof")].unlike, found(made)[ZoneId("roof")].neighbours_um) == (None, None)


def test_the_shop_says_what_is_thin_and_what_is_unlike() -> None:
    made = shop()
    read(made, bonnet=(90.0,), wing=(120.0,))
    assert not found(made)[ZoneId("bonnet")].thin
    made.state = apply(made.state, BaySetUp(at=at(2), thin_um=95, unlike_um=30))
    strict = found(made)[ZoneId("bonnet")]
    assert (strict.thin, strict.unlike) == (True, Unlike.THINNER)


@pytest.mark.parametrize("um", [-0.1, 5_000.1, float("nan"), float("inf")])
def test_one_impossible_reading_of_a_touch_records_none_of_it(um: float) -> None:
    made = shop()
    verdict = made.do(ReadThickness(CAR, ((ZoneId("bonnet"), (100.0,)), (ZoneId("roof"), (100.0, um)))), 1)
    assert [refusal.zone for refusal in verdict.refusals] == ["roof"]
    assert made.state.jobs[CAR].thickness == {}


@pytest.mark.parametrize("um", [0.0, 5_000.0])
def test_the_ends_of_what_a_gauge_reads_are_taken(um: float) -> None:
    made = shop()
    read(made, bonnet=(um,))
    assert found(made)[ZoneId("bonnet")].least == um


def test_a_zone_that_is_not_worked_is_measured_too_and_one_that_the_form_lacks_is_not() -> None:
    made = shop()
    read(made, door=(100.0,))
    refusal = made.ask(ReadThickness(CAR, ((ZoneId("spoiler"), (100.0,)),)), 2).refusal
    assert (refusal.code.value, refusal.zone) == ("unknown", "spoiler")
