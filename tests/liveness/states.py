"""Visits every state of small jobs, and tells of each from which no way leads to the end.

``python packaging/liveness.py states [--people N] [--most N] [JOB ...]``
"""

import argparse
import sys
from collections.abc import Iterator, Sequence
from time import perf_counter

from tests.liveness.explore import Space, closing, explore, refusals, replayed
from tests.liveness.small_jobs import JOBS, small_job

SHOWN = 3
"""Closing moves of one kind are told once; of so many kinds."""


def main(words: Sequence[str]) -> int:
    """Explore, print a table and the shortest ways into a dead end; return 1 where there is one."""
    parser = argparse.ArgumentParser(prog="packaging/liveness.py states", description=__doc__)
    parser.add_argument("jobs", nargs="*", help=f"of {', '.join(JOBS)}; by default all")
    parser.add_argument("--people", type=int, nargs="+", default=[1, 2], help="how many work on the car")
    parser.add_argument("--most", type=int, default=300_000, help="give a job up that has more states")
    options = parser.parse_args(words)
    if unknown := set(options.jobs) - JOBS.keys():
        parser.error(f"no job is called {', '.join(sorted(unknown))}")
    shut = False
    for name in options.jobs or JOBS:
        for people in options.people:
            began = perf_counter()
            try:
                space = explore(small_job(name, people), options.most)
            except OverflowError as more:
                print(f"{name}, {people} at work: {more}, {perf_counter() - began:.0f} s", flush=True)
                continue
            dead = len(space.dead)
            print(
                f"{name}, {people} at work: {len(space.moves)} states, {len(space.ends)} ends, "
                f"{dead} without a way to the end, {perf_counter() - began:.0f} s",
                flush=True,
            )
            for line in told(space):
                print(f"    {line}", flush=True)
            shut = shut or bool(dead)
    return int(shut)


def told(space: Space) -> Iterator[str]:
    """Yield how the nearest dead ends are reached, one of each kind of closing move, and what is refused there."""
    kinds: dict[str, int] = {}
    for number in closing(space):
        kinds.setdefault(space.path(number)[-1].kind, number)
    for kind, number in list(kinds.items())[:SHOWN]:
        path = space.path(number)
        yield f"closed by: {kind}"
        yield from (f"  {move.at:%d %H:%M:%S.%f} {move.words}" for move in path)
        yield from (f"  refused: {sentence}" for sentence in refusals(*replayed(space.job, path)))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
