"""The order of a whole car in the plans of the ready jobs (common practice, no source), for one person and for two.

Washed once and dried, then masked, polished, dusted off, wiped and coated, unmasked when all is levelled, glass after
the tape, cabin and tyres when every coat is levelled: a plan that washes in slices or masks before the wash is wrong.
The first plans are asked, which come before any search; every later one has the same waits, and is checked by them.
"""

from collections.abc import Iterable
from functools import cache

import pytest

from bayapp.files.library import Library
from bayapp.job import Job, fold
from bayapp.job.model.ids import THE_CAR, Person, StepKind
from bayapp.job.state.events import JobOpened
from bayapp.paths import resource
from bayapp.planning.from_bay.remaining_operations import Rung
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.relaxation import relaxed

READY = sorted(path.stem for path in resource("jobs").glob("*.toml"))
CREWS = (("Ash",), ("Ash", "Bo"))


@cache
def planned(name: str, crew: tuple[str, ...]) -> tuple[Job, list[tuple[Rung, int, int]]]:
    """Return the job and each planned step with its start and end, in seconds."""
    job = Library().load_job(resource("jobs", f"{name}.toml"))
    job = job.model_copy(update={"crew": tuple(map(Person, crew))})
    first = relaxed(Situation(fold([JobOpened(at=job.start, job=job.id, opened=job)]), job.start, Shop()))
    assert first.plan.starts_s, "there is a plan"
    assert not first.losses
    tasks = first.work.problem.task_of
    spans = [
        (first.work.rung_of[task], start, start + tasks[task].duration_s) for task, start in first.plan.starts_s.items()
    ]
    return job, sorted(spans, key=lambda span: span[1:])


@pytest.fixture(
    params=[(name, crew) for name in READY for crew in CREWS], ids=lambda param: f"{param[0]}-{len(param[1])}"
)
def plan(request: pytest.FixtureRequest) -> "Plan":
    return Plan(*planned(*request.param))


class Plan:
    """When the steps of a plan begin and end."""

    def __init__(self, job: Job, spans: list[tuple[Rung, int, int]]) -> None:
        self.job, self.spans = job, spans

    def of_car(self, step: str) -> tuple[int, int]:
        """Return when a step of the car itself begins and ends."""
        (found,) = [span for rung, *span in self.spans if (rung.zone, rung.step.id) == (THE_CAR, step)]
        return found[0], found[1]

    def of_zones(self, *kinds: StepKind, surfaces: Iterable[str] = ()) -> list[tuple[int, int]]:
        """Return when steps of these kinds begin and end on the zones; only of these surfaces, where any are named."""
        wanted = set(surfaces)
        return [
            (start, end)
            for rung, start, end in self.spans
            if rung.zone != THE_CAR and rung.step.kind in kinds
            if not wanted or self.job.vehicle.zone_named(rung.zone).surface in wanted
        ]


def test_every_ready_job_has_work_on_the_whole_car(plan: Plan):
    assert THE_CAR in plan.job.block_of


def test_the_car_is_wet_in_one_stretch_and_dry_before_anything_else_is_done(plan: Plan):
    wet = [(start, end) for rung, start, end in plan.spans if rung.step.makes_wet]
    others = [start for rung, start, _ in plan.spans if not rung.step.makes_wet]
    assert max(end for _, end in wet) == plan.of_car("rinse")[1] <= min(others)
    assert min(others) == plan.of_car("blow-out")[0]
    assert plan.of_car("dry")[0] - plan.of_car("blow-out")[1] >= 10 * 60


def test_wheels_come_first_and_panels_are_clayed_between_the_wash_and_the_rinse(plan: Plan):
    wheels = plan.of_zones(StepKind.DECONTAMINATE, surfaces=("rim", "tyre", "caliper"))
    panels = plan.of_zones(StepKind.DECONTAMINATE, surfaces=("paint", "glass", "lamp", "trim", "screen"))
    assert max(end for _, end in wheels) <= plan.of_car("wash")[0]
    assert min(start for start, _ in panels) >= plan.of_car("decontaminate")[1]


def test_no_machine_polishes_before_the_car_is_masked_and_nothing_is_wiped_before_dust_is_off(plan: Plan):
    polished = plan.of_zones(StepKind.POLISH, surfaces=("paint", "glass", "lamp", "screen"))
    assert min(start for start, _ in polished) >= plan.of_car("mask")[1]
    assert max(end for _, end in plan.of_zones(StepKind.POLISH)) <= plan.of_car("dust-off")[0]
    assert plan.of_car("dust-off")[1] <= min(start for start, _ in plan.of_zones(StepKind.WIPE))
    assert plan.of_car("dust-off")[1] <= min(start for start, _ in plan.of_zones(StepKind.COAT))


def test_tape_is_off_after_the_last_level_of_paint_and_lamps_and_glass_is_wiped_after_that(plan: Plan):
    levelled = plan.of_zones(StepKind.LEVEL, StepKind.BUFF, surfaces=("paint", "lamp"))
    assert all(end <= plan.of_car("unmask")[0] for _, end in levelled)
    glass = plan.of_zones(StepKind.WIPE, StepKind.COAT, surfaces=("glass",))
    assert all(start >= plan.of_car("unmask")[1] for start, _ in glass)


def test_the_final_look_comes_a_quarter_of_an_hour_after_the_last_level_and_then_the_brakes(plan: Plan):
    levelled = max(end for _, end in plan.of_zones(StepKind.LEVEL, StepKind.BUFF))
    assert plan.of_car("final-look")[0] >= levelled + 15 * 60
    assert plan.of_car("brakes")[0] >= plan.of_car("final-look")[1]


def test_tyres_are_dressed_and_the_cabin_begun_when_every_coat_is_levelled(plan: Plan):
    levelled = max(end for _, end in plan.of_zones(StepKind.LEVEL, StepKind.BUFF))
    late = [start for rung, start, _ in plan.spans if rung.step.id in ("dress", "vacuum")]
    assert all(start >= levelled for start in late)
