"""What a key takes back when no zone is named: the last touch of a person, whole."""

from dataclasses import replace
from datetime import UTC
from pathlib import Path

from bayapp.job import FinishStep, SetAside, Start
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.pages.board.undo_last import last_touch
from tests.pages.bays import ASH, BO, CAR, HandBay, hand_bay

RIGHT_GLASS = (ZoneId("glass-right-front"), ZoneId("glass-right-rear"), ZoneId("glass-right-quarter"))
RIM = (ZoneId("rim-rear-right"),)


def accepted(hand: HandBay, request: object) -> None:
    verdict = hand.bay.request(request)  # type: ignore[arg-type]
    assert verdict.accepted, verdict.refusal


def test_zones_begun_by_one_touch_are_taken_back_by_one(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        accepted(hand, Start(CAR, RIGHT_GLASS, StepId("coat-1"), ASH))
        hand.wait(3)
        last = last_touch(hand.bay.state, ASH, UTC)
        assert last
        assert set(last.request.zones) == set(RIGHT_GLASS)
        assert last.text == "Right side glass: coat, begun at 09:00"
        accepted(hand, last.request)
        assert all(hand.bay.state.jobs[CAR].zones[zone].running is None for zone in RIGHT_GLASS)


def test_it_is_the_persons_own_last_touch_and_no_others(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        before = last_touch(hand.bay.state, BO, UTC)
        accepted(hand, Start(CAR, RIM, StepId("level"), ASH))
        hand.wait(60)
        accepted(hand, FinishStep(CAR, RIM, StepId("level"), ASH))
        last = last_touch(hand.bay.state, ASH, UTC)
        assert last
        assert (last.request.zones, last.text[-13:]) == (RIM, "done at 09:01")
        assert last_touch(hand.bay.state, BO, UTC) == before
        assert last_touch(hand.bay.state, Person("Nobody"), UTC) is None


def test_what_is_set_aside_is_not_taken_back(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        accepted(hand, Start(CAR, RIM, StepId("level"), ASH))
        hand.wait(10)
        accepted(hand, FinishStep(CAR, RIM, StepId("level"), ASH))
        accepted(hand, SetAside(CAR, RIM, "no time", ASH))
        last = last_touch(hand.bay.state, ASH, UTC)
        assert last
        assert last.request.zones != RIM


def test_a_car_that_has_left_keeps_what_was_done(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        state = hand.bay.state
        left = {CAR: replace(state.jobs[CAR], closed_at=hand.bay.now())}
        assert last_touch(state, ASH, UTC)
        assert last_touch(replace(state, jobs=left), ASH, UTC) is None
