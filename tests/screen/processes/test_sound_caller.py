"""What the wall's voice tells of a sound check; the sound process is stood in for."""

import pytest
from PySide6.QtCore import QObject, Signal

from bayapp.screen.processes import sound_caller


class Player(QObject):
    """Tells of the end of a check as the real player does: also when a new one cuts it short."""

    stateChanged = Signal(object)  # noqa: N815 (the player's name)
    checked = Signal(bool)
    playing = False

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
