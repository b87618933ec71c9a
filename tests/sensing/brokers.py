"""A throw-away Mosquitto broker on a free port, that can be killed and started again; and what publishes to it."""

import os
import shutil
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from paho.mqtt.client import Client
from paho.mqtt.enums import CallbackAPIVersion

ANSWERS_IN_S = 10.0
PLACES = os.pathsep.join([os.environ.get("PATH", ""), "/usr/sbin", "/usr/local/sbin"])


class Broker:
    """A real broker."""

    def __init__(self, program: str, folder: Path, password: str = "") -> None:
        self._program, self._folder = program, folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        lines = [f"listener {self.port} 127.0.0.1", f"allow_anonymous {'false' if password else 'true'}"]
        if password:
            tool = shutil.which("mosquitto_passwd", path=PLACES)
            assert tool
            subprocess.run([tool, "-b", "-c", folder / "passwords", "bay", password], check=True)
            (folder / "passwords").chmod(0o644)
            lines.append(f"password_file {folder / 'passwords'}")
        if os.geteuid() == 0:
            lines.append("user root")
        (folder / "broker.conf").write_text("\n".join(lines) + "\n")
        self._password = password
        self._running: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        self._running = subprocess.Popen(
            [self._program, "-c", self._folder / "broker.conf"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        for _ in range(200):
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return
            except OSError:
                assert self._running.poll() is None, "the broker ended by itself"
                try:
                    self._running.wait(0.05)
                except subprocess.TimeoutExpired:
                    continue
        raise AssertionError("the broker does not answer")

    def kill(self) -> None:
        if self._running:
            self._running.kill()
            self._running.wait()
            self._running = None

    def publish(self, topic: str, payload: bytes | str, retain: bool = False) -> None:
        """Publish one message and wait until the broker has it."""
        client = Client(CallbackAPIVersion.VERSION2)
        if self._password:
            client.username_pw_set("bay", self._password)
        client.connect("127.0.0.1", self.port)
        client.loop_start()
        try:
            client.publish(topic, payload, qos=1, retain=retain).wait_for_publish(ANSWERS_IN_S)
        finally:
            client.disconnect()
            client.loop_stop()


@contextmanager
def broker(folder: Path, password: str = "") -> Iterator[Broker]:
    """Yield a broker that is not started yet; skip where the machine has no such program."""
    program = shutil.which("mosquitto", path=PLACES)
    if program is None:
        pytest.skip("no MQTT broker program (Debian package mosquitto) on this machine")
    found = Broker(program, folder, password)
    try:
        yield found
    finally:
        found.kill()
