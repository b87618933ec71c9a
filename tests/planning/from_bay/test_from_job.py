"""What is left to do in a bay, as a problem; each rule of the gate has its counterpart."""

from datetime import time
from typing import Any

from bayapp.job import MoveCar
from bayapp.job.model.ids import JobId, Person, StepId, StepKind, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.planning.core.problem import ForbiddenInterval, Lag, Task
from bayapp.planning.from_bay.from_job import Concessions, Work, work_of
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.from_bay.situation import Situation
from tests.job.builders import Shop, at, finish, job, recipe, set_aside, start, step, take_up, undo

PANEL = recipe(
    step("polish", minutes=3),
    step("coat", minutes=2),
    step("level", minutes=1, wait={"min": 1, "max": 8, "max_from": "start", "lapse": "polish"}),
    finish={"keep_dry_hours": 2},
)
RIM = recipe(step("decontaminate", minutes=4), step("clean", minutes=1), name="rim")
DUST_FREE = {"dust_free_minutes": 30, "keep_dry_hours": 1}


def bay(*blocks: tuple[list[str], Any], crew: tuple[str, ...] = ("Ash",)) -> Shop:
    return Shop(job(*blocks, crew=crew))


def work(shop: Shop, minutes: float = 0, people: People | None = None, **more: Any) -> Work:
    return work_of(Situation(shop.state, at(minutes), people or People()), Concessions(**more))


def key(zone: str, name: str, turn: int = 0) -> tuple[JobId, ZoneId, StepId, int]:
    return JobId("car"), ZoneId(zone), StepId(name), turn


def task(found: Work, name: str) -> Task:
    return found.problem.task_of[f"car/{name}"]


def lags(found: Work) -> set[tuple[str, str, int, int | None, str]]:
    return {
        (g.first.removeprefix("car/"), g.then.removeprefix("car/"), g.min_s, g.max_s, g.basis)
        for g in found.problem.lags
    }


def interval(found: Work, name: str) -> ForbiddenInterval:
    (wanted,) = [g for g in found.problem.forbidden if g.id == f"car/{name}"]
    return wanted


def test_a_ladder_is_climbed_in_order_and_its_waits_become_lags():
    found = work(bay((["roof"], PANEL)))
    assert [t.duration_s for t in found.problem.tasks] == [180, 120, 60]
    assert lags(found) == {
        ("roof/polish", "roof/coat", 0, None, "end-start"),
        ("roof/coat", "roof/level", 0, None, "end-start"),
        ("roof/coat", "roof/level", 60, None, "end-start"),
        ("roof/coat", "roof/level", 0, 480, "start-start"),
    }


def test_a_task_says_what_kind_of_step_it_is():
    found = work(bay((["roof", "bonnet"], recipe(step("wipe"), step("coat")))))
    assert [t.kind for t in found.problem.tasks] == ["wipe", "coat", "wipe", "coat"]


def test_waits_are_rounded_to_whole_seconds_so_that_none_is_broken():
    ladder = recipe(step("wipe"), step("coat", wait={"min": 1.001 / 60, "max": 2.999 / 60, "lapse": "wipe"}))
    assert ("roof/wipe", "roof/coat", 2, 2, "end-start") in lags(work(bay((["roof"], ladder))))


def test_a_window_without_a_whole_second_in_it_is_left_out():
    ladder = recipe(step("wipe"), step("coat", wait={"min": 1.1 / 60, "max": 1.9 / 60, "lapse": "wipe"}))
    found = work(bay((["roof"], ladder)))
    assert (found.left_out, [t.id for t in found.problem.tasks]) == ((key("roof", "coat"),), ["car/roof/wipe"])


def test_a_running_wait_becomes_a_first_and_a_last_moment():
    ladder = recipe(step("wipe", minutes=1), step("coat", wait={"min": 5, "max": 30, "lapse": "wipe"}))
    shop = bay((["roof"], ladder))
    shop.work("roof", "wipe", 0, 1)
    assert (task(work(shop, 2.5), "roof/coat").earliest_s, task(work(shop, 2.5), "roof/coat").latest_s) == (210, 1710)


def test_a_step_under_way_holds_hands_and_tool_for_what_is_left_of_it():
    ladder = recipe(step("polish", minutes=10, tool="polisher"), step("wipe", minutes=1))
    shop = bay((["roof"], ladder), crew=("Ash", "Bo"))
    shop.must(start("roof", "polish", "Bo"), 0)
    found = work(shop, 4)
    assert task(found, "roof/polish") == Task("car/roof/polish", 360, {"person": 1, "tool:polisher": 1}, (), 0, 0)
    assert found.given == {"car/roof/polish": "Bo"}
    assert task(work(shop, 9.9), "roof/polish").duration_s == 60  # a tenth of it
    assert task(work(shop, 60), "roof/polish").duration_s == 60


def test_zones_of_one_touch_end_together_and_hold_one_pair_of_hands():
    shop = bay((["left-rim", "right-rim"], RIM))
    shop.must(start("left-rim right-rim", "decontaminate"), 0)
    found = work(shop, 1)
    assert [(t.duration_s, dict(t.uses)) for t in found.problem.tasks[:2]] == [(420, {"person": 1}), (420, {})]


def test_of_two_things_that_somebody_does_at_once_the_longer_one_holds_the_hands():
    shop = bay((["left-rim"], recipe(step("wipe", minutes=1))), (["roof"], PANEL), crew=("Ash", "Bo"))
    shop.must(start("left-rim", "wipe", "Ash"), 0)
    shop.must(start("roof", "polish", "Ash", reason="both are small"), 0)
    found = work(shop)
    assert task(found, "left-rim/wipe").uses == {}
    assert task(found, "roof/polish").uses == {"person": 1}


def test_people_who_differ_are_asked_for_by_name():
    cannot = People(cannot={Person("Bo"): frozenset({StepKind.POLISH})})
    found = work(bay((["roof"], PANEL), crew=("Ash", "Bo")), people=cannot)
    assert [task(found, f"roof/{s}").one_of for s in ("polish", "coat")] == [("Ash",), ("Ash", "Bo")]
    assert found.problem.capacities == {"Ash": 1, "Bo": 1}


def test_what_nobody_can_do_is_left_out_and_no_coat_is_begun_that_nobody_can_level():
    cannot = People(cannot={Person("Ash"): frozenset({StepKind.LEVEL})})
    found = work(bay((["roof"], PANEL)), people=cannot)
    assert [t.id for t in found.problem.tasks] == ["car/roof/polish"]
    assert set(found.left_out) == {key("roof", "coat"), key("roof", "level")}


def test_dust_and_water_wait_for_a_coat_that_nobody_can_level():
    cannot = People(cannot={Person("Ash"): frozenset({StepKind.LEVEL})})
    shop = bay((["roof", "bonnet"], PANEL), (["left-rim"], RIM))
    shop.work("roof", "polish", 0, 3)
    shop.work("roof", "coat", 3, 5)
    found = work(shop, 5, cannot)
    assert found.problem.tasks == ()
    assert key("left-rim", "decontaminate") in found.left_out
    assert key("bonnet", "polish") in found.left_out


def test_a_zone_set_aside_asks_for_nothing_and_an_open_coat_on_it_keeps_dust_away():
    shop = bay((["roof", "bonnet"], PANEL))
    shop.work("roof", "polish", 0, 3)
    shop.work("roof", "coat", 3, 5)
    shop.must(set_aside("roof"), 5)
    assert {k[1] for k in work(shop, 5).left_out} == {"bonnet"}
    shop.must(take_up("roof"), 6)
    assert work(shop, 6).left_out == ()


def test_a_coat_keeps_dust_away_until_it_is_levelled_and_water_until_it_has_dried():
    found = work(bay((["roof", "bonnet"], PANEL), (["left-rim"], RIM)))
    no_dust, dry = interval(found, "roof no dust 1"), interval(found, "roof keep dry")
    assert (no_dust.first, no_dust.last, no_dust.longer_s) == ("car/roof/coat", "car/roof/level", 0)
    assert no_dust.against == {"car/bonnet/polish"}
    assert (dry.first, dry.last, dry.longer_s) == ("car/roof/coat", "car/roof/level", 7200)
    assert dry.against == {"car/left-rim/decontaminate"}


def test_a_coat_that_lies_there_already_forbidden_from_now_on():
    shop = bay((["roof", "bonnet"], PANEL))
    shop.work("roof", "polish", 0, 3)
    shop.work("roof", "coat", 3, 5)
    assert interval(work(shop, 5), "roof no dust 1").first is None


def test_dust_and_water_stay_away_from_the_wipe_before_a_coat_on():
    wiped = recipe(step("wipe", minutes=1), step("coat", minutes=1), step("level", minutes=1), name="wiped")
    shop = bay((["roof"], wiped), (["bonnet"], PANEL), (["left-rim"], RIM), crew=("Ash", "Bo"))
    assert interval(work(shop, 0), "roof no dust 1").first == "car/roof/wipe"
    assert interval(work(shop, 0), "roof keep dry").first == "car/roof/wipe"
    shop.must(start("roof", "wipe"), 0)
    assert interval(work(shop, 0), "roof no dust 1").first is None
    shop.must(finish("roof", "wipe"), 1)
    dust = interval(work(shop, 1), "roof no dust 1")
    assert (dust.first, dust.last, dust.against) == (None, "car/roof/level", frozenset({"car/bonnet/polish"}))
    shop.must(start("bonnet", "polish", "Bo"), 1)
    assert interval(work(shop, 1), "roof no dust 1").first == "car/roof/wipe", "the dust spoils that wipe"


def test_it_is_the_same_where_nothing_is_done_to_the_coat_afterwards():
    left_alone = recipe(step("wipe", minutes=1), step("coat", minutes=1), name="left-alone")
    found = work(bay((["roof"], left_alone), (["bonnet"], PANEL)))
    assert interval(found, "roof no dust 1").first == "car/roof/wipe"


def test_a_coat_keeps_dust_away_until_it_is_dry_to_touch():
    drying = recipe(step("coat", minutes=1), step("level", minutes=1), step("clean"), name="drying", finish=DUST_FREE)
    shop = bay((["roof"], drying), (["bonnet"], PANEL), (["left-rim"], RIM))
    dust = interval(work(shop, 0), "roof no dust 1")
    assert (dust.first, dust.last, dust.longer_s) == ("car/roof/coat", "car/roof/level", 1800)
    shop.work("roof", "coat", 0, 1)
    shop.work("roof", "level", 1, 2)
    for name in ("roof no dust 1", "roof no water 1"):
        now = interval(work(shop, 12), name)
        assert (now.first, now.last, now.longer_s) == (None, None, 1200)


def test_the_next_coat_waits_for_dust_that_flies_against_the_rule():
    two = recipe(step("coat-1", minutes=1), step("coat-2", minutes=1), step("level", minutes=1), name="two")
    shop = bay((["roof"], two), (["bonnet"], PANEL), crew=("Ash", "Bo"))
    shop.work("roof", "coat-1", 0, 1)
    shop.must(start("bonnet", "polish", "Bo", reason="far away"), 1)
    dust = interval(work(shop, 1), "roof no dust before 1")
    assert (dust.first, dust.against) == ("car/roof/coat-2", frozenset({"car/bonnet/polish"}))


def test_a_done_ladder_forbidden_against_water_for_as_long_as_it_must_be_dry():
    shop = bay((["roof"], PANEL), (["left-rim"], RIM))
    for name, begin, end in (("polish", 0, 3), ("coat", 3, 5), ("level", 6, 7)):
        shop.work("roof", name, begin, end)
    dry = interval(work(shop, 10), "roof keep dry")
    assert (dry.first, dry.last, dry.longer_s) == (None, None, 7200 - 180)


def test_a_wait_of_a_set_counts_from_the_last_to_come_and_not_before_those_that_are_over():
    both = recipe(step("coat", minutes=2), step("buff", wait={"of": "rims", "min": 15, "max": 60, "lapse": "inspect"}))
    shop = bay((["left-rim", "right-rim"], both))
    shop.work("left-rim", "coat", 0, 2)
    found = work(shop, 3)
    for zone in ("left-rim", "right-rim"):  # one to come: it is the last, whichever it was that is over
        assert ("right-rim/coat", f"{zone}/buff", 900, 3600, "end-start") in lags(found)
    (last,) = work(bay((["left-rim", "right-rim"], both))).problem.lasts
    assert (last.tasks, last.not_before_s) == (("car/left-rim/coat", "car/right-rim/coat"), None)


def test_a_wait_of_a_set_from_the_first_stroke_is_on_the_safe_side_of_the_longest():
    wait = {"of": "rims", "min": 1, "max": 10, "max_from": "start", "lapse": "inspect"}
    found = work(bay((["left-rim", "right-rim"], recipe(step("coat", minutes=2), step("buff", wait=wait)))))
    assert {(g.min_s, g.max_s) for g in found.problem.lags if g.first == "last 1"} == {(60, 600 - 120)}


def test_what_counts_from_a_step_that_was_left_out_counts_from_the_last_that_was_done():
    ladder = recipe(step("wipe"), step("coat"), step("level", wait={"after": "wipe", "min": 1}))
    shop = bay((["roof"], ladder))
    shop.must(start("roof", "coat", reason="wiped at home"), 0)
    found = work(shop, 1)
    assert found.left_out == ()
    assert [(lag.first, lag.then) for lag in found.problem.lags if lag.min_s] == [("car/roof/coat", "car/roof/level")]


def test_a_window_given_up_has_the_zone_climb_again_from_what_it_costs():
    shop = bay((["roof"], recipe(step("wipe", minutes=1), step("coat", wait={"max": 5, "lapse": "wipe"}))))
    shop.work("roof", "wipe", 0, 1)
    found = work(shop, 2, given_up={key("roof", "coat"): at(6.02)})
    assert [(t.id, t.earliest_s, t.latest_s) for t in found.problem.tasks] == [
        ("car/roof/wipe", 242, None),
        ("car/roof/coat/2", 0, None),
    ]


def test_a_running_coat_that_is_past_its_levelling_moment_is_laid_again():
    shop = bay((["roof"], PANEL))
    shop.work("roof", "polish", 0, 3)
    shop.must(start("roof", "coat"), 3)
    assert task(work(shop, 12), "roof/level").latest_s == -60
    found = work(shop, 12, given_up={key("roof", "level"): at(11.1)})
    assert [t.id.removeprefix("car/roof/") for t in found.problem.tasks] == ["coat", "polish", "coat/2", "level/2"]


def test_where_a_lapse_has_no_rung_to_fall_back_to_the_work_is_planned_anew_from_where_the_coat_comes_off():
    shop = bay((["roof"], recipe(step("polish"), step("coat"), step("buff", wait={"max": 5, "lapse": "inspect"}))))
    shop.work("roof", "polish", 0, 0)
    shop.work("roof", "coat", 0, 1)
    again = ["car/roof/polish", "car/roof/coat", "car/roof/buff"]
    given_up = work(shop, 2, given_up={key("roof", "buff"): at(6.1)}).problem.tasks
    assert [t.id for t in given_up] == ["car/roof/polish", "car/roof/coat", "car/roof/buff/2"]
    assert given_up[0].earliest_s == 246, "once the moment has passed"
    assert [t.id for t in work(shop, 7).problem.tasks] == again


def test_where_nothing_is_below_a_lapse_without_a_rung_nothing_is_planned():
    late = recipe(step("mask", wait={"of": "rims", "max": 5, "lapse": "inspect"}), step("clean"), name="late")
    shop = bay((["left-rim"], recipe(step("coat"), name="rim")), (["roof"], late))
    shop.work("left-rim", "coat", 0, 1)
    assert work(shop, 2, given_up={key("roof", "mask"): at(6.1)}).problem.tasks == ()
    assert work(shop, 7).problem.tasks == ()  # held


def test_steps_that_would_lapse_one_after_the_other_may_be_begun_by_one_touch():
    ladder = recipe(step("wipe", minutes=1), step("coat", minutes=5, wait={"max": 5, "lapse": "wipe"}))
    shop = bay((["left-rim", "right-rim", "roof"], ladder))
    shop.work("left-rim right-rim", "wipe", 0, 1)
    found = work(shop, 5, together=frozenset({key("left-rim", "coat")}))
    assert found.led_by == {"car/right-rim/coat": "car/left-rim/coat"}
    assert [task(found, f"{z}-rim/coat").duration_s for z in ("left", "right")] == [600, 600]
    assert [dict(task(found, f"{z}-rim/coat").uses) for z in ("left", "right")] == [{"person": 1}, {}]
    assert Lag("car/left-rim/coat", "car/right-rim/coat", 0, 0, "start-start") in found.problem.lags


def test_nobody_works_in_the_break_but_whoever_is_at_work_ends_the_step():
    shop = bay((["left-rim"], RIM))
    hours = People(hours=((time(8), time(12)), (time(13), time(17))))
    shop.must(start("left-rim", "decontaminate"), 3 * 60 + 59)
    assert work(shop, 4 * 60, hours).problem.closed["person"][0] == (180, 3600)
    assert work(shop, 4 * 60, hours, overtime_until=at(4 * 60 + 30)).problem.closed["person"][0] == (1800, 3600)


def test_zones_taken_up_in_the_middle_of_a_wait_do_not_move_it_but_count_in_the_next():
    ladder = recipe(
        step("coat", minutes=1),
        step("level", minutes=1, wait={"of": "block", "max": 90, "lapse": "inspect"}),
        step("buff", minutes=1, wait={"of": "block", "max": 90, "lapse": "inspect"}),
    )
    shop = bay((["left-rim", "right-rim"], ladder))
    shop.must(set_aside("right-rim"), 0)
    shop.work("left-rim", "coat", 0, 1)
    shop.must(take_up("right-rim"), 2)
    found = work(shop, 2)
    assert task(found, "left-rim/level").latest_s == 89 * 60
    counted = {last.tasks for last in found.problem.lasts}
    assert ("car/left-rim/level", "car/right-rim/level") in counted


def test_an_undone_finish_is_under_way_again():
    shop = bay((["left-rim"], RIM))
    shop.must(start("left-rim", "decontaminate"), 0)
    shop.must(finish("left-rim", "decontaminate"), 2)
    shop.must(undo("left-rim"), 3)
    assert work(shop, 3).problem.tasks[0].latest_s == 0


def test_nothing_is_planned_on_a_car_that_was_moved_out_to_cure_until_it_is_back():
    shop = Shop(job((["roof"], PANEL)), job((["bonnet"], PANEL), name="van"))
    shop.must(MoveCar(JobId("car"), OUTSIDE, curing=True), 0)
    assert {t.id.split("/")[0] for t in work(shop).problem.tasks} == {"van"}
    shop.must(start("roof", "polish", reason="it cannot wait"), 1)
    assert [t.id for t in work(shop, 1).problem.tasks if t.id.startswith("car/")] == ["car/roof/polish"]
    shop.must(finish("roof", "polish"), 2)
    shop.must(MoveCar(JobId("car"), None), 3)
    assert [t.id for t in work(shop, 3).problem.tasks if t.id.startswith("car/")] == ["car/roof/coat", "car/roof/level"]
