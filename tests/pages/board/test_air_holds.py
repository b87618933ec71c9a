"""A clock stands open and the air forbids its coat: the clock, the button and the top line say so."""

from datetime import UTC, timedelta

import pytest

from bayapp.job import ReadAir
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.pages.air.air_holds import air_holds
from bayapp.pages.board.board import BoardView, board
from bayapp.pages.board.next_step import Hindrances, offers
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.next.recommendation import Pause
from tests.pages.bays import ASH, CAR, HandBay
from tests.pages.orders import order_of, planned

DAMP, FINE = ReadAir(20, 95), ReadAir(20, 50)


def seen(hand: HandBay) -> BoardView:
    return board(hand.bay, hand.clocks(), Viewpoint(ASH, hand.bay.now(), UTC, CAR))


def with_a_pause(hand: HandBay) -> None:
    """Let the plan have nothing for Ash for three minutes, and then the third layer of the windscreen."""
    at = hand.bay.now()
    step = planned("windscreen", "coat-3", at + timedelta(minutes=3), 3)
    hand.bay.advice.take_order(order_of(at, step, entry=hand.bay.state.last_at))


@pytest.fixture
def damp(hand: HandBay) -> HandBay:
    """The rim is done, two coats stand open, and the air is damp."""
    hand.wait(45)  # the rim has lapsed
    hand.bay.request(DAMP)
    return hand


def test_what_is_open_by_the_clock_and_forbidden_by_the_air_is_found_the_soonest_to_close_first(damp: HandBay):
    holds = air_holds(damp.bay.state, damp.clocks(), damp.bay.now())
    assert [(hold.zones[0], hold.step) for hold in holds] == [
        ("glass-right-front", StepId("coat-1")),
        ("bonnet", StepId("coat-1")),
    ]
    damp.bay.request(FINE)
    assert air_holds(damp.bay.state, damp.clocks(), damp.bay.now()) == ()


def test_the_clock_says_so_and_goes_on_counting(damp: HandBay):
    bonnet = next(tile for tile in seen(damp).tiles if ZoneId("bonnet") in tile.zones)
    assert (bonnet.label, bonnet.digits) == ("closes in", "18:25")
    assert bonnet.detail == "Coat 1 of 2, up and down: not in this air"
    damp.bay.request(FINE)
    bonnet = next(tile for tile in seen(damp).tiles if ZoneId("bonnet") in tile.zones)
    assert bonnet.detail == "Coat 1 of 2, up and down"


def test_the_top_line_says_so(damp: HandBay):
    assert seen(damp).strip.air_detail == "09:00, do not coat"
    damp.bay.request(FINE)
    assert seen(damp).strip.air_detail == "read 09:00"


def test_the_button_says_so_in_a_pause_of_the_plan_and_what_would_help(damp: HandBay):
    with_a_pause(damp)
    main = seen(damp).main
    assert (main.title, main.action) == ("The air is in the way", None)
    assert main.detail == (
        "No coat on right side glass yet. Dry the air to 80 %, or warm the air to 22.9 °C. Nothing else for 3:00."
    )


def test_in_fine_air_a_pause_is_a_pause_and_names_who_rests(damp: HandBay):
    damp.bay.request(FINE)
    at, clocks = damp.bay.now(), damp.clocks()
    pause = Pause(planned("windscreen", "coat-3", at, 3), at + timedelta(minutes=3))
    viewpoint = Viewpoint(ASH, at, UTC, CAR)
    holds = air_holds(damp.bay.state, clocks, at)
    (rest, *_others) = offers(damp.bay.state, clocks, (), pause, viewpoint, Hindrances(holds=holds))
    assert (rest.title, rest.action) == ("Nothing to do for 3:00 (Ash)", None)
