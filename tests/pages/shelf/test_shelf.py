"""What the shelf shows: levels, words and order, what runs low, and one bottle by itself."""

from datetime import timedelta

from bayapp.job import BayState, FinishBottle, MeasureBottle, OpenBottle, ShelveBottle, fold, gate
from bayapp.job.model.ids import BottleId
from bayapp.job.model.product import Product
from bayapp.pages.shelf.shelf import BottleLook, bottle_view, gone, shelf
from tests.pages.bays import OPENING, HandBay

COAT = Product(name="coat", title="Clear Coat", low_ml=20.0, opened_life_days=30)
ONE = BottleId("bottle-1")


def stood(*asked: object) -> BayState:
    state = BayState()
    for request in asked:
        verdict = gate(state, request, OPENING)  # type: ignore[arg-type]
        assert verdict.accepted, verdict.refusals
        state = fold(verdict.events, state)
    return state


def rows(state: BayState) -> list[tuple[str, str, BottleLook]]:
    return [(row.title, row.standing, row.look) for row in shelf(state, OPENING).rows]


def test_an_empty_shelf_says_that_no_step_asks_for_a_bottle():
    view = shelf(BayState(), OPENING)
    assert view.rows == ()
    assert "no step asks for one" in view.subtitle


def test_each_bottle_tells_its_number_its_standing_and_its_label():
    day = OPENING.date() + timedelta(days=400)
    state = stood(
        ShelveBottle(COAT, 50.0, "A7", None, day, OPENING + timedelta(days=401)),
        OpenBottle(ONE),
        MeasureBottle(ONE, 30.0),
        ShelveBottle(COAT, 50.0),
        ShelveBottle(COAT, 50.0, "A5", None, OPENING.date() - timedelta(days=1), OPENING),
    )
    assert rows(state) == [
        ("1: Clear Coat", "IN USE, about 30 ml of 50 ml", BottleLook.IN_USE),
        ("2: Clear Coat", "unopened, about 50 ml of 50 ml", BottleLook.READY),
        ("3: Clear Coat", "EXPIRED, about 50 ml of 50 ml", BottleLook.UNFIT),
    ]
    first, second, third = shelf(state, OPENING).rows
    assert (first.level, second.level, third.level) == (0.6, 1.0, 1.0)
    assert first.label == "batch A7, good until 6 Apr 2027"
    assert second.label == "no batch, no expiry"


def test_what_runs_low_is_said_on_the_bottle_and_above_all_of_them():
    state = stood(ShelveBottle(COAT, 50.0), OpenBottle(ONE), MeasureBottle(ONE, 12.0))
    assert rows(state) == [("1: Clear Coat", "IN USE, RUNS LOW, about 12 ml of 50 ml", BottleLook.LOW)]
    assert shelf(state, OPENING).subtitle == "Order: Clear Coat. 12 ml left, 20 ml should be."


def test_an_unopened_one_that_comes_next_is_not_said_to_be_in_use():
    assert rows(stood(ShelveBottle(COAT, 50.0))) == [
        ("1: Clear Coat", "TAKE THIS NEXT, unopened, about 50 ml of 50 ml", BottleLook.READY)
    ]


def test_a_bottle_open_too_long_and_an_empty_one_say_so():
    too_long = stood(ShelveBottle(COAT, 50.0), OpenBottle(ONE, OPENING - timedelta(days=30)))
    assert rows(too_long)[0][1:] == ("OPEN TOO LONG, about 50 ml of 50 ml", BottleLook.UNFIT)
    empty = stood(ShelveBottle(COAT, 50.0), MeasureBottle(ONE, 0.0))
    assert rows(empty)[0][1:] == ("EMPTY, about 0 ml of 50 ml", BottleLook.UNFIT)


def test_what_left_the_shelf_can_be_looked_up():
    state = stood(ShelveBottle(COAT, 50.0, "A7"), FinishBottle(ONE, "spilled or broken"))
    assert shelf(state, OPENING).rows == ()
    (row,) = gone(state, OPENING)
    assert (row.title, row.standing, row.label) == ("1: Clear Coat", "spilled or broken", "batch A7, no expiry")
    assert bottle_view(state, state.shelf.bottles[ONE], OPENING).gone


def test_the_practice_shelf_shows_every_way_a_bottle_can_stand(hand: HandBay):
    looks = {row.look for row in shelf(hand.bay.state, hand.bay.now()).rows}
    assert looks == {BottleLook.IN_USE, BottleLook.READY, BottleLook.LOW, BottleLook.UNFIT}


def test_the_shelf_is_the_same_after_a_restart_and_after_the_car_has_left(hand: HandBay):
    from bayapp.job import CloseJob
    from tests.pages.bays import CAR

    before = shelf(hand.bay.state, hand.bay.now()).rows
    hand.restart()
    assert shelf(hand.bay.state, hand.bay.now()).rows == before
    levels = [row.level for row in before]
    assert hand.bay.request(CloseJob(CAR)).accepted
    assert [row.level for row in shelf(hand.bay.state, hand.bay.now()).rows] != []
    closed = shelf(hand.bay.state, hand.bay.now()).rows
    hand.restart()
    assert shelf(hand.bay.state, hand.bay.now()).rows == closed
    assert sorted(round(row.level, 3) for row in closed) == sorted(round(level, 3) for level in levels)
