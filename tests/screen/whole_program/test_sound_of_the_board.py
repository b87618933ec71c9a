"""What the board really sounds: recorded from a sound server's null sink while the whole program runs."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.tones import RATE, pattern, render
from tests.alerts.listening import Sound, listen, strokes
from tests.alerts.sound_server import PROGRAMS_ARE_HERE, Recorder, SoundServer, sound_server
from tests.screen.whole_program.programs import BoardProgram
from tests.screen.whole_program.stores import MINUTE, store_with_a_wait

pytestmark = pytest.mark.skipif(not PROGRAMS_ARE_HERE, reason="needs pulseaudio, pactl and parec")

REPEAT = AlertKind.OPENED.row.repeat.first
SECOND = timedelta(seconds=1)
READY = "Windscreen, coat is ready"
STEP_S = 10


@pytest.fixture(scope="module")
def server() -> Iterator[SoundServer]:
    with sound_server() as running:
        yield running


@pytest.fixture(scope="module")
def recorder(server: SoundServer) -> Iterator[Recorder]:
    with server.recorder() as running:
        yield running


def assert_is(sound: Sound, kind: AlertKind) -> None:
    """The recording has a kind's rhythm and its partials."""
    heard, stated = listen(sound).pulses, pattern(kind)
    assert [pulse.on_s for pulse in heard] == pytest.approx([pulse.on_s for pulse in stated], abs=0.02)
    for played, rendered in zip(strokes(sound), strokes(render(kind)), strict=True):
        assert played == pytest.approx(rendered, abs=3.0)


def is_silent(recorder: Recorder, span: timedelta) -> bool:
    """Record for a while; whether there was not one sample but zero."""
    mark = recorder.mark()
    samples = round(span.total_seconds() * RATE)
    for end in [*range(mark, mark + samples, STEP_S * RATE), mark + samples]:
        recorder.wait_for(end)
    return recorder.is_silent(mark, mark + samples)


@contextmanager
def program(folder: Path, server: SoundServer, opens_in: timedelta, last_seen: timedelta) -> Iterator[BoardProgram]:
    """The whole program on a store whose wait opens then; ended as a person would."""
    store, job = store_with_a_wait(folder, opens_in, last_seen)
    with BoardProgram(store, job, environment=server.environment) as running:
        yield running
        running.say("end")
        running.rest()
        assert running.process.returncode == 0


def test_a_wait_that_opens_sounds_the_tone_of_opening(tmp_path: Path, server: SoundServer, recorder: Recorder):
    mark = recorder.mark()
    with program(tmp_path, server, opens_in=12 * SECOND, last_seen=SECOND) as running:
        assert running.open()["band"] == "", "the wait opened before the board stood"
        assert_is(recorder.tones_since(mark), AlertKind.OPENED)


def test_what_came_due_in_the_dark_is_sounded_as_soon_as_there_is_sound(
    tmp_path: Path, server: SoundServer, recorder: Recorder
):
    mark = recorder.mark()
    with program(tmp_path, server, opens_in=-5 * MINUTE, last_seen=10 * MINUTE) as running:
        assert running.open()["band"] == f"Came due while the screen was off: {READY}"
        began = recorder.mark()
        tone = recorder.tones_since(mark)
        assert_is(tone, AlertKind.OPENED)
        assert (mark + len(tone) - began) / RATE < REPEAT.total_seconds() / 2, "that was the repeat, not the first call"


@pytest.mark.slow
@pytest.mark.timeout(300)
def test_a_call_that_was_heard_is_not_repeated_and_one_that_was_not_is(
    tmp_path: Path, server: SoundServer, recorder: Recorder
):
    mark = recorder.mark()
    with program(tmp_path, server, opens_in=-5 * MINUTE, last_seen=10 * MINUTE) as running:
        running.open()
        assert_is(recorder.tones_since(mark), AlertKind.OPENED)
        assert not is_silent(recorder, REPEAT + 5 * SECOND)
        running.say("heard")
        assert running.wait_for("answered")["band"] is False
        assert is_silent(recorder, REPEAT + 5 * SECOND)


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["muted", "turned down", "nowhere", "killed"])
def test_silence_is_said_on_the_board_while_nothing_is_called_and_goes_with_it(tmp_path: Path, fault: str):
    with sound_server() as own, program(tmp_path, own, opens_in=50 * MINUTE, last_seen=SECOND) as running:
        running.open()
        running.say("watch")
        if fault == "nowhere":
            own.control("load-module", "module-null-sink", "sink_name=auto_null")
        begin, end, words = {
            "muted": (("set-sink-mute", "bay", "1"), ("set-sink-mute", "bay", "0"), "Unmute it"),
            "turned down": (("set-sink-volume", "bay", "0"), ("set-sink-volume", "bay", "60%"), "Turn it up"),
            "nowhere": (("set-default-sink", "auto_null"), ("set-default-sink", "bay"), "Plug in"),
            "killed": ((), (), "server has stopped"),
        }[fault]
        own.control(*begin) if begin else own.kill()
        assert words in running.wait_for_band("No sound")
        own.control(*end) if end else own.start()
        running.wait_for_band("No sound", says=False)
