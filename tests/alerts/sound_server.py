"""A private PulseAudio server with a null sink, and a recorder of what was really played into it."""

import os
import shutil
import signal
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp

import numpy as np
from numpy.typing import NDArray

from bayapp.alerts.tones import RATE

PROGRAMS_ARE_HERE = all(shutil.which(name) for name in ("pulseaudio", "pactl", "parec"))


class SoundServer:
    """A running server; ``environment`` is what its clients need."""

    def __init__(self, folder: Path) -> None:
        self.socket = folder / "native"
        private = {"HOME": str(folder), "XDG_RUNTIME_DIR": str(folder), "PULSE_RUNTIME_PATH": str(folder)}
        self.environment = os.environ | private | {"PULSE_SERVER": f"unix:{self.socket}"}
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start the server and return once it answers."""
        command = [
            "pulseaudio",
            "--daemonize=no",
            "--exit-idle-time=-1",
            "--high-priority=yes",
            "--realtime=yes",
            "--disallow-module-loading=no",
            "-n",
        ]
        command += ["--load=module-null-sink sink_name=bay rate=48000 channels=1"]
        command += [f"--load=module-native-protocol-unix auth-anonymous=1 socket={self.socket}"]
        self._process = subprocess.Popen(command, env=self.environment, stderr=subprocess.DEVNULL)
        while not self._answers():
            assert self._process.poll() is None, "the sound server did not start"

    def stop(self) -> None:
        """End the server, as when the device is pulled out."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(timeout=10)
            self.socket.unlink(missing_ok=True)
            self._process = None

    def kill(self) -> None:
        """Kill the server: it tells nobody, and leaves its socket behind."""
        assert self._process is not None
        self._process.kill()
        self._process.wait(timeout=10)

    def stand_still(self) -> None:
        """Stop the server where it is: it keeps its clients, and answers nothing."""
        assert self._process is not None
        self._process.send_signal(signal.SIGSTOP)

    def go_on(self) -> None:
        """Let it go on."""
        assert self._process is not None
        self._process.send_signal(signal.SIGCONT)

    def control(self, *words: str) -> None:
        """Do what a person does in the machine's sound settings."""
        subprocess.run(["pactl", *words], env=self.environment, check=True, stdout=subprocess.DEVNULL)

    def _answers(self) -> bool:
        asked = subprocess.run(["pactl", "info"], env=self.environment, capture_output=True, check=False)
        return asked.returncode == 0

    @contextmanager
    def recorder(self) -> Iterator["Recorder"]:
        """Record the monitor of the null sink; the first samples come after about two seconds."""
        command = ["parec", "--device=bay.monitor", "--format=s16le", "--channels=1", f"--rate={RATE}"]
        command += ["--latency-msec=5"]
        with subprocess.Popen(command, env=self.environment, stdout=subprocess.PIPE) as process:
            recorder = Recorder(process)
            recorder.wait_for(RATE // 20)
            try:
                yield recorder
            finally:
                process.terminate()
                recorder.thread.join(timeout=10)


class Recorder:
    """Samples as they come out of the sound server, and when each stretch of them arrived."""

    def __init__(self, process: "subprocess.Popen[bytes]") -> None:
        assert process.stdout is not None
        self._file = process.stdout.fileno()
        self._raw = bytearray()
        self._arrivals: list[tuple[int, float]] = []
        self._more = threading.Condition()
        self.thread = threading.Thread(target=self._collect, daemon=True)
        self.thread.start()

    def mark(self) -> int:
        """Return how many samples there are now."""
        return len(self._raw) // 2

    def wait_for(self, samples: int) -> None:
        """Wait until so many samples have come in all."""
        with self._more:
            assert self._more.wait_for(lambda: self.mark() >= samples, timeout=30), "the recording stands still"

    def tones_since(self, mark: int) -> NDArray[np.float64]:
        """Return what sounded from a mark up to now and on, to the second of silence that ends it."""
        end = self.mark()
        while True:
            end += RATE // 4
            self.wait_for(end)
            sound = np.frombuffer(bytes(self._raw[2 * mark : 2 * end]), "<i2").astype(np.float64) / 32768
            if np.any(sound) and not np.any(sound[-RATE:]):
                return sound

    def is_silent(self, start: int, end: int) -> bool:
        """Say whether every sample between these two was zero, waiting for the last of them."""
        self.wait_for(end)
        return not any(self._raw[2 * start : 2 * end])

    def moment(self, sample: int) -> float:
        """Return when a sample was played, by ``time.perf_counter`` (on Linux one clock for all processes)."""
        total, arrived = next(pair for pair in self._arrivals if pair[0] > sample)
        return arrived - (total - sample) / RATE

    def _collect(self) -> None:
        while piece := os.read(self._file, 65_536):
            with self._more:
                self._raw += piece
                self._arrivals.append((self.mark(), time.perf_counter()))
                self._more.notify_all()


@contextmanager
def sound_server() -> Iterator[SoundServer]:
    """Run a private server for a while."""
    folder = Path(mkdtemp(prefix="bay-sound-"))
    server = SoundServer(folder)
    server.start()
    try:
        yield server
    finally:
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)
