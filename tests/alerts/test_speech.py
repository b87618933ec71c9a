"""The voice is off until wanted, and its absence is no error."""

import pytest
from PySide6.QtTextToSpeech import QTextToSpeech
from pytestqt.qtbot import QtBot

from bayapp.alerts import speech
from bayapp.alerts.speech import Speaker


@pytest.fixture
def engines(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The engines that Qt finds; ``mock`` is Qt's own silent one."""
    found: list[str] = []
    monkeypatch.setattr(QTextToSpeech, "availableEngines", lambda: found)
    return found


def test_without_a_voice_speaking_is_silence_with_a_reason(qtbot: QtBot, engines: list[str]) -> None:
    speaker = Speaker()
    speaker.set_on(True)
    assert not speaker.say("Windscreen, layer two is ready.")
    there, reason = speaker.available()
    assert not there
    assert "No voice" in reason


def test_a_stand_in_for_tests_is_no_voice(qtbot: QtBot, engines: list[str]) -> None:
    engines.append("mock")
    assert not Speaker().available()[0]


def test_a_voice_is_off_until_switched_on(qtbot: QtBot, engines: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(speech, "SILENT_ENGINES", frozenset())
    engines.append("mock")
    speaker = Speaker()
    assert not speaker.say("Windscreen, layer two is ready.")
    speaker.set_on(True)
    assert speaker.available() == (True, "Calls are spoken.")
    assert speaker.say("Windscreen, layer two is ready.")
    speaker.set_on(False)
    assert not speaker.say("Windscreen, layer two is ready.")


def test_a_library_that_does_not_load_is_no_error(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(speech, "MISSING", "libspeechd.so.2: cannot open shared object file")
    speaker = Speaker()
    speaker.set_on(True)
    assert not speaker.available()[0]
    assert not speaker.say("Windscreen, layer two is ready.")
