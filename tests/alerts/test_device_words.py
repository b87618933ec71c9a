"""Every way a sound device can stand has its sentence."""

import pytest

from bayapp.alerts.device import Cause, DeviceReport, DeviceState
from bayapp.alerts.device_words import reason, short_reason


@pytest.mark.parametrize("cause", Cause)
def test_every_cause_is_said_in_a_whole_sentence(cause: Cause):
    sentence = reason(DeviceReport(DeviceState.NONE, cause, "Loudspeaker 7"))
    assert sentence.endswith(".")
    assert "{" not in sentence


def test_the_device_that_sounds_is_named():
    assert reason(DeviceReport(DeviceState.WORKING, Cause.IN_USE, "Loudspeaker 7")) == "Sound goes to Loudspeaker 7."


def test_what_keeps_the_library_from_loading_is_said():
    sentence = reason(DeviceReport(DeviceState.NONE, Cause.NO_LIBRARY, "libpulse.so.0: cannot open"))
    assert "libpulse.so.0" in sentence


@pytest.mark.parametrize("cause", Cause)
def test_the_board_says_why_there_is_no_sound_in_few_words(cause: Cause):
    assert 1 <= len(short_reason(DeviceReport(DeviceState.FAILED, cause)).split()) <= 3
