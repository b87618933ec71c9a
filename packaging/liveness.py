#!/usr/bin/env python3
"""Looks for dead ends: bays that accepted touches lead to and from which the work cannot be brought to its end.

`python3 packaging/liveness.py states [JOB ...]` visits every state of small jobs; `walks [--count N]` takes random
walks through whole cars, and carries each on from where it ended; `off_plan` does so with thirty days that were written
down. What they do lies in tests/liveness, which the tests use too; `--help` after the word says more.
"""

from __future__ import annotations  # so that an old Python gets as far as the message that it is too old

import os
import subprocess
import sys
from collections.abc import Sequence

from setup_here import ROOT, Trouble, prepare

SEARCHES = ("states", "walks", "off_plan")


def main(words: Sequence[str]) -> int:
    """Run one search in .venv; return its exit code, 2 where none is named."""
    if not words or words[0] not in SEARCHES:
        print(f"{__doc__}\nName one of: {', '.join(SEARCHES)}.", file=sys.stderr)
        return 2
    try:
        python = prepare(tests=True)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    command = [str(python), "-m", f"tests.liveness.{words[0]}", *words[1:]]
    return subprocess.run(command, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)}, check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
