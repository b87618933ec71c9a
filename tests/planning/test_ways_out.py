"""Where not every wait can be kept there are ways out, and each leads to a plan that the gate accepts to the end."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from bayapp.cli.day import read_day
from bayapp.job import BayState, FinishStep, Request, fold, gate
from bayapp.job.model.ids import JobId, Person, PlaceId, StepKind
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.job.state.requests import MoveCar, ReadAir, SetUpPlaces
from bayapp.planning.circles import circles
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import Remedy, WayOut, WorkOrder
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.orders import Ways, people_of, planned_steps
from bayapp.planning.relaxation import relaxed
from bayapp.planning.remedies import Touch, Trouble, back_from, request_of
from bayapp.planning.trouble_text import trouble_sentence
from bayapp.planning.ways_out import Found, cheapest_first, ways_out
from bayapp.planning.work import plan_work
from tests.job.builders import Shop, at, finish, form, job, recipe, set_aside, start, step
from tests.planning.support.any_bay import bays
from tests.planning.support.replays import GOOD_AIR, by_touch, replay

DAYS = Path(__file__).parent.parent / "data" / "days"
OFF_PLAN = DAYS.with_name("days_off_plan")
FRONT, BACK = PlaceId("bay-1"), PlaceId("bay-2")
GLASS: dict[str, tuple[str, ...]] = {"panes": ("windscreen", "roof")}
"""Two panes in a form that has no glass: the roof stands for a side window."""
UNWASHED = (
    step("polish", minutes=5),
    step("wipe", minutes=2),
    step("coat", minutes=2, wait={"max": 30, "lapse": "wipe"}),
    step("buff", minutes=2, wait={"of": "panes", "min": 15, "max": 120, "lapse": "polish"}),
)
ONE_LAYER = recipe(step("decontaminate", minutes=4), *UNWASHED, finish={"keep_dry_hours": 12})
COATED = recipe(
    step("wipe", minutes=2),
    step("coat", minutes=5, wait={"max": 10, "lapse": "wipe"}),
    step("level", minutes=1, wait={"max": 15, "max_from": "start", "lapse": "wipe"}),
)


def first_pane_coated(crew: tuple[str, ...] = ("Ash", "Bo")) -> Shop:
    """The windscreen is coated at 8:13 before the other pane was washed: its buff waits for a pane it shuts out."""
    panes = form(sets=GLASS)
    shop = Shop(job((["windscreen"], ONE_LAYER), (["roof"], ONE_LAYER), crew=crew, vehicle=panes))
    for name, begin, end in (("decontaminate", 0, 4), ("polish", 4, 9), ("wipe", 9, 11), ("coat", 11, 13)):
        shop.work("windscreen", name, begin, end)
    return shop


def two_coats_lapse(crew: tuple[str, ...] = ("Ash",)) -> Shop:
    """Two rims wiped at once by one person, each of a block of its own: only one can be coated in time."""
    shop = Shop(job((["left-rim"], COATED), (["right-rim"], COATED), (["roof"], COATED), crew=crew))
    shop.work("left-rim", "wipe", 0, 2)
    shop.work("right-rim", "wipe", 2, 3)
    return shop


def trouble_of(state: BayState, moment: datetime, people: People | None = None) -> Trouble:
    situation = Situation(state, moment, people or People())
    settled = relaxed(situation)
    return Trouble(situation, settled, () if settled.plan.starts_s else circles(settled.work))


def found_in(state: BayState, moment: datetime, people: People | None = None) -> tuple[Found, ...]:
    return ways_out(trouble_of(state, moment, people), None, lambda: False)


def taken(state: BayState, way: WayOut, moment: datetime) -> BayState:
    """The bay once the way out is taken; where that is once a coat is done, it ends at the moment first."""
    touch = Touch.of(way)
    asked: list[Request | None] = []
    if way.once:
        zones = {zone: state.jobs[way.job].zones[zone].running for zone in way.zones}
        asked += [FinishStep(way.job, (zone,), run.step, run.by) for zone, run in zones.items() if run]
    asked += [request_of(replace(touch, once=None), None)]
    for request in asked:
        if request is not None:
            verdict = gate(state, request, moment)
            assert verdict.accepted, (way, verdict.refusals)
            state = fold(verdict.events, state)
    return state


def air_of(state: BayState) -> ReadAir:
    """The air that the day had; the plan reckons with it."""
    air = state.air
    return GOOD_AIR if air is None else ReadAir(air.air_c, air.rh_percent, air.surface_c)


def assert_ends_well(state: BayState, found: Found, moment: datetime) -> None:
    """Take a way out, carry its plan out through the gate, and see every step of it done without a refusal."""
    after = taken(state, found.way, found.then.work.at if found.way.once else moment)
    steps = planned_steps(
        found.then.work, found.then.plan, people_of(found.then.work, found.then.plan, Ways(found.then.work, after))
    )
    end, refused = replay(after, by_touch(steps), air=air_of(after))
    assert refused == []
    for planned in steps:
        assert end.jobs[planned.job].zones[planned.zone].last_finished(planned.step)


def remedies(found: Sequence[Found]) -> list[Remedy]:
    return [one.way.remedy for one in found]


def test_a_pane_coated_before_its_neighbours_is_told_in_one_sentence():
    shop = first_pane_coated()
    sentence = trouble_sentence(trouble_of(shop.state, at(14)))
    assert sentence == (
        "Windscreen coated too soon: the buff waits for roof, and decontaminate there would spoil the coat."
    )


def test_a_pane_coated_before_its_neighbours_has_a_way_out_and_every_one_ends_well():
    shop = first_pane_coated()
    found = found_in(shop.state, at(14))
    assert Remedy.ASIDE in remedies(found)
    for one in found:
        assert one.wrong == frozenset()
        assert_ends_well(shop.state, one, at(14))


def test_the_day_on_which_the_windscreen_was_coated_first_has_a_way_out():
    car, events = read_day(DAYS / "glass-first.toml", DAYS / "glass-first.jsonl", None)
    state, moment = fold(events), datetime(2026, 11, 25, 8, 28, tzinfo=UTC)
    order = plan_work(state, moment, People(), Effort(1))
    assert order.stuck
    assert order.trouble.startswith("Windscreen coated too soon: the buff waits for")
    aside = next(way for way in order.ways_out if way.remedy is Remedy.ASIDE)
    assert set(aside.zones) == set(car.zones_named("side-glass-left")) | set(car.zones_named("side-glass-right"))
    for way in order.ways_out:
        then = plan_work(taken(state, way, moment), moment, People(), Effort(1))
        assert (then.trouble, then.ways_out, then.stuck) == ("", (), False)
        assert replay(taken(state, way, moment), by_touch(then.steps))[1] == []


def test_a_cover_is_the_cheapest_way_out_of_a_pane_coated_too_soon():
    found = found_in(first_pane_coated().state, at(14))
    assert found[0].way.remedy is Remedy.COVER
    assert found[0].way.zones == ("windscreen",)


def test_a_pane_whose_coats_are_all_laid_may_be_buffed_by_itself_and_the_dust_waits_for_that():
    dusty = recipe(*UNWASHED)
    shop = Shop(job((["windscreen"], dusty), (["roof"], dusty), vehicle=form(sets=GLASS)))
    for name, begin, end in (("polish", 4, 9), ("wipe", 9, 11), ("coat", 11, 13)):
        shop.work("windscreen", name, begin, end)
    alone = next(one for one in found_in(shop.state, at(14)) if one.way.remedy is Remedy.BY_ITSELF)
    assert (alone.way.zones, alone.way.step) == (("windscreen",), "buff")
    assert alone.way.later_s >= 10 * 60, "the roof is polished once the windscreen is buffed, 15 minutes after its coat"
    assert_ends_well(shop.state, alone, at(14))


def test_the_coat_may_be_taken_off_again_at_the_cost_of_the_work_that_was_done():
    shop = first_pane_coated()
    again = next(one for one in found_in(shop.state, at(14)) if one.way.remedy is Remedy.REWORK)
    assert (again.way.zones, again.way.step) == (("windscreen",), "polish")
    assert again.way.rework_s == (5 + 2 + 2) * 60, "polish, wipe and coat"
    assert_ends_well(shop.state, again, at(14))


def test_a_pane_that_still_waits_for_its_next_layer_is_not_offered_to_be_buffed():
    layers = recipe(
        step("coat-1", minutes=2),
        step("coat-2", minutes=2, wait={"min": 5, "max": 60, "lapse": "repeat"}),
        step("buff", minutes=2, wait={"of": "panes", "min": 15, "max": 120, "lapse": "repeat"}),
    )
    shop = Shop(job((["windscreen"], layers), (["roof"], ONE_LAYER), vehicle=form(sets=GLASS)))
    shop.work("windscreen", "coat-1", 0, 2)
    found = found_in(shop.state, at(3))
    assert found
    assert Remedy.BY_ITSELF not in remedies(found)


def test_a_window_that_cannot_be_kept_may_be_let_go_or_its_zone_left_for_another_day():
    shop = two_coats_lapse()
    found = found_in(shop.state, at(9))
    assert Remedy.GO_ON in remedies(found)
    assert Remedy.ASIDE in remedies(found)
    for one in found:
        assert_ends_well(shop.state, one, at(9))


def test_what_is_let_go_costs_the_work_that_is_done_twice():
    shop = two_coats_lapse()
    let_go = next(one.way for one in found_in(shop.state, at(9)) if one.way.remedy is Remedy.GO_ON)
    assert let_go.rework_s == 2 * 60, "the wipe of one rim, which takes two minutes, is done again"
    assert let_go.price_s == let_go.rework_s + let_go.later_s


def test_the_first_way_out_is_never_dearer_than_the_next():
    for shop, moment in ((first_pane_coated(), at(14)), (two_coats_lapse(), at(9))):
        prices = [one.way.price_s for one in found_in(shop.state, moment)]
        assert prices == sorted(prices)
        assert prices


def test_more_zones_are_not_set_aside_than_it_takes():
    asides = [one.way for one in found_in(two_coats_lapse().state, at(9)) if one.way.remedy is Remedy.ASIDE]
    assert asides
    assert all(len(way.zones) == 1 for way in asides)


def test_no_coat_is_left_lying_open_for_another_day():
    shop = first_pane_coated()
    for one in found_in(shop.state, at(14)):
        assert one.way.remedy is not Remedy.ASIDE or "windscreen" not in one.way.zones


def test_coats_that_wait_in_a_circle_are_covered_by_one_touch_with_one_that_was_set_aside_open():
    """No cover over one of the two alone lets the roof be washed."""
    panes = form(sets={"panes": ("windscreen", "bonnet", "roof")})
    blocks = [([zone], ONE_LAYER) for zone in ("windscreen", "bonnet", "roof")]
    shop = Shop(job(*blocks, crew=("Ash",), vehicle=panes))
    for place, name in enumerate(("decontaminate", "polish", "wipe", "coat")):
        shop.work("windscreen", name, 10 * place, 10 * place + 4)
        shop.work("bonnet", name, 10 * place + 5, 10 * place + 9)
    shop.must(set_aside("bonnet"), 40)
    first = found_in(shop.state, at(40))[0]
    assert (first.way.remedy, set(first.way.zones)) == (Remedy.COVER, {"windscreen", "bonnet"})
    assert first.wrong == frozenset()
    assert_ends_well(shop.state, first, at(40))


def test_a_coat_that_was_set_aside_open_is_taken_up_again():
    shop = first_pane_coated()
    shop.must(set_aside("windscreen"), 14)
    trouble = trouble_of(shop.state, at(15))
    assert trouble_sentence(trouble) == (
        "Windscreen left open: the coat was set aside unfinished, and no dust or water may reach it."
    )
    shop = Shop(job((["left-rim"], COATED), (["roof"], ONE_LAYER), crew=("Ash",), vehicle=form(sets=GLASS)))
    shop.work("left-rim", "wipe", 0, 2)
    shop.work("left-rim", "coat", 2, 7)
    shop.must(set_aside("left-rim"), 7)
    found = found_in(shop.state, at(8))
    assert remedies(found)[0] is Remedy.TAKE_UP
    for one in found:
        assert_ends_well(shop.state, one, at(8))


def pane_being_coated(crew: tuple[str, ...] = ("Ash", "Bo")) -> Shop:
    """Since 8:11 the windscreen is being coated, for two minutes, before the other pane was washed."""
    shop = Shop(job((["windscreen"], ONE_LAYER), (["roof"], ONE_LAYER), crew=crew, vehicle=form(sets=GLASS)))
    for name, begin, end in (("decontaminate", 0, 4), ("polish", 4, 9), ("wipe", 9, 11)):
        shop.work("windscreen", name, begin, end)
    shop.must(start("windscreen", "coat"), 11)
    return shop


def test_a_coat_that_is_just_being_laid_is_covered_as_soon_as_it_is_done():
    for crew in (("Ash",), ("Ash", "Bo")):
        shop = pane_being_coated(crew)
        cheapest, *others = found_in(shop.state, at(12))
        assert (cheapest.way.remedy, cheapest.way.zones, cheapest.way.once) == (Remedy.COVER, ("windscreen",), "coat")
        assert cheapest.then.work.at == at(13), "the coat takes until then"
        assert request_of(Touch.of(cheapest.way), None) is None, "nothing is covered while it is being coated"
        assert back_from(Touch.of(cheapest.way), shop.state, None) is None
        assert all(other.way.price_s > cheapest.way.price_s for other in others)
        assert_ends_well(shop.state, cheapest, at(12))


def test_once_the_coat_is_done_the_same_cover_is_asked_for_at_once():
    shop = pane_being_coated()
    before = found_in(shop.state, at(12))[0].way
    shop.must(finish("windscreen", "coat"), 13)
    after = found_in(shop.state, at(13))[0].way
    assert after.once is None
    assert (after.remedy, after.job, after.zones) == (before.remedy, before.job, before.zones)
    assert abs(after.finish - before.finish) <= timedelta(minutes=1)


@pytest.mark.parametrize(
    "name",
    ["saloon--circles-first-and-side-glass-untouched", "saloon-alone--rear-screen-coated-by-one-person"],
)
def test_on_the_days_off_the_plan_that_end_in_a_coat_it_is_covered_before_seven_panes_are_left_out(name: str):
    _car, happened = read_day(OFF_PLAN / f"{name.split('--', maxsplit=1)[0]}.toml", OFF_PLAN / f"{name}.jsonl", None)
    state = fold(happened)
    assert state.last_at
    ways = [one.way for one in found_in(state, state.last_at + timedelta(minutes=1))]
    assert [(way.remedy, bool(way.once), len(way.zones)) for way in ways] == [
        (Remedy.COVER, True, 1),
        (Remedy.ASIDE, False, 7),
    ]


def test_in_a_large_bay_the_search_ends_once_something_helps(monkeypatch: pytest.MonkeyPatch):
    shop = first_pane_coated()
    tried: list[int] = []

    def count() -> bool:
        tried.append(1)
        return False

    trouble = trouble_of(shop.state, at(14))
    whole = ways_out(trouble, None, count)
    of_a_small_bay = len(tried)
    tried.clear()
    monkeypatch.setattr("bayapp.planning.ways_out.LARGE", 1)
    monkeypatch.setattr("bayapp.planning.ways_out.MOST_PLANNED", 1)
    (first,) = ways_out(trouble, None, count)
    assert first.way == whole[0].way
    assert len(tried) < of_a_small_bay
    assert_ends_well(shop.state, first, at(14))


def two_cars_in_one_air() -> Shop:
    """The red car's roof was coated at 8:07 and is levelled from 8:27; the van's door must be polished by 8:12."""
    coated = recipe(step("coat", minutes=2), step("level", minutes=2, wait={"min": 20, "max": 60, "lapse": "repeat"}))
    polished = recipe(step("wipe", minutes=2), step("polish", minutes=5, wait={"max": 10, "lapse": "wipe"}))
    shop = Shop(job((["roof"], coated), name="car"), job((["left-door"], polished), name="van"))
    shop.must(SetUpPlaces((Bay(id=FRONT, name="Front bay"), Bay(id=BACK, name="Back bay"))), 0)
    shop.must(MoveCar(JobId("car"), FRONT), 0)
    shop.must(MoveCar(JobId("van"), BACK), 0)
    shop.work("left-door", "wipe", 0, 2, by="Bo", job="van")
    shop.work("roof", "coat", 5, 7)
    return shop


def test_a_car_whose_dust_cannot_wait_may_be_moved_and_the_one_with_the_fresh_coat_stays():
    shop = two_cars_in_one_air()
    found = found_in(shop.state, at(8))
    (moved,) = [one for one in found if one.way.remedy is Remedy.MOVE]
    assert (moved.way.job, moved.way.to) == ("van", OUTSIDE)
    assert moved.way.price_s >= 10 * 60
    for one in found:
        assert_ends_well(shop.state, one, at(8))


def test_where_bays_have_no_names_no_car_is_moved():
    shop = Shop(*(car.job for car in two_cars_in_one_air().state.open_jobs))
    shop.work("left-door", "wipe", 0, 2, by="Bo", job="van")
    shop.work("roof", "coat", 5, 7)
    found = found_in(shop.state, at(8))
    assert found
    assert Remedy.MOVE not in remedies(found)


def test_somebody_may_stay_where_a_window_closes_after_hours_and_what_was_said_is_planned_with():
    """Hours end at 8:20. The rim wiped at 8:18 is coated by 8:28, or not today."""
    hours = People(hours=((time(7), time(8, 20)),))
    shop = Shop(job((["left-rim"], COATED), crew=("Ash",)))
    shop.work("left-rim", "wipe", 16, 18)
    trouble = trouble_of(shop.state, at(19), hours)
    assert trouble_sentence(trouble) == "Within the hours a wait would be missed: somebody stays until 08:25."
    (stay,) = [one for one in found_in(shop.state, at(19), hours) if one.way.remedy is Remedy.STAY]
    assert stay.way.until == at(29)
    after = taken(shop.state, stay.way, at(19))
    assert relaxed(Situation(after, at(19), hours)).whole
    assert not trouble_sentence(trouble_of(after, at(19), hours))
    assert_ends_well(shop.state, stay, at(19))


def test_what_takes_a_way_out_back_is_accepted_and_the_zones_are_as_they_were():
    for shop, moment in ((first_pane_coated(), at(14)), (two_coats_lapse(), at(9)), (two_cars_in_one_air(), at(8))):
        for one in found_in(shop.state, moment):
            touch = Touch.of(one.way)
            if back := back_from(touch, shop.state, None):
                after = taken(shop.state, one.way, moment)
                verdict = gate(after, back, moment)
                assert verdict.accepted, (one.way, verdict.refusals)
                again = fold(verdict.events, after)
                for zone in one.way.zones:
                    assert again.jobs[one.way.job].zones[zone].rungs == shop.state.jobs[one.way.job].zones[zone].rungs
                assert again.jobs[one.way.job].aside == shop.state.jobs[one.way.job].aside


def test_nothing_is_wrong_with_a_plan_that_keeps_everything_and_nothing_is_offered():
    shop = Shop(job((["windscreen", "roof"], ONE_LAYER), vehicle=form(sets=GLASS)))
    order = plan_work(shop.state, at(0), People(), Effort(0.5))
    assert (order.trouble, order.ways_out, order.stuck) == ("", (), False)


def test_what_nobody_here_does_is_said_and_only_leaving_it_out_helps():
    cannot = People(cannot={Person(name): frozenset({StepKind.LEVEL}) for name in ("Ash", "Bo")})
    shop = Shop(job((["left-rim"], COATED), (["roof"], recipe(step("polish", minutes=5)))))
    sentence = trouble_sentence(trouble_of(shop.state, at(0), cannot))
    assert sentence.endswith("(left rim): nobody who is here does that.")
    for one in found_in(shop.state, at(0), cannot):
        assert (one.way.remedy, one.way.zones) == (Remedy.ASIDE, ("left-rim",))


def test_a_way_out_is_the_same_however_often_one_looks():
    shop = two_coats_lapse()
    assert [one.way for one in found_in(shop.state, at(9))] == [one.way for one in found_in(shop.state, at(9))]


def test_a_search_that_is_stopped_offers_what_it_has_tried_and_no_more():
    shop = two_coats_lapse()
    trouble = trouble_of(shop.state, at(9))
    assert trouble_sentence(trouble)
    assert ways_out(trouble, None, lambda: True) == ()


def test_somebody_at_work_is_not_sent_away_from_a_zone():
    shop = two_coats_lapse(crew=("Ash", "Bo"))
    shop.must(start("left-rim", "coat"), 4)
    for one in found_in(shop.state, at(12), People()):
        assert one.way.remedy is not Remedy.ASIDE or "left-rim" not in one.way.zones


def test_a_work_order_with_ways_out_is_read_back_as_it_was_written():
    shop = first_pane_coated()
    order = plan_work(shop.state, at(14), People(), Effort(0.5))
    assert order.ways_out
    assert WorkOrder.model_validate_json(order.model_dump_json()) == order


@pytest.mark.parametrize("events", sorted(OFF_PLAN.glob("*.jsonl")), ids=lambda path: path.stem)
def test_on_thirty_days_off_the_plan_every_way_out_leads_to_its_end(events: Path):
    """The days were written before anybody looked at what the planner makes of them."""
    _car, happened = read_day(OFF_PLAN / f"{events.stem.split('--')[0]}.toml", events, None)
    state = fold(happened)
    assert state.last_at
    moment = state.last_at + timedelta(minutes=1)
    for one in found_in(state, moment):
        assert_ends_well(state, one, moment)


@given(bays())
@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_every_way_out_of_any_bay_leaves_less_wrong_and_is_never_refused(bay: Situation):
    trouble = trouble_of(bay.state, bay.at, bay.shop)
    found = ways_out(trouble, None, lambda: False)
    assert len(found) <= 3
    assert [one.way for one in found] == sorted((one.way for one in found), key=cheapest_first)
    if not trouble_sentence(trouble) and not trouble.settled.overtime:
        assert found == ()
    for one in found:
        assert_ends_well(bay.state, one, bay.at)
