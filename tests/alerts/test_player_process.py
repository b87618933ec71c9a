"""How the player keeps its sound process alive, tried with stand-ins for that process."""

import os
import signal
import sys
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QProcess
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bayapp.alerts import player as player_module
from bayapp.alerts.device import Cause, DeviceState
from bayapp.alerts.device_words import reason
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.player import START_AGAIN_MS, SoundPlayer

PlayBy = Callable[[list[str]], SoundPlayer]

WORKING = '{"event": "state", "state": "working", "cause": "in use", "named": "a stand-in"}'


@pytest.fixture
def play_by(qtbot: QtBot, qapp: QApplication) -> Iterator[PlayBy]:
    """Make players that live no longer than the test."""
    players: list[SoundPlayer] = []

    def make(command: list[str]) -> SoundPlayer:
        players.append(SoundPlayer(qapp, command))
        return players[-1]

    yield make
    for player in players:
        player.close()
        with qtbot.waitSignal(player.destroyed):
            player.deleteLater()


def stand_in(program: str) -> list[str]:
    return [sys.executable, "-c", f"import sys\nprint('{WORKING}', flush=True)\n{program}"]


def test_a_program_that_is_not_there_is_reported_not_raised(qtbot: QtBot, play_by: PlayBy) -> None:
    player = play_by(["/nowhere/sounder"])
    player.play(AlertKind.OPENED)
    qtbot.waitUntil(lambda: player.device_state().state is DeviceState.FAILED)
    assert "does not start" in reason(player.device_state())


def test_a_process_that_ends_is_started_again(qtbot: QtBot, play_by: PlayBy) -> None:
    player = play_by(stand_in("sys.exit(3)"))
    states: list[DeviceState] = []
    player.stateChanged.connect(lambda report: states.append(report.state))
    qtbot.waitUntil(lambda: len(states) >= 4, timeout=20_000)
    assert states == [DeviceState.WORKING, DeviceState.FAILED] * 2


def test_a_process_that_ends_before_it_says_how_it_stands_is_reported_too(qtbot: QtBot, play_by: PlayBy) -> None:
    player = play_by([sys.executable, "-c", "raise SystemExit(3)"])
    qtbot.waitUntil(lambda: player.device_state().state is DeviceState.FAILED, timeout=20_000)
    assert player.device_state().cause is Cause.PROCESS_ENDED


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="stops a process as POSIX can")
def test_a_process_that_is_stopped_is_reported_and_another_started(
    qtbot: QtBot, play_by: PlayBy, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(player_module, "LOOK_MS", 100)
    monkeypatch.setattr(player_module, "START_LOOKS", 200)
    player = play_by(stand_in('import time\nwhile True: print(\'{"event": "alive"}\', flush=True); time.sleep(0.02)'))
    states: list[DeviceState] = []
    player.stateChanged.connect(lambda report: states.append(report.state))
    qtbot.waitUntil(lambda: player.device_state().state is DeviceState.WORKING, timeout=20_000)
    (process,) = player.findChildren(QProcess)
    first = process.processId()
    os.kill(first, signal.SIGSTOP)
    qtbot.waitUntil(lambda: states[1:] == [DeviceState.FAILED, DeviceState.WORKING], timeout=20_000)
    assert process.processId() != first


def test_a_process_that_keeps_ending_is_started_ever_more_seldom(qtbot: QtBot, play_by: PlayBy) -> None:
    player = play_by(["/nowhere/sounder"])
    pauses = [player.pause_ms]
    for _ in range(3):
        qtbot.waitUntil(lambda: player.pause_ms != pauses[-1])
        pauses.append(player.pause_ms)
    assert pauses == [START_AGAIN_MS * 2**ended for ended in range(4)]


def test_however_often_a_process_ended_it_is_started_again_after_the_longest_pause(
    qtbot: QtBot, play_by: PlayBy, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(player_module, "LONGEST_PAUSE_MS", 3 * START_AGAIN_MS)
    player = play_by(["/nowhere/sounder"])
    qtbot.waitUntil(lambda: player.pause_ms > 2 * START_AGAIN_MS)
    assert player.pause_ms == 3 * START_AGAIN_MS


def test_a_tone_asked_for_before_the_process_runs_is_written_once_it_does(qtbot: QtBot, play_by: PlayBy) -> None:
    echo = "print('{\"event\": \"finished\", \"kind\": \"' + ('lapsed' if 'lapsed' in input() else 'cured') + '\"}')"
    player = play_by(stand_in(echo))
    with qtbot.waitSignal(player.finished, timeout=20_000) as finished:
        player.play(AlertKind.LAPSED)
    assert finished.args == [AlertKind.LAPSED]


@pytest.mark.parametrize("end", ['print(\'{"event": "refused"}\', flush=True)\ninput()', "sys.exit(3)"])
def test_a_sound_check_that_cannot_be_heard_is_reported_incomplete(qtbot: QtBot, play_by: PlayBy, end: str) -> None:
    player = play_by(stand_in(f"input()\n{end}"))
    with qtbot.waitSignal(player.checked, timeout=20_000) as checked:
        player.sound_check()
    assert checked.args == [False]


def test_an_alert_ends_a_sound_check(qtbot: QtBot, play_by: PlayBy) -> None:
    player = play_by(stand_in("input()"))
    player.sound_check()
    with qtbot.waitSignal(player.checked) as checked:
        player.play(AlertKind.CLOSING)
    assert checked.args == [False]


def test_closing_ends_the_process(qtbot: QtBot, play_by: PlayBy) -> None:
    player = play_by(stand_in("sys.stdin.read()"))
    qtbot.waitUntil(lambda: player.device_state().state is DeviceState.WORKING)
    (process,) = player.findChildren(QProcess)
    assert process.state() is QProcess.ProcessState.Running
    player.close()
    assert process.state() is QProcess.ProcessState.NotRunning
