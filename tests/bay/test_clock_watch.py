"""The machine's clock: a jump moves no wait, and a doubt is asked about."""

import sqlite3
from contextlib import closing
from datetime import timedelta

import pytest

from bayapp.job.model.ids import Code
from bayapp.job.state.events import ClockStepped
from bayapp.record import BackgroundWriteFailed
from tests.bay.practice_car import level_rim, rows
from tests.pages.bays import OPENING, HandBay

# The machine's clock.


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


def test_an_unsettled_clock_refuses_every_step_until_a_person_says_that_it_is_right(hand: HandBay):
    hand.readings.step_wall(timedelta(hours=-2))
    hand.restart(boot="boot-2")
    assert not hand.bay.state.clock_steps[-1].settled
    verdict = hand.bay.request(level_rim())
    assert verdict.refusal
    assert verdict.refusal.code is Code.CLOCK
    hand.update_alerts()
    assert any("clock" in a.condition.subject for a in hand.bay.alerts.unanswered())
    hand.bay.clock_watch.settle()
    assert hand.bay.request(level_rim()).accepted
    assert hand.bay.state.clock_steps[-1].by_ms == hand.bay.state.clock_steps[-2].by_ms


def test_a_clock_that_the_network_sets_later_leaves_the_question_open(hand: HandBay):
    hand.readings.step_wall(timedelta(hours=-2))
    hand.restart(boot="boot-2")
    hand.readings.step_wall(timedelta(hours=3))
    hand.bay.clock_watch.watch()
    assert hand.bay.clock_watch.unsure
    hand.restart(boot="boot-2")
    assert hand.bay.clock_watch.unsure
    assert hand.bay.request(level_rim()).refusal


def test_a_person_may_take_the_time_that_the_machine_was_off_from_its_clock(hand: HandBay):
    hand.readings.step_wall(timedelta(hours=-2))
    hand.restart(boot="boot-2")
    hand.readings.step_wall(timedelta(hours=3))
    hand.bay.clock_watch.watch()
    hand.bay.clock_watch.settle(to_wall=True)
    assert hand.bay.now() == hand.bay.clock_watch.wall_time() == OPENING + timedelta(hours=1)
    assert not hand.bay.clock_watch.unsure
    hand.restart(boot="boot-2")
    assert hand.bay.now() == OPENING + timedelta(hours=1)
