"""What is wrong with the plan in one sentence, and ways out with what each costs; a touch asks for what was painted."""

from collections.abc import Iterator
from datetime import UTC, timedelta
from pathlib import Path

import pytest

from bayapp.cli.day import read_day
from bayapp.job import FinishStep, Undo
from bayapp.job.model.ids import JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.requests import CloseJob, Cover, SetAside, TakeUp
from bayapp.pages.board.board import board
from bayapp.pages.board.next_step import Offer
from bayapp.pages.plan.plan import day_plan
from bayapp.pages.plan.ways_out import WaysOutView, cost_text, way_title, ways_out_page
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import Remedy, WayOut
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from tests.pages.bays import ASH, CAR, OPENING, HandBay, hand_bay
from tests.pages.orders import day_order, troubled

OFF_PLAN = Path(__file__).parents[2] / "data" / "days_off_plan"
COATING = "saloon-alone--rear-screen-coated-by-one-person"
KIM = Person("Kim")


@pytest.fixture
def view(hand: HandBay) -> WaysOutView:
    order = troubled(day_order(hand.bay.state, hand.bay.now()))
    return ways_out_page(hand.bay.state, order, ASH, hand.bay.now(), UTC)


def way(**more: object) -> WayOut:
    head = {"remedy": Remedy.ASIDE, "job": CAR, "zones": (ZoneId("roof"),), "finish": OPENING + timedelta(minutes=70)}
    return WayOut.model_validate({**head, **more})


def test_the_sentence_stands_first_and_the_ways_out_keep_their_order(view: WaysOutView):
    assert view.sentence == "Coat (windscreen) cannot begin by 09:30 any more; solvent wipe comes again."
    assert [button.title for button in view.ways][:2] == ["Let it go: coat, windscreen", "Set aside: roof"]


def test_a_touch_asks_for_what_was_painted_and_what_takes_it_back_is_at_hand(view: WaysOutView):
    go_on, aside, *_ = view.ways
    assert (go_on.request, go_on.back) == (None, None)
    assert aside.request == SetAside(CAR, (ZoneId("roof"),), "not every wait could be kept", ASH)
    assert aside.back == TakeUp(CAR, (ZoneId("roof"),), ASH)


def test_who_is_not_of_the_cars_crew_signs_nothing(hand: HandBay):
    order = troubled(day_order(hand.bay.state, hand.bay.now()))
    shown = ways_out_page(hand.bay.state, order, Person("Zed"), hand.bay.now(), UTC)
    asked = shown.ways[1].request
    assert isinstance(asked, SetAside)
    assert asked.by is None


def test_each_remedy_is_named_as_it_is_said_in_the_shop(hand: HandBay):
    car = hand.bay.state.jobs[CAR].job
    pane, buff = (ZoneId("windscreen"),), StepId("buff")
    titles = [
        way_title(car, way(remedy=remedy, zones=pane, step=buff, to=OUTSIDE, until=OPENING + timedelta(minutes=70)))
        for remedy in Remedy
    ]
    assert titles == [
        "Let it go: buff, windscreen",
        "Take up again: windscreen",
        "Cover: windscreen",
        "Buff by itself: windscreen",
        "Move Practice estate: outside",
        "Buff again: windscreen",
        "Stay until 10:10",
        "Set aside: windscreen",
    ]


@pytest.mark.parametrize(
    ("costs", "words"),
    [
        ({}, "Costs: 1 zone another day. Work done at 10:10."),
        ({"remedy": Remedy.STAY, "zones": ()}, "Costs: work after hours. Work done at 10:10."),
        ({"remedy": Remedy.MOVE, "zones": (), "to": OUTSIDE}, "Costs: a car moved. Work done at 10:10."),
        ({"remedy": Remedy.COVER}, "Costs: 1 zone covered. Work done at 10:10."),
        ({"remedy": Remedy.COVER, "once": "coat-1"}, "Costs: 1 zone covered. Work done at 10:10."),
        ({"remedy": Remedy.TAKE_UP}, "Costs nothing. Work done at 10:10."),
        ({"remedy": Remedy.GO_ON, "rework_s": 61}, "Costs: 2 min of work done twice. Work done at 10:10."),
        ({"remedy": Remedy.GO_ON, "later_s": 59}, "Costs nothing. Work done at 10:10."),
        ({"remedy": Remedy.GO_ON, "later_s": 3700}, "Costs: 1 h 02 later. Work done at 10:10."),
        ({"remedy": Remedy.TAKE_UP, "still": "Roof lies open."}, "Costs nothing. Work done at 10:10. Roof lies open."),
    ],
)
def test_what_it_costs_is_rounded_up_and_never_left_out(costs: dict[str, object], words: str):
    assert cost_text(way(**costs), OPENING, UTC) == words


def test_a_way_out_of_a_car_that_has_left_is_gone(hand: HandBay):
    order = troubled(day_order(hand.bay.state, hand.bay.now()))
    hand.bay.request(CloseJob(CAR))
    assert ways_out_page(hand.bay.state, order, ASH, hand.bay.now(), UTC).ways == ()


def test_the_big_button_says_what_is_wrong_and_opens_the_plan(hand: HandBay):
    at = hand.bay.now()
    hand.bay.advice.take_order(troubled(day_order(hand.bay.state, at)))
    shown = board(hand.bay, hand.clocks(), Viewpoint(ASH, at, UTC, CAR))
    offers = [shown.main, shown.instead]
    (wrong,) = [offer for offer in offers if offer and offer.opens_plan]
    assert wrong.title == "Coat (windscreen) cannot begin by 09:30 any more; solvent wipe comes again."
    assert wrong.detail == "Touch for 3 ways out, with what each costs."
    assert wrong.action is None


def test_a_window_that_closes_goes_before_what_is_wrong_as_long_as_a_plan_holds(hand: HandBay):
    at = hand.bay.now()
    order = troubled(day_order(hand.bay.state, at))
    hand.bay.advice.take_order(order)
    shown = board(hand.bay, hand.clocks(), Viewpoint(ASH, at, UTC, CAR))
    assert shown.main.urgency is Urgency.CLOSING
    assert shown.main.action
    assert shown.instead
    assert shown.instead.opens_plan
    hand.bay.advice.take_order(order.model_copy(update={"stuck": True}))
    assert board(hand.bay, hand.clocks(), Viewpoint(ASH, at, UTC, CAR)).main.opens_plan


def test_once_the_loss_is_taken_the_big_button_says_what_comes_next_until_something_else_is_lost(hand: HandBay):
    at = hand.bay.now()
    order = troubled(day_order(hand.bay.state, at))
    hand.bay.advice.take_order(order)
    hand.bay.advice.take_losses()
    assert hand.bay.advice.troubled is None
    again = order.model_copy(update={"made_for": at + timedelta(minutes=5)})
    hand.bay.advice.take_order(again)
    assert hand.bay.advice.troubled is None, "the same loss is not asked about again"
    more = order.losses[0].model_copy(update={"zone": ZoneId("roof")})
    hand.bay.advice.take_order(order.model_copy(update={"losses": (*order.losses, more)}))
    assert hand.bay.advice.troubled is not None


def test_a_plan_that_holds_only_once_a_way_out_is_taken_is_not_the_mornings_plan(hand: HandBay):
    order = day_order(hand.bay.state, hand.bay.now())
    stuck = troubled(order, stuck=True)
    assert day_plan(hand.bay.state, None, stuck, hand.bay.now()) is None
    assert day_plan(hand.bay.state, None, order, hand.bay.now()) is not None


@pytest.fixture
def coating(tmp_path: Path) -> Iterator[HandBay]:
    """The rear screen is being coated before seven panes were washed, and the planner says so."""
    car, events = read_day(OFF_PLAN / "saloon-alone.toml", OFF_PLAN / f"{COATING}.jsonl", None)
    with hand_bay(tmp_path, cars=0, at=car.start) as hand:
        hand.bay.restore(events)
        hand.go_to(events[-1].at + timedelta(minutes=1))
        think(hand)
        yield hand


def think(hand: HandBay) -> None:
    hand.bay.advice.take_order(plan_work(hand.bay.state, hand.bay.now(), Shop(), Effort(0.5, workers=1)))


def car_of(hand: HandBay) -> JobId:
    (car,) = hand.bay.state.open_jobs
    return car.job.id


def main_offer(hand: HandBay) -> Offer:
    return board(hand.bay, hand.clocks(), Viewpoint(KIM, hand.bay.now(), UTC, car_of(hand))).main


def ways(hand: HandBay) -> WaysOutView:
    order = hand.bay.advice.troubled
    assert order
    return ways_out_page(hand.bay.state, order, KIM, hand.bay.now(), UTC)


def test_a_coat_that_is_being_laid_is_covered_once_it_is_done_and_the_board_offers_that_then(coating: HandBay):
    bay = coating.bay
    (cover, _not_today) = ways(coating).ways
    assert cover.title == "Cover as soon as coated: rear screen"
    assert cover.detail.endswith("The board offers it once the coat is done.")
    assert cover.request is None
    assert cover.later
    bay.advice.choose_cover(cover.later)
    assert bay.advice.troubled is None, "it is answered"
    done = main_offer(coating)
    assert done.title == "Done: coat, rear screen"
    assert done.detail.endswith("Touch when it is done. Then cover it.")
    think(coating)
    assert bay.advice.troubled is None, "a newer plan asks the same, and is answered too"
    assert isinstance(done.action, FinishStep)
    assert bay.request(done.action).accepted
    offered = main_offer(coating)
    assert (offered.title, offered.detail) == (
        "Cover: rear screen",
        "Tent it, touch nothing. Touch when it is covered.",
    ), "at once, before the planner has answered"
    think(coating)
    assert main_offer(coating).action == offered.action
    assert bay.advice.troubled, "the other ways out are still at hand"
    assert isinstance(offered.action, Cover)
    assert bay.request(offered.action).accepted
    think(coating)
    assert bay.advice.troubled is None
    assert main_offer(coating).title.startswith("Begin: decontaminate")


def test_a_cover_that_was_chosen_is_not_asked_for_once_the_coat_is_taken_back(coating: HandBay):
    later = ways(coating).ways[0].later
    assert later
    coating.bay.advice.choose_cover(later)
    assert coating.bay.request(Undo(car_of(coating), (ZoneId("rear-screen"),), KIM)).accepted
    assert not isinstance(main_offer(coating).action, Cover)
    think(coating)
    assert coating.bay.advice.cover.to_come(KIM) is None, "the planner knows of no need for it"


def test_who_has_not_chosen_the_cover_is_told_what_is_wrong_until_it_is_answered(coating: HandBay):
    action = main_offer(coating).action
    assert isinstance(action, FinishStep)
    assert coating.bay.request(action).accepted
    think(coating)
    assert main_offer(coating).opens_plan
    cover = ways(coating).ways[0]
    assert (cover.title, cover.request) == (
        "Cover: rear screen",
        Cover(car_of(coating), (ZoneId("rear-screen"),), KIM),
    ), "and asks for it at a touch"
