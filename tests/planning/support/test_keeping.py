"""The exact look at windows, by hand: what can be kept by how many hands."""

from datetime import datetime

from bayapp.job import BayState, Start
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.model.recipe import Recipe
from tests.job.builders import Shop, at, finish, job, recipe, step
from tests.planning.support.keeping import fewest_lost as between

CAR = JobId("car")
GLASS = recipe(step("wipe"), step("coat", wait={"max": 3, "lapse": "wipe"}, minutes=2), name="glass")
LEVEL = step("level", wait={"max": 8, "max_from": "start", "lapse": "wipe"}, minutes=2)
PAINT = recipe(step("wipe"), step("coat", minutes=3, wait={"max": 20, "lapse": "wipe"}), LEVEL, name="level-soon")
DUSTY = recipe(step("wipe"), step("polish", minutes=20), name="dusty")
PANES = ("windscreen", "left-rim", "roof", "bonnet")


def fewest_lost(state: BayState, moment: datetime) -> int:
    least, most = between(state, moment)
    assert least == most, "so few are looked at to the end"
    return least


def wiped(*blocks: list[str], crew: tuple[str, ...] = ("Ash",), of: Recipe = GLASS) -> Shop:
    shop = Shop(job(*((zones, of) for zones in blocks), crew=crew))
    for zones in blocks:
        for zone in zones:
            shop.must(finish(zone, "wipe"), 0)
    return shop


def test_panes_of_different_blocks_are_coated_one_by_one():
    panes = [[pane] for pane in PANES]
    assert fewest_lost(wiped(*panes[:2]).state, at(0)) == 0, "0 to 2 and 2 to 4: the second begins in its third minute"
    assert fewest_lost(wiped(*panes).state, at(0)) == 2
    assert fewest_lost(wiped(*panes, crew=("Ash", "Bo")).state, at(0)) == 0


def test_panes_of_one_block_may_be_begun_by_one_touch():
    assert fewest_lost(wiped(list(PANES)).state, at(0)) == 0
    assert fewest_lost(wiped(list(PANES)).state, at(3.01)) == 0, "what has lapsed is no window that could be lost"


def test_what_must_follow_on_a_touch_is_looked_at_too():
    shop = wiped(["roof", "bonnet", "windscreen"], of=PAINT)
    assert fewest_lost(shop.state, at(1)) == 0
    shop.must(Start(CAR, tuple(map(ZoneId, ("roof", "bonnet", "windscreen"))), StepId("coat"), Person("Ash")), 1)
    assert fewest_lost(shop.state, at(1)) == 3, "all are coated after nine minutes, and levelled within eight"


def test_dust_sends_open_wipes_back_and_leaves_no_window_of_theirs_to_lose():
    shop = Shop(job((["windscreen"], GLASS), (["roof"], DUSTY), crew=("Ash", "Bo")))
    shop.must(finish("roof", "wipe"), 0)
    shop.must(finish("windscreen", "wipe"), 0)
    assert fewest_lost(shop.state, at(0)) == 0
    shop.must(Start(CAR, (ZoneId("roof"),), StepId("polish"), Person("Ash")), 0)
    assert not shop.state.jobs[CAR].zones[ZoneId("windscreen")].rungs
    assert fewest_lost(shop.state, at(0)) == 0
