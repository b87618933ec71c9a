"""What the page of paint thickness shows, what a glove types on it, and what a gauge types by itself."""

import pytest

from bayapp.job import ReadThickness, WithdrawThickness
from bayapp.job.model.ids import ZoneId
from bayapp.pages.arrival.thickness import (
    BACK,
    ThicknessEntry,
    ThicknessView,
    measured_text,
    thickness_view,
    withdrawal,
)
from tests.pages.bays import ASH, CAR, HandBay

BONNET, WING = ZoneId("bonnet"), ZoneId("wing-left")


def typed(keys: str, zone: ZoneId | None = BONNET) -> ThicknessEntry:
    entry = ThicknessEntry(zone)
    for key in keys:
        entry = entry.press(key)
    return entry


def seen(hand: HandBay, entry: ThicknessEntry) -> ThicknessView:
    return thickness_view(hand.bay.state, hand.bay.state.jobs[CAR], entry)


def measure(hand: HandBay, zone: ZoneId, *um: float) -> None:
    for one in um:
        assert hand.bay.request(ReadThickness(CAR, ((zone, (one,)),), ASH)).accepted


@pytest.mark.parametrize(
    ("keys", "text"),
    [("112", "112"), ("74.5", "74.5"), ("74.56", "74.5"), ("12345", "1234"), (".5", "5"), ("1..5", "1.5")],
)
def test_only_keys_that_make_a_number_of_a_gauge_count(keys: str, text: str):
    assert typed(keys).typed == text


def test_erase_takes_the_last_key_back_and_nothing_where_nothing_is_typed():
    assert typed("112").press(BACK).typed == "11"
    assert typed("").press(BACK).typed == ""


def test_a_number_and_a_zone_make_a_request_in_either_order():
    wanted = ReadThickness(CAR, ((BONNET, (74.5,)),), ASH)
    assert typed("74.5").request(CAR, ASH) == wanted
    assert typed("74.5", None).choose(BONNET).request(CAR, ASH) == wanted
    assert typed("74.5", None).request(CAR, ASH) is None
    assert typed("").request(CAR, ASH) is None


@pytest.mark.parametrize(
    ("text", "um"),
    [
        ("112", "112"),
        ("112.4", "112.4"),
        (" 98,6 µm", "98.6"),
        ("104um", "104"),
        ("4.4 mil", "111.8"),  # 4.4 × 25.4 = 111.76; the inch is 25.4 mm exactly
        ("5 mils", "127"),
        ("0", "0"),
        ("5001", "5001"),  # what cannot be is said on the page
    ],
)
def test_what_a_gauge_types_by_itself_is_read_with_or_without_its_unit(text: str, um: str):
    entry = ThicknessEntry(BONNET).from_gauge(text)
    assert entry is not None
    assert (entry.zone, entry.typed) == (BONNET, um)


@pytest.mark.parametrize(
    "text", ["", "4006381333931", "010629104150021310LOT-A7", "-5", "12-3", "um", "1.2.3", "112 112"]
)
def test_a_label_and_anything_else_is_no_reading(text: str):
    assert ThicknessEntry(BONNET).from_gauge(text) is None


def test_of_the_chosen_zone_the_page_says_the_readings_what_they_come_to_and_what_to_mind(hand: HandBay):
    measure(hand, BONNET, 104, 72, 110.5)
    view = seen(hand, ThicknessEntry(BONNET))
    assert view.zone == "Bonnet"
    assert view.readings == "104, 72, 110.5"
    assert view.figures == "least 72 µm, mean 96 µm, 3 readings"
    assert view.says == "Thin: 72 µm. Polish with care, or not at all."
    assert view.take_back == "110.5 µm"
    assert (view.heat[BONNET].thin, view.heat[BONNET].unlike) == (72, False)
    assert view.subtitle.startswith("Dry film, on metal: 1 of ")


def test_many_readings_are_cut_at_the_front(hand: HandBay):
    measure(hand, BONNET, *range(100, 120))
    view = seen(hand, ThicknessEntry(BONNET))
    assert view.readings == "… " + ", ".join(str(um) for um in range(108, 120))
    assert "20 readings" in view.figures


def test_a_zone_unlike_its_neighbours_is_said_to_be_likely_repainted(hand: HandBay):
    measure(hand, BONNET, 112)
    measure(hand, WING, 250)
    view = seen(hand, ThicknessEntry(WING))
    assert view.says == "Mean 250 µm, its neighbours 112 µm: likely repainted."
    assert view.heat[WING].unlike


def test_without_a_zone_it_says_to_touch_one_and_what_is_typed_waits(hand: HandBay):
    view = seen(hand, typed("112", None))
    assert (view.zone, view.trouble) == ("Touch a zone", "Touch the zone that was measured.")
    assert (view.figures, view.take_back) == ("", "")


@pytest.mark.parametrize(("keys", "wrong"), [("5000", False), ("5000.1", True), ("0", False)])
def test_what_no_gauge_reads_is_said_before_it_is_recorded(keys: str, wrong: bool, hand: HandBay):
    said = "From 0 µm to 5,000 µm is possible." if wrong else ""
    assert seen(hand, typed(keys)).trouble == said


def test_taking_back_takes_the_last_reading_of_the_chosen_zone(hand: HandBay):
    measure(hand, BONNET, 104, 72)
    assert withdrawal(CAR, ThicknessEntry(), ASH) is None
    asked = withdrawal(CAR, ThicknessEntry(BONNET), ASH)
    assert asked == WithdrawThickness(CAR, BONNET, None, ASH)
    assert asked is not None
    assert hand.bay.request(asked).accepted
    assert seen(hand, ThicknessEntry(BONNET)).readings == "104"


def test_readings_of_one_touch_are_taken_back_as_one(hand: HandBay):
    assert hand.bay.request(ReadThickness(CAR, ((BONNET, (104.0, 98.0)),), ASH, "file")).accepted
    assert seen(hand, ThicknessEntry(BONNET)).take_back == "2 readings"


def test_the_hub_says_how_many_zones_were_measured(hand: HandBay):
    car = lambda: hand.bay.state.jobs[CAR]  # noqa: E731 (the state is another after each touch)
    assert measured_text(car()) == ""
    measure(hand, BONNET, 104, 98)
    assert measured_text(car()) == "1 zone measured"
    measure(hand, WING, 104)
    assert measured_text(car()) == "2 zones measured"
    assert hand.bay.request(WithdrawThickness(CAR, WING, None, ASH)).accepted
    assert measured_text(car()) == "1 zone measured"
