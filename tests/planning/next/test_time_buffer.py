"""Time in reserve: what is begun may last 1.4 times as long as expected, and still nothing comes too late."""

from datetime import timedelta

from bayapp.job import clocks
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from bayapp.planning.next.recommendation import Pause, Recommendation, recommended
from tests.job.builders import Shop, at, finish, job, recipe, start, step

ASH, BO = Person("Ash"), Person("Bo")
COAT = step("coat", minutes=3, wait={"max": 20, "lapse": "wipe"})
LEVEL = step("level", minutes=2, wait={"min": 1, "max": 8, "max_from": "start", "lapse": "polish"})
PAINT = recipe(step("polish", minutes=20), step("wipe", minutes=2), COAT, LEVEL, name="paint")
PANELS = ["windscreen", "roof", "bonnet", "left-door", "left-rim", "right-rim"]


def bay(*polished: str, crew: tuple[str, ...] = ("Ash", "Bo")) -> Shop:
    """Six panels, of which some have just been polished."""
    shop = Shop(job((PANELS, PAINT), crew=crew))
    for zone in polished:
        shop.must(finish(zone, "polish"), 0)
    return shop


def planned(touch: int, zones: str, name: str, begin: float, end: float, person: Person = BO) -> list[PlannedStep]:
    return [
        PlannedStep(
            job=JobId("car"),
            zone=ZoneId(zone),
            step=StepId(name),
            person=person,
            start=at(begin + number * (end - begin) / len(zones.split())),
            end=at(begin + (number + 1) * (end - begin) / len(zones.split())),
            touch=touch,
        )
        for number, zone in enumerate(zones.split())
    ]


def recommendation_from(
    shop: Shop, *steps: list[PlannedStep], minute: float, by: Person = BO
) -> tuple[Recommendation, Pause | None]:
    """What is offered first by an order that knows everything, and the pause before it."""
    whole = tuple(s for touch in steps for s in touch)
    order = WorkOrder(status="feasible", made_for=at(minute), entry=shop.state.last_at, steps=whole)
    found, pause = recommended(shop.state, order, clocks(shop.state, at(minute)), by, at(minute))
    return found[0], pause


def test_nothing_is_wiped_so_early_that_a_slow_polish_outlasts_its_window():
    # The polish may last until 27:24. A wipe that takes 2.8 minutes must begin at 4:36 or later for the coat to be in
    # time then; of whole minutes from the first on, that is the fourth.
    shop = bay("roof")
    shop.must(start("bonnet", "polish", "Ash"), 0)
    steps = planned(1, "roof", "wipe", 1, 3), planned(2, "roof", "coat", 20, 23)
    _, pause = recommendation_from(shop, *steps, minute=1)
    assert pause is not None
    assert (pause.step.zone, pause.step.step, pause.until) == ("roof", "wipe", at(5))
    first, pause = recommendation_from(shop, *steps, minute=5)
    assert (first.advice.zones, first.advice.step, first.at_stake, pause) == (("roof",), "wipe", (), None)


def test_nor_that_the_polish_which_the_order_has_next_does():
    # Whoever polishes from 1 on may do so until 29; wiped from 6:12 on, the roof can be coated then.
    steps = (
        planned(1, "roof", "wipe", 0, 2),
        planned(2, "bonnet", "polish", 1, 21, ASH),
        planned(3, "roof", "coat", 21, 24),
    )
    shop = bay("roof")
    _, pause = recommendation_from(shop, *steps, minute=0)
    assert pause is not None
    assert (pause.step.step, pause.until) == ("wipe", at(7))
    before = (*steps[:2], planned(3, "roof", "coat", 0.5, 1))
    first, pause = recommendation_from(shop, *before, minute=0)
    assert (first.advice.step, pause) == ("wipe", None), "where the coat comes before the polish, nothing is in the way"


def test_no_more_is_wiped_at_once_than_can_be_coated_in_time():
    # Dust may fly until 27:24. Two people coat and level a pair of panels in 6:45 (3 + 2 minutes 1.15 times, and one
    # between), coat the next pair from 34:09 on, and one more from 37:36 on, before they level. Five panels are wiped
    # by 17 and close at 37, four by 14:12.
    zones = "windscreen roof bonnet left-door left-rim"
    shop = bay(*zones.split())
    shop.must(start("right-rim", "polish", "Ash"), 0)
    steps = planned(1, zones, "wipe", 3, 13), planned(2, zones, "coat", 20, 35)
    first, pause = recommendation_from(shop, *steps, minute=3)
    assert (first.advice.step, first.advice.zones, pause) == ("wipe", tuple(zones.split()[:4]), None)
    assert (first.at_stake, first.takes) == ((), timedelta(minutes=8))


def test_the_order_is_kept_where_nothing_can_be_gained_by_waiting():
    shop = bay("roof")
    first, pause = recommendation_from(
        shop, planned(1, "roof", "wipe", 0, 2), planned(2, "roof", "coat", 2, 5), minute=0
    )
    assert (first.advice.zones, first.advice.step, first.at_stake, pause) == (("roof",), "wipe", (), None)


def test_a_coat_goes_before_the_polish_that_could_outlast_its_window():
    shop = bay("roof")
    shop.work("roof", "wipe", 0, 2, "Ash")
    steps = planned(1, "bonnet", "polish", 2, 21, ASH), planned(2, "roof", "coat", 21, 24, ASH)
    first, pause = recommendation_from(shop, *steps, minute=2, by=ASH)
    assert (first.advice.zones, first.advice.step, pause) == (("roof",), "coat", None)
    assert first.at_stake == ()


def test_whoever_begins_something_else_is_warned_of_what_may_be_too_late():
    # Sixteen minutes leave four of the twenty; 1.4 times as many leave none.
    shop = Shop(job((["roof"], PAINT), (["bonnet"], recipe(step("clean", minutes=16), name="other")), crew=("Ash",)))
    shop.must(finish("roof", "polish"), 0)
    shop.must(finish("roof", "wipe"), 0)
    found, _ = recommended(shop.state, None, clocks(shop.state, at(0)), ASH, at(0))
    (clean,) = [c for c in found if c.advice.step == "clean"]
    assert (clean.losses, [(r.zone, r.step, r.lapses_at) for r in clean.risks]) == ((), [("roof", "coat", at(20))])
    found, _ = recommended(shop.state, None, clocks(shop.state, at(5)), ASH, at(5))
    (clean,) = [c for c in found if c.advice.step == "clean"]
    assert [(r.zone, r.step) for r in clean.losses] == [("roof", "coat")]
