"""Whose hands there are and when; hours follow the shop's wall clock, summer time and all."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from bayapp.job import BayState, fold
from bayapp.job.model.ids import Person, StepId, StepKind
from bayapp.job.state.events import JobOpened
from bayapp.planning.from_bay.crew import POOL, Crew, closed_stretches, names_for
from bayapp.planning.from_bay.shop import Shop
from tests.job.builders import START, job, recipe, step

ASH, BO, CY = Person("Ash"), Person("Bo"), Person("Cy")
DAY = ((time(8), time(12)), (time(13), time(17)))
HOUR = 3600


def closed(shop: Shop, at: datetime, days: float, stay_h: float = 0) -> list[tuple[float, float]]:
    """When nobody works, in hours from ``at``, up to the end of the days asked for."""
    until = at + timedelta(days=days)
    found = closed_stretches(shop, at, until, at + timedelta(hours=stay_h))
    return [(a / HOUR, min(b, days * 24 * HOUR) / HOUR) for a, b in found if a < days * 24 * HOUR]


def test_without_hours_people_are_always_there():
    assert closed_stretches(Shop(), START, START + timedelta(days=1), START) == ()


def test_breaks_and_nights_are_closed():
    assert closed(Shop(DAY), START, 1) == [(4, 5), (9, 24)]


def test_a_day_that_begins_before_the_shop_opens_begins_closed():
    assert closed(Shop(DAY), START - timedelta(hours=2), 0.5) == [(0, 2), (6, 7), (11, 12)]


def test_whoever_stays_longer_is_there_until_then():
    assert closed(Shop(DAY), START + timedelta(hours=8.5), 0.5, stay_h=2) == [(2, 12)]


def test_midnight_may_be_the_end_of_a_day():
    late = Shop(((time(0), time(2)), (time(20), time.max)))
    assert closed(late, START, 1) == [(0, 12), (18, 24)]


def test_the_night_of_summer_time_is_an_hour_shorter_and_that_of_winter_time_longer():
    berlin = ZoneInfo("Europe/Berlin")  # forward on 29 March 2026 at 01:00 UTC, back on 25 October at 01:00 UTC
    shop = Shop(((time(8), time(20)),), tz=berlin)
    for day, night in ((datetime(2026, 3, 28, 20, tzinfo=berlin), 11), (datetime(2026, 10, 24, 20, tzinfo=berlin), 13)):
        (stretch, *_) = closed(shop, day.astimezone(UTC), 0.9)
        assert stretch == (0, night)


def bay(*crews: tuple[str, ...]) -> BayState:
    ladder = recipe(step("polish"), step("coat"))
    cars = [job((["roof"], ladder), name=f"car-{n}", crew=crew) for n, crew in enumerate(crews)]
    return fold(JobOpened(at=START, job=car.id, opened=car) for car in cars)


def test_the_crew_of_all_cars_is_there_once_each():
    assert Crew.of(bay(("Ash", "Bo"), ("Bo", "Cy")), Shop()).people == (ASH, BO, CY)


def test_where_nobody_is_named_there_is_one_pair_of_hands():
    crew = Crew.of(bay(()), Shop())
    assert (crew.people, crew.hands(alike=True)) == ((), {POOL: 1})


def test_a_person_works_on_the_cars_that_name_them_and_at_what_they_do():
    state = bay(("Ash", "Bo"), ("Bo", "Cy"), ())
    crew = Crew.of(state, Shop(cannot={BO: frozenset({StepKind.POLISH})}))
    cars = state.open_jobs
    polish, coat = (cars[0].job.recipe_of(next(iter(cars[0].zones))).named(StepId(s)) for s in ("polish", "coat"))
    assert [crew.able(car, polish) for car in cars] == [(ASH,), (CY,), (ASH, CY)]
    assert [crew.able(car, coat) for car in cars] == [(ASH, BO), (BO, CY), (ASH, BO, CY)]
    assert not crew.alike([(cars[0], coat)])
    assert crew.alike([(cars[2], coat)])
    assert crew.hands(alike=False) == {"Ash": 1, "Bo": 1, "Cy": 1}


def test_steps_go_to_whoever_is_nearest_and_what_is_under_way_stays_with_whoever_does_it():
    spans = [("left 1", 0, 5), ("right 1", 0, 5), ("right 2", 5, 9), ("left 2", 5, 9)]
    far = lambda a, b: int(a.split()[0] != b.split()[0])  # noqa: E731 (a table of two sides)
    found = names_for(spans, (ASH, BO), {"left 1": BO}, far)
    assert found == {"left 1": BO, "right 1": ASH, "left 2": BO, "right 2": ASH}


@given(st.integers(1, 4), st.lists(st.tuples(st.integers(0, 40), st.integers(1, 9)), max_size=12))
def test_nobody_is_given_two_steps_at_once_where_there_are_hands_enough(hands: int, wanted: list[tuple[int, int]]):
    free = [0] * hands
    spans = []
    for number, (wished, length) in enumerate(sorted(wanted)):
        start = max(wished, min(free))  # as a plan does: it begins when there is a hand
        free[free.index(min(free))] = start + length
        spans.append((str(number), start, start + length))
    found = names_for(spans, tuple(Person(f"P{n}") for n in range(hands)), {}, lambda a, b: 0)
    for one, begin, end in spans:
        for other, from_then, over in spans:
            assert one == other or found[one] != found[other] or over <= begin or end <= from_then
