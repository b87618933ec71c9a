"""Visits every state of small jobs, and tells of each from which no way leads to the end.

``python packaging/liveness.py states [--people N] [--most N] [--sent-back] [--pairs] [JOB ...]``
"""

import argparse
import sys
from collections.abc import Iterator, Sequence
from time import perf_counter

from bayapp.job import Job
from tests.liveness.dead_ends import DeadEnds, way_to
from tests.liveness.every_state import EveryState
from tests.liveness.moves import refusals
from tests.liveness.situations import LONG
from tests.liveness.small_jobs import JOBS, pairs, small_job

SHOWN = 3
"""Closing moves of one kind are told once; of so many kinds."""


def main(words: Sequence[str]) -> int:
    """Visit, print how many there were and the shortest ways into a dead end; return 1 where there is one."""
    parser = argparse.ArgumentParser(prog="packaging/liveness.py states", description=__doc__)
    parser.add_argument("jobs", nargs="*", help=f"of {', '.join(JOBS)}; by default all")
    parser.add_argument("--people", type=int, nargs="+", default=[1, 2], help="how many work on the car")
    parser.add_argument("--most", type=int, default=10**6, help="give a job up that takes more visits")
    parser.add_argument("--sent-back", action="store_true", help="zones are sent back, too, whenever that may be")
    parser.add_argument("--pairs", action="store_true", help="visit every two shipped recipes instead, one at work")
    options = parser.parse_args(words)
    if unknown := set(options.jobs) - JOBS.keys():
        parser.error(f"no job is called {', '.join(sorted(unknown))}")
    if options.pairs:
        jobs = list(pairs().items())
    else:
        names = [(name, people) for name in options.jobs or JOBS for people in options.people]
        jobs = [(f"{name}, {people} at work", small_job(name, people)) for name, people in names]
    alive = [_all_alive(name, job, options.most, options.sent_back) for name, job in jobs]
    return int(not all(alive))


def _all_alive(name: str, job: Job, most: int, sent_back: bool) -> bool:
    """Visit a job, print what was found, and return whether no dead end was."""
    began = perf_counter()
    states = EveryState(job, sent_back=sent_back)
    try:
        states.visit_all(most, lambda visits, left: print(f"    {visits} visits, {left} to follow", file=sys.stderr))
    except OverflowError as more:
        print(f"{name}: {more}, {perf_counter() - began:.0f} s", flush=True)
        return False
    ends = DeadEnds(states)
    print(f"{name}: {counted(ends)}, {perf_counter() - began:.0f} s", flush=True)
    for line in told(ends):
        print(f"    {line}", flush=True)
    return not ends.dead


def counted(ends: DeadEnds) -> str:
    """Return how much was visited, in words."""
    states = ends.states
    return (
        f"{len(states.situations)} situations in {len(states.visits)} sets of ages, {states.asked} judged by the gate, "
        f"{len(ends.ends)} ends, {len(ends.dead)} without a way to the end"
    )


def told(ends: DeadEnds) -> Iterator[str]:
    """Yield how the nearest dead ends are reached, one of each kind of last touch, and what is refused there."""
    kinds: set[str] = set()
    for visit in ends.closing():
        moves, state, at = way_to(ends.states, visit)
        kind = moves[-1].kind if moves else ""
        if kind in kinds or len(kinds) == SHOWN:
            continue
        kinds.add(kind)
        yield f"closed by: {kind}, or by leaving it as it is then"
        yield from (f"  {move.at:%d %H:%M:%S.%f} {move.words}" for move in moves)
        yield from (f"  refused for good: {sentence}" for sentence in refusals(state, at + LONG))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
