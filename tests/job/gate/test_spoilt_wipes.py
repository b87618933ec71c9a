"""Dust and water spoil open wipes elsewhere: they go back to the wipe (common practice, no source)."""

import pytest

from bayapp.job import AnswerSplash, MoveCar, zone_clock
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.place import OUTSIDE
from tests.job.builders import Shop, at, code, correct, job, recipe, send_back, start, step, undo

PANEL = recipe(
    step("polish"),
    step("wipe"),
    step("coat", wait={"max": 20, "lapse": "wipe"}),
    step("buff", wait={"max": 60, "lapse": "polish"}),
    name="panel",
)
WASHED = recipe(step("decontaminate"), step("clean"), name="washed")
LAST_WIPE = recipe(step("clean"), step("wipe"), name="last-wipe")
VAN = JobId("van")


@pytest.fixture
def shop() -> Shop:
    """The roof is wiped until minute 1; the bonnet is unpolished and the rim unwashed, here and on a van."""
    work = ((["roof"], PANEL), (["bonnet"], PANEL), (["left-rim"], WASHED))
    shop = Shop(job(*work), job(*work, name="van"))
    shop.work("roof", "polish", 0, 0)
    shop.work("roof", "wipe", 0, 1)
    return shop


def due(shop: Shop, minutes: float, zone: str = "roof", car: str = "car") -> str | None:
    return zone_clock(shop.state.jobs[JobId(car)], ZoneId(zone), at(minutes)).step


@pytest.mark.parametrize("car", ["car", "van"])
@pytest.mark.parametrize(("zone", "name"), [("bonnet", "polish"), ("left-rim", "decontaminate")])
def test_dust_or_water_that_begins_elsewhere_sends_an_open_wipe_back_to_the_wipe(shop, zone, name, car):
    assert due(shop, 2) == "coat"
    shop.work(zone, name, 2, 5, by="Bo", job=car)
    assert due(shop, 5) == "wipe"
    assert code(shop.ask(start("roof", "coat"), 5)) == "order"
    shop.work("roof", "wipe", 5, 6)
    assert shop.ask(start("roof", "coat"), 6).accepted


def test_it_is_remembered_what_spoilt_it_and_when(shop):
    shop.must(start("bonnet", "polish", "Bo"), 2)
    (lapse,) = shop.state.jobs[JobId("car")].zones[ZoneId("roof")].lapses
    assert (lapse.step, lapse.lapsed_at, lapse.back_to) == ("coat", at(2), "wipe")
    assert (lapse.spoilt_by.zone, lapse.spoilt_by.step) == ("bonnet", "polish")


def test_what_throws_neither_dust_nor_water_spoils_nothing(shop):
    shop.work("left-rim", "decontaminate", 1, 1, by="Bo")
    shop.work("roof", "wipe", 2, 3)
    shop.must(start("left-rim", "clean", "Bo"), 4)
    assert due(shop, 4) == "coat"


def test_a_wipe_under_way_or_finished_and_a_last_wipe_are_not_open():
    shop = Shop(job((["roof"], PANEL), (["bonnet"], PANEL), (["left-rim"], LAST_WIPE)))
    shop.work("left-rim", "clean", 0, 0)
    shop.work("left-rim", "wipe", 0, 1)
    shop.work("roof", "polish", 1, 1)
    shop.must(start("roof", "wipe"), 1)
    (event,) = shop.must(start("bonnet", "polish", "Bo"), 2).events
    assert event.spoils == ()
    assert due(shop, 2, "left-rim") is None


def test_a_coat_that_lies_already_is_no_open_wipe(shop):
    shop.work("roof", "coat", 1, 2)
    shop.work("roof", "buff", 2, 3)
    (event,) = shop.must(start("bonnet", "polish", "Bo"), 3).events
    assert event.spoils == ()


def test_outside_a_wipe_is_out_of_the_bays_dust_and_water_and_they_of_its(shop):
    shop.must(MoveCar(VAN, OUTSIDE), 2)
    shop.work("bonnet", "polish", 2, 5, by="Bo", job="van")
    assert due(shop, 5) == "coat"


def test_water_out_of_reach_spoils_no_wipe_but_dust_does(shop):
    shop.must(AnswerSplash(VAN, JobId("car"), (ZoneId("roof"),), out_of_reach=True), 2)
    shop.work("left-rim", "decontaminate", 2, 3, by="Bo", job="van")
    assert due(shop, 3) == "coat"
    shop.must(start("bonnet", "polish", "Bo", job="van"), 3)
    assert due(shop, 3) == "wipe"


def test_a_start_by_mistake_gives_the_wipe_back_and_its_window_runs_on(shop):
    shop.must(start("bonnet", "polish", "Bo"), 2)
    shop.must(undo("bonnet"), 3)
    assert due(shop, 3) == "coat"
    assert shop.ask(start("roof", "coat"), 21).accepted
    assert code(shop.ask(start("roof", "coat"), 21.001)) == "late"


def test_of_one_touch_on_several_zones_the_wipe_comes_back_with_the_last_of_them():
    shop = Shop(job((["roof"], PANEL), (["bonnet", "left-door"], PANEL)))
    shop.work("roof", "polish", 0, 0)
    shop.work("roof", "wipe", 0, 1)
    shop.must(start("bonnet left-door", "polish"), 2)
    shop.must(undo("bonnet"), 3)
    assert due(shop, 3) == "wipe"
    shop.must(undo("left-door"), 3)
    assert due(shop, 3) == "coat"


def test_a_wipe_is_not_given_back_where_the_zone_was_sent_back_meanwhile_or_wiped_anew(shop):
    shop.must(start("bonnet", "polish", "Bo"), 2)
    shop.must(send_back("roof", "polish"), 3)
    shop.must(undo("bonnet"), 4)
    assert due(shop, 4) == "polish"
    shop.must(start("bonnet", "polish", "Bo"), 5)
    assert due(shop, 5) == "polish"


def test_a_wipe_whose_time_is_put_right_stays_spoilt(shop):
    shop.must(start("bonnet", "polish", "Bo"), 2)
    shop.must(correct("roof", "wipe", "finish", 0.5), 3)
    assert due(shop, 3) == "wipe"


def test_a_start_of_a_journal_from_before_the_rule_spoils_nothing(shop):
    (event,) = shop.ask(start("bonnet", "polish", "Bo"), 2).events
    written = event.model_dump(exclude={"spoils"})
    assert type(event).model_validate(written).spoils == ()
