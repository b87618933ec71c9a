"""The timeline against stepped, dead and suspended clocks."""

import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.clock import (
    BOOT_ID_FILE,
    EPOCH,
    BayClock,
    ClockJump,
    HandReadings,
    MachineReadings,
    PracticeClock,
    Stamp,
    from_wall,
    resume_at,
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
    assert clock.watch() == ClockJump(to_ms(by), certain=True)
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
    assert clock.watch() == ClockJump(2_001, certain=True)


def test_small_steps_that_add_up_are_reported_too():
    hand = readings()
    clock = clock_of(hand)
    steps = []
    for _ in range(5):
        hand.step_wall(timedelta(milliseconds=900))
        steps.append(clock.watch())
    assert steps == [None, None, ClockJump(2_700, certain=True), None, None]


def test_a_person_who_trusts_the_wall_clock_moves_the_timeline_to_it():
    hand = readings()
    clock = clock_of(hand)
    hand.step_wall(-HOUR)
    assert clock.set_to_wall() == -HOUR
    assert clock.now() == EIGHT - HOUR
    assert clock.watch() is None


def test_the_first_start_of_all_takes_the_wall_clock():
    clock, step = BayClock.resume(None, None, keep_offset=False, readings=readings())
    assert (clock.now(), step) == (EIGHT, None)


def test_a_restart_within_one_boot_counts_what_has_passed():
    hand = readings()
    last = (EIGHT, hand.stamp())
    hand.pass_time(10 * MINUTE)
    clock, step = BayClock.resume(last, EIGHT, keep_offset=True, readings=hand)
    assert (clock.now(), step) == (EIGHT + 10 * MINUTE, None)


@pytest.mark.parametrize("by", [HOUR, -HOUR])
def test_a_wall_clock_moved_while_the_program_was_down_is_reported_for_certain(by):
    hand = readings()
    last = (EIGHT, hand.stamp())
    hand.pass_time(10 * MINUTE)
    hand.step_wall(by)
    clock, step = BayClock.resume(last, None, keep_offset=True, readings=hand)
    assert clock.now() == EIGHT + 10 * MINUTE
    assert step == ClockJump(to_ms(by), certain=True)
    assert clock.watch() is None, "the step has been reported"


def test_a_reboot_goes_on_by_the_wall_clock():
    hand = readings()
    last = (EIGHT, hand.stamp())
    hand.reboot("boot-2", off=3 * HOUR)
    clock, step = BayClock.resume(last, EIGHT, keep_offset=True, readings=hand)
    assert (clock.now(), step) == (EIGHT + 3 * HOUR, None)


@pytest.mark.parametrize(("open_jobs", "expected"), [(True, EIGHT + HOUR), (False, EIGHT + 4 * HOUR)])
def test_the_distance_to_a_stepped_wall_clock_is_kept_over_a_reboot_while_jobs_are_open(open_jobs, expected):
    hand = readings()
    hand.step_wall(3 * HOUR)  # reported and recorded in the first boot: the timeline stayed at eight
    last = (EIGHT, hand.stamp())
    hand.reboot("boot-2", off=HOUR)
    clock, step = BayClock.resume(last, None, keep_offset=open_jobs, readings=hand)
    assert (clock.now(), step) == (expected, None)


def test_a_dead_clock_battery_leaves_the_last_known_moment_and_an_open_question():
    hand = readings()
    last = (EIGHT, hand.stamp())
    seen = EIGHT + 20 * MINUTE
    hand.reboot("boot-2")
    hand.wall_ms = to_ms(datetime(2024, 1, 1, tzinfo=UTC) - EPOCH)
    clock, step = BayClock.resume(last, seen, keep_offset=False, readings=hand)
    assert clock.now() == seen
    assert step == ClockJump(to_ms(datetime(2024, 1, 1, tzinfo=UTC) - seen), certain=False)
    hand.wall_ms = to_ms(seen + HOUR - EPOCH)  # the network sets the clock
    assert clock.now() == seen
    corrected = clock.watch()
    assert corrected is not None
    assert corrected.by_ms > 0
    assert clock.set_to_wall() == HOUR


def test_a_sign_of_life_after_the_last_entry_bounds_the_resumed_time():
    hand = readings()
    last = (EIGHT, hand.stamp())
    hand.reboot("boot-2", off=5 * MINUTE)
    start, step = resume_at(hand.stamp(), last, EIGHT + 6 * MINUTE, keep_offset=True)
    assert start == EIGHT + 6 * MINUTE
    assert step == ClockJump(-60_000, certain=False)


def test_a_machine_put_back_to_a_snapshot_is_treated_as_another_boot():
    hand = readings(boot_ms=900_000)
    last = (EIGHT, hand.stamp())
    hand.boot_ms = 1_000
    hand.step_wall(HOUR)
    assert resume_at(hand.stamp(), last, None, keep_offset=True) == (EIGHT + HOUR, None)


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


moves = st.one_of(
    st.tuples(st.just("pass"), st.integers(0, 10**9)),
    st.tuples(st.just("wall"), st.integers(-(10**11), 10**11)),
    st.tuples(st.just("boot back"), st.integers(0, 10**6)),  # no system does this; the timeline bears it
    st.tuples(st.just("reboot"), st.integers(-(10**9), 10**9)),
)


@given(st.lists(moves, max_size=30), st.booleans())
def test_now_never_goes_back_whatever_the_clocks_do(steps, open_jobs):
    hand = readings()
    clock = clock_of(hand)
    seen = [clock.now()]
    last = (seen[0], clock.stamp())
    for number, (move, by) in enumerate(steps):
        if move == "pass":
            hand.pass_time(timedelta(milliseconds=by))
        elif move == "wall":
            hand.step_wall(timedelta(milliseconds=by))
        elif move == "boot back":
            hand.boot_ms -= by
        else:
            hand.reboot(f"boot-{number + 2}", timedelta(milliseconds=by))
            clock, _step = BayClock.resume(last, seen[-1], open_jobs, hand)
        clock.watch()
        seen.append(clock.now())
        last = (seen[-1], clock.stamp())
    assert seen == sorted(seen)


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


@given(st.integers(0, 10**9), st.integers(-(10**10), 10**10), st.booleans())
def test_within_one_boot_the_wall_clock_decides_nothing(passed, stepped, open_jobs):
    then = Stamp("boot-1", 5_000, WALL_AT_EIGHT)
    now = replace(then, boot_ms=5_000 + passed, wall_ms=WALL_AT_EIGHT + passed + stepped)
    start, step = resume_at(now, (EIGHT, then), None, open_jobs)
    assert start == EIGHT + timedelta(milliseconds=passed)
    assert (step is not None) == (abs(stepped) > 2_000)


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
