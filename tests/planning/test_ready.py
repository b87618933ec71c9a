"""When a new car would be ready: worked out by hand for small jobs, and never sooner than the same car alone."""

from datetime import datetime, timedelta

from bayapp.job import BayState, Job
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.ready import beside
from tests.job.builders import Shop as Bay
from tests.job.builders import at, job, recipe, step

RIM = recipe(
    step("wipe", minutes=2.0),
    step("coat", minutes=3.0, wait={"max": 30}),
    step("buff", minutes=2.0, wait={"min": 10}),
    name="rim",
    finish={"keep_dry_hours": 12, "no_drive_hours": 1},
)


def ready(state: BayState, car: Job) -> datetime | None:
    return beside(state, car, at(0), Shop()).ready


def test_one_zone_is_ready_when_its_work_waits_and_cure_are_over():
    """2 min wipe, 3 min coat, 10 min wait, 2 min buff, 12 h dry: worked out by hand."""
    car = job((["left-rim"], RIM), name="new")
    assert ready(BayState(), car) == at(17) + timedelta(hours=12)


def test_two_people_are_sooner_ready_than_one():
    alone = job((["left-rim", "right-rim", "roof", "bonnet"], RIM), name="new", crew=("Ash",))
    both = job((["left-rim", "right-rim", "roof", "bonnet"], RIM), name="new", crew=("Ash", "Bo"))
    one, two = (ready(BayState(), car) for car in (alone, both))
    assert one
    assert two
    assert two < one


def test_another_car_in_the_bay_never_makes_it_sooner():
    inside = Bay(job((["roof", "bonnet"], RIM), name="inside", crew=("Ash",)))
    car = job((["left-rim"], RIM), name="new", crew=("Ash",))
    second = ready(inside.state, car)
    alone = ready(BayState(), car)
    assert second
    assert alone
    assert second >= alone
