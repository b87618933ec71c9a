"""The one door: durable before it answers, all or nothing, the same after a restart, true to real time."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from bayapp.alerts.calls import JOIN, Call
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertState
from bayapp.bay import Bay
from bayapp.clock import PracticeClock
from bayapp.job import CloseJob, FinishStep, ReadAir, Start, WriteNote, zone_clock
from bayapp.job.model.ids import Code, StepId, Urgency, ZoneId
from bayapp.job.state.events import ClockStepped, StepStarted
from bayapp.job.state.requests import ReportSound, SetUpBay
from bayapp.job.vapour.vapour import vapour
from bayapp.practice import practice_scenario
from bayapp.record import AppendConflict, BackgroundWriteFailed, StoreProblem
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay

RIGHT_GLASS = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
WINDSCREEN = ZoneId("windscreen")
RIM = ZoneId("rim-rear-right")


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path) as found:
        yield found


def rows(hand: HandBay) -> int:
    """Count what another connection finds on the disk."""
    with closing(sqlite3.connect(f"file:{hand.store / 'journal.sqlite3'}?mode=ro", uri=True)) as other:
        return int(other.execute("SELECT count(*) FROM journal").fetchone()[0])


def level_rim() -> Start:
    return Start(CAR, (RIM,), StepId("level"), ASH)


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
    with pytest.raises(AppendConflict):  # how the journal tells of a broken constraint
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
    for boot in ("boot-1", "boot-2"):
        with hand_bay(tmp_path / boot) as hand:
            opens = hand.clock_of("windscreen").opens_at
            hand.restart(off=timedelta(minutes=10), boot=boot)
            assert hand.bay.now() == OPENING + timedelta(minutes=10)
            clock = hand.clock_of("windscreen")
            assert (clock.opens_at, clock.urgency) == (opens, Urgency.OPEN)


def test_what_came_due_while_the_screen_was_off_is_raised_as_missed_and_what_was_due_before_is_not(hand: HandBay):
    hand.update_alerts()
    hand.bay.clock_watch.watch()
    hand.restart(off=timedelta(minutes=3))
    hand.update_alerts()
    missed = {a.condition.label for a in hand.bay.alerts.unanswered() if a.missed}
    assert missed == {
        "Rear right rim, excess off, first towel is too late; back to solvent wipe",
        "Windscreen, coat in circles is ready",
    }
    hand.wait(60 * 15)
    hand.update_alerts()
    later = [a for a in hand.bay.alerts.unanswered() if a.condition.label.startswith("Bonnet")]
    assert later
    assert not any(a.missed for a in later)


def test_an_acknowledged_alert_stays_silent_after_a_restart(hand: HandBay):
    hand.wait(70)
    hand.update_alerts()
    subjects = [a.condition.subject for a in hand.bay.alerts.unanswered()]
    assert any("windscreen" in s for s in subjects)
    hand.bay.alerts.acknowledge(subjects)
    hand.restart(off=timedelta(seconds=5))
    hand.update_alerts()
    assert not [a for a in hand.bay.alerts.unanswered() if a.condition.subject in subjects]


def test_an_alert_answered_just_before_the_power_fails_is_not_called_missed(hand: HandBay):
    """The last sign of life is older than the answer: the answer is one itself."""
    hand.bay.clock_watch.watch()
    hand.wait(71)
    hand.update_alerts()
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.restart(off=timedelta(seconds=1))
    hand.update_alerts()
    assert hand.bay.alerts.unanswered() == ()


def test_closing_is_asked_anew_after_a_restart_although_opened_was_answered(hand: HandBay):
    hand.wait(70)
    hand.update_alerts()
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    closing_from = hand.clock_of("windscreen").closing_from
    assert closing_from
    hand.restart(off=closing_from - hand.bay.now())
    hand.update_alerts()
    labels = [a.condition.label for a in hand.bay.alerts.unanswered()]
    assert "Windscreen, coat in circles closes soon" in labels


def test_a_snoozed_alert_comes_back_when_its_time_is_up_even_after_a_restart(hand: HandBay):
    hand.wait(70)
    hand.update_alerts()
    opened = [a.condition.subject for a in hand.bay.alerts.unanswered() if "windscreen" in a.condition.subject]
    hand.bay.alerts.snooze(opened, timedelta(minutes=5))
    hand.restart(off=timedelta(minutes=2))
    hand.update_alerts()
    assert not [a for a in hand.bay.alerts.unanswered() if a.condition.subject in opened]
    hand.wait(180)
    assert hand.bay.alerts.update(hand.bay.now(), hand.clocks())
    assert [a for a in hand.bay.alerts.unanswered() if a.condition.subject in opened]


def test_a_snooze_is_bounded_to_ten_minutes_and_is_on_disk(hand: HandBay):
    hand.wait(70)
    hand.update_alerts()
    before = rows(hand)
    subjects = [a.condition.subject for a in hand.bay.alerts.unanswered() if "windscreen" in a.condition.subject]
    hand.bay.alerts.snooze(subjects, timedelta(hours=9))
    assert rows(hand) == before + 1
    assert {a.snoozed_until for a in hand.bay.alerts.book.alerts if a.condition.subject in subjects} == {
        hand.bay.now() + timedelta(minutes=10)
    }


def calling_for(hand: HandBay, zone: ZoneId) -> list[Alert]:
    return [a for a in hand.bay.alerts.unanswered() if zone in a.condition.zones]


def test_whoever_begins_the_step_has_answered_the_call_for_it(hand: HandBay):
    hand.update_alerts()
    assert calling_for(hand, RIM)
    hand.bay.request(level_rim())
    hand.update_alerts()
    assert not calling_for(hand, RIM)


@pytest.mark.parametrize("first", RIGHT_GLASS)
def test_to_begin_one_of_three_answered_panes_calls_the_other_two_no_second_time(hand: HandBay, first: ZoneId):
    """The practice day has answered them when the board opens."""
    pane = next(a for a in refreshed(hand) if first in a.condition.zones)
    assert (pane.state, set(pane.condition.zones)) == (AlertState.ACKNOWLEDGED, set(RIGHT_GLASS))
    step = hand.clock_of(first).step
    assert step
    assert hand.bay.request(Start(CAR, (first,), step, ASH)).accepted
    rest = next(a for a in refreshed(hand) if a.condition.subject == pane.condition.subject)
    assert set(rest.condition.zones) == set(RIGHT_GLASS) - {first}
    assert not [a for zone in RIGHT_GLASS for a in calling_for(hand, zone)]
    hand.restart(off=timedelta(seconds=1))
    hand.update_alerts()
    assert not [a for zone in RIGHT_GLASS for a in calling_for(hand, zone)]


def refreshed(hand: HandBay) -> tuple[Alert, ...]:
    hand.update_alerts()
    return hand.bay.alerts.book.alerts


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


def test_an_answer_that_cannot_be_recorded_silences_nothing(hand: HandBay, monkeypatch: pytest.MonkeyPatch):
    hand.update_alerts()
    before = hand.bay.alerts.unanswered()
    assert before

    def full(*_: object) -> None:
        raise OSError("no room")

    monkeypatch.setattr(hand.journal, "append", full)
    for answer in (
        hand.bay.alerts.acknowledge,
        lambda subjects: hand.bay.alerts.snooze(subjects, timedelta(minutes=5)),
    ):
        with pytest.raises(OSError, match="no room"):
            answer([a.condition.subject for a in before])
    assert hand.bay.alerts.unanswered() == before


def test_now_never_runs_behind_the_last_entry(hand: HandBay):
    hand.bay.request(ReadAir(20, 50), OPENING + timedelta(seconds=30))
    assert hand.bay.now() == OPENING + timedelta(seconds=30)
    assert hand.wait(31) == OPENING + timedelta(seconds=31)


# The next moment.


def kinds_of_zones(hand: HandBay) -> list[ZoneId]:
    """Return one zone for all that share a work block and a history: their clocks are the same value."""
    state = hand.bay.state.jobs[CAR]
    return list({(state.job.block_of[z].recipe.name, s.runs, s.rungs): z for z, s in state.zones.items()}.values())


def faces_at(hand: HandBay, zones: list[ZoneId], at: float) -> list[tuple[str, ...]]:
    clocks = [zone_clock(hand.bay.state.jobs[CAR], zone, OPENING + timedelta(seconds=at)) for zone in zones]
    return [(c.zone, c.urgency, c.stage, c.step or "") for c in clocks]


def test_every_change_of_a_clock_in_three_hours_falls_on_a_next_moment(hand: HandBay):
    """Walk from moment to moment, and compare with a scan of every second that knows nothing of moments."""
    at, end, zones = OPENING, OPENING + timedelta(hours=3), kinds_of_zones(hand)
    assert len(zones) > 12
    moments = list[float]()
    while True:
        following = hand.bay.alerts.next_moment(at, hand.bay.clocks(at))
        if following is None or following > end:
            break
        assert following > at
        moments.append((following - OPENING) / timedelta(seconds=1))
        at = following
    looks = [faces_at(hand, zones, float(s)) for s in range(3 * 3600 + 1)]
    changes = [s for s, (before, after) in enumerate(pairwise(looks)) if before != after]
    assert len(changes) > 5
    for second in changes:
        inside = [m for m in moments if second < m <= second + 1]
        assert inside, f"between {second} s and {second + 1} s a clock changed at no moment"
        walked = [faces_at(hand, zones, float(second)), *(faces_at(hand, zones, m) for m in inside)]
        assert walked[-1] == looks[second + 1], "the last moment of the second did not bring the change about"
        for moment in inside:
            assert faces_at(hand, zones, moment - 0.001) in walked, "the change came before its moment"


def test_the_next_moment_is_when_an_alert_must_sound_again(hand: HandBay):
    hand.update_alerts()
    first = hand.bay.alerts.next_moment(OPENING, hand.clocks())
    assert first
    hand.go_to(first)
    assert hand.bay.alerts.update(first, hand.clocks())


def calls_of_a_night(hand: HandBay, until: datetime) -> list[Call]:
    """Go from moment to moment as the wall does, with nobody there."""
    calls: list[Call] = []
    while (moment := hand.bay.alerts.next_moment(hand.bay.now(), hand.clocks())) and moment <= until:
        hand.go_to(moment)
        calls += [call] if (call := hand.bay.alerts.update(moment, hand.clocks())) else []
    hand.go_to(until)
    return calls


def test_an_empty_shop_is_not_called_all_night_and_whoever_comes_back_is(hand: HandBay):
    calls_of_a_night(hand, OPENING + timedelta(hours=4))
    morning = OPENING + timedelta(hours=10)
    night = calls_of_a_night(hand, morning)
    assert len(night) == 6 * 4, "a reminder every quarter of an hour"
    assert all(call.kind is AlertKind.LAPSED for call in night)
    assert hand.bay.alerts.unanswered()
    assert hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO)).accepted
    calls = calls_of_a_night(hand, morning + timedelta(minutes=3))
    assert len(calls) > 3 * 60 // 20


@pytest.mark.parametrize("speed", [1, 10, 60])
def test_practice_calls_no_faster_in_real_seconds_than_a_working_day(hand: HandBay, speed: float):
    """Nobody answers for ten real minutes; what repeats by itself does so after as long as on a working day."""
    bay = Bay(hand.journal, PracticeClock(hand.bay.now(), speed, hand.readings))
    gaps: list[float] = []
    start = hand.readings.boot_ms
    while hand.readings.boot_ms - start < 600_000:
        now, before = bay.now(), {(a.condition.subject, a.condition.kind): a for a in bay.alerts.book.alerts}
        call = bay.alerts.update(now, bay.clocks(now))
        counted = 0
        for alert in bay.alerts.book.alerts if call else ():
            last = before.get((alert.condition.subject, alert.condition.kind))
            counted += last is None or alert.calls != last.calls
            if last and last.called_at and 0 < last.calls < alert.calls:
                floor = alert.condition.kind.row.repeat.floor
                gaps.append((now - last.called_at) / speed / floor)
                assert now - last.called_at >= (floor - JOIN) * speed
        assert not call or counted, "a call for nothing that was due"
        moment = bay.alerts.next_moment(now, bay.clocks(now))
        assert moment
        # The wall looks at other moments, too: at every change and every second.
        hand.readings.pass_time(min((moment - now) / speed, timedelta(seconds=3)) + timedelta(milliseconds=1))
    assert len(gaps) > 20
    assert min(gaps) < 1.1, "the floor is reached, and is no longer at speed"


def test_a_bay_without_a_car_has_no_next_moment(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand:
        assert hand.bay.alerts.next_moment(OPENING, hand.clocks()) is None
        assert hand.bay.advice.for_person(hand.clocks(), None, OPENING) == ((), None)


def test_sound_checks_are_remembered(hand: HandBay):
    hand.bay.request(ReportSound(False))
    assert hand.bay.state.sound_checked_at == OPENING
    assert not hand.restart().state.sound_heard


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
