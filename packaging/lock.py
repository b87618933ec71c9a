#!/usr/bin/env python3
"""Writes the locks: every library with its version and hashes, for each system and Python that pyproject allows.

`python3 packaging/lock.py` keeps the versions that are locked and adds what lacks; `--upgrade` takes the newest.
`--audit` asks pip-audit about known faults in what is installed. setup_here.py installs from the locks.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from setup_here import ROOT, Trouble, lock_of, prepare, say, tail

NEEDED = {"uv": "uv>=0.5", "pip_audit": "pip-audit>=2.7"}
BUILDS = "hatchling>=1.26\n"
"""What builds bayapp itself, which pyproject names apart from what it needs to run."""


def main(arguments: Sequence[str]) -> int:
    """Write both locks, or audit; return the exit code."""
    parser = argparse.ArgumentParser(prog="packaging/lock.py", description=__doc__, allow_abbrev=False)
    parser.add_argument("--upgrade", action="store_true", help="take the newest versions instead of those locked")
    parser.add_argument("--audit", action="store_true", help="only ask about known faults of what is installed")
    options = parser.parse_args(arguments)
    try:
        python = prepare(tests=True)
        if options.audit:
            add(python, "pip_audit")
            return subprocess.run([str(python), "-m", "pip_audit", "--skip-editable"], check=False).returncode
        add(python, "uv")
        for tests in (False, True):
            write(python, tests=tests, upgrade=options.upgrade)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    return 0


def add(python: Path, module: str) -> None:
    """Install a tool beside the libraries where it is not there yet."""
    if subprocess.run([str(python), "-c", f"import {module}"], capture_output=True, check=False).returncode:
        command = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", NEEDED[module]]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            raise Trouble(f"{NEEDED[module]} could not be installed:\n{tail(done.stderr)}")


def write(python: Path, *, tests: bool, upgrade: bool) -> None:
    """Write one lock."""
    command = [str(python), "-m", "uv", "pip", "compile", "--universal", "--python-version", "3.11",
               "--generate-hashes", "--no-header", "--no-annotate", "--quiet", "pyproject.toml", "-",
               "--output-file", str(lock_of(tests=tests)), *(["--extra", "test"] if tests else []),
               *(["--upgrade"] if upgrade else [])]  # fmt: skip
    done = subprocess.run(command, cwd=ROOT, input=BUILDS, capture_output=True, text=True, check=False)
    if done.returncode:
        raise Trouble(f"uv could not find versions that fit together:\n{tail(done.stderr)}")
    say(f"Written: {lock_of(tests=tests).relative_to(ROOT)}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
