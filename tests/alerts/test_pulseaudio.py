"""Where PulseAudio's server listens (the client's rules of pulse-client.conf(5) and pulseaudio(1), from memory)."""

import socket
from pathlib import Path

import pytest

from bayapp.alerts.pulseaudio import server_answers, server_left, server_socket


@pytest.mark.parametrize(
    ("environment", "path"),
    [
        ({"XDG_RUNTIME_DIR": "/run/user/1000"}, "/run/user/1000/pulse/native"),
        ({"XDG_RUNTIME_DIR": "/run/user/1000", "PULSE_RUNTIME_PATH": "/tmp/p"}, "/tmp/p/native"),
        ({"XDG_RUNTIME_DIR": "/run/user/1000", "PULSE_SERVER": "unix:/tmp/native"}, "/tmp/native"),
        ({"PULSE_SERVER": "/tmp/native"}, "/tmp/native"),
        ({"PULSE_SERVER": "{0f3c}unix:/tmp/native"}, "/tmp/native"),
        ({"PULSE_SERVER": "tcp:bay.example:4713", "XDG_RUNTIME_DIR": "/run/user/1000"}, None),
        ({}, None),
    ],
)
def test_the_server_listens_where_clients_look(environment: dict[str, str], path: str | None) -> None:
    assert server_socket(environment) == (None if path is None else Path(path))


def test_only_a_listener_answers(tmp_path: Path) -> None:
    environment = {"PULSE_RUNTIME_PATH": str(tmp_path)}
    assert not server_answers(environment)
    assert not server_left(environment), "there never was one"
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind(str(tmp_path / "native"))
        assert not server_answers(environment)
        assert server_left(environment)
        listener.listen()
        assert server_answers(environment)
        assert not server_left(environment)
    assert not server_answers(environment)
    assert server_left(environment), "its socket is still there"


def test_a_server_that_is_not_in_a_file_is_not_asked() -> None:
    assert not server_answers({"PULSE_SERVER": "tcp:bay.example:4713"})
