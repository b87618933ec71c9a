"""What touches would shut out is told beside the advice, unless the plan has made room for it."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

from bayapp.job import FinishStep, Start
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.shut_out.shut_out import NOTHING
from bayapp.planning.core.effort import Effort
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from tests.job import builders
from tests.job.shut_out.days import day
from tests.pages.bays import HandBay, hand_bay
from tests.pages.glass_first import COAT, KIM, SALOON, SCREEN, SIDES, WASH, before_the_coat
from tests.pages.orders import order_of, planned


def told(hand: HandBay) -> list[tuple[str, bool]]:
    """The steps that may be begun, the best first, and whether each closes the way."""
    at = hand.bay.now()
    recommendations, _ = hand.bay.advice.for_person(hand.clocks(), KIM, at)
    return [(one.advice.step, one.shuts_out.closes_the_way) for one in hand.bay.advice.told(recommendations, KIM, at)]


@contextmanager
def wiped_in_haste(store: Path, step_s: float) -> Iterator[HandBay]:
    """A bay in which nothing but the windscreen was touched, and that is wiped already."""
    job, _lines = day("glass-first")
    with hand_bay(store, cars=0, at=job.start) as hand:
        hand.bay.open_job(job)
        for step in ("decontaminate", "polish", "wipe"):
            hand.wait(step_s)
            assert hand.bay.request(FinishStep(SALOON, SCREEN, StepId(step), KIM)).accepted
        yield hand


def test_a_cost_is_worked_out_after_it_was_asked_for_and_told_from_then_on(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        assert told(hand) == [("coat-1", False), ("decontaminate", False)], "nothing is known yet"
        assert hand.bay.advice.costs.owing
        hand.bay.advice.costs.work_out(hand.bay.now())
        assert not hand.bay.advice.costs.owing
        assert told(hand) == [("decontaminate", False), ("coat-1", True)], "what closes the way comes last"
        assert not hand.bay.advice.costs.owing


def test_a_cost_is_worked_out_again_when_the_state_changes_or_a_minute_has_passed(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        advice = hand.bay.advice
        told(hand)
        advice.costs.work_out(hand.bay.now())
        hand.wait(29)
        told(hand)
        assert not advice.costs.owing, "within the minute"
        hand.wait(1)
        assert told(hand)[-1] == ("coat-1", True), "until then the old holds"
        assert advice.costs.owing, "the next minute: what is said with a time of day is another"
        advice.costs.work_out(hand.bay.now())
        hand.bay.request(FinishStep(SALOON, WASH.zones, StepId("decontaminate"), KIM))
        told(hand)
        assert advice.costs.owing, "something was recorded"


def test_a_touch_that_closes_the_way_is_known_at_the_touch_even_where_nobody_had_time_before(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        at = hand.bay.now()
        assert not hand.bay.advice.closes_the_way(COAT, at), "nobody has offered it"
        assert hand.bay.advice.weighed(COAT, at).shuts_out == NOTHING
        assert hand.bay.advice.closes_the_way(COAT, at)
        assert not hand.bay.advice.closes_the_way(WASH, at)


def test_of_what_a_whole_plan_has_next_no_wait_is_told(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        for step in ("decontaminate", "polish"):
            hand.wait(60)
            assert hand.bay.request(FinishStep(SALOON, WASH.zones, StepId(step), KIM)).accepted
        at = hand.bay.now()
        order = plan_work(hand.bay.state, at, Shop(), Effort(1))
        assert order.steps
        assert not order.losses
        hand.bay.advice.take_order(order)
        first = min((s for s in order.steps if s.person == KIM), key=lambda s: s.start)
        zones = tuple(s.zone for s in order.steps if s.touch == first.touch)
        start = Start(SALOON, zones, first.step, KIM)
        hand.bay.advice.weighed(start, at)
        hand.bay.advice.costs.work_out(at)
        weighed = hand.bay.advice.weighed(start, at)
        assert weighed.planned
        assert weighed.shuts_out == NOTHING


def test_a_step_of_the_plan_that_is_taken_before_its_turn_and_closes_the_way_is_not_put_first(tmp_path: Path):
    """Seen on the wall: washing might have lasted too long for the wiped windscreen, and so its coat was put first."""
    with wiped_in_haste(tmp_path, step_s=2) as hand:
        at = hand.wait(1)
        wash = [planned(zone, "decontaminate", at, 24, "Kim", "car", touch=1) for zone in SIDES]
        coat = planned("windscreen", "coat-2", at + timedelta(minutes=24), 3, "Kim", "car", touch=2)
        hand.bay.advice.take_order(order_of(at, *wash, coat, entry=hand.bay.state.last_at))
        told(hand)
        hand.bay.advice.costs.work_out(at)
        told(hand)
        hand.bay.advice.costs.work_out(at)
        assert told(hand)[0] == ("decontaminate", False)
        _found, pause = hand.bay.advice.for_person(hand.clocks(), KIM, at)
        assert pause is None, "to rest would save nothing"


def test_nobody_rests_for_a_step_that_would_close_the_way_for_the_one_in_hand(tmp_path: Path):
    """Seen on the wall: "Nothing to do for 1:00", again and again, with six panes to wash."""
    with wiped_in_haste(tmp_path, step_s=5) as hand:
        advice, at = hand.bay.advice, hand.wait(1)
        advice.take_order(plan_work(hand.bay.state, at, Shop(), Effort(1)))
        advice.for_person(hand.clocks(), KIM, at)
        advice.costs.work_out(at)
        found, pause = advice.for_person(hand.clocks(), KIM, at)
        advice.costs.work_out(at)
        found, pause = advice.for_person(hand.clocks(), KIM, at)
        assert pause is None
        assert found[0].advice.step == "decontaminate"


PAINT = builders.recipe(
    builders.step("polish", minutes=20),
    builders.step("wipe", minutes=2),
    builders.step("coat", minutes=3, wait={"max": 20, "lapse": "wipe"}),
)


@contextmanager
def polished_beside_dust(store: Path) -> Iterator[HandBay]:
    """Two panels are polished, a third is since 8:00 by somebody else for 20 minutes or longer; Bo is to wipe."""
    with hand_bay(store, cars=0, at=builders.at(0)) as hand:
        hand.bay.open_job(builders.job((["roof", "bonnet", "left-door"], PAINT), crew=("Ash", "Bo")))
        for zone in ("roof", "bonnet"):
            assert hand.bay.request(builders.finish(zone, "polish", by="Bo")).accepted
        assert hand.bay.request(builders.start("left-door", "polish")).accepted
        at = hand.wait(60)
        wipe = [planned(z, "wipe", at, 2, "Bo", "car", touch=1) for z in ("roof", "bonnet")]
        coat = [planned(z, "coat", at + timedelta(minutes=19), 3, "Bo", "car", touch=2) for z in ("roof", "bonnet")]
        hand.bay.advice.take_order(order_of(at, *wipe, *coat, entry=hand.bay.state.last_at))
        yield hand


def test_a_ladder_warns_of_what_the_plan_has_next_as_the_board_does(tmp_path: Path):
    """Found by a driver against the advice: what the board said may be too late, the ladder began without a word."""
    bo = Person("Bo")
    with polished_beside_dust(tmp_path) as hand:
        advice, at = hand.bay.advice, hand.bay.now()
        on_the_board, _pause = advice.for_person(hand.clocks(), bo, at)
        wipe = next(one for one in on_the_board if one.planned)
        assert wipe.risks, "the polish may last until 8:28, and what is wiped by 8:06 is to be coated by 8:26"
        start = Start(JobId("car"), wipe.advice.zones, StepId("wipe"), bo)
        assert advice.weighed(start, at).risks == wipe.risks


def test_a_part_of_what_the_plan_has_next_is_weighed_by_itself(tmp_path: Path):
    bo = Person("Bo")
    with polished_beside_dust(tmp_path) as hand:
        roof = Start(JobId("car"), (ZoneId("roof"),), StepId("wipe"), bo)
        weighed = hand.bay.advice.weighed(roof, hand.bay.now())
        assert weighed.planned
        assert {risk.zone for risk in weighed.risks} == {"roof"}
