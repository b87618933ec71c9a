"""Days out of files, up to a line of theirs."""

from pathlib import Path

from bayapp.files.event_lines import NumberedRequest, read_event_lines
from bayapp.files.library import Library
from bayapp.job import BayState, Job, fold, gate
from bayapp.job.state.requests import OpenJob

DAYS = Path(__file__).parents[2] / "data" / "days"


def day(name: str) -> tuple[Job, list[NumberedRequest]]:
    """Return the job of a day and all that was asked on it."""
    job = Library().load_job(DAYS / f"{name}.toml", "car")
    return job, read_event_lines(DAYS / f"{name}.jsonl", job)


def played(job: Job, lines: list[NumberedRequest]) -> BayState:
    """Return the state after these lines, all of which the gate accepts."""
    state = fold(gate(BayState(), OpenJob(job), job.start).events)
    for line in lines:
        verdict = gate(state, line.request, line.at)
        assert verdict.accepted, verdict.refusal
        state = fold(verdict.events, state)
    return state
