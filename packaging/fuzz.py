#!/usr/bin/env python3
"""Feeds the importers with damaged files: `python3 packaging/fuzz.py [NAME ...] [--minutes 10]`; without names all.

Each importer (fuzz_targets.py) is run in a process of its own by atheris, which steers by the lines that an input
reaches; where atheris cannot be installed, by changes at random to the seeds. It starts from tests/data/fuzz/NAME.
Minutes are processor minutes. What goes wrong is left in tests/data/fuzz/NAME/found-..., where a fast test replays it.
"""

from __future__ import annotations

import argparse
import hashlib
import importlib
import importlib.util
import os
import random
import resource
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from setup_here import ROOT, VENV, Trouble, prepare, say

NEEDED = "atheris>=2.3"
LARGEST = 60_000
"""Bytes of an input: larger ones are refused by the bounds, which tests meet by themselves."""
LONGEST_S = 10
"""Seconds for one input, and MEMORY_MB for it; beyond that it counts as found."""
MEMORY_MB = 1_500
PIECES = [b"", b'"', b"'", b'"""', b"=", b"[", b"]", b"[[", b"{", b"}", b"#", b",", b"\n", b"\\", b"\0", b"-1", b"nan",
          b"1e999", b"9" * 400, b"\xff", b"\xe2\x80\xae", b"true", b"null", b"."]  # fmt: skip


def main(arguments: Sequence[str]) -> int:
    """Fuzz the importers named, one after the other; return 1 where something went wrong."""
    parser = argparse.ArgumentParser(prog="packaging/fuzz.py", description=__doc__, allow_abbrev=False)
    parser.add_argument("names", nargs="*", metavar="NAME")
    parser.add_argument("--minutes", type=float, default=10.0, help="processor minutes for each (10)")
    parser.add_argument("--in-this-process", action="store_true", help=argparse.SUPPRESS)
    options = parser.parse_args(arguments)
    if options.in_this_process:
        fuzz(options.names[0], options.minutes)
    try:
        python = prepare(tests=True)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    add_atheris(python)
    wrong = [name for name in options.names or names() if not fuzzed(python, name, options.minutes)]
    say(f"Something went wrong in: {', '.join(wrong)}" if wrong else "Nothing went wrong.")
    return bool(wrong)


def names() -> list[str]:
    """Return the names of all importers, by their folders."""
    return sorted(place.name for place in (ROOT / "tests" / "data" / "fuzz").iterdir() if place.is_dir())


def add_atheris(python: Path) -> None:
    """Install atheris beside the tests' libraries, or say what happens without it."""
    have = [str(python), "-c", "import atheris"]
    if subprocess.run(have, capture_output=True, check=False).returncode == 0:
        return
    install = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", NEEDED]
    if subprocess.run(install, capture_output=True, check=False).returncode:
        say("atheris cannot be installed here: the seeds are changed at random, which reaches less.")


def fuzzed(python: Path, name: str, minutes: float) -> bool:
    """Fuzz one importer in a process of its own; say how it went and return whether all went well."""
    environment = os.environ | {"PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}
    command = [str(python), __file__, "--in-this-process", name, "--minutes", str(minutes)]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    ended = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) / 60
    found = found_in(name)
    summary = [line for line in ended.stdout.splitlines() if line.startswith("inputs")]
    say(f"{name}: {spent:.1f} processor minutes, {summary[-1] if summary else ended.stderr[-800:]}")
    for file in found:
        say(f"  found: {file.relative_to(ROOT)}")
    return ended.returncode == 0 and not found


def found_in(name: str) -> list[Path]:
    """Return what has been found in an importer and is not yet kept under a name that says what it was."""
    return sorted((ROOT / "tests" / "data" / "fuzz" / name).glob("found-*"))


def fuzz(name: str, minutes: float) -> NoReturn:
    """Fuzz one importer until its minutes are over, and end the process."""
    from fuzz_targets import FOUND, TARGETS

    seeds = [file.read_bytes() for file in sorted((FOUND / name).iterdir())]
    judge = Judge(FOUND / name, TARGETS[name], time.process_time() + minutes * 60)
    if importlib.util.find_spec("atheris"):
        by_coverage(name, judge)
    chance = random.Random(name)
    while True:
        judge(changed(chance.choice(seeds), chance))


class Judge:
    """Gives inputs to an importer, keeps those at which it goes wrong, and ends the process when the time is over."""

    def __init__(self, folder: Path, read: Callable[[bytes], None], until: float) -> None:
        self.folder, self._read, self._until = folder, read, until
        self._inputs = 0
        self._places: set[str] = set()

    def __call__(self, data: bytes) -> None:
        """Read one input."""
        self._inputs += 1
        try:
            self._read(data)
        except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
            self._keep(data, error)
        if time.process_time() > self._until:
            print(f"inputs: {self._inputs}, different faults: {len(self._places)}", flush=True)
            os._exit(1 if self._places else 0)  # atheris has no other way out

    def _keep(self, data: bytes, error: Exception) -> None:
        """Keep the first input for each place at which something went wrong."""
        frames = [f for f in traceback.extract_tb(error.__traceback__) if f"{os.sep}bayapp{os.sep}" in f.filename]
        place = f"{type(error).__name__} {frames[-1].filename}:{frames[-1].lineno}" if frames else repr(error)
        if place in self._places:
            return
        self._places.add(place)
        traceback.print_exception(error)
        (self.folder / f"found-{hashlib.sha256(data).hexdigest()[:12]}").write_bytes(data)


def by_coverage(name: str, judge: Judge) -> None:
    """Let atheris choose the inputs, by what they reach in bayapp; returns never."""
    atheris = importlib.import_module("atheris")
    learned = VENV / "cache" / "fuzz" / name
    learned.mkdir(parents=True, exist_ok=True)
    with atheris.instrument_imports(include=["bayapp"]):
        load(judge)
    arguments = [sys.argv[0], str(learned), str(judge.folder), f"-max_len={LARGEST}", f"-timeout={LONGEST_S}",
                 f"-rss_limit_mb={MEMORY_MB}", f"-artifact_prefix={judge.folder}/found-", "-verbosity=0"]  # fmt: skip
    atheris.Setup(arguments, judge)
    atheris.Fuzz()


def load(judge: Judge) -> None:
    """Read every seed once, which loads what the importer needs."""
    for seed in sorted(judge.folder.iterdir()):
        judge(seed.read_bytes())


def changed(seed: bytes, chance: random.Random) -> bytes:
    """Return a seed with some stretches of it replaced, repeated or swapped."""
    data = seed
    for _ in range(chance.randint(1, 4)):
        begin = chance.randint(0, len(data))
        end = min(len(data), begin + chance.choice([0, 1, 3, 10, 40, 200]))
        piece = data[begin:end] * chance.randint(2, 40) if chance.random() < 0.2 else chance.choice(PIECES)
        data = data[:begin] + piece + data[end:]
    return data[:LARGEST]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
