"""Where a car can be moved, and what is told before the touch."""

from datetime import UTC, timedelta
from pathlib import Path

from bayapp.job import Cover, FinishStep, MoveCar, SetUpPlaces, UndoMove
from bayapp.job.model.ids import JobId, PlaceId, StepId, ZoneId
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.pages.cars.places import place_choices, where_text
from tests.job.builders import job, recipe, step
from tests.job.gate.places import BAYS, DIVIDED
from tests.pages.bays import ASH, CAR, HandBay, hand_bay

FRONT, BACK = (bay.id for bay in BAYS)


def told(hand: HandBay) -> list[tuple[str, str, bool, bool]]:
    return [(c.title, c.detail, c.here, c.warns) for c in place_choices(hand.bay, CAR, ASH, UTC)]


def finish_all(hand: HandBay) -> None:
    """Nobody is at work on the car any more."""
    for clock in hand.clocks():
        if clock.job == CAR and clock.running and clock.step:
            assert hand.bay.request(FinishStep(CAR, (clock.zone,), clock.step, ASH)).accepted


def test_a_shop_without_named_bays_has_a_bay_and_an_outside(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        assert where_text(hand.bay.state, CAR) == ""
        titles = [choice[0] for choice in told(hand)]
        assert titles == ["In the bay", "Outside"]
        assert told(hand)[0][2], "that is where it stands"


def test_each_place_tells_who_stands_there_and_what_would_be_minded(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        hand.bay.request(SetUpPlaces(BAYS))
        assert where_text(hand.bay.state, CAR) == "where?"
        finish_all(hand)
        assert hand.bay.request(MoveCar(CAR, FRONT, ASH)).accepted
        assert where_text(hand.bay.state, CAR) == "Front bay"
        front, back, outside, undo = told(hand)
        assert front == ("Front bay", "stands here since 09:00", True, False)
        assert (back[0], back[3]) == ("Back bay", True)
        assert back[1].startswith("No dust or water on the way: a coat lies open on ")
        assert outside[0] == "Outside"
        assert outside[1].startswith("Outside nothing keeps dust, rain and sun off the fresh coat of")
        assert outside[3]
        assert undo == ("Undo the move", "It was not moved: a bay nobody named, as before.", False, False)


def test_a_bay_with_a_car_in_it_and_rain_on_what_must_be_kept_dry_are_told_and_ask_for_a_hold(tmp_path: Path):
    rim = recipe(step("wipe"), step("coat"), step("buff"), name="rim", finish={"keep_dry_hours": 12})
    with hand_bay(tmp_path, cars=0) as hand:
        for name in ("dry", "wet"):
            car = job((["left-rim"], rim), name=name, crew=(ASH,))
            hand.bay.open_job(car.model_copy(update={"title": name, "start": hand.bay.now()}))
        hand.bay.request(SetUpPlaces(BAYS))
        for done in ("wipe", "coat", "buff"):
            assert hand.bay.request(FinishStep(JobId("dry"), (ZoneId("left-rim"),), StepId(done), ASH)).accepted
        assert hand.bay.request(MoveCar(JobId("wet"), BACK, ASH)).accepted
        found = {c.title: (c.detail, c.hold) for c in place_choices(hand.bay, JobId("dry"), ASH, UTC)}
        assert found == {
            "Front bay": ("free", False),
            "Back bay": ("wet is there: two in one bay?", True),
            "Outside": ("Left rim of dry must be kept dry until 21:00:00: outside, mind rain and dew.", True),
        }
        assert hand.bay.request(Cover(JobId("dry"), (ZoneId("left-rim"),), ASH)).accepted
        assert place_choices(hand.bay, JobId("dry"), ASH, UTC)[-1].detail == "free", "a cover keeps the rain off"


def test_a_car_somebody_works_at_is_told_to_be_finished_first(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        running = next(c for c in hand.clocks() if c.running)
        assert running.zone
        outside = told(hand)[-1]
        assert outside[3]
        assert outside[1].endswith("Finish or undo that first, then move the car.")


def test_the_way_back_is_the_request_that_takes_the_move_back(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        finish_all(hand)
        hand.bay.request(SetUpPlaces((*DIVIDED, Bay(id=PlaceId("bay-3"), name="Third"))))
        hand.bay.request(MoveCar(CAR, BACK, ASH))
        hand.wait(60)
        hand.bay.request(MoveCar(CAR, OUTSIDE, ASH))
        back = place_choices(hand.bay, CAR, ASH, UTC)[-1]
        assert back.request == UndoMove(CAR, ASH)
        assert back.detail == "It was not moved: Back bay, as before."
        assert hand.bay.request(back.request).accepted
        car = hand.bay.state.jobs[CAR]
        assert (car.place, car.there_since) == (BACK, hand.bay.now() - timedelta(seconds=60))
