"""The column: most pressing first, one tile for a shared clock, and never a clock lost."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bayapp.job import ZoneClock
from bayapp.job.model.ids import StepId, Urgency, ZoneId
from bayapp.job.waits.cure import Cure
from bayapp.pages.board.board import board
from bayapp.pages.board.clock_column import Track, cure_words, hangs_on_others, tiles, track_of, words_of
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, CAR, OPENING, HandBay, hand_bay
from tests.pages.orders import order_of, planned


def seen(hand: HandBay, after_s: float = 0):
    at = OPENING + timedelta(seconds=after_s)
    return tiles(hand.bay.state, hand.bay.clocks(at), at)


def test_the_column_at_the_opening(hand: HandBay):
    assert [(t.urgency, t.title, t.label, t.digits) for t in seen(hand)][:5] == [
        (Urgency.CLOSING, "Rear right rim", "closes in", "0:40"),
        (Urgency.CLOSING, "Right side glass", "closes in", "6:00"),
        (Urgency.WAITING, "Windscreen", "wait", "1:10"),
        (Urgency.OPEN, "Bonnet", "closes in", "19:10"),
        (Urgency.WORKING, "Rear left rim", "under way for", "0:00"),
    ]


def test_closing_then_lapsed_then_what_comes_within_the_hour_then_work_then_what_is_far_then_cures(hand: HandBay):
    for after_s in (0, 41, 71, 151, 700):
        at = OPENING + timedelta(seconds=after_s)
        ranks = [rank(next(c for c in hand.bay.clocks(at) if c.zone in t.zones), at) for t in seen(hand, after_s)]
        assert ranks == sorted(ranks), after_s
        assert len(set(ranks)) >= 4


def rank(clock: ZoneClock, at: datetime) -> int:
    """Rank a clock by hand, from its urgency and the moment that it counts to."""
    moment = clock.opens_at if clock.urgency is Urgency.WAITING else clock.lapses_at
    if clock.urgency in (Urgency.OPEN, Urgency.WAITING):
        return 2 if moment and moment - at <= timedelta(hours=1) else 4
    return {Urgency.CLOSING: 0, Urgency.LAPSED: 1, Urgency.WORKING: 3, Urgency.FINISHED: 5, Urgency.IDLE: 5}[
        clock.urgency
    ]


def test_among_those_that_close_the_soonest_is_first(hand: HandBay):
    for after_s in (0, 30, 71):
        closing = [c.lapses_at for t in seen(hand, after_s) if t.urgency is Urgency.OPEN for c in clocks_of(hand, t)]
        assert all(a <= b for a, b in pairwise(closing) if a and b)


def clocks_of(hand: HandBay, tile) -> list[ZoneClock]:
    return [c for c in hand.clocks() if c.zone in tile.zones]


def test_a_lapsed_tile_says_what_it_costs(hand: HandBay):
    (rim,) = [t for t in seen(hand, 41) if t.title == "Rear right rim"]
    assert (rim.label, rim.digits, rim.detail) == ("late by", "+0:01", "Missed; again: polish by hand")


def test_a_zone_with_no_running_clock_has_no_tile(hand: HandBay):
    zones = {z for t in seen(hand) for z in t.zones}
    assert not {"sill-left", "roof", "rim-front-left"} & zones


def test_zones_that_share_a_clock_share_a_tile_and_carry_the_sets_name(hand: HandBay):
    (glass,) = [t for t in seen(hand) if t.title == "Right side glass"]
    assert set(glass.zones) == {"glass-right-front", "glass-right-rear", "glass-right-quarter"}
    (sides,) = [t for t in seen(hand) if t.title == "Rear left caliper and rear right caliper"]
    assert len(sides.zones) == 2


def test_with_two_cars_each_tile_says_whose_it_is(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        titles = [(t.title, t.detail) for t in seen(hand)]
        assert ("1 Bonnet", "Practice estate: Coat 1 of 2, up and down") in titles
        assert ("2 Bonnet", "Estate 2: Coat 1 of 2, up and down") in titles


def test_a_track_runs_from_the_wait_through_the_window(hand: HandBay):
    windscreen = hand.clock_of("windscreen")
    assert windscreen.since
    assert windscreen.opens_at
    assert windscreen.lapses_at
    at_start, at_opening, at_lapse = (
        track_of(windscreen, m) for m in (windscreen.since, windscreen.opens_at, windscreen.lapses_at)
    )
    assert at_start
    assert at_opening
    assert at_lapse
    assert at_start.now == 0
    assert abs(at_opening.now - at_opening.opens) < 1e-9
    assert abs(at_lapse.now - at_lapse.lapses) < 1e-9
    assert 0 < at_start.opens < at_start.lapses < 1
    assert track_of(hand.clock_of("sill-left"), OPENING) is None


URGENT = (Urgency.WAITING, Urgency.OPEN, Urgency.CLOSING, Urgency.LAPSED, Urgency.WORKING)
SPANS = st.integers(-5_000, 5_000).map(lambda s: timedelta(seconds=s))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_clock_is_ever_lost_or_shown_twice(hand: HandBay, data: st.DataObject):
    """Whatever the clocks are: each one that runs stands in exactly one tile, and its digits are its own."""
    now = []
    for clock in hand.clocks():
        urgency = data.draw(st.sampled_from((*URGENT, Urgency.IDLE)))
        since, opens, lapses = sorted(OPENING + data.draw(SPANS) for _ in range(3))
        lapses_at = data.draw(st.sampled_from((lapses, None)))
        now.append(
            replace(
                clock, urgency=urgency, since=since, opens_at=opens, lapses_at=lapses_at, step=StepId("wipe"), cure=None
            )
            if hand.bay.state.jobs[CAR].job.recipe_of(clock.zone).has(StepId("wipe")) and clock.running is None
            else clock
        )
    found = tiles(hand.bay.state, now, OPENING)
    zones = [z for t in found for z in t.zones]
    running = {
        c.zone
        for c in now
        if c.urgency not in (Urgency.IDLE, Urgency.FINISHED)
        or (c.cure is not None and c.cure.until > OPENING)
        or hangs_on_others(c)
    }
    assert len(zones) == len(set(zones))
    assert set(zones) == running
    by_zone = {c.zone: c for c in now}
    for tile in found:
        assert {words_of(by_zone[z], OPENING) for z in tile.zones} == {(tile.label, tile.digits)}
        if tile.track:
            check_track(tile.track)


def check_track(track: Track) -> None:
    assert 0 <= track.opens <= track.lapses <= 1
    assert track.now <= 1


def test_rims_under_way_count_down_to_the_end_of_their_levelling(hand: HandBay):
    """A coat whose levelling window counts from its first stroke shows what is left of it."""
    from bayapp.job import Start

    assert hand.bay.request(Start(CAR, (ZoneId("bonnet"),), StepId("coat-1"), None)).accepted
    (bonnet,) = [t for t in seen(hand, 60) if t.title == "Bonnet"]
    assert (bonnet.urgency, bonnet.label, bonnet.digits) == (Urgency.WORKING, "level within", "7:00")
    (late,) = [t for t in seen(hand, 500) if t.title == "Bonnet"]
    assert (late.label, late.digits) == ("late by", "+0:20")


def test_a_finished_zone_says_what_still_holds_and_never_a_time_that_is_over():
    hours = [OPENING + timedelta(hours=h) for h in range(5)]
    cure = Cure(finished_at=hours[0], dry_until=hours[1], drive_from=hours[2])
    assert cure_words(cure, hours[0]) == ("keep dry", "1 h 00")
    assert cure_words(cure, hours[1]) == ("do not drive", "1 h 00")
    assert cure_words(cure, hours[2]) == ("may get wet", "")
    assert cure_words(cure, OPENING + timedelta(days=20)) == ("may get wet", "")
    assert cure_words(Cure(hours[0], None, None), hours[0]) == ("done", "")


def test_a_coat_whose_next_step_waits_for_other_zones_says_for_which(hand: HandBay):
    (coated, *_rest) = [c for c in hand.clocks() if c.layers and c.step and not c.running]
    others = (ZoneId("rim-front-left"),)
    hangs = replace(coated, urgency=Urgency.IDLE, blocked_by=others, opens_at=None, lapses_at=None, lapses=())
    (tile,) = tiles(hand.bay.state, [hangs], OPENING)
    assert (tile.label, tile.digits) == ("waits for others", "")
    assert tile.detail.endswith(": waits for front left rim")
    assert tiles(hand.bay.state, [replace(hangs, layers=())], OPENING) == (), "from its own last coat on"


def test_an_open_clock_that_the_plan_holds_back_says_for_what_and_until_when(hand: HandBay):
    rim = planned("rim-rear-right", "level", OPENING, 2, "Bo", touch=1)
    bonnet = planned("bonnet", "coat-1", OPENING + timedelta(minutes=2, seconds=30), 3, "Bo", touch=2)
    glass = planned("glass-right-front", "coat-1", OPENING, 2, "Ash", touch=3)
    rim = rim.model_copy(update={"end": bonnet.start})
    hand.bay.advice.take_order(order_of(OPENING, rim, bonnet, glass, entry=hand.bay.state.last_at))
    view = board(hand.bay, hand.clocks(), Viewpoint(ASH, OPENING, UTC, CAR))
    said = {tile.title: tile.detail for tile in view.tiles}
    assert said["Bonnet"] == "Coat: after rear right rim, 09:02"
    assert said["Right side glass"] == "Coat", "of three panes one is next"
    assert said["Windscreen"] == "Coat in circles", "its own wait runs"


def test_beside_another_car_the_number_tells_whose_clock_it_is_that_the_plan_holds_back(tmp_path: Path):
    rim = planned("rim-rear-right", "level", OPENING, 3, "Ash", touch=1)
    bonnet = planned("bonnet", "coat-1", rim.end, 3, "Ash", touch=2)
    with hand_bay(tmp_path, cars=2) as two:
        two.bay.advice.take_order(order_of(OPENING, rim, bonnet, entry=two.bay.state.last_at))
        view = board(two.bay, two.clocks(), Viewpoint(ASH, OPENING, UTC, CAR))
        said = {tile.title: tile.detail for tile in view.tiles}
        assert said["1 Bonnet"] == "Coat: after rear right rim, 09:03"
        assert said["1 Windscreen"].startswith("Practice estate: ")
