"""Days of 50, 100 and 200 steps on the shipped estate and recipes, and what our planning is set against."""

from datetime import datetime

from bayapp.files.library import Library
from bayapp.job import Job, fold
from bayapp.job.model.ids import Person
from bayapp.job.state.events import JobOpened
from bayapp.job.state.state import BayState
from bayapp.paths import resource
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem, Task
from bayapp.planning.from_bay.from_job import Work, work_of
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.partial_schedule import FAR, PartialSchedule, Ties

GLASS = ("windscreen", "side-glass-left", "side-glass-right", "rear-screen")
METAL = ("rims", "calipers", "tips")
PANELS = 15
PEOPLE = (Person("Ash"), Person("Bo"), Person("Cy"))


def day(steps: int, people: int) -> BayState:
    """Return an untouched estate with so many steps to do: the glass, then the metal as well, then 15 panels too."""
    whole = Library().load_job(resource("jobs", "estate-whole-car.toml"))
    names = {50: GLASS, 100: (*GLASS, *METAL, "cabin"), 200: (*GLASS, *METAL, "panels"), 246: ()}[steps]
    job = whole if steps == 246 else _only(whole, names)
    job = job.model_copy(update={"crew": PEOPLE[:people]})
    return fold((JobOpened(at=job.start, job=job.id, opened=job),))


def _only(job: Job, names: tuple[str, ...]) -> Job:
    zones = {z for name in names for z in job.zones_named(name)}
    if "panels" in names:
        paint = [z for block in job.blocks if block.recipe.name == "paint-two-layers" for z in block.zones]
        zones |= set(paint[:PANELS])
    blocks = [
        block.model_copy(update={"zones": left})
        for block in job.blocks
        if (left := tuple(z for z in block.zones if z in zones))
    ]
    return Job.model_validate({**{name: getattr(job, name) for name in Job.model_fields}, "blocks": blocks})


HELD_BACK = {
    "van": ("van-paint-and-glass",),
    "van and motorcycle": ("van-paint-and-glass", "motorcycle-tank-and-rims"),
    "estate and motorcycle": ("estate-whole-car", "motorcycle-tank-and-rims"),
    "estate and van": ("estate-whole-car", "van-paint-and-glass"),
    "estate's glass and motorcycle": ("estate-glass-and-rims", "motorcycle-tank-and-rims"),
    "van and estate's glass": ("van-paint-and-glass", "estate-glass-and-rims"),
}
"""Days that the planner is measured on and not tuned to, one by one."""


def held_back_state(name: str, people: int) -> tuple[BayState, datetime]:
    """Return a bay with all cars of a day of ``HELD_BACK`` in it, untouched, and when it begins."""
    jobs = [Library().load_job(resource("jobs", f"{job}.toml")) for job in HELD_BACK[name]]
    at = max(job.start for job in jobs)
    crew = {"crew": PEOPLE[:people]}
    opened = (JobOpened(at=at, job=job.id, opened=job.model_copy(update=crew)) for job in jobs)
    return fold(tuple(opened)), at


def held_back(name: str, people: int) -> Work:
    """Return such a day as a problem."""
    state, at = held_back_state(name, people)
    return work_of(Situation(state, at, Shop()))


def work(steps: int, people: int) -> Work:
    """Return such a day as a problem."""
    state = day(steps, people)
    return work_of(Situation(state, state.open_jobs[0].opened_at, Shop()))


def soonest_lapse_first(problem: Problem) -> tuple[Plan, int]:
    """Return what comes of always beginning whatever lapses soonest, else the next in the list; and what is missed.

    It does not look ahead: a step whose moment has passed is begun late all the same, and counted. Where it has coated
    one pane before another was washed it is stuck for good: the wash would spoil the coat, and the coat waits to be
    buffed until all the glass is coated. The plan is then of status "unknown", with what had been begun.
    """
    at, missed = PartialSchedule(Ties.of(problem)), 0
    order = {task.id: place for place, task in enumerate(problem.tasks)}
    begins = {g.first: [h for h in problem.forbidden if h.first == g.first] for g in problem.forbidden}

    def rank(task: Task) -> tuple[int, int]:
        return at.lapses(task), order[task.id]

    while at.left:
        opens = {t.id: at.opens(t) for t in at.left.values()}
        for task in sorted((at.left[i] for i, m in opens.items() if m is not None and m <= at.now), key=rank):
            free = at.hands_for(task)
            shut = at.forbidden_until(task) > at.now or at.kept_out(begins.get(task.id, ()))
            if free is not False and not shut:
                missed += at.lapses(task) < min(at.now, FAR)
                at.start(task, free if isinstance(free, str) else None)
                break
        else:
            moment = at.next_change(m for m in opens.values() if m is not None)
            if moment is None:
                return Plan("unknown", starts_s=at.starts), missed
            at.advance(moment)
    return Plan("feasible", max(at.end(t) for t in at.starts), None, at.starts, at.done_by), missed
