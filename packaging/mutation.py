#!/usr/bin/env python3
"""Tries the tests: makes small mistakes in bayapp/job and bayapp/air, one at a time, and counts which the tests catch.

`python3 packaging/mutation.py [PATH[:LINE] ...] [--sample N --seed S]`; without --sample all are run_in, which takes
hours. It works on a copy of the checkout, so that the files may change meanwhile. Each mistake (a mutant) is met by
those tests alone that run the changed line: first those of the file that mirrors it, then the quickest. Property tests
look at 25 examples, always the same. Survivors that no test is wanted for are listed with the reason in
mutation_survivors.txt.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from setup_here import ROOT, Trouble, prepare, say, venv_python

if TYPE_CHECKING:
    from mutants import Change, Mutant

NEEDED = ["mutmut>=3.8,<3.9"]
"""Its operators make the mutants (mutants.py), and it brings coverage. Pinned, as they are no public interface."""
MODULES = ["bayapp/job", "bayapp/air"]
TESTS = ["tests/job", "tests/air", "tests/bay", "tests/cli/test_replay.py", "tests/files/test_library.py"]
COPIED = ["bayapp", "packaging", "resources", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md"]
SLOWEST_S = 6.0
AT_MOST_S = 15.0
"""Processor time of one test, and of all that a mutant meets; a mutant may survive because more was left out."""
CONTROL = -1
"""The number of the mutant that changes nothing: where it does not survive, no outcome is worth anything."""
NOT_PLACED = "not placed"
"""The outcome of a mutant that could not be put into the running program; it is tried in a new one."""
SURVIVORS = Path(__file__).with_name("mutation_survivors.txt")


@dataclass(frozen=True)
class Tests:
    """What the tests do: their processor time in seconds, and which of them run which lines of which file."""

    seconds: dict[str, float]
    lines: dict[str, dict[int, list[str]]]

    def reaching(self, mutant: Mutant, root: Path) -> list[str]:
        """Return the tests that can notice a mutant, the quickest first."""
        lines = self.lines.get(str(root / mutant.path), {})
        wanted = range(mutant.lines[0], mutant.lines[1] + 1) if mutant.function else lines
        names = {name for line in wanted for name in lines.get(line, []) if name}
        # What is made at import, a table of names, say, may be met by a test that runs no line of that module.
        every = names if mutant.function else self.seconds
        order = sorted(every, key=lambda name: (not _beside(mutant, name), name not in names, self.seconds[name]))
        return list(self._within_bounds(order))

    def _within_bounds(self, names: Iterable[str]) -> Iterator[str]:
        spent = 0.0
        for name in names:
            if self.seconds[name] <= SLOWEST_S and spent + self.seconds[name] <= AT_MOST_S:
                spent += self.seconds[name]
                yield name


def _beside(mutant: Mutant, test: str) -> bool:
    """Say whether a test stands in the file that mirrors the mutant's."""
    return f"/test_{Path(mutant.path).name}::" in test


def main(words: Sequence[str]) -> int:
    """Do all of it; return 1 where mutants survived that the list does not know."""
    options = read_arguments(words)
    try:
        python = prepare(tests=True)
        provide(python)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    if Path(sys.prefix) != python.parent.parent:
        return subprocess.run([str(python), __file__, *words], check=False).returncode
    with tempfile.TemporaryDirectory(prefix="bayapp-mutation-") as folder:
        return run_in(Path(folder), options)


def read_arguments(words: Sequence[str]) -> argparse.Namespace:
    """Return the options."""
    parser = argparse.ArgumentParser(prog="packaging/mutation.py", description=__doc__)
    parser.add_argument("paths", nargs="*", default=MODULES, help="folders or files, or FILE:LINE")
    parser.add_argument("--sample", type=int, help="try so many mutants, drawn at random")
    parser.add_argument("--seed", type=int, default=1, help="what the sample is drawn by")
    parser.add_argument("--jobs", type=int, default=2, help="so many at a time")
    parser.add_argument("--tests", nargs="+", default=TESTS, help="the tests that must notice")
    return parser.parse_args(words)


def provide(python: Path) -> None:
    """Install what mutates into .venv, where it is not there yet."""
    if subprocess.run([str(python), "-c", "import mutmut"], capture_output=True, check=False).returncode == 0:
        return
    say(f"Installing {' '.join(NEEDED)} into .venv …")
    command = [str(python), "-m", "pip", "install", "--quiet", "--no-cache-dir", "--root-user-action=ignore", *NEEDED]
    if subprocess.run(command, check=False).returncode:
        raise Trouble("pip could not install it.")


def run_in(folder: Path, options: argparse.Namespace) -> int:
    """Try the mutants in a copy of the checkout inside the folder, and tell."""
    root = copy_tree(folder / "tree")
    mutants = draw(root, options)
    say(f"{len(mutants)} mutants, seed {options.seed}. Running the tests once to learn which lines each runs …")
    tests = learn_reach(root, folder, options.tests)
    slow = [name for name, seconds in tests.seconds.items() if seconds > SLOWEST_S]
    say(f"{len(tests.seconds)} tests take {sum(tests.seconds.values()):.0f} s. Left out as too slow: {slow or 'none'}.")
    trials = [trial(number, mutant, tests, root) for number, mutant in enumerate(mutants)]
    outcomes = ["survived"] * len(mutants)  # where no test runs the line
    try_by = partial(try_out, root=root, folder=folder, options=options)
    found = try_by("collected", [each for each in trials if each["tests"] and each["function"]])
    left = [each for each in trials if each["tests"] and found.get(each["number"], NOT_PLACED) == NOT_PLACED]
    found |= try_by("anew", left)
    for number, outcome in found.items():
        outcomes[number] = outcome
    return report(mutants, outcomes)


def copy_tree(root: Path) -> Path:
    """Copy what the tests need."""
    root.mkdir()
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, root / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, root / name)
    return root


def draw(root: Path, options: argparse.Namespace) -> list[Mutant]:
    """Return the mutants to try, in the order of the files."""
    from mutants import changes  # noqa: PLC0415 - what it needs has been installed only now

    every: list[Change] = []
    for word in options.paths:
        name, _, line = word.partition(":")
        place = root / name
        files = sorted(place.rglob("*.py")) if place.is_dir() else [place]
        found = [change for file in files for change in changes(root, file.relative_to(root).as_posix())]
        every += [each for each in found if not line or each.lines[0] <= int(line) <= each.lines[1]]
    say(f"{len(every)} mutants can be made.")
    if options.sample and options.sample < len(every):
        chosen = random.Random(options.seed).sample(range(len(every)), options.sample)
        every = [every[number] for number in sorted(chosen)]
    return [change.mutant() for change in every]


def learn_reach(root: Path, folder: Path, tests: Sequence[str]) -> Tests:
    """Run the tests once; they must pass."""
    out = folder / "reach.json"
    command = inside(["reach", str(out)], tests)
    done = subprocess.run(command, cwd=root, env=environment(root), check=False, capture_output=True, text=True)
    if not out.exists():
        raise SystemExit(f"The tests could not be run:\n{done.stdout}{done.stderr}")
    reach = json.loads(out.read_text(encoding="utf-8"))
    if reach["failed"]:
        raise SystemExit(f"These tests fail without any mutant: {reach['failed']}")
    lines = {file: {int(n): names for n, names in by.items()} for file, by in reach["lines"].items()}
    return Tests(reach["seconds"], lines)


def inside(words: Sequence[str], tests: Iterable[str]) -> list[str]:
    """Return the command that runs pytest with our part in it."""
    return [str(venv_python()), str(ROOT / "packaging" / "mutation_run.py"), *words, "--", *tests]


def environment(root: Path) -> dict[str, str]:
    """Return what makes the copy, not the checkout, the bayapp that is imported."""
    return os.environ | {"PYTHONPATH": str(root), "QT_QPA_PLATFORM": "offscreen", "PYTHONHASHSEED": "0"}


def trial(number: int, mutant: Mutant, tests: Tests, root: Path) -> dict[str, Any]:
    """Return a mutant with the tests that it must pass to survive."""
    names = tests.reaching(mutant, root)
    return {"number": number, **asdict(mutant), "tests": names, "seconds": sum(tests.seconds[name] for name in names)}


def try_out(
    how: str, trials: Sequence[dict[str, Any]], root: Path, folder: Path, options: argparse.Namespace
) -> dict[int, str]:
    """Return what became of these mutants, by their numbers."""
    if not trials:
        return {}
    todo, out = folder / f"{how}.json", folder / f"{how}.jsonl"
    unchanged = (root / trials[0]["path"]).read_text(encoding="utf-8")
    control = {**trials[0], "number": CONTROL, "source": unchanged}
    todo.write_text(json.dumps([*trials, control]), encoding="utf-8")
    words = inside([how, str(todo), str(out), str(options.jobs)], options.tests)
    done = subprocess.run(words, cwd=root, env=environment(root), check=False, capture_output=True, text=True)
    notes = [json.loads(line) for line in out.read_text(encoding="utf-8").splitlines()] if out.exists() else []
    found = {note["number"]: note["outcome"] for note in notes}
    if len(found) <= len(trials) or found.pop(CONTROL) != "survived":
        raise SystemExit(f"{len(found)} of {len(trials)} mutants were tried:\n{done.stdout}{done.stderr}")
    return found


def report(mutants: Sequence[Mutant], outcomes: Sequence[str]) -> int:
    """Print the figures of each file and the survivors; return how the command ends."""
    known = read_reasons(SURVIVORS.read_text(encoding="utf-8") if SURVIVORS.exists() else "")
    survivors = [mutant for mutant, outcome in zip(mutants, outcomes, strict=True) if outcome == "survived"]
    unknown = [mutant for mutant in survivors if key_of(mutant) not in known]
    for mutant in survivors:
        reason = known.get(key_of(mutant))
        say(f"\n{mutant.place}{f'  ({reason})' if reason else ''}\n  - {mutant.before}\n  + {mutant.after}")
    say(f"\n{'caught':>8} {'survived':>8} {'timed out':>9}")
    by_file: dict[str, Counter[str]] = {}
    for mutant, outcome in zip(mutants, outcomes, strict=True):
        by_file.setdefault(mutant.path, Counter())[outcome] += 1
    for path, counts in [*sorted(by_file.items()), ("all", Counter(outcomes))]:
        say(f"{counts['caught']:8} {counts['survived']:8} {counts['timed out']:9}  {path}")
    share = 1 - len(survivors) / max(1, len(mutants))
    say(f"\n{share:.1%} caught or timed out; {len(unknown)} of {len(survivors)} survivors are not in {SURVIVORS.name}.")
    return 1 if unknown else 0


def key_of(mutant: Mutant) -> tuple[str, str, str]:
    """Return what the list of survivors knows a mutant by."""
    return mutant.path, mutant.before, mutant.after


def read_reasons(text: str) -> dict[tuple[str, str, str], str]:
    """Read the list: a line with the file, one with ``- before``, one with ``+ after``, one with ``= reason``."""
    found: dict[tuple[str, str, str], str] = {}
    path = before = after = ""
    for line in text.splitlines():
        sign, rest = line[:2], line[2:].strip()
        match sign:
            case "- ":
                before = rest
            case "+ ":
                after = rest
            case "= ":
                found[path, before, after] = rest
            case _ if line.startswith("bayapp/"):
                path = line.strip()
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
