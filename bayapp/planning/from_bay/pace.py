"""How long work takes in this shop, learnt from its finished runs.

A shop's pace is estimated from the logarithms of its times: their median, and the median absolute deviation as spread.
Both stand where a few runs are absurd, up to half of them. Few runs are believed little: ``BELIEF`` further runs are
added in thought that went as one would have expected without any. For a step of a recipe that expectation is the pace
of its kind of step, and for a kind of step it is the recipe's own minutes and ``USUAL_SIGMA``:

    log factor = (n · median of log(real / expected) + BELIEF · log expected factor) / (n + BELIEF)
    sigma²     = (n · s² + BELIEF · expected sigma²) / (n + BELIEF), from ENOUGH runs on, else the expected sigma²
"""

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from statistics import NormalDist, median

from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.recipe import Recipe, Step
from bayapp.job.state.state import JobState, StepRun
from bayapp.planning.from_bay.scatter import USUAL_SIGMA

ENOUGH = 8
"""Fewer runs than this do not show the spread."""

BELIEF = 8
"""This many runs weigh as much as what was expected before."""

ABSURD = 8.0
"""A run this many times longer or shorter than expected is a touch that came late or early, not work."""

_MAD_TO_SIGMA = 1 / NormalDist().inv_cdf(0.75)
"""The median absolute deviation of a normal distribution is its 0.75 quantile times sigma."""


@dataclass(frozen=True, slots=True)
class TimedRun:
    """One piece of work that was timed: seconds for one zone, as expected and as it was."""

    recipe: str
    step: StepId
    kind: StepKind
    expected_s: float
    real_s: float

    @property
    def believable(self) -> bool:
        """Whether this can have been work: it took time, and neither far too little nor far too much."""
        return self.expected_s > 0 and self.expected_s / ABSURD <= self.real_s <= self.expected_s * ABSURD


@dataclass(frozen=True, slots=True)
class Pace:
    """What to expect: the recipe's minutes times ``factor``, give or take ``sigma`` of the logarithm.

    ``runs``: how many runs this is based on; without any it is what the recipe says.
    """

    factor: float = 1.0
    sigma: float = USUAL_SIGMA
    runs: int = 0


@dataclass(frozen=True, slots=True)
class Typical:
    """A summary of some runs: the median of the logarithms, their sigma, and the number of runs."""

    log: float
    sigma: float
    runs: int

    @classmethod
    def of(cls, logs: list[float]) -> "Typical":
        """Return median and spread of at least one logarithm."""
        middle = median(logs)
        return cls(middle, _MAD_TO_SIGMA * median(abs(x - middle) for x in logs), len(logs))


@dataclass(frozen=True, slots=True)
class Paces:
    """A shop's own times.

    Attributes:
        by_kind: for a kind of step, logarithms of real over expected.
        by_step: for a step of a recipe, logarithms of real seconds for one zone, so that minutes that were
            corrected in the recipe since are not corrected twice.
    """

    by_kind: Mapping[StepKind, Typical] = field(default_factory=dict)
    by_step: Mapping[tuple[str, StepId], Typical] = field(default_factory=dict)

    def of(self, recipe: str, step: Step) -> Pace:
        """Return what to expect of a step of a recipe."""
        pace = _learnt(Pace(), self.by_kind.get(step.kind), 0.0)
        return _learnt(pace, self.by_step.get((recipe, StepId(step.id))), math.log(step.minutes * 60))


def timed_runs(jobs: Iterable[JobState]) -> tuple[TimedRun, ...]:
    """Return all work that was timed; what one touch began on several zones counts once, divided among the zones.

    Left out: what is still running on any zone of its touch, and what was never begun by hand (a finish without a
    start has no length).
    """
    return tuple(run for job in jobs for run in _timed(job))


def spreads(runs: Iterable[TimedRun]) -> Paces:
    """Return the paces that these runs show; runs that cannot have been work are passed over."""
    kinds: dict[StepKind, list[float]] = defaultdict(list)
    steps: dict[tuple[str, StepId], list[float]] = defaultdict(list)
    for run in runs:
        if run.believable:
            kinds[run.kind].append(math.log(run.real_s / run.expected_s))
            steps[run.recipe, run.step].append(math.log(run.real_s))
    return Paces(
        {kind: Typical.of(logs) for kind, logs in kinds.items()},
        {step: Typical.of(logs) for step, logs in steps.items()},
    )


def durations(paces: Paces) -> Callable[[Job, ZoneId, Step], float]:
    """Return how many minutes a step of a zone is to be expected to take in this shop."""
    return lambda job, zone, step: step.minutes * paces.of(job.recipe_of(zone).name, step).factor


def sigmas(paces: Paces) -> Callable[[Job, ZoneId, Step], float]:
    """Return how much the time of a step of a zone scatters in this shop, as sigma of its logarithm."""
    return lambda job, zone, step: paces.of(job.recipe_of(zone).name, step).sigma


def _learnt(before: Pace, seen: Typical | None, log_expected: float) -> Pace:
    """Return the pace after some runs, whose logarithms are counted from ``log_expected``."""
    if seen is None:
        return before
    n, all_ = seen.runs, seen.runs + BELIEF
    log_factor = (n * (seen.log - log_expected) + BELIEF * math.log(before.factor)) / all_
    variance = before.sigma**2
    if n >= ENOUGH:
        variance = (n * seen.sigma**2 + BELIEF * variance) / all_
    return Pace(math.exp(log_factor), math.sqrt(variance), n)


def _timed(job: JobState) -> Iterator[TimedRun]:
    for recipe, step, runs in _touches(job):
        if any(run.finished_at is None or run.implied for run in runs):
            continue
        begun = min(run.started_at for run in runs)
        ended = max(run.finished_at for run in runs if run.finished_at)
        took = (ended - begun).total_seconds() / len(runs)
        yield TimedRun(recipe.name, StepId(step.id), step.kind, step.minutes * 60, took)


def _touches(job: JobState) -> Iterator[tuple[Recipe, Step, list[StepRun]]]:
    """Yield the runs that one touch began together, those under way included.

    What one person began at one instant was one touch to the gate of older journals, and so it is here.
    """
    together: dict[tuple[str, StepId, str], list[tuple[Recipe, StepRun]]] = defaultdict(list)
    for zone, state in job.zones.items():
        recipe = job.job.recipe_of(zone)
        for number, run in enumerate(state.begun):
            touch = run.touch or (f"{zone}, run {number}" if run.by is None else f"{run.started_at} {run.by}")
            together[recipe.name, run.step, touch].append((recipe, run))
    for found in together.values():
        recipe, first = found[0]
        yield recipe, recipe.named(first.step), [run for _, run in found]
