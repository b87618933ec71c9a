"""The one door: durable before it answers, all or nothing, the same after a restart."""

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.bay import door
from bayapp.clock import ClockJump
from bayapp.job import CloseJob, FinishStep, ReadAir, Refusal, ReopenJob, Request, Start, Verdict, Why, WriteNote
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.stock import Stock
from bayapp.job.grounds import Bare
from bayapp.job.model.ids import Code, JobId, StepId, Urgency, ZoneId
from bayapp.job.state.events import StepStarted
from bayapp.job.state.requests import SayTime, SetUpBay
from bayapp.job.vapour.vapour import vapour
from bayapp.practice import practice_scenario
from bayapp.record import StoreProblem
from tests.bay.practice_car import RIGHT_GLASS, RIM, WINDSCREEN, level_rim, rows
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay

# Durable before it answers.


def test_an_accepted_start_is_on_disk_when_the_answer_comes_back(hand: HandBay):
    before = rows(hand)
    assert hand.bay.request(level_rim()).accepted
    assert rows(hand) == before + 1


def test_listeners_hear_of_a_change_only_when_it_is_on_disk(hand: HandBay):
    before, heard = rows(hand), list[int]()
    hand.bay.subscribe(lambda: heard.append(rows(hand)))
    hand.bay.request(level_rim())
    assert heard == [before + 1]


def test_a_refused_start_writes_nothing_and_changes_nothing(hand: HandBay):
    before, state = rows(hand), hand.bay.state
    verdict = hand.bay.request(Start(CAR, (WINDSCREEN,), StepId("coat-3"), ASH))
    assert verdict.refusal
    assert verdict.refusal.code is Code.EARLY
    assert (rows(hand), hand.bay.state) == (before, state)


def test_judging_writes_nothing(hand: HandBay):
    before = rows(hand)
    assert hand.bay.judge(level_rim()).accepted
    assert rows(hand) == before


def test_a_store_that_fails_in_the_middle_of_a_set_leaves_nothing_of_it(hand: HandBay):
    """A trigger in the store itself lets the third row of one append fail."""
    before, state = rows(hand), hand.bay.state
    with closing(sqlite3.connect(hand.store / "journal.sqlite3")) as other:
        other.execute(
            f"CREATE TRIGGER broken BEFORE INSERT ON journal WHEN (SELECT count(*) FROM journal) >= {before + 2} "
            "BEGIN SELECT RAISE(ABORT, 'disk trouble'); END"
        )
        other.commit()
    with pytest.raises(StoreProblem, match=r"not bayapp's .*: trigger broken"):
        hand.bay.request(Start(CAR, RIGHT_GLASS, StepId("coat-1"), ASH))
    assert (rows(hand), hand.bay.state) == (before, state)


def test_one_touch_on_a_set_is_one_event_a_zone_with_one_touch_and_one_instant(hand: HandBay):
    before = len(hand.journal.read_job(CAR))
    step = hand.clock_of("glass-right-front").step
    assert step
    assert hand.bay.request(Start(CAR, RIGHT_GLASS, step, ASH)).accepted
    new = hand.journal.read_job(CAR)[before:]
    assert [e.zone for e in new if isinstance(e, StepStarted)] == list(RIGHT_GLASS)
    assert len({(e.at, e.touch) for e in new if isinstance(e, StepStarted)}) == 1


def test_a_set_is_refused_whole_when_one_of_its_zones_must_wait(hand: HandBay):
    before = rows(hand)
    step = hand.clock_of("glass-right-front").step
    assert step
    assert hand.bay.request(Start(CAR, RIGHT_GLASS[:1], step, ASH)).accepted
    assert not hand.bay.request(Start(CAR, RIGHT_GLASS, step, ASH)).accepted
    assert rows(hand) == before + 1


def test_a_note_on_a_set_is_written_about_every_zone_or_about_none(hand: HandBay):
    before, heard = rows(hand), list[int]()
    assert not hand.bay.request(WriteNote(CAR, "dust", (*RIGHT_GLASS, ZoneId("no-such")), ASH)).accepted
    assert rows(hand) == before
    hand.bay.subscribe(lambda: heard.append(rows(hand)))
    assert hand.bay.request(WriteNote(CAR, "dust", (*RIGHT_GLASS, RIGHT_GLASS[0]), ASH)).accepted
    assert heard == [before + len(RIGHT_GLASS)], "all in one transaction"
    notes = hand.bay.state.jobs[CAR].notes[-len(RIGHT_GLASS) :]
    assert [(n.zone, n.text) for n in notes] == [(zone, "dust") for zone in RIGHT_GLASS]


def test_the_same_car_is_not_taken_in_twice(hand: HandBay):
    job, _ = practice_scenario(OPENING)
    before = rows(hand)
    with pytest.raises(ValueError, match="in the bay already"):
        hand.bay.open_job(job)
    assert rows(hand) == before


# The same after a restart.


def test_a_restart_gives_the_same_state_and_the_same_clocks(hand: HandBay):
    hand.bay.request(level_rim())
    hand.bay.request(WriteNote(CAR, "fresh towel taken", (RIM,), ASH))
    state, clocks = hand.bay.state, hand.clocks()
    again = hand.restart()
    assert again.now() == OPENING
    assert again.state == state
    assert again.clocks(again.now()) == clocks


def restarted(hand: HandBay) -> None:
    """Start anew, and read one by one the cars that have left."""
    hand.restart()
    assert not hand.bay.knows_left
    while hand.bay.recall_left():
        pass
    assert hand.bay.knows_left


def test_a_car_that_left_more_than_a_day_ago_is_not_recalled_and_one_that_left_since_the_start_only_once(
    tmp_path: Path,
):
    with hand_bay(tmp_path, cars=2) as hand:
        first, second = (state.job.id for state in hand.bay.state.open_jobs)
        assert hand.bay.request(CloseJob(first)).accepted
        hand.wait(24 * 3600)
        hand.restart()
        assert hand.bay.request(CloseJob(second)).accepted
        left = hand.bay.state.jobs[second]
        assert hand.bay.recall_left()
        assert not hand.bay.recall_left()
        assert list(hand.bay.state.jobs) == [first, second]
        assert hand.bay.state.jobs[second] is left
        hand.wait(1)
        hand.restart()
        assert hand.bay.recall_left()
        assert not hand.bay.recall_left()
        assert list(hand.bay.state.jobs) == [second]


def test_a_car_that_cannot_be_read_is_not_taken_for_one_that_gave_nothing_and_is_read_once_it_can_be(hand: HandBay):
    assert hand.bay.request(CloseJob(CAR)).accepted
    hand.restart()
    with closing(sqlite3.connect(hand.store / "journal.sqlite3")) as other, other:
        (body,) = other.execute("SELECT body FROM journal WHERE seq = 1").fetchone()
        other.execute("UPDATE journal SET body = 'no event' WHERE seq = 1")
    for _ in range(2):
        with pytest.raises(StoreProblem):
            hand.bay.recall_left()
        assert not hand.bay.knows_left
    with closing(sqlite3.connect(hand.store / "journal.sqlite3")) as other, other:
        other.execute("UPDATE journal SET body = ? WHERE seq = 1", (body,))
    assert hand.bay.recall_left()
    assert hand.bay.knows_left
    assert CAR in hand.bay.state.jobs


def test_a_car_that_left_by_mistake_comes_back_with_its_clocks_which_have_run_on(hand: HandBay):
    before = hand.clock_of("windscreen")
    assert hand.bay.request(CloseJob(CAR, ASH)).accepted
    hand.wait(90)
    assert hand.bay.request(ReopenJob(CAR, BO)).accepted
    after = hand.clock_of("windscreen")
    assert (after.opens_at, after.lapses_at) == (before.opens_at, before.lapses_at)
    assert (before.urgency, after.urgency) == (Urgency.WAITING, Urgency.OPEN)
    state = hand.bay.state
    assert hand.restart().state == state


def test_a_car_that_left_days_ago_comes_back_under_the_air_of_its_own_days(tmp_path: Path):
    """The state has forgotten both the car and the readings; a restart and the door must find the same."""
    with hand_bay(tmp_path) as hand:
        whole = hand.bay.state.jobs[CAR]
        assert hand.bay.request(CloseJob(CAR, ASH)).accepted
        hand.wait(3 * 24 * 3600)
        hand.restart()
        hand.bay.request(ReadAir(31.0, 40.0))
        assert CAR not in hand.bay.state.jobs
        assert hand.bay.request(ReopenJob(CAR, ASH)).accepted
        back = hand.bay.state.jobs[CAR]
        assert back.zones == whole.zones
        assert back.readings == (*whole.readings, hand.bay.state.air)
        live = hand.bay.state
        assert hand.restart().state == live


def test_a_car_that_was_never_here_or_is_here_does_not_come_back(hand: HandBay):
    before = rows(hand)
    refusal = hand.bay.request(ReopenJob(JobId("never-here"))).refusal
    assert refusal
    assert refusal.why is Why.NO_SUCH_JOB
    refusal = hand.bay.request(ReopenJob(CAR)).refusal
    assert refusal
    assert refusal.why is Why.JOB_INSIDE
    assert rows(hand) == before


def test_what_a_car_took_from_a_bottle_is_counted_once_however_often_it_leaves_and_comes_back(hand: HandBay):
    bottle = next(b for b in hand.bay.state.shelf.bottles.values() if b.product.name == "glass-coat")

    def left() -> float:
        return Stock(hand.bay.state, hand.bay.now()).left(bottle).ml

    at_first = left()
    assert at_first < bottle.seen_ml
    for _ in range(2):
        assert hand.bay.request(CloseJob(CAR, ASH)).accepted
        bottle = hand.bay.state.shelf.bottles[bottle.id]
        assert left() == pytest.approx(at_first, abs=0.001)
        assert hand.bay.request(ReopenJob(CAR, ASH)).accepted
        bottle = hand.bay.state.shelf.bottles[bottle.id]
        assert left() == pytest.approx(at_first, abs=0.001)


def test_the_solvent_of_a_car_that_has_left_is_still_in_the_air_after_a_restart(tmp_path: Path):
    """The estimate goes on as if the program had run all the time, also when the car left while others stand inside."""
    with hand_bay(tmp_path, cars=2) as hand:
        hand.bay.request(SetUpBay(3.0, 180.0, 2.0, 3.0))
        for number in (1, 2):
            others = [state.job for state in hand.bay.state.open_jobs]
            assert hand.bay.request(CloseJob(others[0].id, others[0].crew[0])).accepted
            before = vapour(hand.bay.state, hand.bay.now())
            assert before
            assert before.now_share > 0.01
            restarted(hand)
            assert vapour(hand.bay.state, hand.bay.now()) == before, number
        hand.wait(3 * 3600)
        later = vapour(hand.bay.state, hand.bay.now())
        restarted(hand)
        assert vapour(hand.bay.state, hand.bay.now()) == later


def test_ten_minutes_off_pass_for_every_clock_within_one_boot_and_across_boots(tmp_path: Path):
    for boot in ("", "boot-2"):
        with hand_bay(tmp_path / f"store-{boot}") as hand:
            hand.readings.time_service = True
            hand.bay.clock_watch.watch()
            opens = hand.clock_of("windscreen").opens_at
            hand.restart(off=timedelta(minutes=10), boot=boot)
            assert hand.bay.now() == OPENING + timedelta(minutes=10)
            clock = hand.clock_of("windscreen")
            assert (clock.opens_at, clock.urgency) == (opens, Urgency.OPEN)


def test_now_never_runs_behind_the_last_entry(hand: HandBay):
    hand.bay.request(ReadAir(20, 50), OPENING + timedelta(seconds=30))
    assert hand.bay.now() == OPENING + timedelta(seconds=30)
    assert hand.wait(31) == OPENING + timedelta(seconds=31)


def test_a_finish_passes_the_same_door(hand: HandBay):
    before = rows(hand)
    assert hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO)).accepted
    assert rows(hand) == before + 1


def test_what_the_shop_says_of_its_bay_is_kept_over_a_restart_and_recorded_only_when_it_changes(hand: HandBay):
    before = rows(hand)
    hand.bay.request(SetUpBay(3.0, None, None, 3.0))
    assert rows(hand) == before, "that holds anyway"
    hand.bay.request(SetUpBay(4.0, 180.0, 2.0, 3.0))
    hand.bay.request(SetUpBay(4.0, 180.0, 2.0, 3.0))
    assert rows(hand) == before + 1
    bay = hand.restart(timedelta(minutes=1))
    assert bay.state.dew_margin_k == 4.0
    assert bay.state.set_up
    assert bay.state.set_up.volume_m3 == 180.0


# Nothing skips the gate.


def test_what_the_gate_refuses_is_recorded_by_no_part_of_the_bay(hand: HandBay, monkeypatch: pytest.MonkeyPatch):
    """Every way by which a part of the bay has something written down, on a gate that lets nothing through."""
    hand.update_alerts()
    alerts, state, before = hand.bay.alerts.book, hand.bay.state, rows(hand)
    subjects = [alert.condition.subject for alert in alerts.alerts]
    refusal = Refusal(Code.UNKNOWN, Bare(Why.NO_REASON))
    asked: list[Request] = []

    def refuse(request: Request, _facts: BayFacts) -> Verdict:
        asked.append(request)
        return Verdict(refusals=(refusal,))

    monkeypatch.setattr(door, "judge", refuse)
    assert hand.bay.request(level_rim()).refusal is refusal
    with pytest.raises(ValueError, match="No reason was given"):
        hand.bay.open_job(practice_scenario(OPENING)[0])
    hand.bay.alerts.acknowledge(subjects)
    hand.bay.alerts.snooze(subjects, timedelta(minutes=5))
    assert hand.bay.sensors.trust("door", OPENING).refusal is refusal
    assert hand.bay.clock_watch.jumped(ClockJump(5_000)).refusal is refusal
    assert hand.bay.clock_watch.say(SayTime("time", OPENING)).refusal is refusal
    hand.bay.clock_watch.time_zone_changed("UTC", "Asia/Tokyo")
    hand.readings.step_wall(timedelta(minutes=5))
    hand.bay.clock_watch.watch()
    assert (rows(hand), hand.bay.state, hand.bay.alerts.book) == (before, state, alerts)
    assert {type(request).__name__ for request in asked} == {
        *("Start", "OpenJob", "AnswerAlerts", "TrustSensor", "ReportClockJump", "SayTime", "ReportTimeZone")
    }
