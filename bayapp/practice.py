"""The practice car: an invented day up to the moment the board opens."""

from datetime import UTC, datetime, timedelta

from bayapp.bay import Bay
from bayapp.files.event_lines import read_event_lines
from bayapp.files.library import Library
from bayapp.job import Job, OpenBottle, Request, ShelveBottle
from bayapp.job.model.ids import BottleId
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.bottle import end_of_day
from bayapp.paths import resource

PRACTICE_ID = "practice-estate"
HEARD_BEFORE = timedelta(minutes=1)
"""Alerts as old as this have been heard when the practice begins."""


def practice_scenario(opening: datetime) -> tuple[Job, list[tuple[datetime, Request]]]:
    """Return the practice job and all that was asked before the board opens, oldest first, each with its instant.

    The job starts the day before, at its ``start``; the last request falls on ``opening``, to the millisecond.
    """
    written = Library().load_job(resource("practice", "practice-job.toml"), PRACTICE_ID)
    asked = read_event_lines(resource("practice", "practice-events.jsonl"), written)
    shift = to_millisecond(opening) - asked[-1].at
    job = written.model_copy(update={"start": written.start + shift})
    return job, [*_shelf(job), *((line.at + shift, line.request) for line in asked)]


def play_practice(bay: Bay, opening: datetime) -> None:
    """Play the invented day up to this moment."""
    job, asked = practice_scenario(opening)
    bay.open_job(job, job.start)
    for at, request in asked:
        verdict = bay.request(request, at)
        if not verdict.accepted:
            raise RuntimeError(f"the practice day was refused at {at}: {verdict.refusal}")
    bay.alerts.update(opening, bay.clocks(opening))
    heard = [a.condition.subject for a in bay.alerts.unanswered() if opening - a.condition.since > HEARD_BEFORE]
    if heard:
        bay.alerts.acknowledge(heard)


# Product, millilitres, batch, days from the job's start to the last good day, days since it was opened.
BOTTLES: tuple[tuple[str, float, str, int, int | None], ...] = (
    ("glass-coat", 50, "GL-4471", 410, 21),
    ("glass-coat", 50, "GL-4502", 640, None),
    ("rim-coat", 30, "RM-118", 300, 96),
    ("rim-coat", 50, "RM-131", 520, 4),
    ("paint-coat", 150, "PC-2209", 260, 9),  # enough for the day: advice that is followed is never refused
    ("wipe-solvent", 1000, "W-77", 700, 30),
    ("trim-coat", 30, "TR-065", -12, None),
    ("trim-coat", 50, "TR-090", 480, 2),
    ("metal-coat", 30, "MC-340", 350, None),
)


def _shelf(job: Job) -> list[tuple[datetime, Request]]:
    """Return what puts the invented bottles on the shelf before the day begins: two of them are good no more."""
    at, asked, library = job.start, list[tuple[datetime, Request]](), Library()
    for number, (name, size, batch, good_for, opened) in enumerate(BOTTLES, 1):
        day = (at + timedelta(days=good_for)).date()
        product = job.products.get(name) or library.load_product(name)
        asked.append((at, ShelveBottle(product, float(size), batch, None, day, end_of_day(day, UTC))))
        if opened is not None:
            asked.append((at, OpenBottle(BottleId(f"bottle-{number}"), at - timedelta(days=opened))))
    return asked
