"""Marks by touch: what follows from one is said before, what was said is listed, and each has a way back."""

from datetime import UTC, date, timedelta

import pytest

from bayapp.job import LiftMark, Mark, MarkKind, SetMark
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.mark import Damage
from bayapp.pages.arrival.marks import (
    MarkRow,
    ago_text,
    consequences,
    days_ago,
    lifting,
    mark_view,
    marks_listed,
    named,
    summary,
    way_back,
)
from bayapp.pages.cars.change import Picking
from bayapp.text.days import day_text
from tests.job.builders import Shop, finish, form, job, mark, note, recipe, set_aside, start, step

CAR = JobId("car")
ROOF, BONNET, DOOR = ZoneId("roof"), ZoneId("bonnet"), ZoneId("left-door")
PAINT = recipe(step("clean"), step("polish"), step("wipe"), step("coat"), name="paint", title="Paint")
MATT, LEAVE = Mark(kind=MarkKind.MATT), Mark(kind=MarkKind.LEAVE)


@pytest.fixture
def shop() -> Shop:
    return Shop(job((["roof", "bonnet"], PAINT)))


def said(shop: Shop, what: Mark, *zones: ZoneId, minutes: float = 5) -> tuple[str, ...]:
    at = shop.state.jobs[CAR].opened_at + timedelta(minutes=minutes)
    return consequences(shop.state.jobs[CAR], zones, what, at, UTC)


def test_before_a_mark_is_set_it_is_said_what_it_forbids_and_what_of_todays_work_falls_away(shop: Shop):
    first, second = said(shop, MATT, BONNET)
    assert first == "Bonnet: no polish."
    assert second == "Bonnet: of today's work this falls away: polish, solvent wipe, coat."
    assert shop.state.jobs[CAR].marks == {}, "it is only asked"


def test_what_is_done_already_does_not_fall_away_and_an_unworked_zone_loses_nothing(shop: Shop):
    shop.must(finish("bonnet", "clean"), 1)
    shop.must(finish("bonnet", "polish"), 2)
    assert said(shop, MATT, BONNET) == ("Bonnet: no polish.",)
    assert said(shop, MATT, DOOR) == ("Left door: no polish.",)


def test_a_zone_that_is_set_aside_has_no_work_to_lose(shop: Shop):
    shop.must(set_aside("bonnet"), 1)
    assert said(shop, LEAVE, BONNET) == ("Bonnet: nothing is done to it.",)


def test_work_that_is_under_way_and_would_be_forbidden_is_to_be_stopped(shop: Shop):
    shop.must(start("bonnet", "clean"), 1)
    assert said(shop, LEAVE, BONNET)[-1] == "Bonnet: clean is under way; stop it."


def test_a_repaint_names_the_day_from_which_it_takes_a_coat(shop: Shop):
    painted = shop.state.jobs[CAR].opened_at.date() - timedelta(days=9)
    first, second = said(shop, Mark(kind=MarkKind.REPAINTED, date=painted), ROOF)
    assert first == f"Roof: no coat before {day_text(painted + timedelta(days=30))}."
    assert "coat" in second


def test_a_repaint_of_long_ago_takes_no_work_away(shop: Shop):
    long_ago = shop.state.jobs[CAR].opened_at.date() - timedelta(days=31)
    assert len(said(shop, Mark(kind=MarkKind.REPAINTED, date=long_ago), ROOF)) == 1


def test_damage_forbids_nothing_and_says_so(shop: Shop):
    (sentence,) = said(shop, Mark(kind=MarkKind.DAMAGE, what=Damage.CHIP), ROOF, BONNET)
    assert "no work is forbidden" in sentence


def test_zones_are_named_by_the_sets_of_the_form_that_they_fill_worked_or_not():
    panels: dict[str, tuple[str, ...]] = {"panels": ("roof", "bonnet", "left-door")}
    cart = form(["roof", "bonnet", "left-door"], panels).model_copy(update={"set_titles": {"panels": "all panels"}})
    assert named(cart, (ROOF, BONNET, DOOR)) == "all panels"
    assert named(cart, (ROOF, BONNET)) == "roof, bonnet"


def test_zones_marked_alike_stand_in_one_row_and_are_lifted_together(shop: Shop):
    shop.must(mark("matt", "roof bonnet"), 1)
    shop.must(mark("damage", "roof", what="chip", point=(10.0, 20.0), note="seen"), 2)
    rows = marks_listed(shop.state.jobs[CAR])
    assert [(row.title, row.detail) for row in rows] == [("Roof, bonnet", "matt finish"), ("Roof", "chip: seen")]
    shop.must(lifting(shop.state.jobs[CAR], rows[1], None), 3)
    assert marks_listed(shop.state.jobs[CAR]) == (MarkRow((ROOF, BONNET), MATT, "Roof, bonnet", "matt finish"),)


def test_the_way_back_lifts_what_was_not_there_and_says_again_what_was_replaced(shop: Shop):
    first = Mark(kind=MarkKind.REPAINTED, date=date(2026, 11, 1))
    second = Mark(kind=MarkKind.REPAINTED, date=date(2026, 11, 16))
    shop.must(SetMark(CAR, (ROOF,), first), 1)
    before = shop.state.jobs[CAR].marks
    asked = SetMark(CAR, (ROOF, BONNET), second)
    shop.must(asked, 2)
    back = way_back(before, asked, None)
    assert back == (SetMark(CAR, (ROOF,), first), LiftMark(CAR, (BONNET,), MarkKind.REPAINTED))
    for request in back:
        shop.must(request, 3)
    assert shop.state.jobs[CAR].marks == before


def test_what_was_marked_just_so_before_stays_when_the_touch_is_taken_back(shop: Shop):
    shop.must(mark("matt", "roof"), 1)
    before = shop.state.jobs[CAR].marks
    asked = SetMark(CAR, (ROOF, BONNET), MATT)
    shop.must(asked, 2)
    for request in way_back(before, asked, None):
        shop.must(request, 3)
    assert shop.state.jobs[CAR].marks == before


def test_the_page_offers_undo_only_for_what_was_just_said_and_a_list_only_of_what_there_is(shop: Shop):
    car = shop.state.jobs[CAR]
    picking = Picking(car.job.vehicle, (ROOF, BONNET))
    plain = mark_view(car, picking, ())
    assert [choice.name for choice in plain.choices] == [*(kind.value for kind in MarkKind), "sets"]
    asked = SetMark(CAR, (ROOF,), MATT)
    shop.must(asked, 1)
    after = mark_view(shop.state.jobs[CAR], picking.toggled("bonnet"), (asked,))
    assert [choice.name for choice in after.choices][-2:] == ["list", "undo"]
    assert after.choices[-1].detail == "roof: matt finish"
    assert after.told == "Bonnet: what is it?"


def test_a_car_is_summed_up_by_how_many_marks_and_which(shop: Shop):
    assert summary(shop.state.jobs[CAR]) == ""
    shop.must(mark("matt", "roof bonnet"), 1)
    shop.must(note("a note is no mark", "roof"), 2)
    assert summary(shop.state.jobs[CAR]) == "2 marks: matt finish"


def test_how_long_ago_is_told_with_its_day():
    found = dict(days_ago(date(2026, 11, 25)))
    assert (found[0], found[10]) == (date(2026, 11, 25), date(2026, 11, 15))
    assert [ago_text(days) for days in (0, 1, 10)] == ["today", "yesterday", "10 days ago"]
