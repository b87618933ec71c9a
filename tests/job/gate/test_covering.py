"""Coats that are covered: what a cover lets others do, who takes it off, and when it must stay on."""

import pytest

from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.state.requests import SendBack
from bayapp.job.state.state import Covered
from tests.job.builders import MS, Shop, at, code, cover, finish, job, recipe, start, step, uncover, undo, why

ASH = Person("Ash")
COATED = recipe(
    step("wipe"),
    step("coat", wait={"max": 30, "lapse": "wipe"}),
    step("level", wait={"min": 1, "max": 60, "lapse": "wipe"}),
    name="coated",
    finish={"keep_dry_hours": 12},
)
POLISHED = recipe(step("polish"), step("wipe"), name="polished")
WASHED = recipe(step("decontaminate"), name="washed")


@pytest.fixture
def shop():
    """The roof has a fresh coat; the door is to be polished, the rim to be washed."""
    made = Shop(job((["roof", "bonnet"], COATED), (["left-door"], POLISHED), (["left-rim"], WASHED)))
    made.work("roof", "wipe", 0, 1)
    made.work("roof", "coat", 2, 3)
    return made


def refusal_of(verdict):
    return code(verdict), why(verdict)


def zone(shop, name="roof"):
    return shop.state.jobs["car"].zones[name]


def test_dust_and_water_of_others_are_right_while_the_coat_is_covered(shop):
    polish, wash = start("left-door", "polish", "Bo"), start("left-rim", "decontaminate", "Bo")
    assert refusal_of(shop.ask(polish, 4)) == ("bay", "dust-on-coat")
    assert refusal_of(shop.ask(wash, 4)) == ("bay", "water-on-coat")
    shop.must(cover("roof"), 4)
    assert zone(shop).covered == Covered(at(4), ASH)
    assert shop.ask(polish, 4).accepted
    assert shop.ask(wash, 4).accepted
    shop.must(uncover("roof", "Bo"), 5)
    assert zone(shop).covered is None
    assert refusal_of(shop.ask(polish, 5)) == ("bay", "dust-on-coat")


def test_a_coat_that_must_be_kept_dry_may_be_covered_too(shop):
    shop.work("roof", "level", 5, 6)
    wash = start("left-rim", "decontaminate", "Bo")
    assert refusal_of(shop.ask(wash, 7)) == ("bay", "keep-dry")
    shop.must(cover("roof"), 7)
    assert shop.ask(wash, 7).accepted


def test_a_cover_is_for_what_dust_or_water_would_harm_and_for_no_zone_under_way(shop):
    assert refusal_of(shop.ask(cover("bonnet"), 4)) == ("order", "nothing-to-cover")
    shop.must(start("roof", "level"), 4)
    assert refusal_of(shop.ask(cover("roof"), 5)) == ("busy", "zone-busy")
    shop.must(finish("roof", "level"), 6)
    assert shop.ask(cover("roof"), 6 + 12 * 60 - MS).accepted
    assert refusal_of(shop.ask(cover("roof"), 6 + 12 * 60)) == ("order", "nothing-to-cover")


def test_several_are_covered_by_one_touch_all_or_none(shop):
    assert refusal_of(shop.ask(cover("roof bonnet"), 4)) == ("order", "nothing-to-cover")
    shop.work("bonnet", "wipe", 4, 5)
    shop.work("bonnet", "coat", 6, 7)
    events = shop.must(cover("roof bonnet", "Bo"), 8).events
    assert [(e.event, e.zone, e.by, e.at) for e in events] == [
        ("coat-covered/1", zone, "Bo", at(8)) for zone in ("roof", "bonnet")
    ]
    assert refusal_of(shop.ask(cover("roof"), 9)) == ("done", "covered-already")


def test_a_cover_stops_no_clock(shop):
    shop.must(cover("roof"), 4)
    assert shop.ask(start("roof", "level"), 63).accepted
    assert code(shop.ask(start("roof", "level"), 63 + MS)) == "late"


def test_whoever_begins_the_next_step_takes_the_cover_off(shop):
    shop.must(cover("roof"), 4)
    shop.must(start("roof", "level"), 5)
    assert zone(shop).covered is None
    shop.must(undo("roof"), 6)
    assert zone(shop).covered == Covered(at(4), ASH), "it was not begun after all, so the cover is on"


def test_the_cover_stays_on_while_dust_or_water_flies(shop):
    shop.must(cover("roof"), 4)
    shop.must(start("left-door", "polish", "Bo"), 5)
    for taps in (uncover("roof"), start("roof", "level"), undo("roof")):
        refused = shop.ask(taps, 6)
        assert refusal_of(refused) == ("bay", "coat-in-dust")
        assert (refused.refusal.zone, refused.refusal.step) == ("left-door", "polish")
    shop.must(finish("left-door", "polish", "Bo"), 7)
    shop.must(start("left-rim", "decontaminate", "Bo"), 8)
    for taps in (uncover("roof"), start("roof", "level"), undo("roof")):
        refused = shop.ask(taps, 9)
        assert refusal_of(refused) == ("bay", "coat-in-water")
        assert (refused.refusal.zone, refused.refusal.step) == ("left-rim", "decontaminate")
    shop.must(finish("left-rim", "decontaminate", "Bo"), 10)
    assert shop.ask(start("roof", "level"), 10).accepted


def test_a_cover_that_was_never_laid_is_taken_back_though_water_flies_that_flew_before(shop):
    """It is the cover that comes off which would let water reach the coat; one that was not there kept none away."""
    shop.must(start("left-rim", "decontaminate", "Bo", reason="a sheet hangs between"), 4)
    shop.must(cover("roof"), 5)
    assert refusal_of(shop.ask(uncover("roof"), 6)) == ("bay", "coat-in-water")
    shop.must(undo("roof"), 6)
    assert zone(shop).covered is None


def test_dust_does_not_keep_a_cover_on_a_coat_that_has_only_to_stay_dry(shop):
    shop.work("roof", "level", 5, 6)
    shop.must(cover("roof"), 7)
    shop.must(start("left-door", "polish", "Bo"), 8)
    assert shop.ask(uncover("roof"), 9).accepted


def test_a_cover_over_what_has_dried_comes_off_at_any_time(shop):
    shop.must(cover("roof"), 4)
    shop.must(start("left-door", "polish", "Bo"), 5)
    assert shop.ask(uncover("roof"), 63 + MS).accepted, "its latest moment has passed, and it is wiped off"


def test_covering_and_uncovering_are_undone(shop):
    shop.must(cover("roof"), 4)
    shop.must(undo("roof"), 5)
    assert zone(shop).covered is None
    shop.must(cover("roof"), 6)
    shop.must(uncover("roof"), 7)
    shop.must(undo("roof"), 8)
    assert zone(shop).covered == Covered(at(6), ASH)
    assert refusal_of(shop.ask(uncover("bonnet"), 9)) == ("done", "not-covered")


def test_two_panels_that_polish_on_a_coat_each_cover_the_other():
    """Each bars the other: a coat is fresh until the last one is levelled, and the polish comes before that."""
    between = recipe(step("coat-1"), step("polish"), step("coat-2"), step("level"), name="between")
    shop = Shop(job((["roof", "bonnet"], between)))
    shop.work("roof", "coat-1", 0, 1)
    shop.work("bonnet", "coat-1", 2, 3)
    for other in ("roof", "bonnet"):
        assert refusal_of(shop.ask(start(other, "polish"), 4)) == ("bay", "dust-on-coat")
    shop.must(cover("bonnet"), 5)
    shop.work("roof", "polish", 6, 7)
    shop.must(cover("roof"), 8)
    shop.work("bonnet", "polish", 9, 10)
    shop.work("roof bonnet", "coat-2", 11, 12)
    shop.work("roof bonnet", "level", 13, 14)


def test_a_zone_that_is_sent_back_keeps_its_cover_for_what_still_lies_on_it():
    twice = recipe(step("coat-1"), step("level-1"), step("coat-2"), step("level-2"), name="twice")
    shop = Shop(job((["roof"], twice), (["left-door"], POLISHED)))
    for begin, name in ((0, "coat-1"), (2, "level-1"), (4, "coat-2")):
        shop.work("roof", name, begin, begin + 1)
    shop.must(cover("roof"), 6)
    shop.must(SendBack(JobId("car"), (ZoneId("roof"),), StepId("coat-2"), "a run in the coat", ASH), 7)
    assert zone(shop).covered == Covered(at(6), ASH)
    assert shop.ask(start("left-door", "polish", "Bo"), 8).accepted
