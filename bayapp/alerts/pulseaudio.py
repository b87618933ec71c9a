"""Checks whether the PulseAudio server answers."""

import socket
from collections.abc import Mapping
from pathlib import Path

PATIENCE_S = 0.2


def server_socket(environment: Mapping[str, str]) -> Path | None:
    """Return where the server of this user listens, as PulseAudio's clients look for it; None if not in a file."""
    if server := environment.get("PULSE_SERVER"):
        path = server.rpartition("}")[2].removeprefix("unix:")
        return Path(path) if path.startswith("/") else None
    if folder := environment.get("PULSE_RUNTIME_PATH"):
        return Path(folder) / "native"
    if folder := environment.get("XDG_RUNTIME_DIR"):
        return Path(folder) / "pulse" / "native"
    return None


def server_answers(environment: Mapping[str, str]) -> bool:
    """Say whether somebody accepts connections where the server should listen."""
    path = server_socket(environment)
    if path is None:
        return False
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as caller:
        caller.settimeout(PATIENCE_S)
        return caller.connect_ex(str(path)) == 0


def server_left(environment: Mapping[str, str]) -> bool:
    """Say whether a server was there and died: its socket is left, and nobody accepts connections."""
    path = server_socket(environment)
    return path is not None and path.exists() and not server_answers(environment)
