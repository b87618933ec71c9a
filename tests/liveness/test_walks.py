"""Wherever accepted touches lead a whole car, the planner carries it on to its end, and the gate accepts every step.

``python packaging/liveness.py walks`` takes ten thousand of them.
"""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.liveness.walks import Walk, judged, walk

ANYHOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


def assert_carried_on(going: Walk) -> None:
    outcome = judged(going.state, going.at)
    assert outcome.good, f"{going.car.job.title}: {outcome}\n" + "\n".join(
        f"{at} {request}" for at, request in going.asked
    )


@given(st.integers(10_000, 2**32), st.integers(1, 40))
@settings(ANYHOW, max_examples=5)
def test_a_car_is_carried_on_from_wherever_accepted_touches_led_it(seed: int, most: int):
    assert_carried_on(walk(seed, most))


@pytest.mark.slow
@pytest.mark.timeout(3600)
@given(st.integers(10_000, 2**32))
@settings(ANYHOW, max_examples=200)
def test_many_cars_are_carried_on(seed: int):
    assert_carried_on(walk(seed))


def test_panels_wiped_by_one_touch_too_many_to_coat_in_time_are_wiped_again():
    """Fourteen of them, beside panes whose coat waits for wet work: a first plan had run into a dead end."""
    assert_carried_on(walk(8))
