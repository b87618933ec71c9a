"""Which steps may be begun and ended by one touch: as many in a row as that breaks no wait."""

from collections import Counter
from collections.abc import Mapping
from typing import Any

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.work_order import PlannedStep
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.orders import Ways, people_of, planned_steps
from bayapp.planning.shared_touches import touches
from tests.job.builders import Shop, at, job, recipe, start, step
from tests.planning.support.checker import faults
from tests.planning.support.replays import by_touch, one_by_one, replay

PANES = ["left-rim", "right-rim", "roof"]


def planned(shop: Shop, starts_min: Mapping[str, float], minutes: float = 0) -> dict[str, int]:
    """Number the touches of a plan made by hand; it is checked, and carried out by touches."""
    work = work_of(Situation(shop.state, at(minutes), People()))
    starts = {f"car/{name}": round(60 * moment) for name, moment in starts_min.items()}
    plan = _plan(work.problem, starts)
    people = people_of(work, plan, Ways(work, shop.state))
    steps = planned_steps(work, plan, people)
    for how in (one_by_one, by_touch):
        assert replay(shop.state, how(steps))[1] == []
    return {name.removeprefix("car/"): number for name, number in touches(work, plan, people).items()}


def _plan(problem: Problem, starts: dict[str, int]) -> Plan:
    plan = Plan("feasible", max(starts[t.id] + t.duration_s for t in problem.tasks), None, starts)
    assert faults(problem, plan) == []
    return plan


def bay(*steps: Any, zones: list[str] | None = None, crew: tuple[str, ...] = ("Ash",)) -> Shop:
    return Shop(job((zones or PANES, recipe(*steps)), crew=crew))


def sizes(numbers: dict[str, int]) -> list[int]:
    return sorted(Counter(numbers.values()).values(), reverse=True)


def test_the_same_step_in_a_row_is_one_touch():
    assert sizes(planned(bay(step("wipe", minutes=2)), {"left-rim/wipe": 0, "right-rim/wipe": 2, "roof/wipe": 4})) == [
        3
    ]


def test_a_pause_of_more_than_a_minute_parts_a_touch():
    starts = {"left-rim/wipe": 0, "right-rim/wipe": 3, "roof/wipe": 6.5}
    assert sizes(planned(bay(step("wipe", minutes=2)), starts)) == [2, 1]


def test_what_stands_between_parts_a_touch():
    shop = bay(step("wipe", minutes=2), step("coat", minutes=2), zones=PANES[:2])
    numbers = planned(shop, {"left-rim/wipe": 0, "left-rim/coat": 2, "right-rim/wipe": 4, "right-rim/coat": 6})
    assert sizes(numbers) == [1, 1, 1, 1]


def test_two_people_make_two_touches():
    shop = bay(step("wipe", minutes=2), zones=PANES[:2], crew=("Ash", "Bo"))
    assert sizes(planned(shop, {"left-rim/wipe": 0, "right-rim/wipe": 0})) == [1, 1]


def test_only_as_many_are_joined_as_the_windows_of_all_allow():
    # Coats of 2 minutes, levelled within 7 from the first stroke: begun by one touch, both count from the first of the
    # two, and where the second is levelled 8 minutes after that, it would be too late.
    level = step("level", minutes=1, wait={"max": 7, "max_from": "start", "lapse": "wipe"})
    shop = bay(step("coat", minutes=2), level, zones=PANES[:2])
    starts = {"left-rim/coat": 0, "right-rim/coat": 2, "left-rim/level": 4, "right-rim/level": 5}
    assert sizes(planned(shop, starts)) == [2, 2]
    later = {"left-rim/coat": 0, "right-rim/coat": 2.5, "left-rim/level": 4.5, "right-rim/level": 8}
    assert sizes(planned(shop, later)) == [1, 1, 1, 1]


def test_what_could_not_be_levelled_in_time_if_it_went_slowly_is_not_joined():
    # Two coats of 2.6 minutes by one touch: 5.2 as expected, 7.28 if they take 1.4 times as long.
    level = step("level", minutes=1, wait={"max": 7, "max_from": "start", "lapse": "wipe"})
    starts = {"left-rim/coat": 0, "right-rim/coat": 2.6, "left-rim/level": 5.2, "right-rim/level": 6.2}
    assert sizes(planned(bay(step("coat", minutes=2.6), level, zones=PANES[:2]), starts)) == [2, 1, 1]
    assert sizes(planned(bay(step("coat", minutes=2.3), level, zones=PANES[:2]), starts)) == [2, 2]


def test_a_wait_for_the_last_of_all_counts_the_whole_touch():
    wait = {"of": "block", "min": 1, "max": 4, "max_from": "start", "lapse": "inspect"}
    shop = bay(step("coat", minutes=2), step("buff", minutes=0.25, wait=wait), zones=PANES[:2])
    # Counted from the last coat's own first stroke at 2 a buff at 5.5 is in time; from that of a touch at 0 it is not.
    starts = {"left-rim/coat": 0, "right-rim/coat": 2, "left-rim/buff": 5.25, "right-rim/buff": 5.5}
    numbers = planned(shop, starts)
    assert numbers["left-rim/coat"] != numbers["right-rim/coat"]


def test_a_tool_is_not_kept_from_another_who_needs_it():
    ladder = recipe(step("polish", minutes=2, tool="polisher"))
    other = recipe(step("clean", minutes=1, tool="polisher"), name="other")
    shop = Shop(job((PANES[:2], ladder), (["bonnet"], other), crew=("Ash", "Bo")))
    numbers = planned(shop, {"left-rim/polish": 0, "bonnet/clean": 2, "right-rim/polish": 3})
    assert sizes(numbers) == [1, 1, 1]


def test_what_was_begun_by_one_touch_is_ended_by_one():
    shop = bay(step("wipe", minutes=2), zones=PANES[:2])
    shop.must(start("left-rim right-rim", "wipe"), 0)
    assert sizes(planned(shop, {"left-rim/wipe": 0, "right-rim/wipe": 0}, 1)) == [2]


def test_the_order_tells_each_steps_window_and_what_runs_comes_first():
    ladder = recipe(step("wipe", minutes=1), step("coat", minutes=2, wait={"min": 1, "max": 30, "lapse": "wipe"}))
    shop = Shop(job((PANES[:1], ladder), (["roof"], recipe(step("clean", minutes=9), name="long")), crew=("Ash", "Bo")))
    shop.work("left-rim", "wipe", 0, 1)
    shop.must(start("roof", "clean", "Bo"), 1)
    work = work_of(Situation(shop.state, at(1.5), People()))
    plan = _plan(work.problem, {"car/roof/clean": 0, "car/left-rim/coat": 60})
    first, second = planned_steps(work, plan, people_of(work, plan, Ways(work, shop.state)))
    assert first == PlannedStep(
        job=work.rung_of["car/roof/clean"].job, zone=first.zone, step=first.step, person=first.person,
        start=at(1), end=at(10), running=True, touch=first.touch,
    )  # fmt: skip
    assert (first.person, second.person) == ("Bo", "Ash")
    assert (second.opens_at, second.lapses_at, second.start) == (at(2), at(31), at(2.5))


def test_nobody_is_said_to_do_what_was_begun_by_nobody_in_particular():
    shop = bay(step("wipe", minutes=2), step("coat", minutes=2), zones=PANES[:1], crew=("Ash", "Bo"))
    shop.must(start("left-rim", "wipe", None), 0)
    work = work_of(Situation(shop.state, at(0), People()))
    plan = _plan(work.problem, {"car/left-rim/wipe": 0, "car/left-rim/coat": 120})
    people = people_of(work, plan, Ways(work, shop.state))
    assert people["car/left-rim/wipe"] is None
    assert people["car/left-rim/coat"] in ("Ash", "Bo")
