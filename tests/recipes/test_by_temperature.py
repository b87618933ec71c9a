"""The shipped recipe with rows of temperature, played through the gate at the rows and between them."""

import pytest

from bayapp.job.model.ids import Code
from bayapp.job.state.requests import ReadAir
from tests.recipes.shipped import MS, Car, job_of, minutes

# Rows typical of such sheets, from memory; between rows the line, worked out by hand.
BUFF = [(10.0, 20.0, 120.0), (15.0, 15.0, 90.0), (20.0, 10.0, 60.0), (24.0, 8.0, 48.0), (30.0, 5.0, 30.0)]


def levelled_at(surface_c: float) -> Car:
    """Return a bonnet levelled in air that stays as it is."""
    car = Car(job_of((["bonnet"], "paint-one-layer")))
    for step in ("decontaminate", "polish", "wipe", "coat", "level"):
        car.put(ReadAir(surface_c, 40.0, surface_c))
        car.now = max(car.now, car.clock("bonnet").opens_at or car.now)
        car.do("bonnet", step)
    return car


@pytest.mark.parametrize(("surface_c", "least", "most"), BUFF)
def test_one_coat_of_paint_is_buffed_when_its_row_says_and_between_rows_by_the_line(
    surface_c, least, most, monkeypatch
):
    # the air stays as it is: what the helper would read on the way is the same again
    monkeypatch.setattr(Car, "read_air", lambda car: car.put(ReadAir(surface_c, 40.0, surface_c)))
    car = levelled_at(surface_c)
    car.read_air()
    opens, lapses = car.now + minutes(least), car.now + minutes(most)
    assert not car.may_start("bonnet", "buff", opens - MS).accepted
    assert car.may_start("bonnet", "buff", opens).accepted
    assert car.may_start("bonnet", "buff", lapses).accepted
    late = car.may_start("bonnet", "buff", lapses + MS)
    assert late.refusal
    assert late.refusal.code is Code.LATE


def test_outside_its_rows_nobody_knows_and_the_gate_says_air(monkeypatch):
    monkeypatch.setattr(Car, "read_air", lambda car: car.put(ReadAir(20.0, 40.0, 20.0)))
    car = levelled_at(20.0)
    car.put(ReadAir(35.0, 40.0, 35.0))
    refused = car.may_start("bonnet", "buff", car.now + minutes(20)).refusal
    assert refused
    assert refused.code is Code.AIR
