"""What the player really plays: recorded from a sound server's null sink and judged by ear (an FFT)."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.signal import correlate

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.notes import Pulse
from bayapp.alerts.pulse_watch import LOOK_MS, MOST_LOOKS_OWED
from bayapp.alerts.tones import PEAK, RATE, duration_s, pattern, render
from tests.alerts.listening import listen, strokes
from tests.alerts.sound_server import PROGRAMS_ARE_HERE, Recorder, SoundServer, sound_server

pytestmark = pytest.mark.skipif(not PROGRAMS_ARE_HERE, reason="needs pulseaudio, pactl and parec")

ROOT = Path(__file__).parents[2]
each_kind = pytest.mark.parametrize("kind", list(AlertKind))


class Player:
    """The player program, spoken to in lines."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self._process = process

    def tell(self, line: str) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(line + "\n")
        self._process.stdin.flush()

    def wait_for(self, event: str, **what: object) -> dict[str, Any]:
        """Read the program's lines up to the one that says this."""
        assert self._process.stdout is not None
        for line in self._process.stdout:
            message: dict[str, Any] = json.loads(line)
            if message["event"] == event and what.items() <= message.items():
                return message
        raise AssertionError(f"the program ended before it said {event}")


@contextmanager
def player_program(environment: Mapping[str, str]) -> Iterator[Player]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.alerts.player_program"],
        cwd=ROOT,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:
        player = Player(process)
        player.wait_for("state")  # the sound process has said how it stands
        yield player
        player.tell("quit")
    assert process.returncode == 0


@pytest.fixture(scope="module")
def server() -> Iterator[SoundServer]:
    with sound_server() as running:
        yield running


@pytest.fixture(scope="module")
def player(server: SoundServer) -> Iterator[Player]:
    with player_program(server.environment) as program:
        yield program


@pytest.fixture(scope="module")
def recorder(server: SoundServer) -> Iterator[Recorder]:
    with server.recorder() as running:
        yield running


def recorded(player: Player, recorder: Recorder, line: str) -> np.ndarray:
    """Play a line to its end and return the recording from the call on."""
    mark = recorder.mark()
    player.tell(line)
    player.wait_for("finished")
    return recorder.tones_since(mark)


def rhythm_differs(heard: list[Pulse], stated: tuple[Pulse, ...]) -> bool:
    parts = [abs(a - b) for one, two in zip(heard, stated, strict=False) for a, b in zip(one, two, strict=True)]
    return len(heard) != len(stated) or max(parts) > 0.02


def clean_take(player: Player, recorder: Recorder, line: str, kind: AlertKind) -> np.ndarray:
    """Record up to three takes and return the first whole one: an overloaded machine tears a null sink's sound."""
    for _ in range(3):
        sound = recorded(player, recorder, line)
        if not rhythm_differs(listen(sound).pulses, pattern(kind)):
            return sound
    raise AssertionError(f"three takes, none in the rhythm of {kind.value}: {listen(sound).pulses}")


@each_kind
def test_rhythm_partials_and_samples_come_out_of_the_machine(
    kind: AlertKind, player: Player, recorder: Recorder
) -> None:
    sound, tone = clean_take(player, recorder, f"play {kind.value}", kind), render(kind)
    for played, rendered in zip(strokes(sound), strokes(tone), strict=True):
        assert played == pytest.approx(rendered, abs=3.0)
    begins = int(np.argmax(correlate(sound, tone, mode="valid")))
    apart = np.abs(sound[begins : begins + len(tone)] - tone)
    assert np.mean(apart < 0.0001) > 0.95, "sample for sample, but for what an overloaded machine may skip"


def test_a_knock_is_one_short_stroke_and_cuts_no_call_short(player: Player, recorder: Recorder) -> None:
    mark = recorder.mark()
    player.tell("knock")
    heard = listen(recorder.tones_since(mark)).pulses
    assert [round(pulse.on_s, 1) for pulse in heard] == [0.1]
    both = f"play {AlertKind.CLOSING.value}\nknock"
    assert not rhythm_differs(
        listen(clean_take(player, recorder, both, AlertKind.CLOSING)).pulses, pattern(AlertKind.CLOSING)
    )


@pytest.mark.parametrize(("level", "volume", "decibels"), [(0.5, 1.0, -12.0), (0.0, 1.0, -24.0), (1.0, 0.5, -6.02)])
def test_level_and_volume_reach_the_device(
    level: float, volume: float, decibels: float, player: Player, recorder: Recorder
) -> None:
    sound = recorded(player, recorder, f"play opened {level} {volume}")
    peak = np.max(np.abs(render(AlertKind.OPENED)))
    assert 20 * np.log10(np.max(np.abs(sound)) / peak) == pytest.approx(decibels, abs=0.05)


def test_a_busy_screen_does_not_break_up_the_tone(player: Player, recorder: Recorder) -> None:
    sound = clean_take(player, recorder, "play handover 1 1 1500", AlertKind.HANDOVER)
    assert np.max(np.abs(sound)) == pytest.approx(PEAK, abs=0.001)


def test_a_new_tone_cuts_the_old_one_short(player: Player, recorder: Recorder) -> None:
    mark = recorder.mark()
    player.tell("play cured\nplay attention")
    player.wait_for("finished", kind="attention")
    loud = np.flatnonzero(np.abs(recorder.tones_since(mark)) > 1e-3)
    assert (loud[-1] - loud[0]) / RATE < duration_s(AlertKind.CURED)


def test_the_sound_check_plays_every_kind_in_order(player: Player, recorder: Recorder) -> None:
    mark = recorder.mark()
    player.tell("check")
    assert player.wait_for("checked")["complete"]
    sound = recorder.tones_since(mark)
    order = [int(np.argmax(correlate(sound, render(kind), mode="valid"))) for kind in AlertKind]
    assert order == sorted(order)
    assert all(np.diff(order) > 0)


@pytest.mark.slow
def test_the_onset_after_the_call_is_measured(player: Player, recorder: Recorder) -> None:
    for kind in AlertKind:
        mark = recorder.mark()
        player.tell(f"play {kind.value}")
        called_at = player.wait_for("played")["called_at"]
        player.wait_for("finished")
        sound = recorder.tones_since(mark)
        onset = recorder.moment(mark + int(np.argmax(np.abs(sound) > 1e-3)))
        print(f"{kind.value}: {1000 * (onset - called_at):.1f} ms from the call to the first sample in the recording")
        assert np.max(np.abs(sound)) > 0.5


@pytest.mark.slow
def test_a_server_that_dies_is_reported_and_one_that_comes_back_is_played_to() -> None:
    with sound_server() as server, player_program(server.environment) as player:
        player.tell("play cured")
        player.wait_for("started")
        server.stop()
        player.tell("play opened")
        message = player.wait_for("state", state="failed")
        assert "sound server" in message["reason"]
        server.start()
        player.wait_for("state", state="working")
        player.tell("play closing")
        player.wait_for("finished", kind="closing")


@pytest.mark.slow
def test_a_tone_is_not_lost_when_the_server_starts_anew_just_before_it() -> None:
    # Qt aborts its process here: the player starts a new one and plays the tone that is still owed.
    with sound_server() as server, player_program(server.environment) as player:
        player.tell("play attention")
        player.wait_for("finished", kind="attention")
        server.stop()
        server.start()
        player.tell("play opened")
        player.wait_for("finished", kind="opened")
        player.tell("state")
        assert player.wait_for("is")["state"] == "working"


@pytest.mark.parametrize(
    ("done", "undone", "words"),
    [
        (("set-sink-mute", "bay", "1"), ("set-sink-mute", "bay", "0"), "Unmute it"),
        (("set-sink-volume", "bay", "0"), ("set-sink-volume", "bay", "100%"), "Turn it up"),
    ],
    ids=["muted", "turned down"],
)
def test_a_loudspeaker_that_gives_no_sound_is_noticed_while_nothing_plays_and_still_played_to(
    player: Player, server: SoundServer, done: tuple[str, ...], undone: tuple[str, ...], words: str
) -> None:
    server.control(*done)
    try:
        assert words in player.wait_for("state", state="failed")["reason"]
        player.tell("play opened")
        player.wait_for("started", kind="opened")
    finally:
        server.control(*undone)
    player.wait_for("state", state="working")


def test_a_made_up_device_is_no_sound_and_a_killed_server_is_noticed_while_nothing_plays() -> None:
    with sound_server() as server, player_program(server.environment) as player:
        server.control("load-module", "module-null-sink", "sink_name=auto_null")
        server.control("set-default-sink", "auto_null")
        assert "goes nowhere" in player.wait_for("state", state="none")["reason"]
        server.control("set-default-sink", "bay")
        player.wait_for("state", state="working")
        server.kill()
        assert "server has stopped" in player.wait_for("state", state="failed")["reason"]


def test_a_server_that_stands_still_is_noticed_within_5_s_while_nothing_plays_and_works_when_it_goes_on(
    player: Player, server: SoundServer
) -> None:
    assert LOOK_MS * (MOST_LOOKS_OWED + 1) < 5_000
    player.tell("play closing")
    player.wait_for("finished", kind="closing")
    server.stand_still()
    try:
        assert "stands still" in player.wait_for("state", state="failed")["reason"]
        player.tell("play opened")
        player.wait_for("played")
    finally:
        server.go_on()
    player.wait_for("state", state="working")


def test_a_killed_sound_process_comes_back_and_plays_the_tone_it_owed(player: Player, recorder: Recorder) -> None:
    player.tell("play cured")
    player.wait_for("started")
    mark = recorder.mark()
    player.tell("kill_sounder")
    player.wait_for("state", state="failed")
    player.wait_for("finished", kind="cured")
    sound, tone = recorder.tones_since(mark), render(AlertKind.CURED)
    begins = int(np.argmax(correlate(sound, tone, mode="valid")))
    assert np.mean(np.abs(sound[begins : begins + len(tone)] - tone) < 0.001) > 0.9, "the whole tone, from its start"


@pytest.mark.slow
def test_a_server_that_dies_in_the_middle_of_a_tone_is_noticed() -> None:
    with sound_server() as server, player_program(server.environment) as player:
        player.tell("play cured")
        player.wait_for("started")
        server.stop()
        assert player.wait_for("state")["state"] in ("none", "failed")


@pytest.mark.slow
def test_a_server_that_comes_late_is_found() -> None:
    with sound_server() as server:
        server.stop()
        with player_program(server.environment) as player:
            server.start()
            player.wait_for("state", state="working")
            player.tell("play opened")
            player.wait_for("finished", kind="opened")


def test_without_a_sound_server_the_player_says_so_and_nothing_raises(tmp_path: Path) -> None:
    nowhere = {"PULSE_SERVER": f"unix:{tmp_path}/nobody", "XDG_RUNTIME_DIR": str(tmp_path)}
    with player_program(os.environ | nowhere) as player:
        player.tell("state")
        message = player.wait_for("is")
        assert message["state"] == "none"
        assert "loudspeaker" in message["reason"]
        player.tell("play opened")
        player.wait_for("played")
        player.tell("check")
        assert not player.wait_for("checked")["complete"]
