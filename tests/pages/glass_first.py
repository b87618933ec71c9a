"""The invented day on which the windscreen was to be coated before the side glass had been touched."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bayapp.job import Start
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from tests.job.shut_out.days import day
from tests.pages.bays import HandBay, hand_bay

SALOON = JobId("car")
KIM, LOU = Person("Kim"), Person("Lou")
SCREEN = (ZoneId("windscreen"),)
SIDES = tuple(ZoneId(f"glass-{side}-{place}") for side in ("left", "right") for place in ("front", "rear", "quarter"))
COAT = Start(SALOON, SCREEN, StepId("coat-1"), KIM)
WASH = Start(SALOON, SIDES, StepId("decontaminate"), KIM)
WHY = "6 panes could not be decontaminated until the windscreen is buffed, and its buff waits for all glass."


@contextmanager
def before_the_coat(store: Path) -> Iterator[HandBay]:
    """Open a bay half a minute after the windscreen was wiped; its coat is the next line of the day."""
    job, lines = day("glass-first")
    with hand_bay(store, cars=0, at=job.start) as hand:
        hand.bay.open_job(job)
        for line in lines[:-2]:
            hand.go_to(line.at)
            assert hand.bay.request(line.request).accepted
        hand.wait(30)
        yield hand
