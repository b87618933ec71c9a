"""Judges photos: their adding, their withdrawal, and of which phase one is."""

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, Why
from bayapp.job.model.ids import Code, StepKind, ZoneId
from bayapp.job.state.events import Phase, PhotoAdded, PhotoWithdrawn
from bayapp.job.state.requests import AddPhoto, WithdrawPhoto
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict

CHANGES_THE_LOOK = frozenset(
    {StepKind.POLISH, StepKind.COAT, StepKind.LEVEL, StepKind.BUFF, StepKind.DRESS, StepKind.CLEAN}
)
"""Steps after which a photo no longer shows the surface as it came; a wash lays bare what was there."""


def judge_photo(request: AddPhoto, facts: BayFacts) -> Verdict:
    """Record a photo, once a place."""
    job = facts.state.jobs[request.job]
    if any(photo.added.sha256 == request.sha256 for photo in job.photos_of(request.zone)):
        return Verdict(refusals=(Refusal(Code.DONE, Bare(Why.PHOTO_KNOWN), request.job, request.zone),))
    added = PhotoAdded(
        at=facts.at,
        job=request.job,
        by=request.by,
        zone=request.zone,
        sha256=request.sha256,
        kind=request.kind,
        size=request.size,
        phase=request.phase or phase_of(job, request.zone),
    )
    return Verdict(events=(added,))


def judge_photo_withdrawal(request: WithdrawPhoto, facts: BayFacts) -> Verdict:
    """Take a photo away from its place, where it is."""
    photos = facts.state.jobs[request.job].photos_of(request.zone)
    if all(photo.added.sha256 != request.sha256 for photo in photos):
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.NO_SUCH_PHOTO), request.job, request.zone),))
    withdrawn = PhotoWithdrawn(at=facts.at, job=request.job, by=request.by, zone=request.zone, sha256=request.sha256)
    return Verdict(events=(withdrawn,))


def phase_of(job: JobState, zone: ZoneId | None) -> Phase:
    """Return the phase of a photo taken now: later once a step has changed the look of what it shows.

    Of a zone that is not worked, and of the whole car, that is the first such step anywhere.
    """
    shown = tuple(job.zones) if zone is None or zone not in job.zones else (zone,)
    for name in shown:
        recipe, state = job.job.recipe_of(name), job.zones[name]
        if any(recipe.knows(run.step) and recipe.named(run.step).kind in CHANGES_THE_LOOK for run in state.begun):
            return "later"
    return "arrival"
