"""The timeline against stepped, dead and suspended clocks."""

import time
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.clock import (
    BOOT_ID_FILE,
    BayClock,
    ClockJump,
    HandReadings,
    MachineReadings,
    PracticeClock,
    from_wall,
    to_ms,
)

EIGHT = datetime(2026, 11, 25, 8, tzinfo=UTC)
WALL_AT_EIGHT = 1_795_593_600_000  # date -u -d 2026-11-25T08:00:00Z +%s, with three noughts
HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)


def readings(boot_ms: int = 5_000) -> HandReadings:
    return HandReadings("boot-1", boot_ms, WALL_AT_EIGHT)


def clock_of(hand: HandReadings) -> BayClock:
    return BayClock.at_wall(hand)


def test_the_timeline_begins_where_the_wall_clock_stands():
    assert clock_of(readings()).now() == EIGHT


def test_instants_are_whole_milliseconds_in_utc():
    hand = readings()
    clock = clock_of(hand)
    hand.boot_ms += 1_234
    assert clock.now() == EIGHT + timedelta(milliseconds=1_234)
    assert clock.now().utcoffset() == timedelta()


@pytest.mark.parametrize("by", [HOUR, -HOUR, timedelta(days=-400)])
def test_a_step_of_the_wall_clock_moves_no_wait_and_is_reported_once(by):
    hand = readings()
    clock = clock_of(hand)
    hand.pass_time(MINUTE)
    hand.step_wall(by)
    assert clock.now() == EIGHT + MINUTE
    assert clock.watch() == ClockJump(to_ms(by))
    assert clock.watch() is None
    hand.pass_time(MINUTE)
    assert clock.now() == EIGHT + 2 * MINUTE


def test_suspend_counts_as_real_time_and_is_no_step():
    hand = readings()
    clock = clock_of(hand)
    hand.pass_time(7 * HOUR)  # what CLOCK_BOOTTIME does on waking
    assert clock.now() == EIGHT + 7 * HOUR
    assert clock.watch() is None


def test_two_seconds_are_borne_and_one_millisecond_more_is_reported():
    hand = readings()
    clock = clock_of(hand)
    hand.step_wall(timedelta(seconds=2))
    assert clock.watch() is None
    hand.step_wall(timedelta(milliseconds=1))
    assert clock.watch() == ClockJump(2_001)


def test_small_steps_that_add_up_are_reported_too():
    hand = readings()
    clock = clock_of(hand)
    steps = []
    for _ in range(5):
        hand.step_wall(timedelta(milliseconds=900))
        steps.append(clock.watch())
    assert steps == [None, None, ClockJump(2_700), None, None]


def test_a_timeline_may_be_told_to_go_on_from_another_moment():
    hand = readings()
    clock = clock_of(hand)
    clock.go_to(EIGHT - HOUR)
    hand.pass_time(MINUTE)
    assert clock.now() == EIGHT - HOUR + MINUTE
    assert clock.watch() is None, "the wall clock did not move"


def test_practice_time_runs_as_fast_as_it_is_told_whatever_the_wall_clock_does():
    hand = readings()
    clock = PracticeClock(EIGHT, speed=20, readings=hand)
    hand.step_wall(-HOUR)
    hand.boot_ms += 1_500
    assert clock.now() == EIGHT + timedelta(seconds=30)
    assert clock.watch() is None
    assert clock.speed == 20


@pytest.mark.parametrize("speed", [0, -1, float("nan")])
def test_practice_time_that_stands_or_runs_backward_is_refused(speed):
    with pytest.raises(ValueError, match="above 0"):
        PracticeClock(EIGHT, speed=speed, readings=readings())


@given(st.lists(st.tuples(st.integers(0, 10**7), st.integers(-(10**10), 10**10)), max_size=30))
def test_the_steps_reported_add_up_to_what_the_wall_clock_did(days):
    hand = readings()
    clock = clock_of(hand)
    moved = 0
    for passed, stepped in days:
        hand.pass_time(timedelta(milliseconds=passed))
        hand.step_wall(timedelta(milliseconds=stepped))
        step = clock.watch()
        moved += step.by_ms if step else 0
    assert abs(moved - sum(stepped for _, stepped in days)) <= 2_000
    assert clock.now() == EIGHT + timedelta(milliseconds=sum(passed for passed, _ in days))


@pytest.mark.skipif(not hasattr(time, "CLOCK_BOOTTIME"), reason="this system has no CLOCK_BOOTTIME")
def test_the_real_readings_are_those_of_the_system():
    before = time.clock_gettime_ns(time.CLOCK_BOOTTIME) // 1_000_000  # noqa: TID251 - the reference to check against
    stamp = MachineReadings().stamp()
    after = time.clock_gettime_ns(time.CLOCK_BOOTTIME) // 1_000_000  # noqa: TID251 - the reference to check against
    assert before <= stamp.boot_ms <= after
    assert stamp.boot_id == BOOT_ID_FILE.read_text().strip()
    assert abs(from_wall(stamp) - datetime.now(UTC)) < timedelta(seconds=30)  # noqa: TID251 - the reference


def test_a_system_that_names_no_boot_still_keeps_one_name_per_program_run(monkeypatch, tmp_path):
    monkeypatch.setattr("bayapp.clock.BOOT_ID_FILE", tmp_path / "missing")
    machine = MachineReadings()
    assert machine.stamp().boot_id == machine.stamp().boot_id
    assert machine.stamp().boot_id.startswith("since-")
