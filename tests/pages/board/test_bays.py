"""All cars at a glance: their order, their most pressing clock, and what stands where none runs."""

from dataclasses import replace
from pathlib import Path

from bayapp.job import GiveIdentity
from bayapp.job.model.identity import Identity
from bayapp.job.model.ids import Urgency
from bayapp.pages.board.bays import MOST, bays, quiet_faces
from bayapp.pages.board.clock_column import tiles
from tests.pages.bays import HandBay, hand_bay


def seen(hand: HandBay):
    now, at = hand.clocks(), hand.bay.now()
    return bays(hand.bay.state, tiles(hand.bay.state, now, at), now, hand.bay.state.open_jobs[0].job.id)


def test_each_car_has_its_number_and_its_own_most_pressing_clock(tmp_path: Path):
    with hand_bay(tmp_path, cars=3) as hand:
        found = seen(hand)
        assert [bay.number for bay in found] == [1, 2, 3]
        assert [bay.shown for bay in found] == [True, False, False]
        at = hand.bay.now()
        for bay in found:
            own = next(t for t in tiles(hand.bay.state, hand.clocks(), at) if t.job == bay.job)
            assert (bay.digits, bay.urgency, bay.label) == (own.digits, own.urgency, own.label)
            assert bay.title not in bay.detail


def test_no_more_than_six_cars_are_shown_at_once(tmp_path: Path):
    with hand_bay(tmp_path, cars=7) as hand:
        assert len(seen(hand)) == MOST == 6


def test_a_small_drawing_changes_only_with_a_surface_or_a_state(tmp_path: Path):
    with hand_bay(tmp_path, cars=1) as hand:
        car = hand.bay.state.open_jobs[0]
        before = quiet_faces(car, hand.clocks(), hand.bay.now())
        hand.wait(5)
        assert quiet_faces(car, hand.clocks(), hand.bay.now()) == before
        hand.wait(3600)
        assert quiet_faces(car, hand.clocks(), hand.bay.now()) != before


def test_a_car_without_a_clock_says_so(tmp_path: Path):
    with hand_bay(tmp_path, cars=1) as hand:
        state = hand.bay.state
        (bay,) = bays(state, (), (), None)
        assert (bay.digits, bay.urgency) == ("", Urgency.FINISHED)


def test_a_car_is_named_by_title_and_plate_and_where_there_is_no_room_by_its_plate(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        first = hand.bay.state.open_jobs[0].job
        assert hand.bay.request(GiveIdentity(first.id, Identity(plate="BY 7"))).accepted
        told, untold = seen(hand)
        assert (told.name, told.short_name) == (f"1 {first.title} · BY 7", "1 BY 7")
        late = replace(told, promise="not by 17:00")
        assert (late.short_name, late.number_and_name) == ("1 BY 7, not by 17:00", "1 BY 7")
        assert untold.name == untold.short_name == f"2 {untold.title}"
