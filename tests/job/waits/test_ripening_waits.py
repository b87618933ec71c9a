"""Waits that hang on the air, through the gate: both edges, late and corrected readings, air that is not known."""

from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from bayapp.job import CorrectAir, ReadAir, Wait, clocks, fold, why_not
from bayapp.job.model.ids import StepId, Urgency, ZoneId
from bayapp.job.model.product import Product
from bayapp.job.model.wait_tables import By
from bayapp.job.waits import ripening_waits
from bayapp.job.waits.ladder_position import window_of
from bayapp.job.waits.ripening_waits import edges_of, opens_with
from bayapp.job.waits.waits import Window
from tests.job.builders import MS, Shop, at, code, finish, job, read_air, recipe, start, step, two_step, why

BY_C = [[10, 8.0], [20, 5.0], [30, 3.0]]
MAX_BY_C = [[10, 60.0], [30, 20.0]]
TABLES = {"min_by_c": BY_C, "max_by_c": MAX_BY_C, "lapse": "repeat"}


def shop(wait: dict[str, Any] | None = None, air_c: float | None = 20, product: Product | None = None) -> Shop:
    """A coat done from 0 to 1 min, its level waiting; the air read at 0 unless None."""
    ladder = two_step(TABLES if wait is None else wait)
    if product:
        ladder = recipe(step("coat", product=product.name), step("level", wait=wait))
    bay = Shop(job((["roof"], ladder), products=[product] if product else []))
    if air_c is not None:
        bay.must(read_air(air_c), 0)
    bay.work("roof", "coat", 0, 1)
    return bay


def late(air_c: float, read: float, surface_c: float | None = None) -> ReadAir:
    return ReadAir(air_c, 50.0, surface_c, None, at(read))


def clock(bay: Shop, minutes: float) -> Any:
    return clocks(bay.state, at(minutes))[0]


def opens_exactly(bay: Shop, opens: float) -> None:
    """Accepted at the millisecond, refused one before."""
    assert code(bay.ask(start("roof", "level"), opens - MS)) == "early"
    assert bay.ask(start("roof", "level"), opens).accepted


def lapses_exactly(bay: Shop, lapses: float) -> None:
    assert bay.ask(start("roof", "level"), lapses).accepted
    assert code(bay.ask(start("roof", "level"), lapses + MS)) == "late"


@pytest.mark.parametrize(
    ("air_c", "least", "most"), [(10, 8, 60), (15, 6.5, 50), (20, 5, 40), (27, 3.6, 26), (30, 3, 20)]
)
def test_in_constant_air_both_edges_are_those_of_the_plain_wait(air_c: float, least: float, most: float) -> None:
    bay, plain = shop(air_c=air_c), shop({"min": least, "max": most, "lapse": "repeat"})
    for each in (bay, plain):
        opens_exactly(each, 1 + least)
        lapses_exactly(each, 1 + most)
    known, other = clock(bay, 2), clock(plain, 2)
    assert (known.opens_at, known.closing_from, known.lapses_at) == (
        other.opens_at,
        other.closing_from,
        other.lapses_at,
    )


def test_a_colder_reading_moves_the_running_clock_and_a_warmer_one_moves_it_back() -> None:
    bay = shop()
    bay.must(read_air(10), 3)  # 2 of 5 minutes are over; 0.6 of 8 minutes are 4.8 more
    opens_exactly(bay, 7.8)
    bay.must(read_air(30), 5.4)  # 2.4 of 8 are 0.3 more; 0.3 of 3 minutes are 0.9 more
    opens_exactly(bay, 6.3)


def test_the_surface_counts_where_it_was_read() -> None:
    bay = shop(air_c=None)
    bay.must(read_air(20, surface_c=10), 1)
    opens_exactly(bay, 9)


def test_a_reading_late_in_the_middle_of_a_clock_counts_from_when_it_was_measured() -> None:
    bay = shop()
    assert clock(bay, 4).opens_at == at(6)
    bay.must(late(10, read=2), 4)
    opens_exactly(bay, 1 + 1 + 6.4)
    assert [r.air_c for r in bay.state.readings] == [20, 10]


def test_a_late_reading_between_two_others_holds_only_until_the_next() -> None:
    bay = shop()
    bay.must(read_air(20), 3)
    bay.must(late(10, read=2), 4)  # from 2 to 3 at 10 °C an eighth instead of a fifth
    assert clock(bay, 4).opens_at == at(1 + 1 + 1 + (1 - 1 / 5 - 1 / 8) * 5)


def test_a_corrected_reading_retimes_and_a_withdrawn_one_is_as_if_it_had_not_been() -> None:
    bay = shop()
    bay.must(read_air(30), 2)
    assert clock(bay, 3).opens_at == at(2 + 0.8 * 3)
    bay.must(CorrectAir(at(2), ReadAir(10, 50.0)), 3)
    assert clock(bay, 3).opens_at == at(2 + 0.8 * 8)
    bay.must(CorrectAir(at(2), None), 4)
    opens_exactly(bay, 6)


def test_an_open_clock_waits_again_when_a_correction_says_that_it_was_colder() -> None:
    bay = shop()
    assert clock(bay, 6).urgency is Urgency.OPEN
    bay.must(CorrectAir(at(0), ReadAir(10, 50.0)), 7)
    assert clock(bay, 7).urgency is Urgency.WAITING
    opens_exactly(bay, 9)


def test_what_was_begun_stays_begun_whatever_is_corrected_later() -> None:
    bay = shop()
    bay.must(start("roof", "level"), 6)
    bay.must(CorrectAir(at(0), ReadAir(10, 50.0)), 7)
    assert clock(bay, 7).urgency is Urgency.WORKING
    assert bay.do(finish("roof", "level"), 8).accepted


def test_before_the_first_reading_nothing_counts_and_the_gate_asks_for_one() -> None:
    bay = shop(air_c=None)
    refused = bay.ask(start("roof", "level"), 20)
    assert (code(refused), why(refused)) == ("air", "ripens-unread")
    now = clock(bay, 20)
    assert (now.urgency, now.opens_at, now.ripening.here, now.ripening.unknown_since) == (
        Urgency.WAITING,
        None,
        None,
        at(1),
    )
    bay.must(read_air(20), 10)
    opens_exactly(bay, 15)


def test_a_first_reading_dated_back_counts_from_then() -> None:
    bay = shop(air_c=None)
    bay.must(late(20, read=2), 4)
    opens_exactly(bay, 7)


def test_outside_the_table_nothing_counts_and_the_gate_says_what_would_be_right() -> None:
    bay = shop()
    bay.must(read_air(8), 2)
    refused = bay.ask(start("roof", "level"), 15)
    assert (code(refused), why(refused)) == ("air", "ripens-outside")
    assert "at 8 °C; its sheet speaks of 10 to 30 °C" in why_not(refused.refusal, bay.state)
    now = clock(bay, 15)
    assert (now.opens_at, now.ripening.unknown_since, now.ripening.value) == (None, at(2), 8)
    bay.must(read_air(20), 12)
    opens_exactly(bay, 16)


def test_what_was_over_before_the_air_left_the_table_stays_over() -> None:
    bay = shop()
    bay.must(read_air(8), 6.5)
    assert bay.ask(start("roof", "level"), 7).accepted


def test_air_that_is_not_known_counts_at_its_worst_towards_the_latest_moment_and_says_so() -> None:
    bay = shop(air_c=None)
    assert clock(bay, 2).lapses_at == at(21)
    assert clock(bay, 2).ripening.air_was_unknown
    refused = bay.ask(start("roof", "level"), 21 + MS)
    assert code(refused) == "late"
    assert "was not known for some time" in why_not(refused.refusal, bay.state)
    bay.must(read_air(10), 11)  # half is over; half of 60 more
    lapses_exactly(bay, 41)


def test_a_person_may_carry_on_in_air_the_sheet_does_not_speak_of_with_a_reason() -> None:
    bay = shop(air_c=8)
    done = bay.must(start("roof", "level", reason="maker says so on the telephone"), 12)
    assert done.events[0].deviation.code == "air"


def test_levelling_that_counts_from_the_first_stroke_ripens_while_the_coat_is_laid() -> None:
    bay = Shop(job((["roof"], two_step({"max_by_c": MAX_BY_C, "max_from": "start"}))))
    bay.must(read_air(10), 0)
    bay.must(start("roof", "coat"), 0)
    assert (clock(bay, 1).lapses_at, clock(bay, 1).anchor) == (at(60), at(0))
    bay.must(read_air(30), 6)  # a tenth is over; 0.9 of 20 are 18 more
    assert clock(bay, 6).lapses_at == at(24)
    bay.must(finish("roof", "coat"), 10)
    assert clock(bay, 10).lapses_at == at(24)
    assert clock(bay, 10).anchor == at(0)


def test_a_wait_by_humidity_ripens_by_humidity_alone() -> None:
    bay = shop({"min_by_rh": [[30, 12], [50, 8], [80, 5]]}, air_c=None)
    bay.must(ReadAir(5.0, 50.0), 1)
    bay.must(ReadAir(35.0, 80.0), 5)
    opens_exactly(bay, 7.5)
    assert clock(bay, 5).ripening.by is By.HUMIDITY
    bay.must(ReadAir(35.0, 85.0), 5)
    assert why(bay.ask(start("roof", "level"), 9)) == "ripens-outside"


def test_the_base_is_the_row_nearest_to_the_usual_air_or_the_one_that_min_names() -> None:
    assert Wait.model_validate({"min_by_c": BY_C}).min == 5
    assert Wait.model_validate({"min_by_rh": [[30, 12], [60, 8]]}).min == 8
    assert Wait.model_validate({"min": 8, "min_by_c": BY_C}).min == 8
    assert Wait.model_validate({"max_by_c": MAX_BY_C}).max in (20, 60)
    ripening = clock(shop(), 2).ripening
    assert (ripening.base, ripening.base_at, ripening.here, ripening.value) == (
        timedelta(minutes=5),
        20,
        timedelta(minutes=5),
        20,
    )
    bay = shop(air_c=15)
    assert clock(bay, 2).ripening.here == timedelta(minutes=6.5)
    again = Wait.model_validate_json(Wait.model_validate(TABLES).model_dump_json())
    assert again == Wait.model_validate(TABLES)


@pytest.mark.parametrize(
    "wait",
    [
        {"min_by_c": BY_C, "min_by_rh": [[30, 12], [60, 8]]},
        {"min": 6, "min_by_c": BY_C},
        {"min_by_c": BY_C, "max_by_c": [[10, 7], [30, 20]]},
        {"min_by_c": BY_C, "max_by_c": [[5, 60], [22, 4]]},
        {"min_by_c": BY_C, "max_by_c": [[31, 60], [40, 50]]},
        {"min_by_c": BY_C, "max_by_c": [[0, 80], [9.9, 60]]},
        {"min_by_c": BY_C, "max": 7},
        {"min": 30, "max_by_c": MAX_BY_C},
    ],
)
def test_tables_that_leave_no_right_moment_or_say_two_things_are_refused(wait: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        Wait.model_validate(wait)


def test_tables_that_touch_at_one_value_are_taken() -> None:
    assert Wait.model_validate({"min_by_c": BY_C, "max_by_c": [[30, 60], [40, 50]]}).by_table


RULED = Product(name="pane", air_c=(5, 35), temperature_rule="halves-per-10-c", temperature_rule_at_c=20)


@pytest.mark.parametrize(("air_c", "factor"), [(20, 1), (10, 2), (5, 2.5), (30, 0.75), (24, 0.7578582832551991)])
def test_a_rule_of_thumb_stretches_both_moments_after_its_coat_within_its_cap(air_c: float, factor: float) -> None:
    bay = shop({"min": 10, "max": 40}, air_c=air_c, product=RULED)
    now = clock(bay, 2)
    assert now.ripening.thumb
    assert abs(now.opens_at - at(1 + 10 * factor)) <= timedelta(milliseconds=1)
    assert abs(now.lapses_at - at(1 + 40 * factor)) <= timedelta(milliseconds=1)


def test_a_rule_of_thumb_is_off_unless_the_product_says_so_and_never_reaches_beyond_its_limits() -> None:
    plain = shop({"min": 10}, air_c=10, product=Product(name="pane", air_c=(5, 35)))
    assert (clock(plain, 2).opens_at, clock(plain, 2).ripening) == (at(11), None)
    bay = shop({"min": 10}, air_c=20, product=RULED)
    bay.must(read_air(4), 2)
    refused = bay.ask(start("roof", "level"), 30)
    assert why(refused) == "ripens-outside"
    assert "the product is laid from 5 to 35 °C" in why_not(refused.refusal, bay.state)


def test_a_wait_with_a_latest_moment_alone_is_shown_by_that_table() -> None:
    bay = shop({"max_by_c": MAX_BY_C}, air_c=10)
    ripening = clock(bay, 2).ripening
    assert ripening.latest
    assert (ripening.base, ripening.base_at, ripening.here) == (timedelta(minutes=60), 10, timedelta(minutes=60))
    thumb = clock(shop({"min": 10, "max": 40}, air_c=10, product=RULED), 2).ripening
    assert (thumb.base, thumb.base_at, thumb.here) == (timedelta(minutes=10), 20, timedelta(minutes=20))


def test_a_rule_of_thumb_moves_the_latest_moment_while_its_coat_is_still_being_laid() -> None:
    wait = {"max": 40, "max_from": "start"}
    bay = Shop(job((["roof"], recipe(step("coat", product="pane"), step("level", wait=wait))), products=[RULED]))
    bay.must(read_air(10), 0)
    bay.must(start("roof", "coat"), 0)
    assert (clock(bay, 1).lapses_at, clock(bay, 1).anchor) == (at(80), at(0))


def test_a_rule_of_thumb_of_a_product_without_limits_holds_wherever_a_reading_may_be() -> None:
    ruled = Product(name="pane", temperature_rule="halves-per-10-c", temperature_rule_at_c=20)
    bay = shop({"min": 10}, air_c=-40, product=ruled)
    assert clock(bay, 2).opens_at == at(26), "two and a half times as long at the most"
    assert (clock(bay, 2).ripening.low, clock(bay, 2).ripening.high) == (-40, 90)
    by_surface = RULED.model_copy(update={"surface_c": (12.0, 28.0)})
    ripening = clock(shop({"min": 10}, air_c=20, product=by_surface), 2).ripening
    assert (ripening.low, ripening.high) == (12, 28)


def test_a_latest_moment_that_was_missed_still_tells_what_it_counted_from() -> None:
    missed = clock(shop(), 45)
    assert (missed.urgency, missed.lapses_at, missed.anchor) == (Urgency.LAPSED, at(41), at(1))


def test_what_a_wait_hangs_on_is_shown_with_the_ends_of_its_table() -> None:
    ripening = clock(shop(), 2).ripening
    assert (ripening.low, ripening.high, ripening.thumb, ripening.air_was_unknown, ripening.latest) == (
        10,
        30,
        False,
        False,
        False,
    )


def test_from_now_on_in_the_air_of_its_base_a_wait_opens_when_the_rest_has_passed() -> None:
    bay = shop(air_c=10)
    bay.must(read_air(30), 4)
    state = bay.state.jobs["car"]
    edges = edges_of(state.job, ZoneId("roof"), StepId("coat"), state.job.blocks[0].recipe.step[1].wait)
    assert edges
    assert edges.earliest
    # Two of 8 minutes are over at 3, when the reading of 4 is not known yet: three quarters of 5 are 3.75 more.
    assert opens_with(edges.earliest, state.readings, at(1), at(3)) == at(6.75)
    # Three of 8 are over at 4 and one of 3 at 5: seven of 24 of 5 minutes are left.
    assert opens_with(edges.earliest, state.readings, at(1), at(5)) == at(5 + 5 * 7 / 24)


def test_what_is_kept_of_clocks_is_let_go_and_worked_out_again_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ripening_waits, "MOST_KEPT", 4)
    bays = [shop(air_c=air_c) for air_c in (10, 15, 20, 25, 30)]
    for _ in range(2):
        assert [clock(bay, 2).opens_at for bay in bays] == [at(1 + least) for least in (8, 6.5, 5, 4, 3)]


def test_a_rule_of_thumb_is_for_waits_after_a_coat_alone() -> None:
    ladder = recipe(step("wipe", product="pane"), step("coat", wait={"min": 10}))
    bay = Shop(job((["roof"], ladder), products=[RULED]))
    bay.must(read_air(10), 0)
    bay.work("roof", "wipe", 0, 1)
    assert (clock(bay, 2).opens_at, clock(bay, 2).ripening) == (at(11), None)


def test_a_rule_of_thumb_gives_way_to_a_table() -> None:
    bay = shop({"min_by_c": BY_C}, air_c=10, product=RULED)
    assert not clock(bay, 2).ripening.thumb
    opens_exactly(bay, 9)


@pytest.mark.parametrize("keys", [{"temperature_rule": "halves-per-10-c"}, {"temperature_rule_at_c": 20}])
def test_a_rule_of_thumb_says_for_which_temperature_the_sheet_speaks(keys: dict[str, Any]) -> None:
    with pytest.raises(ValidationError, match="temperature_rule"):
        Product.model_validate({"name": "pane", **keys})


def test_the_state_is_the_same_when_it_is_added_up_again() -> None:
    bay = shop()
    bay.must(late(10, read=2), 4)
    bay.must(CorrectAir(at(4), ReadAir(12, 50.0)), 5)
    bay.must(read_air(25), 6)
    assert fold(bay.events) == bay.state


# Any history of readings, late, corrected and withdrawn, against a walk in exact fractions written for this test.

ROWS = [(0, 480_000), (100, 300_000), (200, 180_000)]
"""Tenths of a degree above 10 °C, and milliseconds."""


def wait_at(tenths: int) -> Fraction | None:
    for (low, a), (high, b) in pairwise(ROWS):
        if low <= tenths <= high:
            return a + Fraction((b - a) * (tenths - low), high - low)
    return None


def ripe(readings: dict[int, tuple[int, int]], begin: int, end: int) -> Fraction:
    """The share that has ripened from ``begin`` to ``end`` (ms); readings: when measured, and what."""
    order = sorted(readings.items(), key=lambda item: (item[1][0], item[0]))
    marks = [(measured, tenths) for _, (measured, tenths) in order] + [(end, 0)]
    total = Fraction(0)
    for (measured, tenths), (until, _) in pairwise(marks):
        wait, length = wait_at(tenths), min(until, end) - max(measured, begin)
        if wait is not None and length > 0:
            total += length / wait
    return total


ACTS = st.lists(
    st.tuples(
        st.integers(0, 90_000),  # ms since the act before
        st.integers(0, 200_000),  # how late the reading is
        st.integers(-30, 230),  # tenths of a degree above 10
        st.sampled_from(["read", "read", "read", "correct", "withdraw"]),
        st.integers(0, 5),
    ),
    max_size=12,
)


@given(ACTS)
def test_whatever_is_read_late_or_corrected_no_step_starts_before_its_wait_is_over(acts: Any) -> None:
    bay, now = shop({"min_by_c": BY_C}, air_c=None), 60_000
    recorded: dict[int, tuple[int, int]] = {}
    moments: list[datetime] = []
    for after, delay, tenths, what, which in acts:
        now += after + 1
        minutes = now / 60_000
        if what == "read":
            measured = max(now - delay, 0)
            bay.must(late(10 + tenths / 10, measured / 60_000), minutes)
            recorded[len(moments)] = (measured, tenths)
            moments.append(at(minutes))
        elif which in recorded:
            becomes = ReadAir(10 + tenths / 10, 50.0) if what == "correct" else None
            bay.must(CorrectAir(moments[which], becomes), minutes)
            if becomes:
                recorded[which] = (recorded[which][0], tenths)
            else:
                del recorded[which]
    car, roof = bay.state.jobs["car"], ZoneId("roof")
    window = window_of(car, roof, 1, car.zones[roof], bay.state.last_at)
    assert isinstance(window, Window)
    if window.opens_at is None:
        assert ripe(recorded, 60_000, now) < 1
        return
    opens = (window.opens_at - at(0)) // timedelta(milliseconds=1)
    share = ripe(recorded, 60_000, opens)
    assert share >= 1 - Fraction(1, 10**8), "early"
    assert ripe(recorded, 60_000, opens - 1) < 1, "a whole millisecond late"
    asked = max(opens, now)
    assert bay.ask(start("roof", "level"), asked / 60_000).accepted
    if opens > now:
        assert code(bay.ask(start("roof", "level"), (opens - 1) / 60_000)) == "early"
