"""Which cars are inside and which job files lie ready."""

from pathlib import Path

from bayapp.pages.cars.cars import cars
from bayapp.practice import practice_scenario
from tests.pages.bays import CAR, OPENING, HandBay, hand_bay


def test_cars_inside_come_in_their_order_with_what_is_worked_on_them(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        view = cars(hand.bay.state, ())
        assert [(c.job, c.title) for c in view.inside] == [(CAR, "Practice estate"), (f"{CAR}-2", "Estate 2")]
        zones = len(hand.bay.state.jobs[CAR].zones)
        assert view.inside[0].detail.endswith(f", {zones} zones")


def test_a_job_that_is_inside_is_not_offered_again(hand: HandBay):
    job, _ = practice_scenario(OPENING)
    other = job.model_copy(update={"id": "other"})
    view = cars(hand.bay.state, [(Path("a.toml"), job), (Path("b.toml"), other)])
    assert [r.path.name for r in view.ready] == ["b.toml"]


def test_a_file_that_cannot_be_read_is_listed_with_its_problem(hand: HandBay):
    view = cars(hand.bay.state, [(Path("bad.toml"), "bad.toml, line 3: title must be text")])
    (ready,) = view.ready
    assert (ready.title, ready.detail) == ("bad.toml", "cannot be opened: touch for why")
    assert ready.problem == "bad.toml, line 3: title must be text"
