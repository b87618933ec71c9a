#!/usr/bin/env python3
"""Starts bayapp from this checkout: `python3 packaging/run.py --practice`. Everything after run.py goes to bayapp."""

from __future__ import annotations  # so that an old Python gets as far as the message that it is too old

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence

from setup_here import Trouble, prepare

NO_DISPLAY = """bayapp's wall screen needs a display, and none is set (neither DISPLAY nor WAYLAND_DISPLAY).
What you can do:
  - start this in a terminal of a desktop session on the machine at the wall;
  - try it on a display in memory:  xvfb-run -s '-screen 0 1920x1080x24' python3 packaging/run.py --practice
  - use a command that needs none, for example:  python3 packaging/run.py doctor"""


def needs_display(arguments: Sequence[str]) -> bool:
    """Say whether bayapp would open the wall screen: a command word first, or a question for help, does not."""
    if {"--help", "--version"} & set(arguments):
        return False
    return not arguments or arguments[0].startswith("-")


def has_display(environment: Mapping[str, str], system: str = sys.platform) -> bool:
    """Say whether Qt will find something to show windows on.

    A Qt platform chosen by hand (a kiosk on the bare frame buffer, a test off screen) counts as one.
    """
    if not system.startswith("linux"):
        return True
    return any(environment.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def start(command: list[str]) -> int:
    """Become the command where the system can, so that signals and the exit code are its own."""
    if os.name == "posix":
        os.execv(command[0], command)
    return subprocess.call(command)


def main(arguments: Sequence[str]) -> int:
    """Prepare .venv and start bayapp; return the exit code."""
    if needs_display(arguments) and not has_display(os.environ):
        print(NO_DISPLAY, file=sys.stderr)
        return 1
    try:
        python = prepare(tests=False)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    return start([str(python), "-m", "bayapp", *arguments])


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
