"""How a job was changed while its car was in the bay: zones, recipes, people, what was sent back, a car come back."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from bayapp.job.model.job import Job
from bayapp.job.state.events import (
    CrewChanged,
    Event,
    GotWet,
    JobClosed,
    JobReopened,
    RecipeSwapped,
    SpotSkipped,
    SpotTried,
    WorkAdded,
    ZonePassed,
    ZoneSentBack,
)
from bayapp.job.text.naming import step_title
from bayapp.job.text.spot_words import card_text
from bayapp.report.facts.day_record import JobChange


def job_changes(events: Sequence[Event], job: Job) -> Iterator[JobChange]:
    """Yield every change of a job in the order of the journal."""
    left_at = job.start
    for event in events:
        if event.job != job.id:
            continue
        if isinstance(event, WorkAdded):
            recipe = event.block.recipe.title or event.block.recipe.name
            yield JobChange(event.block.zones, event.at, event.by, recipe, event.reason, added=True)
        elif isinstance(event, RecipeSwapped):
            yield JobChange(event.becomes.zones, event.at, event.by, event.recipe, event.reason)
        elif isinstance(event, ZoneSentBack):
            step = (
                step_title(job.recipe_of(event.zone), event.step)
                if job.recipe_of(event.zone).knows(event.step)
                else event.step
            )
            yield JobChange((event.zone,), event.at, event.by, "", event.reason, back_to=step)
        elif isinstance(event, CrewChanged):
            yield JobChange((), event.at, event.by, "", crew=event.crew)
        elif isinstance(event, JobClosed):
            left_at = event.at
            if event.deviation:
                said = " ".join(rule.why for rule in event.deviation.rules)
                yield JobChange((), event.at, event.by, "", event.deviation.reason, unseen=said)
        elif isinstance(event, JobReopened):
            yield JobChange((), event.at, event.by, "", left_at=left_at)


def looks_and_water(events: Sequence[Event], job: Job) -> Iterator[JobChange]:
    """Yield on which zones water came and which were seen by light and good, those of one touch together."""
    mine = (event for event in events if isinstance(event, GotWet | ZonePassed) and event.job == job.id)
    for _touch, group in groupby(mine, key=lambda event: (type(event), event.at, event.by)):
        alike = tuple(group)
        first, zones = alike[0], tuple(event.zone for event in alike)
        if isinstance(first, GotWet):
            yield JobChange(zones, first.at, first.by, "", wet_at=first.wet_at)
        else:
            yield JobChange(zones, first.at, first.by, "", passed=True)


def spots_tried(events: Sequence[Event], job: Job) -> Iterator[JobChange]:
    """Yield the test spots, and that none was made, in the order of the journal."""
    for event in events:
        if isinstance(event, SpotTried) and event.job == job.id:
            card = event.card
            yield JobChange((), event.at, event.by, "", spot=(card_text(card), card.result, card.chosen))
        elif isinstance(event, SpotSkipped) and event.job == job.id:
            yield JobChange((), event.at, event.by, "", spot=("", "", False))
