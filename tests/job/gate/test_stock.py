"""Bottles: how long they are good, what is left in them, which one is used, what must be ordered."""

import math
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.job import (
    ChooseBottle,
    FinishBottle,
    MeasureBottle,
    OpenBottle,
    PutBackBottle,
    RelabelBottle,
    ShelveBottle,
    fold,
)
from bayapp.job.gate.stock import EMPTY_ML, Stock
from bayapp.job.model.ids import BottleId
from bayapp.job.model.product import Product
from bayapp.job.state.bottle import end_of_day
from bayapp.job.state.events import BottleDrawn, BottleOpened, StepStarted
from tests.job.builders import (
    START,
    Shop,
    at,
    close,
    code,
    correct,
    finish,
    form,
    job,
    read_air,
    recipe,
    set_aside,
    start,
    step,
    undo,
    why,
)

COAT = Product(
    name="coat", coverage_ml_per_m2=8.0, opened_life_days=30, low_ml=10.0, density_g_per_ml=0.8, empty_bottle_g=40.0
)
LADDER = recipe(step("wipe"), step("coat-1", product="coat"), step("coat-2", product="coat"))
MS = timedelta(milliseconds=1)
BERLIN = ZoneInfo("Europe/Berlin")


def shop(*bottles: ShelveBottle, zones: tuple[str, ...] = ("roof", "bonnet"), product: Product = COAT) -> Shop:
    """A car with one square metre for each zone, and these bottles on the shelf."""
    made = Shop(job((zones, LADDER), products=[product]))
    made.must(read_air(), 0)
    for bottle in bottles:
        made.must(bottle, 0)
    return made


def bottle(ml: float = 50.0, batch: str = "A7", good_for: float | None = None, product: Product = COAT) -> ShelveBottle:
    """A bottle that is good for so many minutes after eight."""
    moment = None if good_for is None else at(good_for)
    return ShelveBottle(product, ml, batch, None, moment and moment.date(), moment)


def left(made: Shop, number: int = 1) -> float:
    stock = Stock(made.state, at(0))
    return stock.left(made.state.shelf.bottles[BottleId(f"bottle-{number}")]).ml


def hand(made: Shop, minutes: float = 0) -> str | None:
    found = Stock(made.state, at(minutes)).in_hand("coat")
    return found.number if found else None


# How long a bottle is good.


def test_a_bottle_is_good_to_the_last_millisecond_of_its_day_and_not_one_longer():
    made = shop(bottle(good_for=100))
    made.must(finish("roof", "wipe"), 0)
    last, first_bad = at(100) - MS, at(100)
    assert Stock(made.state, last).unfit(made.state.shelf.standing("coat")[0]) is None
    assert code(made.ask(start("roof", "coat-1"), 100 - 1 / 60_000)) is None
    refused = made.ask(start("roof", "coat-1"), 100)
    assert (code(refused), why(refused)) == ("expired", "bottle-expired")
    assert first_bad - last == MS


@pytest.mark.parametrize(
    ("day", "zone", "first_bad"),
    [
        (date(2026, 11, 25), "Europe/Berlin", "2026-11-25T23:00:00+00:00"),
        (date(2026, 3, 29), "Europe/Berlin", "2026-03-29T22:00:00+00:00"),  # 23 hours: summer time begins
        (date(2026, 10, 25), "Europe/Berlin", "2026-10-25T23:00:00+00:00"),  # 25 hours: it ends
        (date(2024, 2, 29), "Asia/Kathmandu", "2024-02-29T18:15:00+00:00"),  # +05:45
        (date(2026, 9, 5), "America/Santiago", "2026-09-06T04:00:00+00:00"),  # its midnight does not exist
        (date(2026, 12, 31), "Pacific/Auckland", "2026-12-31T11:00:00+00:00"),
    ],
)
def test_a_date_is_good_until_the_shops_own_midnight(day: date, zone: str, first_bad: str):
    assert end_of_day(day, ZoneInfo(zone)) == datetime.fromisoformat(first_bad)


@given(st.dates(date(2000, 1, 1), date(2099, 12, 30)), st.sampled_from(["Europe/Berlin", "America/New_York", "UTC"]))
def test_one_days_end_is_the_next_days_first_moment(day: date, name: str):
    zone = ZoneInfo(name)
    end = end_of_day(day, zone)
    assert (end - MS).astimezone(zone).date() == day
    assert end.astimezone(zone).date() == day + timedelta(days=1)
    assert end.tzinfo is UTC


def test_life_after_opening_ends_a_bottle_before_its_date():
    made = shop(bottle(good_for=400 * 24 * 60))
    made.must(finish("roof", "wipe"), 0)
    made.must(OpenBottle(BottleId("bottle-1"), at(0)), 0)
    month = 30 * 24 * 60
    made.must(read_air(), month - 1)
    assert code(made.ask(start("roof", "coat-1"), month - 1 / 60_000)) is None
    assert why(made.ask(start("roof", "coat-1"), month)) == "bottle-open-too-long"


def test_work_opens_the_bottle_it_begins_with_and_only_once():
    made = shop(bottle())
    made.must(finish("roof bonnet", "wipe"), 0)
    first = made.must(start("roof", "coat-1"), 5)
    assert [type(e) for e in first.events] == [BottleOpened, StepStarted]
    assert made.state.shelf.bottles["bottle-1"].opened_at == at(5)
    made.must(finish("roof", "coat-1"), 6)
    assert [type(e) for e in made.must(start("bonnet", "coat-1"), 7).events] == [StepStarted]
    made.must(OpenBottle(BottleId("bottle-1"), unopened=True), 8)
    assert made.state.shelf.bottles["bottle-1"].opened_at is None


def test_a_finish_without_a_start_opens_the_bottle_too_and_stays_one_undo():
    made = shop(bottle())
    made.must(finish("roof", "wipe"), 0)
    made.must(finish("roof", "coat-1"), 5)
    assert left(made) == 42
    made.must(undo("roof"), 6)
    assert left(made) == 50
    assert not made.state.jobs["car"].zones["roof"].running


# What is left.


def test_each_layer_takes_its_coverage_times_the_area_of_the_zone():
    vehicle = form()
    areas = {"roof": 1.5, "bonnet": 2.0}
    vehicle = vehicle.model_copy(
        update={"zone": tuple(z.model_copy(update={"area_m2": areas.get(z.id, 1.0)}) for z in vehicle.zone)}
    )
    made = Shop(job((("roof", "bonnet"), LADDER), products=[COAT], vehicle=vehicle))
    made.must(read_air(), 0)
    made.must(bottle(), 0)
    made.must(finish("roof bonnet", "wipe"), 0)
    made.must(finish("roof bonnet", "coat-1"), 1)
    assert left(made) == pytest.approx(50 - 8 * 3.5)
    made.must(finish("roof", "coat-2"), 2)
    assert left(made) == pytest.approx(50 - 8 * 5)


def test_a_measurement_after_a_car_has_left_counts_alone():
    made = shop(bottle())
    made.must(finish("roof bonnet", "wipe"), 0)
    made.must(finish("roof bonnet", "coat-1"), 1)
    made.must(close(), 2)
    made.must(MeasureBottle(BottleId("bottle-1"), 20), 3)
    assert left(made) == 20


def test_undo_gives_back_and_a_measurement_counts_from_its_own_moment():
    made = shop(bottle())
    made.must(finish("roof bonnet", "wipe"), 0)
    made.must(finish("roof", "coat-1"), 1)
    made.must(MeasureBottle(BottleId("bottle-1"), 30), 2)
    assert left(made) == 30, "what was laid before is in what was seen"
    made.must(finish("bonnet", "coat-1"), 3)
    assert left(made) == 22
    made.must(undo("bonnet"), 4)
    assert left(made) == 30
    made.must(undo("roof"), 5)
    assert left(made) == 30, "what was seen stays seen"


def test_a_layer_begun_in_the_very_moment_of_a_measurement_is_taken_from_what_was_seen():
    made = shop(bottle())
    made.must(finish("roof", "wipe"), 0)
    made.must(MeasureBottle(BottleId("bottle-1"), 30), 2)
    made.must(start("roof", "coat-1"), 2)
    assert left(made) == 22
    made.must(MeasureBottle(BottleId("bottle-1"), 25), 2 + 1 / 60_000)
    assert left(made) == 25, "a millisecond later it is in what was seen"


def test_a_corrected_time_moves_the_use_across_a_measurement():
    made = shop(bottle())
    made.must(finish("roof", "wipe"), 0)
    made.must(MeasureBottle(BottleId("bottle-1"), 30), 2)
    made.must(start("roof", "coat-1"), 3)
    assert left(made) == 22
    made.must(correct("roof", "coat-1", "start", 1), 4)
    assert left(made) == 30


@pytest.mark.parametrize(("ml", "taken"), [(25_000, True), (25_000.1, False), (0.1, True), (0, False)])
def test_a_bottle_holds_something_and_at_most_twenty_five_litres(ml, taken):
    assert Shop(job((("roof",), LADDER), products=[COAT])).ask(bottle(ml=ml), 0).accepted is taken


def test_an_amount_that_cannot_be_is_refused_to_the_tenth_with_the_most_that_can():
    made = shop(bottle(ml=12.3))
    refusal = made.ask(MeasureBottle(BottleId("bottle-1"), 13.66), 1).refusal
    assert (refusal.grounds.ml, refusal.grounds.most) == (13.7, 13.5)


def test_what_a_car_took_is_written_down_to_the_thousandth():
    product = COAT.model_copy(update={"coverage_ml_per_m2": 8.12345})
    made = shop(bottle(product=product), product=product)
    made.must(finish("roof", "wipe"), 0)
    made.must(finish("roof", "coat-1"), 1)
    drawn = [event.ml for event in made.must(close(), 2).events if isinstance(event, BottleDrawn)]
    assert drawn == [8.123]


def test_of_bottles_that_are_all_unfit_the_one_that_expired_first_is_named():
    made = shop(bottle(good_for=20), bottle(good_for=10))
    made.must(finish("roof", "wipe"), 0)
    assert hand(made, 30) == "2"
    assert made.ask(start("roof", "coat-1"), 30).refusal.grounds.bottle == "2"


def test_a_car_that_needs_nothing_of_a_product_adds_nothing_to_what_is_short():
    made = Shop(job((("roof",), LADDER), products=[COAT]), job((("bonnet",), recipe(step("wipe"))), name="other"))
    made.must(bottle(ml=20.0), 0)
    (short,) = Stock(made.state, at(0)).short()
    assert (short.left_ml, short.needed_ml, short.low_ml) == (20, 16, 10)


def test_a_zone_that_takes_none_of_a_product_hides_no_other():
    made = Shop(job((("bonnet",), recipe(step("wipe"))), (("roof",), LADDER), products=[COAT]))
    assert made.state.jobs["car"].needs == {"coat": 16}


@pytest.mark.parametrize(("ml", "taken"), [(0, True), (13.5, True), (13.6, False), (-0.1, False)])
def test_what_is_seen_in_a_bottle_is_at_most_a_tenth_above_its_size(ml, taken):
    made = shop(bottle(ml=12.3))
    assert made.ask(MeasureBottle(BottleId("bottle-1"), ml), 1).accepted is taken


def test_a_weight_becomes_millilitres_by_density_and_empty_bottle():
    # 40 g of glass and 24 g of liquid at 0.8 g/ml: 30 ml, worked by hand.
    made = shop(bottle())
    made.must(MeasureBottle(BottleId("bottle-1"), grams=64.0), 1)
    assert left(made) == 30
    assert made.state.shelf.bottles["bottle-1"].seen_how == "weight"
    made.must(MeasureBottle(BottleId("bottle-1"), grams=39.0), 2)
    assert left(made) == 0, "lighter than an empty bottle is an empty bottle"


def test_a_bottle_that_holds_enough_has_no_more_taken_from_it_than_was_in_it():
    made = shop(bottle())
    found = Stock(made.state, at(0)).left(made.state.shelf.bottles["bottle-1"])
    assert (found.ml, found.over_ml, found.empty) == (50, 0, False)


def test_more_used_than_was_in_it_is_shown_and_never_a_negative_amount():
    made = shop(bottle(ml=5.0))
    made.must(finish("roof", "wipe"), 0)
    made.must(finish("roof", "coat-1"), 1)
    found = Stock(made.state, at(2)).left(made.state.shelf.bottles["bottle-1"])
    assert (found.ml, found.over_ml, found.empty) == (0.0, 3.0, True)
    assert why(made.ask(start("roof", "coat-2"), 2)) == "bottle-empty"


def test_an_empty_bottle_is_right_again_once_somebody_looked_into_it():
    made = shop(bottle(ml=5.0))
    made.must(finish("roof", "wipe"), 0)
    made.must(finish("roof", "coat-1"), 1)
    made.must(MeasureBottle(BottleId("bottle-1"), 2), 2)
    assert code(made.ask(start("roof", "coat-2"), 2)) is None


def test_what_a_car_took_stays_taken_when_it_has_left_and_is_not_read_again():
    made = shop(bottle())
    made.must(finish("roof bonnet", "wipe"), 0)
    made.must(finish("roof bonnet", "coat-1"), 1)
    made.must(close(), 2)
    assert left(made) == 34
    without_the_car = [e for e in made.events if e.job is None]
    later = fold(without_the_car)
    assert Stock(later, at(3)).left(later.shelf.bottles[BottleId("bottle-1")]).ml == 34


actions = st.lists(st.tuples(st.sampled_from(["lay", "undo", "see", "close"]), st.integers(0, 60)), max_size=25)


@given(actions)
def test_what_is_left_is_what_a_plain_tally_says(acts: list[tuple[str, int]]):
    """An oracle that keeps its own list of layings beside the fold."""
    made = shop(bottle(), zones=("roof", "bonnet", "left-door"))
    zones = ["roof", "bonnet", "left-door"]
    made.must(finish(" ".join(zones), "wipe"), 0)
    seen = 50.0
    since: list[tuple[str, int]] = []
    done: dict[str, list[int]] = {zone: [] for zone in zones}
    for minute, (act, number) in enumerate(acts, 1):
        zone = zones[number % 3]
        if act == "lay" and len(done[zone]) < 2 and seen - 8 * len(since) > EMPTY_ML:
            made.must(finish(zone, f"coat-{len(done[zone]) + 1}"), minute)
            done[zone].append(minute)
            since.append((zone, minute))
        elif act == "undo" and done[zone]:
            made.must(undo(zone), minute)
            gone = (zone, done[zone].pop())
            since = [one for one in since if one != gone]
        elif act == "see" and number <= 55:
            made.must(MeasureBottle(BottleId("bottle-1"), number), minute)
            seen, since = float(number), []
        elif act == "close":
            made.must(close(), minute)
            break
    assert math.isclose(left(made), max(0.0, seen - 8 * len(since)), abs_tol=1e-6)
    assert left(made) >= 0
    again = fold(made.events)
    assert again.shelf == made.state.shelf


# Which one is used.


def test_a_shop_without_a_shelf_is_not_asked_for_a_bottle():
    made = shop()
    made.must(finish("roof", "wipe"), 0)
    begun = made.must(start("roof", "coat-1"), 1)
    assert [e.bottle for e in begun.events] == [None]


def test_a_bottle_of_another_product_asks_nothing_of_this_one():
    made = shop(bottle(product=Product(name="dressing"), good_for=0))
    made.must(finish("roof", "wipe"), 0)
    assert code(made.ask(start("roof", "coat-1"), 1)) is None


def test_a_product_may_ask_for_a_bottle_always():
    strict = COAT.model_copy(update={"needs_bottle": True})
    made = shop(product=strict)
    made.must(finish("roof", "wipe"), 0)
    assert why(made.ask(start("roof", "coat-1"), 1)) == "no-bottle"
    made.must(bottle(product=strict), 1)
    assert code(made.ask(start("roof", "coat-1"), 1)) is None


def test_opened_ones_are_used_up_first_then_the_soonest_to_expire():
    made = shop(bottle(good_for=3000), bottle(good_for=2000), bottle(), bottle(good_for=9000))
    assert hand(made) == "2"
    made.must(OpenBottle(BottleId("bottle-4")), 0)
    assert hand(made) == "4"
    assert [b.number for b in Stock(made.state, at(0)).fit("coat")] == ["4", "2", "1", "3"]


def test_the_one_in_use_is_the_chosen_one_until_it_leaves_the_shelf():
    made = shop(bottle(good_for=3000), bottle(good_for=2000))
    made.must(ChooseBottle(BottleId("bottle-1")), 0)
    assert hand(made) == "1"
    made.must(FinishBottle(BottleId("bottle-1"), "empty"), 1)
    assert hand(made) == "2"
    assert why(made.ask(ChooseBottle(BottleId("bottle-1")), 2)) == "bottle-gone"
    made.must(PutBackBottle(BottleId("bottle-1")), 2)
    assert hand(made) == "1"


def test_an_unfit_one_that_nobody_chose_is_passed_over():
    made = shop(bottle(good_for=10), bottle(good_for=2000))
    assert (hand(made, 9), hand(made, 10)) == ("1", "2")


def test_a_chosen_one_that_expires_is_refused_and_the_right_one_named():
    made = shop(bottle(good_for=10), bottle(good_for=2000))
    made.must(finish("roof", "wipe"), 0)
    made.must(ChooseBottle(BottleId("bottle-1")), 0)
    refused = made.ask(start("roof", "coat-1"), 10)
    assert (code(refused), refused.refusal.grounds.instead) == ("expired", "2")


def test_who_carries_on_with_an_expired_bottle_leaves_a_deviation():
    made = shop(bottle(good_for=10))
    made.must(finish("roof", "wipe"), 0)
    begun = made.must(start("roof", "coat-1", reason="The maker allows it"), 11).events[-1]
    assert (begun.deviation.code, begun.bottle) == ("expired", "bottle-1")
    assert "was good until" in begun.deviation.why


def test_a_wrong_label_is_put_right_and_the_old_entry_stays_in_the_journal():
    made = shop(bottle(good_for=10))
    made.must(RelabelBottle(BottleId("bottle-1"), "B9", at(5000).date(), at(5000)), 1)
    found = made.state.shelf.bottles["bottle-1"]
    assert (found.batch, found.expires_at) == ("B9", at(5000))
    assert [getattr(e, "batch", None) for e in made.events if hasattr(e, "batch")] == ["A7", "B9"]


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        (ChooseBottle(BottleId("bottle-9")), "no-such-bottle"),
        (PutBackBottle(BottleId("bottle-1")), "bottle-not-gone"),
        (MeasureBottle(BottleId("bottle-1"), 55.1), "bad-amount"),
        (MeasureBottle(BottleId("bottle-1"), -0.1), "bad-amount"),
        (MeasureBottle(BottleId("bottle-1")), "not-weighable"),
        (OpenBottle(BottleId("bottle-1"), at(2)), "bad-bottle-date"),
        (ShelveBottle(COAT, 0), "bad-amount"),
        (ShelveBottle(COAT, 50, expires_on=date(2027, 1, 1)), "bad-bottle-date"),
        (RelabelBottle(BottleId("bottle-1"), "A7", None, at(5)), "bad-bottle-date"),
    ],
)
def test_what_cannot_be_is_refused(asked, expected: str):
    assert why(shop(bottle()).ask(asked, 1)) == expected


def test_a_bottle_may_be_a_little_fuller_than_its_label_says():
    made = shop(bottle())
    made.must(MeasureBottle(BottleId("bottle-1"), 55.0), 1)
    assert left(made) == 55


# What must be ordered.


def short(made: Shop, minutes: float = 1):
    return [(s.product.name, s.left_ml, s.needed_ml, s.low_ml) for s in Stock(made.state, at(minutes)).short()]


def test_what_the_cars_still_need_and_the_least_stock_decide_what_to_order():
    # Two zones of 1 m² and two layers of 8 ml: 32 ml, and 10 ml shall be left over.
    assert short(shop(bottle(ml=42.0))) == []
    assert short(shop(bottle(ml=41.0))) == [("coat", 41.0, 32.0, 10.0)]


def test_work_that_is_done_or_set_aside_is_needed_no_more():
    made = shop(bottle(ml=41.0))
    made.must(set_aside("bonnet"), 0)
    assert short(made) == []
    made = shop(bottle(ml=41.0))
    made.must(finish("roof", "wipe"), 0)
    made.must(finish("roof", "coat-1"), 1)
    assert short(made) == [("coat", 33.0, 24.0, 10.0)], "as much is gone as is no longer needed"


def test_an_expired_bottle_is_no_stock():
    made = shop(bottle(ml=50.0, good_for=10), bottle(ml=20.0))
    assert short(made, 9) == []
    assert short(made, 10) == [("coat", 20.0, 32.0, 10.0)]


def test_what_the_shelf_never_held_is_not_to_be_ordered():
    assert short(shop()) == []


def test_the_next_bottle_gets_a_number_nobody_had():
    made = shop(bottle(), bottle())
    made.must(FinishBottle(BottleId("bottle-2"), "empty"), 1)
    made.must(bottle(), 2)
    assert list(made.state.shelf.bottles) == ["bottle-1", "bottle-2", "bottle-3"]
    assert made.state.shelf.bottles["bottle-3"].shelved_at == START + timedelta(minutes=2)
