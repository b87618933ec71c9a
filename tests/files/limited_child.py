"""Reads files in a process that dies where one of them takes more than two processor seconds or 200 MB.

Started by ``read_with_limits``, so that a file that gets past the bounds ends this child and not the machine.
"""

import json
import os
import resource
import subprocess
import sys
from collections.abc import Sequence
from math import ceil
from pathlib import Path

SECONDS = 2
BYTES = 200_000_000


def read_with_limits(reader: str, files: Sequence[Path]) -> list[str]:
    """Return what was said of each file by a reader of this module: "fine", or its findings.

    Raises:
        CalledProcessError: a limit was met; the last file named in its output is the one.
    """
    root = Path(__file__).resolve().parents[2]
    command = [sys.executable, __file__, reader, *map(str, files)]
    ended = subprocess.run(
        command, check=False, capture_output=True, text=True, timeout=100, env={**os.environ, "PYTHONPATH": str(root)}
    )
    assert ended.returncode == 0, (
        f"{reader} ended by {ended.returncode} at {ended.stdout[-300:]}\n{ended.stderr[-600:]}"
    )
    return [json.loads(line)["said"] for line in ended.stdout.splitlines() if '"said"' in line]


def limit_from_here() -> None:
    """Allow this process two more processor seconds and 200 MB more than it has."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    seconds = ceil(used.ru_utime + used.ru_stime) + SECONDS
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, resource.RLIM_INFINITY))
    resource.setrlimit(resource.RLIMIT_AS, (pages * resource.getpagesize() + BYTES, resource.RLIM_INFINITY))


def check(path: Path) -> None:
    """Read a job, recipe, product or vehicle with all that it names."""
    from bayapp.files.library import Library

    Library().check(path)


def check_drawn(path: Path) -> None:
    """Check a vehicle form as strictly as ``bayapp check`` does, which measures its drawing."""
    from bayapp.files.drawings.form_check import check_form

    check_form(path)


FIRST = {"check": ("recipes", "glass-three-layers.toml"), "check_drawn": ("vehicles", "estate.toml")}
"""What each reader reads before the limits are set, so that everything is loaded by then."""


def main(reader: str, files: Sequence[str]) -> None:
    """Read each file under the limits, and print what was said of it."""
    from bayapp.files.problems import BadFile
    from bayapp.paths import resource as shipped

    read = globals()[reader]
    read(shipped(*FIRST[reader]))
    for name in files:
        print(json.dumps({"reads": name}), flush=True)
        limit_from_here()
        try:
            read(Path(name))
            said = "fine"
        except BadFile as bad:
            said = str(bad)
        print(json.dumps({"said": said}), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
