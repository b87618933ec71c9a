"""How far apart two sensors are that contradict each other."""

from datetime import UTC, datetime

import pytest

from bayapp.job.state.contradiction import HUMIDITY, Contradiction, SensorValues
from bayapp.job.state.events import AirRead

NINE = datetime(2026, 11, 25, 9, tzinfo=UTC)


def says(name: str, percent: float, tolerance: float) -> SensorValues:
    return SensorValues(
        name, f"sensor at the {name}", {HUMIDITY: percent, "air_c": 20.0}, {HUMIDITY: tolerance, "air_c": 0.5}
    )


@pytest.mark.parametrize(("other", "excess"), [(50, 0), (55, 1), (45, 1), (60, 2), (52.5, 0.5)])
def test_the_excess_counts_in_what_both_tolerances_allow_together(other: float, excess: float):
    found = Contradiction(says("door", 50, 2), says("wall", other, 3), HUMIDITY, NINE)
    assert found.excess == pytest.approx(excess)


def test_a_contradiction_is_told_from_others_by_both_sensors_and_the_quantity():
    found = Contradiction(says("door", 50, 2), says("wall", 60, 3), HUMIDITY, NINE)
    assert found.pair == ("door", "wall", HUMIDITY)
    assert found.values == (50, 60)


def test_humidity_goes_by_the_name_that_a_reading_has_for_it():
    assert HUMIDITY in AirRead.model_fields
