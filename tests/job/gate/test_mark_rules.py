"""What the marks of a zone forbid, from when it is right, and how a person goes on all the same."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bayapp.job.grounds import Why
from bayapp.job.model.ids import JobId, StepKind, ZoneId
from bayapp.job.state.events import TimeZoneChanged
from bayapp.job.state.requests import SetUpBay, SwapRecipe
from tests.job.builders import (
    MS,
    START,
    Shop,
    at,
    code,
    finish,
    grounds,
    job,
    lift,
    mark,
    recipe,
    set_aside,
    start,
    step,
    why,
)

ALL_KINDS = recipe(*(step(kind.value, kind.value) for kind in StepKind), name="all-kinds")
"""A step of every kind there is; only its first one is due."""
PANEL = recipe(step("polish"), step("wipe"), step("coat"), step("level"), name="panel", title="Panel, one layer")
FILM = recipe(step("clean"), step("coat"), name="film-coat", suits=["film"])
NINE_DAYS_AGO = date(2026, 11, 16)


def shop_of(ladder=PANEL, zones=("roof", "bonnet")):
    return Shop(job((zones, ladder)))


def minutes_until(moment: datetime) -> float:
    return (moment - START) / timedelta(minutes=1)


def forbidden_kinds(kind, **more):
    """Return the kinds of step that a mark forbids on a zone, whether they are due or not."""
    shop = shop_of(ALL_KINDS)
    shop.must(mark(kind, "roof", **more), 0)
    asked = {k.value: shop.ask(start("roof", k.value), 1) for k in StepKind}
    return {k for k, verdict in asked.items() if any(r.code == "mark" for r in verdict.refusals)}


def test_each_mark_forbids_its_kinds_of_work_and_damage_none():
    everything = {kind.value for kind in StepKind}
    assert forbidden_kinds("matt") == {"polish"}
    assert forbidden_kinds("film") == everything
    assert forbidden_kinds("repainted", date=NINE_DAYS_AGO) == {"coat"}
    assert forbidden_kinds("sensor") == {"coat"}
    assert forbidden_kinds("leave") == everything
    assert forbidden_kinds("damage", what="high-spot") == set()


def test_film_takes_a_recipe_that_is_made_for_film():
    shop = shop_of(FILM)
    shop.must(mark("film", "roof"), 0)
    shop.work("roof", "clean", 1, 2)
    shop.work("roof", "coat", 3, 4)
    assert shop.state.jobs["car"].zones["roof"].rungs[-1].deviation is None


def test_a_zone_under_film_goes_on_once_its_recipe_suits_film():
    shop = shop_of()
    shop.must(mark("film", "roof"), 0)
    assert why(shop.ask(start("roof", "polish"), 1)) == Why.FILM
    shop.must(SwapRecipe(JobId("car"), (ZoneId("roof"),), FILM, "under film"), 2)
    assert shop.ask(start("roof", "clean"), 3).accepted


def test_the_refusal_by_a_mark_comes_before_what_would_pass_with_time():
    shop = shop_of(recipe(step("wipe"), step("polish", wait={"min": 10}), name="late-polish"))
    shop.must(mark("matt", "roof"), 0)
    shop.work("roof", "wipe", 1, 2)
    refused = shop.ask(start("roof", "polish"), 3)
    assert [r.code for r in refused.refusals] == ["mark", "early"]
    assert shop.ask(start("roof", "polish"), 13).refusals[0].right_from is None


def test_what_is_final_for_another_reason_is_said_alone():
    shop = shop_of()
    shop.must(mark("leave", "roof"), 0)
    shop.must(set_aside("roof"), 1)
    assert [r.why for r in shop.ask(start("roof", "polish"), 2).refusals] == [Why.SET_ASIDE]


def coat_due(**more):
    """A repaint that has been polished and wiped."""
    shop = shop_of(recipe(step("wipe"), step("coat"), name="panel", **more))
    shop.work("roof", "wipe", 0, 1)
    return shop


@pytest.mark.parametrize(
    ("days_of_recipe", "days_of_shop", "days_of_mark", "days"),
    [(None, 30, None, 30), (None, 45, None, 45), (60, 45, None, 60), (60, 45, 90, 90), (0, 45, None, 0)],
)
def test_a_repaint_takes_no_coat_for_its_own_days_else_the_recipes_else_the_shops(
    days_of_recipe, days_of_shop, days_of_mark, days
):
    shop = coat_due(repaint_days=days_of_recipe)
    shop.must(SetUpBay(3.0, None, None, 3.0, repaint_days=days_of_shop), 1)
    shop.must(mark("repainted", "roof", date=NINE_DAYS_AGO, days=days_of_mark), 1)
    right_from = datetime(2026, 11, 16, tzinfo=START.tzinfo) + timedelta(days=days)
    if days:
        refused = shop.ask(start("roof", "coat"), 2)
        assert (code(refused), why(refused), refused.refusal.right_from) == ("mark", Why.FRESH_REPAINT, right_from)
        assert (grounds(refused).painted_on, grounds(refused).days) == (NINE_DAYS_AGO, days)
        assert not shop.ask(start("roof", "coat"), minutes_until(right_from) - MS).accepted
    assert shop.ask(start("roof", "coat"), max(2, minutes_until(right_from))).accepted


@pytest.mark.parametrize("place", ["Pacific/Kiritimati", "Europe/Berlin", "America/New_York", "Pacific/Pago_Pago"])
def test_the_day_begins_at_midnight_where_the_shop_is(place):
    shop = coat_due()
    shop.must(SetUpBay(3.0, None, None, 3.0, time_zone=place), 1)
    shop.must(mark("repainted", "roof", date=NINE_DAYS_AGO), 1)
    midnight = minutes_until(datetime(2026, 12, 16, tzinfo=ZoneInfo(place)))
    assert code(shop.ask(start("roof", "coat"), midnight - MS)) == "mark"
    assert shop.ask(start("roof", "coat"), midnight).accepted


def test_where_summer_time_begins_at_midnight_the_day_begins_with_it():
    """In Santiago the clocks go from 24:00 on 4 September 2027 to 1:00 (IANA time zone database)."""
    shop = coat_due()
    shop.must(SetUpBay(3.0, None, None, 3.0, time_zone="America/Santiago"), 1)
    shop.must(mark("repainted", "roof", date=date(2026, 11, 24), days=285), 1)
    first = datetime(2027, 9, 5, 4, tzinfo=START.tzinfo)
    assert first.astimezone(ZoneInfo("America/Santiago")).isoformat() == "2027-09-05T01:00:00-03:00"
    assert code(shop.ask(start("roof", "coat"), minutes_until(first) - MS)) == "mark"
    assert shop.ask(start("roof", "coat"), minutes_until(first)).accepted


def test_a_time_zone_of_no_known_name_counts_as_none():
    shop = coat_due()
    shop.must(SetUpBay(3.0, None, None, 3.0, time_zone="Moon/Tranquility"), 1)
    shop.must(mark("repainted", "roof", date=NINE_DAYS_AGO), 1)
    assert shop.ask(start("roof", "coat"), 2).refusal.right_from == datetime(2026, 12, 16, tzinfo=START.tzinfo)


def test_a_machine_that_gets_another_time_zone_counts_days_by_that_one():
    shop = coat_due()
    shop.must(SetUpBay(3.0, None, None, 3.0, time_zone="Europe/Berlin"), 1)
    shop.must(mark("repainted", "roof", date=NINE_DAYS_AGO), 1)
    shop.events.append(TimeZoneChanged(at=at(2), was="Europe/Berlin", becomes="America/New_York"))
    shop.state = shop.replayed()
    assert shop.ask(start("roof", "coat"), 3).refusal.right_from == datetime(
        2026, 12, 16, tzinfo=ZoneInfo("America/New_York")
    )


def test_a_hold_and_a_reason_carry_a_step_through_and_both_stay_in_the_record():
    shop = shop_of()
    shop.must(mark("matt", "roof", note="satin, the owner says"), 0)
    shop.must(start("roof", "polish", reason="owner wants it glossy, signed"), 1)
    deviation = shop.state.jobs["car"].zones["roof"].running.deviation
    assert (deviation.code, deviation.reason) == ("mark", "owner wants it glossy, signed")
    assert deviation.why.startswith("Roof is matt and is not polished")
    assert deviation.why.endswith("Noted: satin, the owner says.")


def test_a_deviation_is_written_only_on_the_zones_that_are_marked():
    shop = shop_of()
    shop.must(mark("matt", "roof"), 0)
    events = shop.must(start("roof bonnet", "polish", reason="asked for"), 1).events
    assert [(e.zone, e.deviation is not None) for e in events] == [("roof", True), ("bonnet", False)]


def test_of_a_touch_on_a_set_each_marked_zone_is_named_and_none_begins():
    shop = shop_of()
    shop.must(mark("matt", "roof"), 0)
    shop.must(mark("leave", "bonnet"), 0)
    refused = shop.do(start("roof bonnet", "polish"), 1)
    assert [(r.zone, r.why) for r in refused.refusals] == [("roof", Why.MATT), ("bonnet", Why.LEAVE_ALONE)]
    assert all(zone.running is None for zone in shop.state.jobs["car"].zones.values())


def test_several_marks_of_a_zone_all_say_why():
    shop = shop_of()
    shop.must(mark("matt", "roof"), 0)
    shop.must(mark("film", "roof"), 0)
    assert {r.why for r in shop.ask(start("roof", "polish"), 1).refusals} == {Why.MATT, Why.FILM}
    assert {r.why for r in shop.ask(start("roof", "wipe"), 1).refusals} == {Why.FILM, Why.STEP_BEFORE}


def test_a_mark_set_while_work_runs_counts_for_the_next_step_and_is_told_when_this_one_ends():
    shop = shop_of()
    shop.must(start("roof", "polish"), 1)
    shop.must(mark("matt", "roof"), 2)
    done = shop.must(finish("roof", "polish"), 3)
    assert [(r.code, r.why, r.zone) for r in done.asks] == [("mark", Why.MATT, "roof")]
    assert shop.state.jobs["car"].zones["roof"].rungs[-1].step == "polish"
    shop.must(mark("leave", "roof"), 4)
    assert why(shop.ask(start("roof", "wipe"), 5)) == Why.LEAVE_ALONE


def test_done_without_a_begun_step_is_begun_by_it_and_so_refused():
    shop = shop_of()
    shop.must(mark("matt", "roof"), 0)
    assert why(shop.ask(finish("roof", "polish"), 1)) == Why.MATT


def test_a_lifted_mark_forbids_nothing_any_more():
    shop = shop_of()
    shop.must(mark("matt", "roof"), 0)
    shop.must(lift("matt", "roof"), 1)
    assert shop.ask(start("roof", "polish"), 1).accepted
