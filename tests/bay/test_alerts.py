"""The alerts of the bay: missed, answered, snoozed, and when each must sound."""

from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from bayapp.alerts.calls import JOIN, Call
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertState
from bayapp.bay import Bay
from bayapp.clock import PracticeClock
from bayapp.job import CloseJob, FinishStep, Start, zone_clock
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.state.requests import ReportSound
from tests.bay.practice_car import RIGHT_GLASS, RIM, level_rim, rows
from tests.job.builders import close, finish, job, recipe, step
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay


def test_every_call_of_a_car_that_left_is_withdrawn_and_those_of_the_others_stay(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        hand.wait(70)
        hand.update_alerts()
        called = {alert.condition.job for alert in hand.bay.alerts.unanswered()}
        assert called == {CAR, f"{CAR}-2"}
        assert hand.bay.request(CloseJob(CAR, ASH)).accepted
        assert {alert.condition.job for alert in hand.bay.alerts.unanswered()} == {f"{CAR}-2"}
        hand.update_alerts()
        assert {alert.condition.job for alert in hand.bay.alerts.unanswered()} == {f"{CAR}-2"}


def test_the_call_to_hand_a_car_over_goes_with_the_car(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand:
        hand.bay.open_job(job((["roof"], recipe(step("wipe")))))
        assert hand.bay.request(finish("roof", "wipe")).accepted
        hand.update_alerts()
        assert [alert.condition.kind for alert in hand.bay.alerts.unanswered()] == [AlertKind.HANDOVER]
        assert hand.bay.request(close()).accepted
        assert hand.bay.alerts.unanswered() == ()


def test_what_came_due_while_the_screen_was_off_is_raised_as_missed_and_what_was_due_before_is_not(hand: HandBay):
    hand.update_alerts()
    hand.bay.clock_watch.watch()
    hand.restart(off=timedelta(minutes=3))
    hand.update_alerts()
    missed = {a.condition.label for a in hand.bay.alerts.unanswered() if a.missed}
    assert missed == {
        "Rear right rim, excess off, first towel is too late; back to polish by hand",
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


# The next moment.


def kinds_of_zones(hand: HandBay) -> list[ZoneId]:
    """Return one zone for all that share a work block and a history: their clocks are the same value."""
    state = hand.bay.state.jobs[CAR]
    return list({(state.job.block_of[z].recipe.name, s.runs, s.rungs): z for z, s in state.zones.items()}.values())


def faces_at(hand: HandBay, zones: list[ZoneId], at: float) -> list[tuple[str, ...]]:
    clocks = [zone_clock(hand.bay.state.jobs[CAR], zone, OPENING + timedelta(seconds=at)) for zone in zones]
    return [(c.zone, c.urgency, c.stage, c.step or "") for c in clocks]


@pytest.mark.parametrize("grid_s", [6, pytest.param(1, marks=pytest.mark.slow)])
def test_every_change_of_a_clock_in_three_hours_falls_on_a_next_moment(hand: HandBay, grid_s: int):
    """Walk from moment to moment, and compare with looks every so many seconds that know nothing of moments."""
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
    looks = {s: faces_at(hand, zones, float(s)) for s in range(0, 3 * 3600 + 1, grid_s)}
    changes = [s for s, after in pairwise(looks) if looks[s] != looks[after]]
    assert len(changes) > 5
    for second in changes:
        inside = [m for m in moments if second < m <= second + grid_s]
        assert inside, f"between {second} s and {second + grid_s} s a clock changed at no moment"
        walked = [looks[second], *(faces_at(hand, zones, m) for m in inside)]
        assert walked[-1] == looks[second + grid_s], "the last moment of the stretch did not bring the change about"
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


def test_silence_calls_for_a_person_until_somebody_answers_and_is_forgotten_once_there_is_sound(hand: HandBay):
    hand.update_alerts()
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.bay.sound.take("The loudspeaker is muted.", hand.bay.now())
    hand.update_alerts()
    (alert,) = hand.bay.alerts.unanswered()
    assert (alert.condition.kind, alert.condition.label) == (
        AlertKind.ATTENTION,
        "No sound. The loudspeaker is muted",
    )
    hand.bay.sound.take("", hand.bay.now())
    hand.update_alerts()
    assert hand.bay.alerts.unanswered() == ()


def test_silence_that_somebody_answered_is_not_told_again_for_another_reason(hand: HandBay):
    hand.update_alerts()
    hand.bay.sound.take("The loudspeaker is muted.", hand.bay.now())
    hand.update_alerts()
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.wait(1)
    hand.bay.sound.take("The sound server has stopped.", hand.bay.now())
    hand.update_alerts()
    assert hand.bay.alerts.unanswered() == ()


def test_sound_checks_are_remembered(hand: HandBay):
    hand.bay.request(ReportSound(False))
    assert hand.bay.state.sound_checked_at == OPENING
    assert not hand.restart().state.sound_heard
