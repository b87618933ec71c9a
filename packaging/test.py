#!/usr/bin/env python3
"""Runs every check of this checkout and stops at the first that fails. Other arguments go to pytest."""

from __future__ import annotations  # so that an old Python gets as far as the message that it is too old

import argparse
import os
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from pathlib import Path

from setup_here import ROOT, VENV, Trouble, prepare, say

CACHE = VENV / "cache"  # what the checkers remember stays inside .venv
LOWER_PRIORITY = 10
# Each file stays in one worker; tests/conftest.py puts the longest first. Slow tests and measurements run alone.
TWO_WORKERS = ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]


def read_arguments(arguments: Sequence[str]) -> tuple[argparse.Namespace, list[str]]:
    """Return our own options and the words meant for pytest."""
    parser = argparse.ArgumentParser(prog="packaging/test.py", description=__doc__, allow_abbrev=False)
    kind = parser.add_mutually_exclusive_group()
    kind.add_argument("--bench", action="store_true", help="only the measurements in tests/bench")
    kind.add_argument("--slow", action="store_true", help="only the tests marked slow")
    return parser.parse_known_args(arguments)


def commands(python: Path, options: argparse.Namespace, rest: Sequence[str]) -> list[list[str]]:
    """Return the commands to run, in order."""
    bin_ = python.parent
    pytest = [str(python), "-m", "pytest", "-o", f"cache_dir={CACHE / 'pytest'}"]
    if options.bench:
        return [[*pytest, "-m", "bench", "-s", "tests/bench", *rest]]
    if options.slow:
        return [[*pytest, "-m", "slow", *rest]]
    return [
        [str(bin_ / "ruff"), "check", "."],
        [str(bin_ / "ruff"), "format", "--check", "."],
        [*pytest, *([] if any("no:xdist" in word for word in rest) else TWO_WORKERS), *rest],
    ]


def checkers(python: Path, options: argparse.Namespace) -> list[list[str]]:
    """Return what runs beside the tests, which wait for other programs a third of their time."""
    if options.bench or options.slow:
        return []
    return [
        [str(python), "-m", "mypy"],
        [str(python.parent / "lint-imports"), "--no-logo", "--cache-dir", str(CACHE / "import-linter")],
    ]


def environment() -> dict[str, str]:
    """Return the environment of the checks, with their caches inside .venv."""
    return os.environ | {
        "RUFF_CACHE_DIR": str(CACHE / "ruff"),
        "MYPY_CACHE_DIR": str(CACHE / "mypy"),
        "HYPOTHESIS_STORAGE_DIRECTORY": str(CACHE / "hypothesis"),
    }


def shown(command: Sequence[str]) -> str:
    """Return a command as a person at the checkout's root would type it."""
    return " ".join(word.replace(f"{ROOT}{os.sep}", "") for word in command)


def run_all(todo: Sequence[Sequence[str]], beside: Sequence[Sequence[str]] = ()) -> int:
    """Run the commands until one fails, those ``beside`` while the last runs; return the exit code of a failure, or 0.

    The output of those beside is shown when the last command has ended.
    """
    *first, last = todo
    for command in first:
        if code := _judged(command, subprocess.run(_announced(command), cwd=ROOT, env=environment(), check=False)):
            return code
    with ExitStack() as stack:
        started = [(command, stack.enter_context(_started(command))) for command in beside]
        codes = [_judged(last, subprocess.run(_announced(last), cwd=ROOT, env=environment(), check=False))]
        for command, process in started:
            output, _ = process.communicate()
            _announced(command)
            say(output.rstrip())
            codes.append(_judged(command, process))
    return next((code for code in codes if code), 0)


def _announced(command: Sequence[str]) -> Sequence[str]:
    say(f"\n$ {shown(command)}")
    return command


def _started(command: Sequence[str]) -> subprocess.Popen[str]:
    """Start a command whose output is held back, at a lower priority: some tests measure real time."""
    process = subprocess.Popen(
        command, cwd=ROOT, env=environment(), text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    with suppress(AttributeError, OSError):  # Windows has no such thing; a process may have ended already
        os.setpriority(os.PRIO_PROCESS, process.pid, LOWER_PRIORITY)
    return process


def _judged(command: Sequence[str], ended: subprocess.CompletedProcess[bytes] | subprocess.Popen[str]) -> int:
    if ended.returncode:
        say(f"\nFailed with exit code {ended.returncode}: {shown(command)}")
    return int(ended.returncode)


def main(arguments: Sequence[str]) -> int:
    """Prepare .venv, run the checks, print the time they took; return the exit code."""
    began = time.perf_counter()
    options, rest = read_arguments(arguments)
    try:
        python = prepare(tests=True)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    code = run_all(commands(python, options, rest), checkers(python, options))
    verdict = "All checks passed" if code == 0 else "Stopped"
    say(f"\n{verdict} after {time.perf_counter() - began:.0f} s.")
    return code


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
