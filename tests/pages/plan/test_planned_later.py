"""A step that could be begun now and that the plan has later says for what it waits."""

from datetime import UTC
from typing import Any

from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.pages.plan.planned_later import planned_later_brief, planned_later_text
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from bayapp.planning.next.planned_later import PlannedLater, PlannedSteps
from tests.job.builders import Shop, at, job, recipe, step

CAR, ASH, BO = JobId("car"), Person("Ash"), Person("Bo")
LAYERS = recipe(
    step("wipe", minutes=5),
    step("coat", minutes=5, wait={"max": 30, "lapse": "wipe"}),
    step("level", minutes=5, wait={"max": 20, "lapse": "wipe"}),
    name="layers",
)
DUSTY = recipe(step("polish", minutes=20, tool="polisher"), name="dusty")


def shop() -> Shop:
    return Shop(job((["windscreen", "roof"], LAYERS), (["bonnet", "left-door"], DUSTY), crew=("Ash", "Bo")))


def planned(zone: str, name: str, start: float, end: float, by: Person, touch: int, **more: Any) -> PlannedStep:
    return PlannedStep(
        job=CAR, zone=ZoneId(zone), step=StepId(name), person=by, start=at(start), end=at(end), touch=touch, **more
    )


def later(of: Shop, zone: str, name: str, *steps: PlannedStep, minutes: float = 0) -> PlannedLater | None:
    order = WorkOrder(status="feasible", made_for=at(0), entry=of.state.last_at, steps=steps)
    return PlannedSteps(order, of.state).later(CAR, ZoneId(zone), StepId(name), of.state, at(minutes))


def said(of: Shop, found: PlannedLater | None, by: Person = ASH) -> tuple[str, str]:
    """What the ladder and the tile say."""
    assert found
    now = at(0)
    return planned_later_text(of.state, found, by, now, UTC), planned_later_brief(of.state, [found], now, UTC)


def test_it_waits_for_the_same_hands_and_by_when_those_must_begin():
    panes = [planned(z, "coat", n, n + 5, ASH, 1, lapses_at=at(12)) for z, n in (("windscreen", 0), ("roof", 5))]
    found = later(shop(), "bonnet", "polish", *panes, planned("bonnet", "polish", 10, 30, ASH, 2))
    assert said(shop(), found) == (
        "Planned for 08:10, after windscreen and roof: coat, by 08:12.",
        "after windscreen and roof, 08:10",
    )


def test_on_a_tile_the_last_of_several_zones_stands_for_all_where_that_is_long():
    wipes = [planned(z, "wipe", n, n + 5, ASH, 1) for z, n in (("roof", 0), ("bonnet", 5), ("windscreen", 10))]
    wide = Shop(job((["windscreen", "roof", "bonnet"], LAYERS), (["left-door"], DUSTY), crew=("Ash",)))
    found = later(wide, "left-door", "polish", *wipes, planned("left-door", "polish", 15, 35, ASH, 2))
    assert said(wide, found)[0].startswith("Planned for 08:15, after windscreen and 2 more: ")
    assert said(wide, found)[1] == "after windscreen, 08:15"


def test_what_somebody_else_is_to_do_names_them():
    wipe = planned("windscreen", "wipe", 0, 5, BO, 1)
    found = later(shop(), "roof", "wipe", wipe, planned("roof", "wipe", 5, 10, BO, 2))
    assert said(shop(), found)[0] == "Planned for 08:05 (Bo), after windscreen: solvent wipe."


def test_it_waits_for_the_tool_in_the_other_persons_hands():
    found = later(
        shop(),
        "left-door",
        "polish",
        planned("bonnet", "polish", 0, 20, BO, 1),
        planned("left-door", "polish", 20, 40, ASH, 2),
    )
    assert said(shop(), found)[0] == "Planned for 08:20, after bonnet: polish."


def test_dust_waits_for_the_coat_that_comes_first():
    level = planned("roof", "level", 10, 15, BO, 1)
    found = later(shop(), "bonnet", "polish", level, planned("bonnet", "polish", 15, 35, ASH, 2))
    assert said(shop(), found) == ("Planned for 08:15, after roof: level.", "after roof, 08:15")


def test_a_wipe_waits_so_that_its_coat_can_follow_in_time():
    found = later(
        shop(),
        "roof",
        "wipe",
        planned("roof", "wipe", 40, 45, ASH, 1),
        planned("roof", "coat", 45, 50, ASH, 2, lapses_at=at(75)),
    )
    assert said(shop(), found) == ("Planned for 08:40, so that its coat follows in time.", "planned for 08:40")


def test_where_the_plan_tells_no_reason_none_is_made_up():
    found = later(shop(), "bonnet", "polish", planned("bonnet", "polish", 15, 35, ASH, 2))
    assert said(shop(), found)[0] == "Planned for 08:15."


def test_what_has_been_done_since_is_waited_for_no_more():
    of = shop()
    steps = planned("windscreen", "wipe", 0, 5, ASH, 1), planned("roof", "wipe", 5, 10, ASH, 2)
    of.work("windscreen", "wipe", 0, 2)
    order = WorkOrder(status="feasible", made_for=at(0), steps=steps)
    found = PlannedSteps(order, of.state).later(CAR, ZoneId("roof"), StepId("wipe"), of.state, at(2))
    assert said(of, found)[0] == "Planned for 08:05."


def test_whose_turn_it_is_waits_for_nothing():
    steps = planned("windscreen", "wipe", 0, 5, ASH, 1), planned("roof", "wipe", 5, 10, ASH, 2)
    assert later(shop(), "windscreen", "wipe", *steps) is None
    assert later(shop(), "roof", "wipe", *steps, minutes=3) is None, "in two minutes it is next"
    assert later(shop(), "bonnet", "polish", *steps) is None, "it is not planned"
    assert later(shop(), "roof", "coat", *steps) is None, "something else comes first on the zone"


def test_a_plan_that_holds_only_once_a_way_out_is_taken_holds_nothing_back():
    steps = planned("windscreen", "wipe", 0, 5, ASH, 1), planned("roof", "wipe", 5, 10, ASH, 2)
    order = WorkOrder(status="infeasible", made_for=at(0), steps=steps, stuck=True)
    found = PlannedSteps(order, shop().state).later(CAR, ZoneId("roof"), StepId("wipe"), shop().state, at(0))
    assert found is None
