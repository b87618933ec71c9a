"""After a touch the wall says what the planner found that it cost, with what takes it back."""

from datetime import UTC, timedelta

from bayapp.job import Start, Undo
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.pages.board.board import board
from bayapp.pages.board.ladder import ladder
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import Loss
from tests.pages.bays import ASH, CAR, HandBay
from tests.pages.orders import order_of, planned

SCREEN = (ZoneId("rear-screen"),)
BACK = Undo(CAR, SCREEN, ASH)


def begun(hand: HandBay, *losses: Loss, later: timedelta = timedelta()) -> Viewpoint:
    """Begin the wipe of the rear screen, and let the planner say what comes of it."""
    state, at = hand.bay.state, hand.bay.now()
    step = planned("rim-rear-right", "level", at, 90)
    hand.bay.advice.take_order(order_of(at, step, entry=state.last_at))
    assert hand.bay.request(Start(CAR, SCREEN, StepId("wipe"), ASH)).accepted
    hand.wait(5)
    finish, entry = at + timedelta(minutes=90) + later, hand.bay.state.last_at
    hand.bay.advice.take_order(order_of(at, step, entry=entry, finish=finish, losses=losses))
    return Viewpoint(ASH, hand.bay.now(), UTC, CAR)


def test_the_band_says_how_many_minutes_it_cost_and_carries_the_undo(hand: HandBay):
    hand.update_alerts()
    hand.bay.alerts.acknowledge([alert.condition.subject for alert in hand.bay.alerts.unanswered()])
    seen = begun(hand, later=timedelta(minutes=24))
    band = board(hand.bay, hand.clocks(), seen).band
    assert band
    assert band.text == "Solvent wipe, rear screen. It costs 24 minutes: all done at 10:54."
    assert (band.subjects, band.undo) == ((), BACK)


def test_the_ladder_says_it_beside_its_undo(hand: HandBay):
    lapses_at = hand.bay.now() + timedelta(seconds=40)
    loss = Loss(job=CAR, zone=ZoneId("rim-rear-right"), step=StepId("level"), lapses_at=lapses_at)
    seen = begun(hand, loss)
    view = ladder(hand.bay, CAR, SCREEN, None, seen)
    assert view.button.title == "Done: solvent wipe"
    assert view.button.detail == "It costs: excess off, first towel, rear right rim, will be too late at 09:00."
    assert view.button.costs
    assert view.undo == BACK


def test_beside_a_call_the_band_says_it_with_its_undo(hand: HandBay):
    hand.update_alerts()
    assert hand.bay.alerts.unanswered()
    seen = begun(hand, later=timedelta(minutes=24))
    band = board(hand.bay, hand.clocks(), seen).band
    assert band
    assert band.undo == BACK
    assert "It costs 24 minutes" in band.others
