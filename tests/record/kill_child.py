"""A wall screen without a screen: appends touches for ever and says so after each; made to be killed.

Run as ``python kill_child.py STORE RUN``. A touch is one transaction of three events. A line
``accepted RUN-N SEQ SEQ SEQ`` is printed only after ``append`` has returned, as the screen paints only then.
"""

import sys
from itertools import count
from pathlib import Path

from bayapp.clock import BayClock
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.events import StepStarted
from bayapp.record import open_journal

ZONES = ("roof", "bonnet", "windscreen")


def main(store: Path, run: str) -> None:
    clock = BayClock.at_wall()
    journal = open_journal(store)
    print("open", flush=True)
    for number in count(1):
        touch = f"{run}-{number}"
        events = [
            StepStarted(at=clock.now(), job=JobId("car"), zone=ZoneId(zone), step=StepId("wipe"), touch=touch)
            for zone in ZONES
        ]
        seqs = journal.append(events, clock.stamp())
        print("accepted", touch, *seqs, flush=True)
        journal.heartbeat(clock.now(), clock.stamp())


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
