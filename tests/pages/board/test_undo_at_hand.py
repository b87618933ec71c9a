"""A touch that was just made can be taken back where it was made: for a moment the board says it with its undo."""

from datetime import UTC, timedelta

from bayapp.job import FinishStep, MoveCar, SetUpPlaces, Start, Undo, UndoMove
from bayapp.job.model.ids import Person, StepId, Urgency, ZoneId
from bayapp.pages.board.alert_band import Band
from bayapp.pages.board.board import JUST_MADE, board
from bayapp.pages.viewpoint import Viewpoint
from tests.job.gate.places import BAYS
from tests.pages.bays import ASH, BO, CAR, HandBay

GLASS = (ZoneId("glass-right-front"), ZoneId("glass-right-rear"), ZoneId("glass-right-quarter"))


def heard(hand: HandBay) -> None:
    """Answer all calls, so that the band is free."""
    hand.update_alerts()
    hand.bay.alerts.acknowledge([alert.condition.subject for alert in hand.bay.alerts.unanswered()])


def begun(hand: HandBay) -> None:
    assert hand.bay.request(Start(CAR, GLASS, StepId("coat-1"), ASH)).accepted


def band(hand: HandBay, by: Person = ASH) -> Band | None:
    return board(hand.bay, hand.clocks(), Viewpoint(by, hand.bay.now(), UTC, CAR)).band


def test_one_touch_on_several_zones_is_taken_back_by_one(hand: HandBay):
    heard(hand)
    begun(hand)
    hand.wait(4)
    assert hand.bay.request(FinishStep(CAR, GLASS, StepId("coat-1"), ASH)).accepted
    shown = band(hand)
    assert shown
    assert (shown.text, shown.urgency) == ("Right side glass: coat, done at 09:00", Urgency.FINISHED)
    assert isinstance(shown.undo, Undo)
    assert set(shown.undo.zones) == set(GLASS)


def test_it_is_offered_for_a_moment_and_to_whoever_made_the_touch(hand: HandBay):
    heard(hand)
    begun(hand)
    shown = band(hand)
    assert shown
    assert (shown.urgency, shown.passing) == (Urgency.WORKING, True)
    others = band(hand, BO)
    assert others
    assert others.undo
    assert others.undo.by == BO
    hand.wait((JUST_MADE + timedelta(seconds=1)).total_seconds())
    heard(hand)
    assert band(hand) is None


def test_a_call_that_comes_takes_the_undo_away_from_nobody(hand: HandBay):
    hand.update_alerts()
    begun(hand)
    shown = band(hand)
    assert shown
    assert shown.subjects
    assert isinstance(shown.undo, Undo)
    assert shown.undo_text == "Right side glass: coat, begun at 09:00"


def test_a_car_that_was_just_moved_is_moved_back_from_the_same_place(hand: HandBay):
    for clock in hand.clocks():
        if clock.running and clock.step:
            assert hand.bay.request(FinishStep(CAR, (clock.zone,), clock.step, ASH)).accepted
    hand.wait(30)
    heard(hand)
    assert hand.bay.request(SetUpPlaces(BAYS)).accepted
    front, back = (bay.id for bay in BAYS)
    assert hand.bay.request(MoveCar(CAR, front, ASH)).accepted
    hand.wait(2)
    assert hand.bay.request(MoveCar(CAR, back, ASH)).accepted
    heard(hand)
    shown = band(hand)
    assert shown
    assert (shown.text, shown.undo, shown.passing) == ("Practice estate: Back bay", UndoMove(CAR, ASH), True)
    assert shown.undo
    assert hand.bay.request(shown.undo).accepted
    assert hand.bay.state.jobs[CAR].place == front
