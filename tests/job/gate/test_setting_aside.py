"""Zones set aside: what the gate says, what they hold up, what still holds on them, and when the car may go."""

from datetime import timedelta

import pytest

from bayapp.job import advise, clocks, fold, handover_at, zone_clock
from bayapp.job.gate.bay_facts import BayFacts
from tests.job.builders import (
    Shop,
    at,
    code,
    correct,
    finish,
    job,
    note,
    recipe,
    set_aside,
    start,
    step,
    take_up,
    undo,
    why,
)

PANEL = recipe(
    step("polish"),
    step("coat", wait={"max": 30}),
    step("level", wait={"of": "block", "min": 5, "max": 20, "lapse": "polish"}),
    name="panel",
    finish={"keep_dry_hours": 12},
)
TRIM = recipe(step("mask"), step("unmask", wait={"of": "panels"}), name="trim")
WASH = recipe(step("decontaminate"), name="wash")


def shop_of(*blocks):
    return Shop(job(*(blocks or ((["roof", "bonnet"], PANEL),))))


def clock(shop, minutes, zone="roof"):
    return zone_clock(shop.state.jobs["car"], zone, at(minutes))


def coated(*zones, shop=None):
    shop = shop or shop_of()
    shop.work(" ".join(zones), "polish", 0, 1)
    shop.work(" ".join(zones), "coat", 2, 3)
    return shop


def test_zones_are_set_aside_and_taken_up_by_an_event_each_and_nothing_is_lost():
    shop = shop_of()
    shop.work("roof", "polish", 0, 1)
    events = shop.must(set_aside("roof bonnet", "no time today", "Bo"), 2).events
    assert [(e.event, e.zone, e.reason, e.by, e.at) for e in events] == [
        ("zone-set-aside/1", zone, "no time today", "Bo", at(2)) for zone in ("roof", "bonnet")
    ]
    assert shop.state.jobs["car"].aside == {"roof": "no time today", "bonnet": "no time today"}
    events = shop.must(take_up("bonnet roof"), 3).events
    assert [(e.event, e.zone, e.by) for e in events] == [
        ("zone-taken-up/1", "bonnet", "Ash"),
        ("zone-taken-up/1", "roof", "Ash"),
    ]
    assert shop.state.jobs["car"].aside == {}
    assert [run.step for run in shop.state.jobs["car"].zones["roof"].runs] == ["polish"]
    assert fold(shop.events) == shop.state


@pytest.mark.parametrize(
    ("ask", "found"),
    [
        (set_aside("bonnet"), ("busy", "still-worked")),
        (set_aside("roof"), ("done", "aside-already")),
        (take_up("bonnet"), ("done", "not-aside")),
        (set_aside("left-rim"), ("done", "all-done")),
        (set_aside("left-door"), ("unknown", "no-such-zone")),
        (set_aside(""), ("unknown", "no-zone")),
        (set_aside("right-rim", by="Cy"), ("unknown", "no-such-person")),
        (take_up("roof", job="blue"), ("unknown", "no-such-job")),
    ],
)
def test_what_makes_no_sense_is_refused_for_all_zones_of_the_touch(ask, found):
    shop = shop_of((["roof", "bonnet"], PANEL), (["left-rim", "right-rim"], WASH))
    shop.work("left-rim", "decontaminate", 0, 1)
    shop.must(set_aside("roof"), 1)
    shop.must(start("bonnet", "polish"), 2)
    assert (code(shop.ask(ask, 3)), why(shop.ask(ask, 3))) == found
    both = type(ask)(**{f: getattr(ask, f) for f in ask.__slots__} | {"zones": (*ask.zones, "right-rim")})
    if ask.zones and ask.zones != ("right-rim",):
        assert not shop.ask(both, 3).accepted


def test_a_step_on_a_zone_set_aside_is_refused_and_no_deviation_carries_it():
    shop = shop_of()
    shop.must(set_aside("roof", "part is missing"), 1)
    for ask in (start, finish):
        for reason in (None, "the owner wants it"):
            refused = shop.ask(ask("roof bonnet", "polish", reason=reason), 2)
            assert (code(refused), why(refused)) == ("order", "set-aside")
            assert not refused.events
    shop.must(take_up("roof"), 3)
    shop.must(start("roof bonnet", "polish"), 3)


def test_a_zone_set_aside_has_no_clock_and_says_why():
    shop = coated("roof", "bonnet")
    assert clock(shop, 9).urgency.value == "open"
    shop.must(set_aside("roof", "will be repainted"), 9)
    for minutes in (9, 22, 500):
        found = clock(shop, minutes)
        assert (found.urgency.value, found.aside) == ("idle", "will be repainted")
        assert (found.since, found.opens_at, found.lapses_at, found.lapses, found.choices) == (None, None, None, (), ())
    assert clock(shop, 9).stage.value == "coated"
    assert clock(shop, 9, "bonnet").aside == ""


def test_a_zone_set_aside_is_not_advised():
    shop = shop_of()
    shop.must(set_aside("roof"), 0)
    assert [a.zones for a in advise(shop.state, clocks(shop.state, at(1)), None, at(1))] == [("bonnet",)]
    shop.must(set_aside("bonnet"), 2)
    assert advise(shop.state, clocks(shop.state, at(3)), None, at(3)) == ()


def test_a_wait_of_the_block_does_not_count_a_zone_set_aside():
    shop = coated("roof")
    assert why(shop.ask(start("roof", "level"), 9)) == "others-first"
    shop.must(set_aside("bonnet"), 9)
    assert clock(shop, 9).opens_at == at(8)
    shop.must(start("roof", "level"), 9)


def test_a_wait_of_a_set_does_not_count_a_zone_set_aside_and_holds_nothing_up_when_all_are():
    shop = shop_of((["roof", "bonnet"], PANEL), (["windscreen"], TRIM))
    shop.work("windscreen", "mask", 0, 1)
    assert clock(shop, 1, "windscreen").blocked_by == ("roof", "bonnet")
    shop.must(set_aside("bonnet"), 2)
    assert clock(shop, 2, "windscreen").blocked_by == ("roof",)
    shop.must(set_aside("roof"), 3)
    assert clock(shop, 3, "windscreen").blocked_by == ()
    shop.must(start("windscreen", "unmask"), 3)


def test_a_wait_that_ran_towards_its_latest_moment_neither_stops_nor_moves_when_a_zone_is_taken_up():
    shop = coated("roof")
    shop.must(set_aside("bonnet"), 4)
    before = clock(shop, 10)
    shop.must(take_up("bonnet"), 10)
    assert clock(shop, 10) == before
    shop.must(finish("bonnet", "polish", "Bo", reason="under a cover"), 11)
    shop.must(finish("bonnet", "coat", "Bo"), 12)
    assert clock(shop, 12).lapses_at == at(23)
    assert clock(shop, 23 + 1).urgency.value == "lapsed"
    shop.must(start("roof", "level", "Bo"), 23)


def test_the_next_such_wait_counts_the_zone_again():
    shop = coated("roof")
    shop.must(set_aside("bonnet"), 4)
    shop.must(take_up("bonnet"), 10)
    shop.must(undo("roof"), 11)
    shop.must(finish("roof", "coat"), 12)
    assert clock(shop, 12).blocked_by == ("bonnet",)


def test_a_wait_without_a_latest_moment_holds_again_for_a_zone_that_is_taken_up():
    shop = shop_of((["roof", "bonnet"], PANEL), (["windscreen"], TRIM))
    shop.work("windscreen", "mask", 0, 1)
    shop.must(set_aside("roof bonnet"), 2)
    shop.must(take_up("roof"), 3)
    assert clock(shop, 3, "windscreen").blocked_by == ("roof",)


def test_an_undone_correction_lets_the_wait_run_on_without_the_zone():
    shop = coated("roof")
    shop.must(set_aside("bonnet"), 4)
    shop.must(correct("roof", "coat", "finish", 2.5), 5)
    shop.must(take_up("bonnet"), 6)
    assert clock(shop, 6).opens_at == at(7.5)
    shop.must(undo("roof"), 7)
    assert (clock(shop, 7).opens_at, clock(shop, 7).blocked_by) == (at(8), ())


def test_its_own_wait_runs_on_and_its_price_is_due_when_it_is_taken_up():
    shop = coated("roof", "bonnet")
    shop.must(set_aside("roof"), 4)
    shop.must(take_up("roof"), 60)
    assert (clock(shop, 60).urgency.value, clock(shop, 60).step) == ("lapsed", "polish")


def test_a_fresh_coat_on_it_still_counts():
    shop = coated("roof", shop=shop_of((["roof", "bonnet"], PANEL), (["left-rim"], WASH)))
    shop.must(set_aside("roof"), 4)
    assert BayFacts(shop.state, at(4)).fresh == (("car", "roof"),)
    assert why(shop.ask(start("bonnet", "polish"), 5)) == "dust-on-coat"
    assert why(shop.ask(start("left-rim", "decontaminate"), 5)) == "water-on-coat"


def test_undo_still_takes_back_what_leaves_the_zone_unworked():
    shop = shop_of()
    shop.must(finish("roof", "polish"), 1)
    shop.must(set_aside("roof"), 2)
    shop.must(undo("roof"), 3)
    assert shop.state.jobs["car"].zones["roof"].runs == ()
    assert "roof" in shop.state.jobs["car"].aside


def test_undo_does_not_put_a_zone_under_way_that_is_set_aside():
    shop = shop_of()
    shop.work("roof", "polish", 0, 1)
    shop.must(set_aside("roof"), 2)
    assert (code(shop.ask(undo("roof"), 3)), why(shop.ask(undo("roof"), 3))) == ("order", "set-aside")
    shop.must(take_up("roof"), 4)
    shop.must(undo("roof"), 5)
    assert shop.state.jobs["car"].zones["roof"].running.step == "polish"


def test_a_note_is_taken_of_any_zone_of_the_car_worked_or_not_and_of_none_that_it_lacks():
    shop = Shop(job((["roof"], recipe(step("wipe")))))
    assert shop.must(note("a scratch", "bonnet", "roof"), 1)
    assert [n.zone for n in shop.state.jobs["car"].notes] == ["bonnet", "roof"]
    assert why(shop.ask(note("a scratch", "spoiler"), 2)) == "no-such-zone"


def test_a_note_and_a_corrected_time_are_still_taken():
    shop = shop_of()
    shop.work("roof", "polish", 0, 1)
    shop.must(set_aside("roof"), 2)
    shop.must(note("the new one comes on Friday", "roof"), 3)
    shop.must(correct("roof", "polish", "finish", 0.5), 4)


def handover(shop):
    return handover_at(shop.state.jobs["car"])


def test_handover_does_not_wait_for_a_zone_set_aside_on_which_nothing_lies():
    shop = coated("bonnet")
    shop.must(set_aside("roof"), 4)
    shop.work("bonnet", "level", 9, 10)
    assert handover(shop) == at(10) + timedelta(hours=12)
    shop.must(take_up("roof"), 11)
    assert handover(shop) is None


@pytest.mark.parametrize(
    ("done", "waits"),
    [
        ([], False),
        (["polish"], False),
        (["polish", "coat"], True),
        (["polish", "coat", "lapse", "polish"], False),
        (["polish", "coat", "lapse", "polish", "coat"], True),
    ],
)
def test_there_is_no_handover_while_an_unfinished_coat_lies_on_a_zone_set_aside(done, waits):
    shop = shop_of((["roof"], PANEL), (["left-rim"], WASH))
    minutes = 0
    shop.must(finish("left-rim", "decontaminate"), 0)
    for name in done:
        minutes += 100 if name == "lapse" else 1
        if name != "lapse":
            shop.must(finish("roof", name, "Bo"), minutes)
    shop.must(set_aside("roof"), minutes + 1)
    assert (handover(shop) is None) == waits


def test_there_is_no_handover_while_masking_is_on_a_zone_set_aside():
    shop = shop_of((["left-rim"], WASH), (["windscreen"], TRIM))
    shop.must(finish("left-rim", "decontaminate"), 0)
    shop.must(finish("windscreen", "mask"), 1)
    shop.must(set_aside("windscreen"), 2)
    assert handover(shop) is None


def test_a_car_with_every_zone_set_aside_has_no_moment_of_handover():
    shop = shop_of()
    shop.must(set_aside("roof bonnet"), 1)
    assert handover(shop) is None
