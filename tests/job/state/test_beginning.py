"""What the board believes of the time at a start."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bayapp.clock import EPOCH, ClockJump, Stamp, to_ms
from bayapp.job.state.beginning import Sign, beginning, newest
from bayapp.job.state.machine_time import NOTHING_KNOWN, Anchor, MachineTime, Outage

EIGHT = datetime(2026, 11, 25, 8, tzinfo=UTC)
SECOND, MINUTE, HOUR = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1)
LAST = Sign(EIGHT, Stamp("boot-1", 900_000, to_ms(EIGHT - EPOCH)))
ANCHORED = MachineTime(anchors=(Anchor(EIGHT - HOUR, EIGHT - HOUR),))


def another_boot(wall: datetime, on_for: timedelta = 40 * SECOND) -> Stamp:
    return Stamp("boot-2", to_ms(on_for), to_ms(wall - EPOCH))


def test_a_new_store_takes_the_wall_clock():
    assert beginning(another_boot(EIGHT), False, None, NOTHING_KNOWN, hangs=False) == (EIGHT, None, None)


@pytest.mark.parametrize("by", [timedelta(), HOUR, -HOUR])
@pytest.mark.parametrize("synchronised", [True, False])
def test_within_one_boot_elapsed_time_alone_counts_and_a_moved_wall_clock_is_told(by, synchronised):
    now = Stamp("boot-1", 900_000 + 600_000, to_ms(EIGHT + 10 * MINUTE + by - EPOCH))
    begins = beginning(now, synchronised, LAST, ANCHORED, hangs=True)
    assert begins == (EIGHT + 10 * MINUTE, ClockJump(to_ms(by)) if by else None, None)


@pytest.mark.parametrize("wall", [EIGHT + 32 * MINUTE, datetime(1970, 1, 1, tzinfo=UTC), EIGHT + 3652 * 24 * HOUR])
def test_another_boot_whose_clock_nobody_sets_asks_and_counts_only_what_the_machine_has_been_on(wall):
    begins = beginning(another_boot(wall), False, LAST, ANCHORED, hangs=True)
    assert begins.at == EIGHT + 40 * SECOND
    assert begins.start
    assert (begins.start.off_since, begins.start.length) == (EIGHT, "asked")


def test_a_clock_that_a_time_service_set_before_and_after_measures_the_outage():
    begins = beginning(another_boot(EIGHT + 32 * MINUTE), True, LAST, ANCHORED, hangs=True)
    assert begins.at == EIGHT + 32 * MINUTE
    assert begins.start
    assert begins.start.length == "measured"


def test_the_board_keeps_its_distance_from_a_clock_that_was_set_while_waits_ran():
    known = MachineTime(anchors=(Anchor(EIGHT - HOUR, EIGHT + 2 * HOUR),))
    begins = beginning(another_boot(EIGHT + 3 * HOUR + 32 * MINUTE), True, LAST, known, hangs=True)
    assert begins.at == EIGHT + 32 * MINUTE


def test_a_clock_that_a_time_service_sets_only_now_measures_nothing():
    begins = beginning(another_boot(EIGHT + 32 * MINUTE), True, LAST, NOTHING_KNOWN, hangs=True)
    assert begins.start
    assert (begins.at, begins.start.length) == (EIGHT + 40 * SECOND, "asked")


@pytest.mark.parametrize("length", ["told", "unsure", "unasked"])
def test_an_outage_that_was_not_measured_breaks_the_chain_of_time_services(length):
    outage = Outage(EIGHT - 30 * MINUTE, EIGHT - 20 * MINUTE, MINUTE, timedelta(), length)
    known = replace(ANCHORED, outages=(outage,))
    begins = beginning(another_boot(EIGHT + 32 * MINUTE), True, LAST, known, hangs=True)
    assert begins.start
    assert begins.start.length == "asked"


def test_a_time_service_that_says_less_than_has_passed_is_not_believed():
    begins = beginning(another_boot(EIGHT + 30 * SECOND), True, LAST, ANCHORED, hangs=True)
    assert begins.start
    assert (begins.at, begins.start.length) == (EIGHT + 40 * SECOND, "asked")


@pytest.mark.parametrize("wall", [EIGHT + 12 * HOUR, EIGHT - 3652 * 24 * HOUR])
def test_where_nothing_hangs_on_it_the_board_takes_the_wall_clock_and_nobody_is_asked(wall):
    begins = beginning(another_boot(wall), False, LAST, NOTHING_KNOWN, hangs=False)
    assert begins.start
    assert (begins.at, begins.start.length) == (wall, "unasked")


def test_a_second_start_before_the_answer_asks_on():
    asked = Outage(EIGHT - HOUR, EIGHT - MINUTE, MINUTE, 3 * HOUR, "asked")
    begins = beginning(another_boot(EIGHT + HOUR), False, LAST, MachineTime(outages=(asked,)), hangs=False)
    assert begins.start
    assert (begins.at, begins.start.length, begins.start.offset) == (EIGHT + 40 * SECOND, "asked", 3 * HOUR)


def test_a_machine_put_back_to_a_snapshot_has_been_on_for_nobody_knows_how_long():
    begins = beginning(replace(LAST.stamp, boot_ms=5_000), False, LAST, NOTHING_KNOWN, hangs=True)
    assert begins.start
    assert (begins.at, begins.start.length) == (EIGHT, "asked")


def test_where_the_system_names_no_boot_a_moved_clock_may_look_like_another_boot_and_proves_nothing():
    unnamed = Sign(LAST.at, replace(LAST.stamp, boot_id="since-1"))
    now = replace(another_boot(EIGHT), boot_id="since-2", boot_ms=950_000)
    assert beginning(now, False, unnamed, NOTHING_KNOWN, hangs=True).at == EIGHT


def test_the_newest_sign_of_life_is_the_one_that_was_written_last():
    later = Sign(EIGHT - HOUR, replace(LAST.stamp, boot_ms=950_000))  # the time was put right in between
    assert newest(LAST, later, starts_recorded=True) == newest(later, LAST, starts_recorded=True) == later
    elsewhere = Sign(EIGHT + HOUR, replace(LAST.stamp, boot_id="boot-0"))
    assert newest(LAST, elsewhere, starts_recorded=True) == LAST
    assert newest(LAST, elsewhere, starts_recorded=False) == elsewhere
    assert newest(None, LAST, starts_recorded=False) == newest(LAST, None, starts_recorded=False) == LAST
