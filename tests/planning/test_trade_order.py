"""The order that a detailer works glass in (common practice, no source), found by the planner and proven by hand.

One windscreen takes three layers of 2 minutes with 5 minutes between them, each set of side glass one layer of
5 minutes, the rear glass one of 3. One person buffs all the glass, 15 minutes after the last layer, 2 minutes a piece.

By hand: all layers are 3 x 2 + 2 x 5 + 3 = 19 minutes of work, so the last is laid no earlier than at 19; buffing
begins 15 minutes later, at 34, and 4 pieces take 8 minutes: nothing ends before 42. From the first to the last layer
of the windscreen go at least 2 + 5 + 2 + 5 + 2 = 16 minutes. Where all layers are laid by 19, only 3 minutes lie
outside of that: no set of side glass fits there, so both lie between the layers.
"""

from datetime import timedelta

import pytest

from bayapp.job import BayState, fold
from bayapp.job.state.events import JobOpened
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.relaxation import relaxed
from bayapp.planning.work import plan_work
from tests.job.builders import START, at, form, job, recipe, step
from tests.planning.support.replays import one_by_one, replay

GLASS = ("windscreen", "left-glass", "right-glass", "rear-glass")
BUFF = step("buff", minutes=2, wait={"of": "all-glass", "min": 15, "max": 120, "lapse": "inspect"})
BETWEEN = {"min": 5, "max": 60, "lapse": "repeat"}
THREE_LAYERS = recipe(
    step("coat-1", minutes=2), step("coat-2", minutes=2, wait=BETWEEN), step("coat-3", minutes=2, wait=BETWEEN), BUFF
)
CAR = job(
    (["windscreen"], THREE_LAYERS),
    (["left-glass", "right-glass"], recipe(step("coat-1", minutes=5), BUFF)),
    (["rear-glass"], recipe(step("coat-1", minutes=3), BUFF)),
    crew=("Ash",),
    vehicle=form(GLASS, {"all-glass": GLASS}),
)
ALL_LAID = 2 + 2 + 2 + 5 + 5 + 3
BUFFED = ALL_LAID + 15 + 4 * 2
ZONE_AFTER_ZONE = (2 + 5 + 2 + 5 + 2) + 5 + 5 + 3 + 15 + 4 * 2


@pytest.fixture(scope="module")
def bay() -> BayState:
    return fold([JobOpened(at=START, job=CAR.id, opened=CAR)])


@pytest.fixture(scope="module")
def order(bay: BayState) -> WorkOrder:
    return plan_work(bay, START, Shop(), Effort(20, workers=1))


def of(order: WorkOrder, zone: str, name: str) -> PlannedStep:
    (found,) = [s for s in order.steps if (s.zone, s.step) == (zone, name)]
    return found


def test_the_soonest_end_is_proven_and_is_the_one_worked_out_by_hand(order: WorkOrder):
    assert (order.status, order.finish, order.bound) == ("optimal", at(42), at(42))
    assert (ALL_LAID, BUFFED) == (19, 42)


def test_the_first_answer_is_as_good_before_any_search(bay: BayState):
    assert relaxed(Situation(bay, START, Shop())).plan.makespan_s == BUFFED * 60


def test_the_side_glass_is_coated_between_the_layers_of_the_windscreen(order: WorkOrder):
    layers = [of(order, "windscreen", f"coat-{n}") for n in (1, 2, 3)]
    gaps = [(layers[0].end, layers[1].start), (layers[1].end, layers[2].start)]
    for side in ("left-glass", "right-glass"):
        coat = of(order, side, "coat-1")
        assert [begins <= coat.start and coat.end <= ends for begins, ends in gaps].count(True) == 1
    assert all(ends - begins >= timedelta(minutes=5) for begins, ends in gaps)


def test_no_minute_is_idle_until_the_last_layer_is_laid(order: WorkOrder):
    coats = [s for s in order.steps if s.step.startswith("coat")]
    assert [s.start for s in coats] == [START, *(s.end for s in coats[:-1])]
    assert coats[-1].end == at(19)


def test_zone_after_zone_with_every_wait_idled_away_takes_ten_minutes_more(order: WorkOrder):
    assert order.one_by_one == at(52)
    assert ZONE_AFTER_ZONE - BUFFED == 10


def test_the_gate_lets_this_order_be_worked(bay: BayState, order: WorkOrder):
    _, refused = replay(bay, one_by_one(order.steps))
    assert refused == []
