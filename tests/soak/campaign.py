"""Runs the campaign of faults row by row, and says of each what happened.

`--minutes 60`, as without it, runs it whole; fewer minutes take their share of what can be repeated, and below ten a
sample of quick cases. `--list` names the rows, `--only WORDS` runs those that have the words in their name. Exits 1
where a row was broken. What this machine does not allow, such as mounting, is skipped by name.
"""

import argparse
import os
import subprocess
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from xml.etree import ElementTree

from tests.soak.rows import ROWS, Row

ROOT = Path(__file__).parents[2]
WHOLE_MIN, SAMPLE_BELOW_MIN = 60, 10
LONGEST_ROW_S = 3_600.0
LAST_LINES = 12
Case = ElementTree.Element
"""One case of a test, as JUnit's reports tell of it."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one row.

    Attributes:
        told: what its tests or its program said: how many, what failed, what was skipped and why.
    """

    row: Row
    held: bool
    told: tuple[str, ...]
    seconds: float

    def __str__(self) -> str:
        """Return the line of the summary, and indented what there is to say."""
        word = "held" if self.held else "BROKEN"
        return "\n    ".join((f"{word:<7} {self.row.fault}  ({self.seconds:.0f} s)", *self.told))


def run(rows: Sequence[Row], minutes: float, root: Path = ROOT) -> Iterator[Outcome]:
    """Do these rows, each by itself; below ten minutes the sample of all tests in one process, which loads once.

    A row that a campaign so short leaves out has no outcome.
    """
    share = min(1.0, minutes / WHOLE_MIN)
    if minutes < SAMPLE_BELOW_MIN:
        yield from _samples([row for row in rows if row.sample], root)
    for row in rows:
        began = perf_counter()
        if row.program:
            module, whole = row.program
            amount = row.program_sample if minutes < SAMPLE_BELOW_MIN else max(1, round(whole * share))
            held, told = _program([sys.executable, "-m", module, str(amount)], root)
            yield Outcome(row, held, told, perf_counter() - began)
        elif minutes >= SAMPLE_BELOW_MIN:
            numbers = {name: str(max(1, round(number * share))) for name, number in row.numbers.items()}
            cases, said = _cases([*row.tests, "-m", "slow or not slow"], numbers, root)
            yield _outcome(row, cases, said, perf_counter() - began)


def _samples(rows: Sequence[Row], root: Path) -> Iterator[Outcome]:
    if rows:
        cases, said = _cases(list(dict.fromkeys(node for row in rows for node in row.sample)), {}, root)
        for row in rows:
            own = [case for case in cases if any(_is_of(case, node) for node in row.sample)]
            yield _outcome(row, own, said, sum(float(case.get("time", 0)) for case in own))


def _is_of(case: Case, node: str) -> bool:
    file, _, name = node.partition("::")
    of_file = case.get("classname", "").startswith(file.removesuffix(".py").replace("/", "."))
    return of_file and (not name or case.get("name", "").partition("[")[0] == name)


def _outcome(row: Row, cases: Sequence[Case], said: tuple[str, ...], seconds: float) -> Outcome:
    broken = not cases or any(case.find("failure") is not None or case.find("error") is not None for case in cases)
    return Outcome(row, not broken, tuple(_told(cases)) if cases else said, seconds)


def _program(command: Sequence[str], root: Path) -> tuple[bool, tuple[str, ...]]:
    try:
        ended = subprocess.run(command, cwd=root, stdout=subprocess.PIPE, text=True, timeout=LONGEST_ROW_S, check=False)
    except subprocess.TimeoutExpired:
        return False, (f"it did not come to an end within {LONGEST_ROW_S:.0f} s",)
    return ended.returncode == 0, tuple(line.strip() for line in ended.stdout.splitlines()[-LAST_LINES:])


def _cases(words: Sequence[str], numbers: Mapping[str, str], root: Path) -> tuple[list[Case], tuple[str, ...]]:
    """Run tests in one process; return what became of each case, and the last lines that it said."""
    with TemporaryDirectory() as folder:
        report = Path(folder) / "report.xml"
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", f"--junitxml={report}", *words]
        try:
            ended = subprocess.run(
                command,
                cwd=root,
                env={**os.environ, **numbers},
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                timeout=LONGEST_ROW_S,
                check=False,
            )
        except subprocess.TimeoutExpired:
            return [], (f"it did not come to an end within {LONGEST_ROW_S:.0f} s",)
        said = tuple(ended.stdout.splitlines()[-LAST_LINES:])
        return (list(ElementTree.parse(report).iter("testcase")) if report.exists() else []), said


def _told(cases: Iterable[Case]) -> Iterator[str]:
    """Say how many passed, why others were skipped, and what failed."""
    passed, reasons = 0, dict[str, int]()
    failed: list[str] = []
    for case in cases:
        wrong = case.find("failure") if case.find("failure") is not None else case.find("error")
        skipped = case.find("skipped")
        if wrong is not None:
            why = (wrong.get("message") or "").splitlines()
            failed.append(f"failed: {case.get('name')}: {why[0] if why else ''}")
        elif skipped is not None:
            reason = skipped.get("message") or ""
            reasons[reason] = reasons.get(reason, 0) + 1
        else:
            passed += 1
    yield f"{passed} cases passed"
    yield from (f"skipped {number}: {reason}" for reason, number in reasons.items())
    yield from failed


def main(words: Sequence[str]) -> int:
    """Run the campaign that the words ask for; return 1 where something was broken."""
    parser = argparse.ArgumentParser(prog="packaging/soak.py", description=__doc__)
    parser.add_argument("--minutes", type=float, default=WHOLE_MIN)
    parser.add_argument("--only", default="", metavar="WORDS")
    parser.add_argument("--list", action="store_true")
    options = parser.parse_args(words)
    rows = [row for row in ROWS if options.only in row.fault]
    if options.list or not rows:
        print("\n".join(row.fault for row in ROWS))
        return 0 if options.list else 1
    outcomes: list[Outcome] = []
    for outcome in run(rows, options.minutes):
        outcomes.append(outcome)
        print(outcome, flush=True)
    done = [outcome.row for outcome in outcomes]
    left_out = [row.fault for row in rows if row not in done]
    broken = [outcome for outcome in outcomes if not outcome.held]
    print(f"\n{len(outcomes) - len(broken)} of {len(outcomes)} rows held.")
    print("".join(f"Left out of so short a campaign: {fault}\n" for fault in left_out), end="")
    print("".join(f"BROKEN: {outcome.row.fault}\n" for outcome in broken), end="")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
