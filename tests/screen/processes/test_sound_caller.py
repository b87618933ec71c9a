"""What the wall's voice tells of a sound check; the sound process is stood in for."""

import pytest
from PySide6.QtCore import QObject, Signal
from pytestqt.qtbot import QtBot

from bayapp.alerts.device import Cause, DeviceReport, DeviceState
from bayapp.screen.processes import sound_caller


class Player(QObject):
    """Tells of the end of a check as the real player does: also when a new one cuts it short."""

    stateChanged = Signal(object)  # noqa: N815 (the player's name)
    checked = Signal(bool)
    playing = False
    report = DeviceReport(DeviceState.NONE, Cause.STARTING)

    def device_state(self) -> DeviceReport:
        return self.report

    def stands(self, state: DeviceState, cause: Cause) -> None:
        self.report = DeviceReport(state, cause)
        self.stateChanged.emit(self.report)

    def set_volume(self, volume: float) -> None:
        pass

    def sound_check(self) -> None:
        if self.playing:
            self.checked.emit(False)
        self.playing = True


@pytest.mark.parametrize("complete", [True, False])
def test_a_sound_check_tells_once_how_it_ended_and_a_new_one_forgets_the_old(
    monkeypatch: pytest.MonkeyPatch, complete: bool
):
    monkeypatch.setattr(sound_caller, "SoundPlayer", Player)
    voice, ends = sound_caller.SoundCaller(1.0, spoken=False), list[tuple[str, bool]]()
    voice.check(lambda whole: ends.append(("first", whole)))
    voice.check(lambda whole: ends.append(("second", whole)))
    (player,) = voice.findChildren(Player)
    player.checked.emit(complete)
    player.checked.emit(False)
    assert ends == [("second", complete)]


def test_silence_that_lasts_is_told_with_each_new_reason_and_its_end(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(sound_caller, "SoundPlayer", Player)
    monkeypatch.setattr(sound_caller, "TOLD_AFTER_MS", 1)
    voice, heard = sound_caller.SoundCaller(1.0, spoken=False), list[str]()
    voice.silenced.connect(heard.append)
    (player,) = voice.findChildren(Player)
    player.stands(DeviceState.FAILED, Cause.NO_SERVER)
    assert heard == []
    qtbot.waitUntil(lambda: len(heard) == 1)
    player.stands(DeviceState.FAILED, Cause.MUTED)
    player.stands(DeviceState.WORKING, Cause.IN_USE)
    assert ["server has stopped" in heard[0], "is muted" in heard[1], heard[2:]] == [True, True, [""]]


def test_a_device_that_is_back_soon_is_nothing_to_tell(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(sound_caller, "SoundPlayer", Player)
    monkeypatch.setattr(sound_caller, "TOLD_AFTER_MS", 1)
    voice, heard = sound_caller.SoundCaller(1.0, spoken=False), list[str]()
    voice.silenced.connect(heard.append)
    (player,) = voice.findChildren(Player)
    player.stands(DeviceState.FAILED, Cause.PROCESS_ENDED)
    player.stands(DeviceState.WORKING, Cause.IN_USE)
    qtbot.wait(10)  # lets the event loop turn
    assert heard == []


@pytest.mark.parametrize("cause", sound_caller.NEVER_THERE)
def test_a_machine_that_never_had_sound_calls_nobody_for_it_until_it_had_some(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, cause: Cause
):
    monkeypatch.setattr(sound_caller, "SoundPlayer", Player)
    monkeypatch.setattr(sound_caller, "TOLD_AFTER_MS", 1)
    voice, heard = sound_caller.SoundCaller(1.0, spoken=False), list[str]()
    voice.silenced.connect(heard.append)
    (player,) = voice.findChildren(Player)
    player.stands(DeviceState.NONE, cause)
    qtbot.wait(10)  # lets the event loop turn
    assert heard == []
    player.stands(DeviceState.WORKING, Cause.IN_USE)
    player.stands(DeviceState.NONE, cause)
    qtbot.waitUntil(lambda: len(heard) == 1)
