"""No car leaves before what was done on it was seen by light, or somebody says why; brakes and wheels are told.

Common practice, no source: a high spot that hardens is found by the owner in the sun.
"""

import pytest
from pydantic import ValidationError

from bayapp.job import CheckBrakes
from bayapp.job.gate.final_check import to_be_seen
from bayapp.job.grounds import Why
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.ids import JobId
from bayapp.job.state.requests import CloseJob, SetUpBay
from tests.job.builders import Shop, finish, job, recipe, seen_good, send_back, set_aside, start, step, undo

CAR = JobId("car")
PANEL = recipe(step("polish"), step("wipe"), name="panel")
BARE = SetUpBay(3.0, None, None, 3.0)
CHECKED = SetUpBay(3.0, None, None, 3.0, final_check=True)


def shop(*, checked: bool = True) -> Shop:
    made = Shop(job((["roof", "bonnet", "left-door"], PANEL)))
    made.must(CHECKED if checked else BARE, 0)
    return made


def whys(verdict: object) -> list[Why]:
    return [refusal.why for refusal in verdict.refusals]  # type: ignore[attr-defined]


def test_a_car_leaves_when_each_worked_zone_was_seen_and_what_nobody_touched_is_not_asked_for() -> None:
    made = shop()
    made.must(finish("roof bonnet", "polish"), 1)
    made.must(finish("roof bonnet", "wipe"), 2)
    (refusal,) = made.ask(CloseJob(CAR), 3).refusals
    assert (refusal.why, refusal.grounds.zones) == (Why.NOT_SEEN, ("roof", "bonnet"))
    made.must(seen_good("roof"), 4)
    assert whys(made.ask(CloseJob(CAR), 5)) == [Why.NOT_SEEN]
    made.must(seen_good("bonnet"), 6)
    assert made.must(CloseJob(CAR), 7).events[-1].deviation is None


def test_it_goes_with_a_reason_which_the_record_keeps() -> None:
    made = shop()
    made.must(finish("roof", "polish"), 1)
    closed = made.must(CloseJob(CAR, deviation="the owner needs it now"), 2).events[-1]
    assert (closed.deviation.code, closed.deviation.reason) == ("order", "the owner needs it now")
    assert closed.deviation.why.startswith("Roof: not seen by light yet.")


def test_a_shop_that_does_not_want_the_check_and_one_of_before_it_let_every_car_go() -> None:
    made, old = shop(checked=False), Shop(job((["roof"], PANEL)))
    for each in (made, old):
        each.must(finish("roof", "polish"), 1)
        each.must(CloseJob(CAR), 2)


def test_many_zones_are_good_by_one_touch_all_or_none() -> None:
    made = shop()
    made.must(finish("roof bonnet", "polish"), 1)
    made.must(finish("roof bonnet", "wipe"), 2)
    made.must(finish("left-door", "polish"), 3)
    assert whys(made.ask(seen_good("roof bonnet left-door"), 4)) == [Why.STILL_TO_DO]
    assert len(made.must(seen_good("roof bonnet"), 4).events) == 2


@pytest.mark.parametrize("what", ["again", "begun", "undone"])
def test_what_is_done_on_a_zone_after_it_was_seen_makes_it_to_be_seen_again(what: str) -> None:
    made = shop()
    made.must(finish("roof", "polish"), 1)
    made.must(finish("roof", "wipe"), 2)
    made.must(seen_good("roof"), 3)
    assert to_be_seen(made.state.jobs[CAR]) == ()
    made.must(undo("roof") if what == "undone" else send_back("roof", "polish", "high spot"), 4)
    if what == "begun":
        made.must(start("roof", "polish"), 5)
    assert to_be_seen(made.state.jobs[CAR]) == ("roof",)


def test_what_was_set_aside_half_way_is_looked_at_too_and_can_be_called_good() -> None:
    made = shop()
    made.must(finish("roof", "polish"), 1)
    made.must(set_aside("roof"), 2)
    assert whys(made.ask(CloseJob(CAR), 3)) == [Why.NOT_SEEN]
    made.must(seen_good("roof"), 3)
    made.must(CloseJob(CAR), 4)


def test_what_is_under_way_is_not_called_good() -> None:
    made = shop()
    made.must(start("roof", "polish"), 1)
    assert whys(made.ask(seen_good("roof"), 2)) == [Why.ZONE_BUSY]
    assert whys(made.ask(CloseJob(CAR), 2)) == [Why.NOT_SEEN]


def test_what_is_said_last_of_the_brakes_counts() -> None:
    made = shop()
    made.must(CheckBrakes(CAR, BrakeCheck(discs_clean=True)), 1)
    made.must(CheckBrakes(CAR, BrakeCheck(discs_clean=True, pedal_firm=True)), 2)
    assert made.state.jobs[CAR].brakes == BrakeCheck(discs_clean=True, pedal_firm=True)
    assert made.replayed() == made.state


def test_all_is_good_when_wheels_that_came_off_have_a_torque() -> None:
    three = {"discs_clean": True, "pedal_firm": True, "rolled_and_braked": True}
    assert BrakeCheck.model_validate(three).all_good
    assert not BrakeCheck.model_validate({**three, "wheels_off": True}).all_good
    assert BrakeCheck.model_validate({**three, "wheels_off": True, "torque_nm": 110}).all_good


@pytest.mark.parametrize("torque", [9.9, 1000.1, float("nan"), -5])
def test_a_torque_that_no_wheel_has_is_refused(torque: float) -> None:
    with pytest.raises(ValidationError):
        BrakeCheck(torque_nm=torque)
