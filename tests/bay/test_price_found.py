"""What the last touch turned out to cost, told while one undo takes it back."""

from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.bay.price_found import Price
from bayapp.job import FinishStep, Start, Undo
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import Loss, PlannedStep, WorkOrder
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from tests.pages.bays import ASH, BO, CAR, HandBay, hand_bay
from tests.pages.glass_first import COAT, before_the_coat

WIPE = Start(CAR, (ZoneId("rear-screen"),), StepId("wipe"), ASH)
RIM = (ZoneId("rim-rear-right"),)


def order(hand: HandBay, finish_in: timedelta, *losses: Loss) -> WorkOrder:
    """A plan that knows of everything, with nothing to be done soon."""
    at = hand.bay.now()
    step = PlannedStep(job=CAR, zone=RIM[0], step=StepId("level"), person=ASH, start=at, end=at + timedelta(minutes=2))
    entry = hand.bay.state.last_at
    return WorkOrder(status="feasible", made_for=at, entry=entry, steps=(step,), finish=at + finish_in, losses=losses)


def loss(hand: HandBay, zone: str = RIM[0]) -> Loss:
    return Loss(job=CAR, zone=ZoneId(zone), step=StepId("level"), lapses_at=hand.bay.now() + timedelta(minutes=1))


def found(hand: HandBay) -> Price | None:
    return hand.bay.advice.price.told(hand.bay.now())


def begun(hand: HandBay, start: Start = WIPE, *, before: timedelta = timedelta(hours=2)) -> None:
    hand.bay.advice.take_order(order(hand, before))
    assert hand.bay.request(start).accepted
    hand.wait(5)


@pytest.mark.parametrize(("minutes", "told"), [(4.9, False), (5.1, True)])
def test_minutes_are_told_from_five_on(hand: HandBay, minutes: float, told: bool):
    begun(hand)
    hand.bay.advice.take_order(order(hand, timedelta(hours=2, minutes=minutes) - timedelta(seconds=5)))
    price = found(hand)
    assert (price is not None) is told
    if price:
        assert price.undo == Undo(CAR, WIPE.zones, ASH)
        assert price.later == timedelta(minutes=minutes)


def test_a_window_that_only_the_new_plan_loses_is_told(hand: HandBay):
    lost, new = loss(hand, "bonnet"), loss(hand)
    hand.bay.advice.take_order(order(hand, timedelta(hours=2), lost))
    assert hand.bay.request(WIPE).accepted
    hand.wait(5)
    hand.bay.advice.take_order(order(hand, timedelta(hours=2), lost, new))
    price = found(hand)
    assert price
    assert price.losses == (new,)


def test_the_planner_has_some_seconds_to_better_its_first_answer(hand: HandBay):
    hand.bay.advice.take_order(order(hand, timedelta(hours=2)))
    assert hand.bay.request(WIPE).accepted
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    assert found(hand) is None
    hand.wait(3)
    assert found(hand)
    hand.bay.advice.take_order(order(hand, timedelta(hours=2)))
    assert found(hand) is None, "it was the first answer that was poor"


def test_nothing_is_said_of_what_the_plan_itself_had_next_although_it_ends_later(hand: HandBay):
    begun(hand, Start(CAR, RIM, StepId("level"), ASH))
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    assert found(hand) is None


def test_once_the_step_is_done_or_taken_back_nothing_is_said_any_more(hand: HandBay):
    begun(hand)
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    price = found(hand)
    assert price
    assert hand.bay.request(price.undo).accepted
    assert found(hand) is None
    begun(hand)
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    assert found(hand)
    assert hand.bay.request(FinishStep(CAR, WIPE.zones, WIPE.step, ASH)).accepted
    assert found(hand) is None


def test_of_two_touches_nobody_can_say_which_one_cost_it(hand: HandBay):
    begun(hand)
    assert hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO)).accepted
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    assert found(hand) is None


def test_a_plan_that_did_not_know_of_everything_before_the_touch_is_no_measure(hand: HandBay):
    hand.bay.advice.take_order(order(hand, timedelta(hours=2)))
    hand.wait(1)
    assert hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO)).accepted
    assert hand.bay.request(WIPE).accepted
    hand.wait(5)
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    assert found(hand) is None


def test_an_answered_call_and_a_reading_of_the_air_do_not_hide_what_it_cost(hand: HandBay):
    begun(hand)
    hand.update_alerts()
    hand.bay.alerts.acknowledge([alert.condition.subject for alert in hand.bay.alerts.unanswered()])
    hand.bay.advice.take_order(order(hand, timedelta(hours=3)))
    assert found(hand)


def test_the_planner_itself_finds_what_a_wipe_before_the_rim_loses(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        hand.bay.advice.take_order(plan_work(hand.bay.state, hand.bay.now(), Shop(), Effort(1)))
        assert hand.bay.request(WIPE).accepted
        hand.wait(5)
        hand.bay.advice.take_order(plan_work(hand.bay.state, hand.bay.now(), Shop(), Effort(1)))
        price = found(hand)
        assert price
        assert [(lost.zone, lost.step) for lost in price.losses] == [(RIM[0], "level")]


def test_the_planner_itself_finds_that_a_coat_has_closed_the_way(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        hand.bay.advice.take_order(plan_work(hand.bay.state, hand.bay.now(), Shop(), Effort(1)))
        assert hand.bay.request(COAT).accepted
        hand.wait(5)
        hand.bay.advice.take_order(plan_work(hand.bay.state, hand.bay.now(), Shop(), Effort(1)))
        price = found(hand)
        assert price
        assert price.trouble.startswith("Windscreen coated too soon")
        assert hand.bay.request(price.undo).accepted
