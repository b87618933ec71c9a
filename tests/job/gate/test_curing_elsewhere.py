"""A car that was moved out to cure, and water that comes on it there, as a shop short of bays knows it.

Common practice, no source: the product's sheet says how long a coat must be kept dry, and what rain does to it sooner.
"""

import pytest

from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.kinds import AlertKind
from bayapp.job import MoveCar, UndoMove, clocks, handover_at
from bayapp.job.gate.wetting import not_dry_yet
from bayapp.job.grounds import Why
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.requests import CloseJob, ReopenJob
from bayapp.job.waits.cure import Cure, cure_of
from tests.job.builders import (
    Shop,
    at,
    cover,
    finish,
    got_wet,
    job,
    read_air,
    recipe,
    seen_good,
    send_back,
    start,
    step,
    undo,
)
from tests.job.gate.places import BAY_1, BAYS, CAR, VAN, moved, two_cars

AWAY = MoveCar(CAR, OUTSIDE, curing=True, spot="the hall next door")
LOOKED_AT = recipe(step("coat"), step("inspect"), name="looked-at", finish={"keep_dry_hours": 12})


def away(*steps: str) -> Shop:
    """The red car with its roof brought so far, and moved out to cure eight minutes after eight."""
    shop = two_cars(*steps, bays=BAYS)
    shop.must(AWAY, 8)
    return shop


def cure(shop: Shop, zone: str) -> Cure:
    found = cure_of(shop.state.jobs[CAR], ZoneId(zone))
    assert found, "its ladder is done"
    return found


def why(verdict: object) -> list[Why]:
    return [refusal.why for refusal in verdict.refusals]  # type: ignore[attr-defined]


def test_who_is_moved_out_to_cure_frees_the_bay_and_keeps_its_clocks() -> None:
    shop = away("coat", "level")
    car = shop.state.jobs[CAR]
    assert (car.place, car.curing, car.spot) == (OUTSIDE, True, "the hall next door")
    assert cure(shop, "roof").dry_until == at(7 + 12 * 60)
    assert handover_at(car) == at(7 + 12 * 60)
    shop.must(MoveCar(VAN, BAY_1), 9)


def test_nobody_works_on_it_there_but_to_look_and_a_person_may_carry_on_with_a_reason() -> None:
    shop = away("coat")
    assert why(shop.ask(start("roof", "level"), 9)) == [Why.CURES_ELSEWHERE]
    assert why(shop.ask(finish("roof", "level"), 9)) == [Why.CURES_ELSEWHERE]
    carried_on = shop.must(start("roof", "level", reason="under the lamp there"), 9)
    assert [rule.code for rule in carried_on.events[0].deviation.rules] == ["bay"]
    looked_at = Shop(job((["roof"], LOOKED_AT)))
    looked_at.must(read_air(), 0)
    looked_at.must(finish("roof", "coat"), 1)
    looked_at.must(AWAY, 2)
    looked_at.must(start("roof", "inspect"), 3)


def test_it_comes_back_in_and_is_worked_again() -> None:
    shop = away("coat")
    shop.must(MoveCar(CAR, BAY_1), 9)
    assert not shop.state.jobs[CAR].curing
    shop.must(start("roof", "level"), 10)


def test_it_was_not_moved_after_all() -> None:
    shop = away("coat")
    shop.must(UndoMove(CAR), 9)
    assert (shop.state.jobs[CAR].place, shop.state.jobs[CAR].curing) == (BAY_1, False)
    shop.must(start("roof", "level"), 10)


def test_a_car_that_stands_outside_can_be_said_to_cure_there_and_to_do_so_elsewhere_but_not_twice_the_same() -> None:
    shop = two_cars("coat", "level", bays=BAYS)
    shop.must(MoveCar(CAR, OUTSIDE), 8)
    shop.must(AWAY, 9)
    assert why(shop.ask(AWAY, 10)) == [Why.ALREADY_THERE]
    shop.must(MoveCar(CAR, OUTSIDE, curing=True, spot="the yard"), 10)
    assert shop.state.jobs[CAR].spot == "the yard"


def test_a_car_somebody_works_on_is_not_moved_out() -> None:
    shop = two_cars("coat", bays=BAYS)
    shop.must(start("roof", "level"), 8)
    assert why(shop.ask(AWAY, 9)) == [Why.CAR_WORKED]


def test_bays_named_meanwhile_leave_it_where_it_cures() -> None:
    shop = two_cars("coat", "level")
    shop.must(AWAY, 8)
    later = moved(CAR, BAY_1)
    later.must(AWAY, 9)
    for each in (shop, later):
        assert each.state.jobs[CAR].curing


def test_it_may_go_from_there_and_what_comes_back_is_in_to_be_worked() -> None:
    shop = away("coat")
    shop.must(CloseJob(CAR), 9)
    shop.must(ReopenJob(CAR), 10)
    assert not shop.state.jobs[CAR].curing
    shop.must(start("roof", "level"), 11)


def test_water_used_outside_the_door_does_not_reach_a_spot_of_its_own() -> None:
    shop = away("coat", "level")
    shop.must(MoveCar(VAN, OUTSIDE), 9)
    shop.must(start("left-rim", "wash", job="van"), 10)


# Got wet.


def test_rain_starts_the_dry_time_anew_from_when_it_fell_and_not_the_drive_time() -> None:
    panel = recipe(step("coat"), name="panel", finish={"keep_dry_hours": 12, "no_drive_hours": 24})
    shop = Shop(job((["roof", "bonnet"], panel)))
    shop.must(read_air(), 0)
    shop.must(finish("roof bonnet", "coat"), 1)
    shop.must(got_wet("roof", since=300), 320)
    roof, bonnet = cure(shop, "roof"), cure(shop, "bonnet")
    assert (roof.dry_until, roof.drive_from) == (at(300 + 720), at(1 + 1440))
    assert bonnet.dry_until == at(1 + 720)


def test_until_somebody_has_looked_for_water_spots_there_is_no_handover_and_a_call() -> None:
    shop = away("coat", "level")
    shop.must(got_wet("roof", since=60), 70)
    assert handover_at(shop.state.jobs[CAR]) is None
    called = conditions(shop.state, clocks(shop.state, at(70)), at(70))
    assert [(c.kind, c.zones, c.since) for c in called] == [(AlertKind.ATTENTION, ("roof",), at(70))]
    assert called[0].label == "Red car: Roof got wet; look for water spots (the hall next door)"
    shop.must(seen_good("roof"), 71)
    assert handover_at(shop.state.jobs[CAR]) == at(60 + 720)
    assert conditions(shop.state, clocks(shop.state, at(71)), at(71)) == ()
    dry = at(60 + 720)
    (ready,) = conditions(shop.state, clocks(shop.state, dry), dry)
    assert ready.kind is AlertKind.HANDOVER
    assert ready.label.endswith("(the hall next door)")


def test_spots_that_are_found_go_back_to_a_rung_and_the_polish_takes_the_water_off() -> None:
    panel = recipe(step("polish"), step("coat"), name="panel", finish={"keep_dry_hours": 12})
    shop = Shop(job((["roof"], panel)))
    shop.must(read_air(), 0)
    shop.must(finish("roof", "polish"), 1)
    shop.must(finish("roof", "coat"), 2)
    shop.must(got_wet("roof"), 3)
    shop.must(send_back("roof", "polish", "water spots"), 4)
    assert shop.state.jobs[CAR].zones["roof"].may_have_spots
    shop.must(finish("roof", "polish"), 5)
    shop.must(finish("roof", "coat"), 6)
    assert handover_at(shop.state.jobs[CAR]) == at(6 + 720)


def test_a_coat_that_is_levelled_after_the_rain_is_still_looked_at() -> None:
    shop = away("coat")
    shop.must(got_wet("roof"), 9)
    shop.must(MoveCar(CAR, BAY_1), 10)
    shop.must(finish("roof", "level"), 11)
    assert shop.state.jobs[CAR].zones["roof"].may_have_spots
    shop.must(seen_good("roof"), 12)
    assert handover_at(shop.state.jobs[CAR]) == at(11 + 720)


def test_a_coat_that_was_looked_at_before_it_was_levelled_is_not_looked_at_for_spots_again() -> None:
    shop = away("coat")
    shop.must(got_wet("roof"), 9)
    shop.must(seen_good("roof"), 10)
    shop.must(MoveCar(CAR, BAY_1), 11)
    shop.must(finish("roof", "level"), 12)
    assert handover_at(shop.state.jobs[CAR]) == at(12 + 720)


def test_water_told_by_mistake_is_undone() -> None:
    shop = away("coat", "level")
    before = shop.state.jobs[CAR].zones["roof"]
    shop.must(got_wet("roof"), 9)
    shop.must(undo("roof"), 10)
    assert shop.state.jobs[CAR].zones["roof"] == before
    assert handover_at(shop.state.jobs[CAR]) == at(7 + 720)


def test_all_that_is_not_dry_yet_and_not_covered_is_chosen_beforehand() -> None:
    panel = recipe(step("coat"), step("level"), name="panel", finish={"keep_dry_hours": 1})
    shop = Shop(job((["roof", "bonnet", "left-door", "left-rim"], panel)))
    shop.must(read_air(), 0)
    shop.must(finish("roof bonnet left-door", "coat"), 1)
    shop.must(finish("roof bonnet", "level"), 2)
    shop.must(cover("bonnet"), 3)
    assert not_dry_yet(shop.state.jobs[CAR], at(3)) == ("roof", "left-door")
    assert not_dry_yet(shop.state.jobs[CAR], at(2 + 60)) == ("left-door",)


@pytest.mark.parametrize("since", [-1, 9.001])
def test_no_water_comes_from_before_the_car_or_from_what_is_to_come(since: float) -> None:
    assert why(away("coat", "level").ask(got_wet("roof", since=since), 9)) == [Why.WET_WHEN]


def test_replay_of_the_journal_agrees() -> None:
    shop = away("coat", "level")
    shop.must(got_wet("roof", since=60), 70)
    shop.must(seen_good("roof"), 72)
    shop.must(MoveCar(CAR, BAY_1), 73)
    shop.must(CloseJob(CAR), 74)
    assert shop.replayed() == shop.state


def test_the_other_car_is_worked_meanwhile() -> None:
    shop = away("coat", "level")
    shop.must(start("left-rim", "wash", job="van"), 9)
