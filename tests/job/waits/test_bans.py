"""Whom a marked zone holds up, and whom it does not; its own clock, and when the car may go."""

from datetime import date

import pytest

from bayapp.job import advise, clocks, handover_at, zone_clock
from bayapp.job.grounds import Why
from bayapp.job.model.ids import Urgency
from tests.job.builders import Shop, at, code, finish, job, lift, mark, recipe, start, step, why

PANE = recipe(
    step("polish"),
    step("wipe"),
    step("coat", wait={"max": 30, "lapse": "wipe"}),
    step("buff", wait={"of": "panels", "min": 15, "max": 60, "lapse": "polish"}),
    name="pane",
    finish={"keep_dry_hours": 1},
)
PANES = ("roof", "bonnet", "left-door")
TRIM = recipe(step("mask"), step("unmask", wait={"of": "panels", "after": "polish"}), name="trim")


def shop_of(ladder=PANE, *more):
    return Shop(job((PANES, ladder), *more))


def coat(shop, *zones, ends=3):
    together = " ".join(zones)
    shop.must(finish(together, "polish"), ends - 3)
    shop.must(finish(together, "wipe"), ends - 2)
    shop.must(finish(together, "coat"), ends)


def clock(shop, minutes, zone="roof"):
    return zone_clock(shop.state.jobs["car"], zone, at(minutes))


@pytest.mark.parametrize("kind", ["leave", "film", "matt", "sensor"])
def test_a_zone_that_a_mark_keeps_from_its_coat_holds_up_no_other(kind):
    shop = shop_of()
    shop.must(mark(kind, "left-door"), 0)
    coat(shop, "roof", "bonnet")
    assert clock(shop, 4).opens_at == at(18)
    assert shop.ask(start("roof bonnet", "buff"), 18).accepted
    shop.must(finish("roof bonnet", "buff"), 18)
    assert handover_at(shop.state.jobs["car"]) == (None if kind == "sensor" else at(78))


def test_a_zone_that_takes_no_coat_while_the_car_is_here_holds_up_no_other_before_and_after_midnight():
    shop = shop_of()
    shop.must(mark("repainted", "left-door", date=date(2026, 10, 27)), 0)  # its day is over at the midnight to come
    coat(shop, "roof", "bonnet")
    assert clock(shop, 4).opens_at == at(18)
    assert clock(shop, 16 * 60 - 1).lapses == clock(shop, 16 * 60 + 1).lapses
    assert shop.ask(start("left-door", "polish"), 16 * 60 + 1).accepted


def test_a_repaint_that_had_hardened_when_the_car_came_in_is_waited_for_like_any_zone():
    shop = shop_of()
    shop.must(mark("repainted", "left-door", date=date(2026, 10, 26)), 0)
    coat(shop, "roof", "bonnet")
    assert clock(shop, 4).blocked_by == ("left-door",)


def test_damage_holds_up_as_any_zone_does():
    shop = shop_of()
    shop.must(mark("damage", "left-door", what="chip"), 0)
    coat(shop, "roof", "bonnet")
    assert clock(shop, 4).blocked_by == ("left-door",)


def test_what_a_marked_zone_has_done_already_still_counts():
    shop = shop_of()
    shop.must(finish("roof bonnet left-door", "polish"), 0)
    shop.must(finish("roof bonnet left-door", "wipe"), 1)
    shop.must(finish("roof bonnet", "coat"), 3)
    shop.must(finish("left-door", "coat"), 20)
    shop.must(mark("leave", "left-door"), 21)
    assert clock(shop, 22).opens_at == at(35)


def test_only_what_lies_beyond_the_mark_is_not_waited_for():
    """A sensor is polished as any panel; the tape comes off when all are."""
    shop = shop_of(PANE, (["windscreen"], TRIM))
    shop.must(mark("sensor", "roof"), 0)
    shop.must(finish("windscreen", "mask"), 0)
    shop.must(finish("bonnet left-door", "polish"), 1)
    assert clock(shop, 2, "windscreen").blocked_by == ("roof",)
    shop.must(mark("matt", "roof"), 3)
    assert shop.ask(start("windscreen", "unmask"), 3).accepted


def test_a_marked_zone_that_fell_back_below_the_mark_holds_up_no_other():
    unmask = recipe(step("mask"), step("unmask", wait={"of": "panels", "after": "coat"}), name="trim")
    ladder = recipe(step("polish"), step("coat"), step("buff", wait={"max": 10, "lapse": "polish"}), name="quick")
    shop = Shop(job((["roof", "bonnet"], ladder), (["windscreen"], unmask)))
    shop.must(finish("windscreen", "mask"), 0)
    shop.must(finish("roof bonnet", "polish"), 0)
    shop.must(finish("roof bonnet", "coat"), 1)
    shop.must(mark("matt", "roof"), 2)
    shop.must(finish("bonnet", "buff"), 3)
    assert clock(shop, 4, "windscreen").blocked_by == ()
    assert shop.ask(start("windscreen", "unmask"), 30).accepted, "the roof fell to its polish at 11"


def test_a_lifted_mark_lets_the_zone_count_again_but_moves_no_wait_that_runs_out():
    shop = shop_of()
    shop.must(mark("leave", "left-door"), 0)
    coat(shop, "roof", "bonnet")
    shop.must(lift("leave", "left-door"), 10)
    assert clock(shop, 11).opens_at == at(18)
    assert shop.ask(start("left-door", "polish"), 11).refusals[0].why == Why.DUST_ON_COAT


def test_a_lifted_mark_lets_a_wait_that_has_not_begun_count_the_zone():
    shop = shop_of()
    shop.must(mark("leave", "left-door"), 0)
    shop.must(finish("roof bonnet", "polish"), 0)
    shop.must(lift("leave", "left-door"), 1)
    shop.must(finish("roof bonnet", "wipe"), 1)
    shop.must(finish("roof bonnet", "coat"), 2)
    assert clock(shop, 3).blocked_by == ("left-door",)


def test_a_coat_laid_by_deviation_on_a_marked_zone_moves_no_wait_that_runs_out():
    shop = shop_of()
    shop.must(mark("sensor", "left-door"), 0)
    shop.must(finish("left-door", "polish"), 0)
    coat(shop, "roof", "bonnet")
    shop.must(finish("left-door", "wipe"), 8)
    shop.must(finish("left-door", "coat", reason="no sensor behind it, asked"), 9)
    assert clock(shop, 10).opens_at == at(18)
    assert clock(shop, 10, "left-door").opens_at == at(24), "its own wait counts its own coat"


def test_a_zone_on_which_a_mark_leaves_nothing_to_do_has_no_clock_and_is_offered_nowhere():
    shop = shop_of()
    shop.must(finish("roof", "polish"), 0)
    shop.must(finish("roof", "wipe"), 1)
    shop.must(mark("sensor", "roof"), 2)
    now = clock(shop, 90)
    assert (now.urgency, now.lapses, now.out, now.ban.step) == (Urgency.IDLE, (), True, "coat")
    offers = advise(shop.state, clocks(shop.state, at(90)), None, at(90))
    assert {zone for offer in offers for zone in offer.zones} == {"bonnet", "left-door"}


def test_a_zone_that_may_still_be_polished_has_its_clock():
    shop = shop_of()
    shop.must(mark("sensor", "roof"), 0)
    assert not clock(shop, 1).out
    shop.must(finish("roof", "polish"), 1)
    assert clock(shop, 2).out


def test_steps_that_may_swap_are_done_but_for_those_forbidden():
    ladder = recipe(step("polish", any_order="first"), step("clean", any_order="first"), step("wipe"), name="swap")
    shop = Shop(job((["roof"], ladder)))
    shop.must(mark("matt", "roof"), 0)
    assert not clock(shop, 1).out
    shop.must(finish("roof", "clean"), 1)
    assert clock(shop, 2).out
    assert (code(shop.ask(start("roof", "polish"), 2)), why(shop.ask(start("roof", "wipe"), 2))) == (
        "mark",
        Why.STEP_BEFORE,
    )


def test_a_car_with_nothing_but_marked_zones_has_no_moment_to_go():
    shop = Shop(job((["roof"], PANE)))
    shop.must(mark("leave", "roof"), 0)
    assert handover_at(shop.state.jobs["car"]) is None


def test_a_coat_that_lies_on_a_zone_marked_since_is_still_waited_for():
    shop = Shop(job((["roof", "bonnet"], recipe(step("coat"), step("level"), name="two"))))
    shop.must(finish("roof", "coat"), 0)
    shop.must(finish("bonnet", "coat"), 0)
    shop.must(finish("bonnet", "level"), 1)
    shop.must(mark("leave", "roof"), 2)
    assert handover_at(shop.state.jobs["car"]) is None
