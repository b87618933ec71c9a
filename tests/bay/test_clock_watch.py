"""The machine's clock: a jump moves no wait, and a doubt is asked about."""

import sqlite3
from contextlib import closing
from datetime import timedelta

import pytest

from bayapp.job.model.ids import Code
from bayapp.job.state.events import AirRead, ClockStepped
from bayapp.job.state.requests import ReadAir, SayTime
from bayapp.record import BackgroundWriteFailed
from tests.bay.practice_car import level_rim, rows
from tests.pages.bays import OPENING, HandBay

MINUTE = timedelta(minutes=1)


def test_a_clock_step_is_recorded_and_moves_no_wait(hand: HandBay):
    now, clocks = hand.bay.now(), hand.clocks()
    hand.readings.step_wall(timedelta(hours=-1))
    hand.bay.clock_watch.watch()
    step = hand.bay.state.clock_steps[-1]
    assert (step.by_ms, step.settled) == (-3_600_000, True)
    assert isinstance(hand.journal.read()[-1], ClockStepped)
    assert hand.bay.now() == now
    assert hand.clocks() == clocks
    assert hand.bay.request(level_rim()).accepted


def test_a_clock_step_that_could_not_be_written_is_recorded_once_the_store_works_again(hand: HandBay):
    hand.readings.step_wall(timedelta(hours=1))
    with closing(sqlite3.connect(hand.store / "journal.sqlite3", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        for _ in range(2):
            with pytest.raises(BackgroundWriteFailed):
                hand.bay.clock_watch.watch()
        other.execute("ROLLBACK")
    unwritten = hand.bay.state
    assert unwritten.clock_steps == ()
    for _ in range(2):
        hand.bay.clock_watch.watch()
    (step,) = hand.bay.state.clock_steps
    assert (step.by_ms, step.settled) == (3_600_000, True)


def test_a_small_drift_of_the_wall_clock_is_no_step(hand: HandBay):
    before = rows(hand)
    hand.readings.step_wall(timedelta(seconds=2))
    hand.bay.clock_watch.watch()
    assert rows(hand) == before


def off(hand: HandBay, span: timedelta, boot: str = "boot-2", up: timedelta = MINUTE) -> None:
    """Switch the machine off for so long; a minute after it is on, the program starts."""
    hand.readings.time_service = False
    hand.restart(span, boot, up)


def heard(hand: HandBay) -> None:
    """Let a time service set the machine's clock, and the wall notice it."""
    hand.readings.time_service = True
    hand.bay.clock_watch.watch()


def test_after_an_outage_every_step_is_refused_until_a_person_has_said_what_time_it_is(hand: HandBay):
    off(hand, 30 * MINUTE)
    assert hand.bay.now() == OPENING + MINUTE, "no more time has passed for sure than the machine has been on"
    refusal = hand.bay.request(level_rim()).refusal
    assert refusal
    assert refusal.code is Code.CLOCK
    hand.update_alerts()
    assert any("clock" in a.condition.subject for a in hand.bay.alerts.unanswered())
    assert hand.bay.clock_watch.by_machine() == OPENING + 31 * MINUTE
    hand.bay.clock_watch.say(SayTime("machine", hand.bay.clock_watch.by_machine()))
    assert hand.bay.now() == OPENING + 31 * MINUTE
    assert not hand.bay.clock_watch.unsure
    hand.restart()
    assert hand.bay.now() == OPENING + 31 * MINUTE


def test_with_no_car_inside_and_nothing_recorded_today_nobody_is_asked(empty: HandBay):
    off(empty, timedelta(days=2))
    assert not empty.bay.clock_watch.unsure
    assert empty.bay.now() == OPENING + timedelta(days=2, minutes=1)


def test_what_was_recorded_today_is_reason_enough_to_ask_and_what_was_yesterday_is_not(empty: HandBay):
    empty.bay.request(ReadAir(20, 50))
    off(empty, timedelta(minutes=5))
    assert empty.bay.clock_watch.unsure
    empty.bay.clock_watch.say(SayTime("unknown"))
    off(empty, timedelta(days=1), "boot-3")
    assert not empty.bay.clock_watch.unsure


def test_a_boot_with_a_clock_ten_years_ahead_does_not_stick_when_nothing_is_running(empty: HandBay):
    empty.readings.step_wall(timedelta(days=3652))
    off(empty, timedelta(days=1))
    assert empty.bay.now().year == 2036
    empty.readings.step_wall(timedelta(days=-3652))
    off(empty, timedelta(days=1), "boot-3")
    assert empty.bay.now() == OPENING + timedelta(days=2, minutes=2)
    assert empty.bay.request(ReadAir(20, 50)).accepted


@pytest.mark.parametrize("years", [-56, 10])
def test_a_bad_boot_with_a_car_inside_does_not_stick_either(hand: HandBay, years):
    by = timedelta(days=round(years * 365.25))
    hand.readings.step_wall(by)
    off(hand, 30 * MINUTE)
    assert hand.bay.now() == OPENING + MINUTE
    hand.readings.step_wall(-by)
    off(hand, 10 * MINUTE, "boot-3")
    assert hand.bay.clock_watch.by_machine() == OPENING + 42 * MINUTE, (
        "by the machine's clock as it was before all that"
    )
    hand.bay.clock_watch.say(SayTime("machine", hand.bay.clock_watch.by_machine()))
    assert hand.bay.now() == OPENING + 42 * MINUTE


def test_a_time_service_heard_before_and_after_measures_the_outage_and_nobody_is_asked(hand: HandBay):
    heard(hand)
    hand.restart(30 * MINUTE, "boot-2", MINUTE)
    assert not hand.bay.clock_watch.unsure
    assert hand.bay.now() == OPENING + 31 * MINUTE


def test_a_time_service_heard_while_the_question_stands_answers_it(hand: HandBay):
    heard(hand)
    off(hand, 30 * MINUTE)
    assert hand.bay.clock_watch.unsure
    heard(hand)
    assert not hand.bay.clock_watch.unsure
    assert hand.bay.now() == OPENING + 31 * MINUTE
    assert hand.bay.state.machine.outages[-1].length == "measured"


def test_a_time_service_heard_only_afterwards_leaves_the_question_open(hand: HandBay):
    off(hand, 30 * MINUTE)
    heard(hand)
    assert hand.bay.clock_watch.unsure
    hand.restart()
    assert hand.bay.clock_watch.unsure


def test_a_false_answer_is_put_right_by_the_time_service_where_it_had_been_heard_before(hand: HandBay):
    heard(hand)
    off(hand, 30 * MINUTE)
    hand.bay.clock_watch.say(SayTime("time", OPENING + 61 * MINUTE))
    heard(hand)
    assert hand.bay.state.machine.behind == -30 * MINUTE
    hand.bay.clock_watch.say(SayTime("service", hand.bay.clock_watch.wall_time()))
    assert hand.bay.now() == OPENING + 31 * MINUTE
    hand.bay.clock_watch.watch()
    assert hand.bay.state.machine.behind == timedelta()


def test_putting_the_time_right_moves_what_was_recorded_since_and_the_journal_keeps_what_was_believed(hand: HandBay):
    off(hand, 30 * MINUTE)
    hand.bay.clock_watch.say(SayTime("time", OPENING + 61 * MINUTE))
    assert hand.bay.request(ReadAir(21, 50)).accepted
    outage = hand.bay.state.machine.outages[-1]
    hand.bay.clock_watch.say(SayTime("time", OPENING + 31 * MINUTE, outage.until))
    assert hand.bay.state.air
    assert hand.bay.state.air.at == OPENING + 31 * MINUTE
    assert hand.bay.now() == OPENING + 31 * MINUTE
    written = [e.event.at for e in hand.journal.entries() if isinstance(e.event, AirRead)]
    assert written[-1] == OPENING + 61 * MINUTE
    hand.wait(60)
    assert hand.bay.request(ReadAir(22, 50)).accepted
    before = hand.bay.state
    hand.restart()
    assert hand.bay.state == before


def test_the_next_start_goes_on_from_the_time_as_it_was_put_right_whatever_sign_of_life_came_before(hand: HandBay):
    off(hand, 30 * MINUTE)
    hand.bay.clock_watch.say(SayTime("time", OPENING + 61 * MINUTE))
    hand.bay.clock_watch.watch()
    outage = hand.bay.state.machine.outages[-1]
    hand.bay.request(SayTime("time", OPENING + 31 * MINUTE, outage.until))  # and killed before the next sign of life
    hand.restart()
    assert hand.bay.now() == OPENING + 31 * MINUTE


def test_alerts_are_those_of_the_time_that_was_put_right(hand: HandBay):
    off(hand, 30 * MINUTE)
    hand.bay.clock_watch.say(SayTime("time", OPENING + timedelta(days=1)))
    hand.update_alerts()
    assert any(alert.condition.since > OPENING + timedelta(hours=2) for alert in hand.bay.alerts.book.alerts)
    hand.bay.clock_watch.say(SayTime("time", OPENING + 31 * MINUTE, hand.bay.state.machine.outages[-1].until))
    hand.update_alerts()
    assert all(alert.condition.since <= hand.bay.now() for alert in hand.bay.alerts.book.alerts)
