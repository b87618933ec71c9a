#!/usr/bin/env python3
"""Does to bayapp what a shop's day does: kills, stops, fills, cuts, mutes and floods it, and says what held.

It runs whole in an hour, and with `--minutes 2` a sample of each fault. The faults are the rows of tests/soak/rows.py;
they are real, and what this machine does not allow is skipped by name. `--help` says more. Needs a machine at rest:
times are measured too.
"""

from __future__ import annotations  # so that an old Python gets as far as the message that it is too old

import os
import subprocess
import sys
from collections.abc import Sequence

from setup_here import ROOT, Trouble, prepare


def main(words: Sequence[str]) -> int:
    """Run the campaign in .venv; return its exit code."""
    try:
        python = prepare(tests=True)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    command = [str(python), "-m", "tests.soak.campaign", *words]
    return subprocess.run(command, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)}, check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
