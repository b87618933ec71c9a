"""A first order that holds whatever has gone wrong: begun together, stayed longer for, or given up one by one."""

from datetime import time, timedelta

import pytest

from bayapp.planning.core.shrunken_windows import with_shrunken_windows
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.orders import Ways, people_of, planned_steps
from bayapp.planning.relaxation import Relaxed, relaxed
from tests.job.builders import Shop, at, finish, job, recipe, start, step
from tests.planning.support.checker import faults
from tests.planning.support.replays import by_touch, one_by_one, replay

RIMS = "left-rim right-rim"
COATED = recipe(
    step("wipe", minutes=2),
    step("coat", minutes=5, wait={"max": 10, "lapse": "wipe"}),
    step("level", minutes=1, wait={"max": 15, "max_from": "start", "lapse": "wipe"}),
)


def settled(shop: Shop, minutes: float, people: People | None = None, last: WorkOrder | None = None) -> Relaxed:
    """A first answer that is checked and carried out through the gate."""
    found = relaxed(Situation(shop.state, at(minutes), people or People()), last=last)
    assert found.plan.starts_s
    assert faults(found.work.problem, found.plan) == []
    for how in (one_by_one, by_touch):
        assert replay(shop.state, how(steps(shop, found)))[1] == []
    return found


def steps(shop: Shop, found: Relaxed) -> tuple[PlannedStep, ...]:
    return planned_steps(found.work, found.plan, people_of(found.work, found.plan, Ways(found.work, shop.state)))


def bay(*zones: str, crew: tuple[str, ...] = ("Ash",)) -> Shop:
    """Zones of one block each, so that nothing can be begun together."""
    return Shop(job(*(([zone], COATED) for zone in zones), crew=crew))


def test_a_first_order_leaves_a_quarter_of_every_window_unused_where_it_can():
    # No coat is laid before the polish ends at 18. Wiped by 2, the rim would be coated after 16 of at most 20 minutes.
    coated = recipe(step("wipe", minutes=2), step("coat", wait={"max": 20, "lapse": "wipe"}), name="coated")
    dusty = recipe(step("polish", minutes=18), name="dusty")
    shop = Shop(job((["left-rim"], coated), (["roof"], dusty), crew=("Ash", "Bo")))
    shop.must(start("roof", "polish", "Bo"), 0)
    by_step = {str(s.step): s for s in steps(shop, settled(shop, 0))}
    assert by_step["coat"].start - by_step["wipe"].end <= timedelta(minutes=15)


def test_where_there_is_no_time_to_spare_the_windows_themselves_are_kept():
    shop = bay("left-rim", "right-rim")
    shop.work("left-rim", "wipe", 0, 0)
    shop.work("right-rim", "wipe", 0, 0)
    found = settled(shop, 5)
    assert found.whole, "the second coat begins at 10, at its latest moment"
    assert faults(with_shrunken_windows(found.work.problem, 0.1), found.plan) != []


def test_what_can_be_kept_is_kept():
    shop = bay("left-rim")
    shop.work("left-rim", "wipe", 0, 2)
    found = settled(shop, 5)
    assert (found.whole, found.losses, found.overtime) == (True, (), False)


def test_zones_of_a_block_that_would_lapse_one_after_the_other_are_begun_by_one_touch():
    shop = Shop(job((RIMS.split(), COATED), crew=("Ash",)))
    shop.work(RIMS, "wipe", 0, 2)
    found = settled(shop, 9)
    assert found.losses == ()
    coats = [s for s in steps(shop, found) if s.step == "coat"]
    assert {(s.start, s.end) for s in coats} == {(at(9), at(19))}
    assert len({s.touch for s in coats}) == 1


def test_of_two_that_cannot_both_be_kept_one_is_given_up_and_only_one():
    shop = bay("left-rim", "right-rim")
    shop.work("left-rim", "wipe", 0, 2)
    shop.work("right-rim", "wipe", 2, 2.5)
    found = settled(shop, 11)
    (loss,) = found.losses
    assert not found.whole
    assert (loss.step, loss.lapses_at) in (("coat", at(12)), ("coat", at(12.5)))
    (again,) = [r for r in found.work.rung_of.values() if r.not_before]
    assert (again.zone, again.step.id, again.not_before) == (loss.zone, "wipe", loss.lapses_at + timedelta(seconds=1))


def test_a_coat_that_has_run_past_its_levelling_is_laid_again_after_a_wipe():
    shop = bay("left-rim")
    shop.work("left-rim", "wipe", 0, 2)
    shop.must(start("left-rim", "coat"), 2)
    found = settled(shop, 18)  # levelled by 17 at the latest, and still being laid
    assert [(loss.step, loss.lapses_at) for loss in found.losses] == [("level", at(17))]
    assert [s.step for s in steps(shop, found)] == ["coat", "wipe", "coat", "level"]


def test_people_stay_longer_before_a_window_is_given_up():
    shop = bay("left-rim")
    shop.work("left-rim", "wipe", 0, 2)
    early = People(hours=((time(7), time(8, 11)), (time(12), time(17))))
    found = settled(shop, 10, early)
    assert (found.overtime, found.losses) == (True, ())


def test_a_night_is_not_stayed_through():
    ladder = recipe(
        step("wipe", minutes=2),
        step("coat", minutes=2, wait={"max": 10, "lapse": "wipe"}),
        step("level", minutes=2, wait={"min": 240, "max": 245, "lapse": "wipe"}),
    )
    shop = Shop(job((["roof"], ladder), crew=("Ash",)))
    shop.work("roof", "wipe", 0, 2)
    shop.work("roof", "coat", 2, 4)
    found = settled(shop, 5, People(hours=((time(7), time(9)), (time(20), time.max))))
    assert [loss.step for loss in found.losses] == ["level"]


def test_a_window_that_a_step_before_it_outlasts_is_given_up_at_once():
    late = step("level", minutes=1, wait={"after": "wipe", "max": 6, "lapse": "wipe"})
    shop = Shop(job((["roof"], recipe(step("wipe", minutes=2), step("coat", minutes=5), late)), crew=("Ash",)))
    shop.work("roof", "wipe", 0, 2)
    found = relaxed(Situation(shop.state, at(5), People()))
    assert [(loss.step, loss.lapses_at) for loss in found.losses[:1]] == [("level", at(8))]


def test_the_last_order_is_carried_on_with_where_it_holds():
    clean, wipe = recipe(step("clean", minutes=2)), recipe(step("wipe", minutes=9))
    shop = Shop(job((["left-rim"], clean), (["roof"], wipe), crew=("Ash",)))
    usual = settled(shop, 0)
    first, second = steps(shop, usual)
    turned = (second.model_copy(update={"start": first.start}), first.model_copy(update={"start": second.start}))
    kept = settled(shop, 0, last=WorkOrder(status="feasible", made_for=at(0), steps=turned))
    assert [s.zone for s in steps(shop, kept)] == [second.zone, first.zone]


def test_a_last_order_that_no_longer_holds_does_no_harm():
    shop = bay("left-rim", "right-rim")
    shop.work("left-rim", "wipe", 0, 2)
    slow = (steps(shop, settled(shop, 2))[-1].model_copy(update={"start": at(5), "end": at(7)}),)
    found = settled(shop, 11, last=WorkOrder(status="feasible", made_for=at(0), steps=slow))
    assert found.whole


@pytest.mark.parametrize("zones", [2, 5])
def test_when_everybody_walked_away_as_much_is_kept_as_hands_allow(zones: int):
    names = ["left-rim", "right-rim", "roof", "bonnet", "left-door"][:zones]
    shop = bay(*names)
    for request, minutes in ((start, 0), (finish, 2)):
        for zone in names:
            shop.must(request(zone, "wipe", None), minutes)
    found = settled(shop, 11)  # all lapse at 12, and a coat takes 5
    assert len(found.losses) == zones - 1


def test_what_counts_from_a_step_that_is_done_again_is_not_given_up_as_well():
    wait = {"after": "wipe", "max": 60, "lapse": "wipe"}
    ladder = recipe(
        step("wipe", minutes=2),
        step("clean", minutes=1),
        step("coat", minutes=2, wait=wait),
        step("level", minutes=2, wait=wait),
    )
    shop = Shop(job((["roof"], ladder), crew=("Ash",)))
    shop.work("roof", "wipe", 0, 2)  # the coat and its levelling both lapse at 62; wiping again mends both
    found = settled(shop, 80)
    assert [(loss.step, loss.lapses_at) for loss in found.losses] == [("coat", at(62))]
    assert [s.step for s in steps(shop, found)] == ["clean", "wipe", "clean", "coat", "level"]


def test_a_wipe_done_too_soon_is_given_up_where_all_else_would_spoil_it():
    """One pane is wiped, its buff waits for the other, and washing that one spoils the wipe."""
    pane = recipe(
        step("decontaminate", minutes=4),
        step("wipe", minutes=2),
        step("coat", minutes=2, wait={"max": 30, "lapse": "wipe"}),
        step("buff", minutes=2, wait={"of": "panels", "min": 15, "max": 120, "lapse": "repeat"}),
        name="pane",
    )
    shop = Shop(job((["roof"], pane), (["bonnet"], pane)))
    shop.must(finish("roof", "decontaminate"), 0)
    shop.must(finish("roof", "wipe"), 2)
    found = settled(shop, 3)
    assert [(lost.zone, lost.step) for lost in found.losses] == [("roof", "coat")]
    assert [s.step for s in steps(shop, found) if s.zone == "roof"] == ["wipe", "coat", "buff"]
