"""Thirty days that left the plan early on, and how each of them ends.

``python packaging/liveness.py off_plan``
"""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bayapp.cli.outcomes import Outcome as Answer
from bayapp.cli.outcomes import opening, run
from bayapp.files.event_lines import NumberedRequest, read_event_lines
from bayapp.files.library import Library
from bayapp.job import BayState, Start, fold
from bayapp.job.shut_out.shut_out import shut_out
from tests.liveness.walks import Outcome, judged

FOLDER = Path(__file__).parent.parent / "data" / "days_off_plan"
NAMES = tuple(sorted(file.stem for file in FOLDER.glob("*.jsonl")))


@dataclass(frozen=True)
class Day:
    """A day up to the moment from which it is planned.

    Attributes:
        refused: answers of the gate that were no.
        warned: some touch of it was told to shut out work of others, or to let a window close.
    """

    name: str
    state: BayState
    at: datetime
    refused: tuple[Answer, ...]
    warned: bool

    def ends(self) -> Outcome:
        """Return how the day ends that is planned from here."""
        return judged(self.state, self.at)


def day(name: str) -> Day:
    """Return one of ``NAMES``, as it stands at its last line."""
    job = Library().load_job(FOLDER / f"{name.partition('--')[0]}.toml")
    asked = read_event_lines(FOLDER / f"{name}.jsonl", job)
    answers = list(run(job, asked))
    opened = opening(job, asked)
    state = fold([opened, *(event for answer in answers for event in answer.events)])
    refused = tuple(answer for answer in answers if not answer.accepted)
    return Day(name, state, asked[-1].at, refused, any(_warnings(fold([opened]), asked, answers)))


def _warnings(state: BayState, asked: Sequence[NumberedRequest], answers: Sequence[Answer]) -> Iterator[bool]:
    """Yield for each start whether the wall had told what it would shut out."""
    for line, answer in zip(asked, answers, strict=True):
        if isinstance(line.request, Start):
            told = shut_out(state, line.request, line.at)
            yield bool(told.barred or told.missed)
        state = fold(answer.events, state)


def main(words: Sequence[str]) -> int:
    """Print how each day ends; return 1 where one is neither carried on to its end nor was warned of."""
    bad = 0
    for name in NAMES:
        today = day(name)
        outcome = today.ends()
        ways = ", ".join(f"{touch.remedy.value} {' '.join(touch.zones)}" for touch in outcome.taken)
        warned = "told before" if today.warned else "not told"
        print(f"{name:70} {outcome.kind:9} {warned:12} {ways} {outcome.words if not outcome.good else ''}", flush=True)
        bad += not (outcome.good or today.warned)
    print(f"{len(NAMES)} days, {bad} neither carried on to the end nor told before")
    return int(bad > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
