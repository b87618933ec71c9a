"""What the start of the wall screen makes of the car that the command line names."""

import pytest

from bayapp.files.problems import BadFile
from bayapp.job import CloseJob
from bayapp.job.words import JobId
from bayapp.screen.app import take_in
from tests.pages.bays import CAR, HandBay


def test_a_car_that_has_left_is_not_taken_in_again_and_the_person_is_told(hand: HandBay):
    job = hand.bay.state.jobs[CAR].job
    assert hand.bay.request(CloseJob(CAR)).accepted
    hand.restart()
    with pytest.raises(BadFile, match=r"estate\.toml: title: this car has been in the bay and has left"):
        take_in(hand.bay, job, "estate.toml")
    assert CAR not in {j.job.id for j in hand.bay.state.open_jobs}


def test_a_new_car_is_taken_in(hand: HandBay):
    job = hand.bay.state.jobs[CAR].job.model_copy(update={"id": JobId("another")})
    take_in(hand.bay, job, "another.toml")
    assert JobId("another") in hand.bay.state.jobs
