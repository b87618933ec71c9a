"""The plan page: past and planned work on one time line, and what it means."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from bayapp.bay.held_back import held_back
from bayapp.bay.planner_out import PlannerOut
from bayapp.job import BayState, clocks
from bayapp.job.model.ids import JobId
from bayapp.job.text.naming import of_car
from bayapp.pages.plan.held_back import held_back_sentence
from bayapp.pages.plan.plan_rows import PlanRow, plan_rows
from bayapp.pages.plan.plan_stints import REST, Part, Stint, ahead, day_began, foreseen, happened
from bayapp.pages.plan.plan_words import plan_sentences, plan_title
from bayapp.pages.plan.planner_words import planner_sentences
from bayapp.pages.plan.promise import broken_promises
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import WorkOrder
from bayapp.text.figures import moment_text
from bayapp.text.language import _

LEAST = timedelta(minutes=30)
SHORT_IDLE = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class Flag:
    """A marked moment on the time line, with its words."""

    at: datetime
    words: str


@dataclass(frozen=True, slots=True)
class DayPlan:
    """The first plan of a working day with all its cars, for comparison with what happened."""

    jobs: frozenset[JobId]
    order: WorkOrder


def day_plan(state: BayState, kept: DayPlan | None, order: WorkOrder | None, at: datetime) -> DayPlan | None:
    """Return the plan to compare with: that of the morning, until a car comes in or another day begins."""
    jobs = frozenset(job.job.id for job in state.open_jobs)
    if order is None or order.finish is None or order.stuck:
        return kept
    if kept and jobs <= kept.jobs and kept.order.made_for > day_began(state, at) - REST:
        return kept
    return DayPlan(jobs, order)


@dataclass(frozen=True, slots=True)
class PlanView:
    """What the plan page shows.

    Attributes:
        subtitle: when the plan was made.
        sentences: all else, the most important first.
        by_person: whether rows are people; else they are work blocks.
        begins, ends: the limits of the whole day.
        soonest: when the next planned bar begins; None if there is none.
        flags: the finish, then how late it may get.
        tz: the time zone of the time line.
        ways_out: whether there are ways out of what is wrong.
        undoes: the way out that was just taken and can be taken back; empty for none.
    """

    title: str
    subtitle: str
    sentences: tuple[str, ...]
    by_person: bool
    rows: tuple[PlanRow, ...]
    now: datetime
    begins: datetime
    ends: datetime
    tz: tzinfo
    soonest: datetime | None = None
    flags: tuple[Flag, ...] = ()
    ways_out: bool = False
    undoes: str = ""


def plan_page(
    state: BayState,
    order: WorkOrder | None,
    by_person: bool,
    seen: Viewpoint,
    morning: WorkOrder | None = None,
    out: PlannerOut | None = None,
) -> PlanView:
    """Return the plan page; ``morning`` is the first plan of the day, for comparison; ``out``: why there is no plan."""
    at, tz = seen.at, seen.tz
    work = [*happened(state, order, at), *ahead(state, order)]
    said = [s for s in foreseen(morning or order, at) if _known(state, s)]
    flags = _flags(order, at, tz) if order else ()
    moments = [at, *(m for s in (*work, *said) for m in (s.start, s.end)), *(flag.at for flag in flags)]
    begins = min(moments)
    return PlanView(
        plan_title(state, order, at, tz),
        _("planned at {time}").format(time=moment_text(order.made_for, at, tz)) if order else "",
        (
            *(planner_sentences(out) if out else ()),
            *_promises(state, order, at, tz),
            *_idle(state, work, at, tz),
            *plan_sentences(state, order, morning, at, tz),
        ),
        by_person,
        plan_rows(state, work, said, by_person, at, tz),
        at,
        begins,
        max(*moments, begins + LEAST),
        tz,
        _soonest(work),
        flags,
    )


def _promises(state: BayState, order: WorkOrder | None, at: datetime, tz: tzinfo) -> list[str]:
    """Return which promises will not be kept; they come first, because somebody has to call the owner."""
    cars = len(state.open_jobs)
    broken = broken_promises(state, order, at, tz)
    return [of_car(state.jobs[job].job, promise.sentence, cars) for job, promise in broken.items()]


def _idle(state: BayState, work: Sequence[Stint], at: datetime, tz: tzinfo) -> list[str]:
    """Return why nobody does anything for a while, though something could be done but for a coat."""
    begins = min((s.start for s in work if s.part is Part.PLANNED), default=None)
    busy = any(s.part is Part.RUNNING for s in work)
    if busy or (begins and begins - at < SHORT_IDLE):
        return []
    why = held_back_sentence(state, held_back(state, clocks(state, at), None, at), at, tz)
    return [why] if why else []


def _flags(order: WorkOrder, at: datetime, tz: tzinfo) -> tuple[Flag, ...]:
    found = []
    if order.finish and order.steps:
        found.append(Flag(order.finish, _("work done {time}").format(time=moment_text(order.finish, at, tz))))
    if order.finish_p90 and order.steps:
        text = _("{time} on a slow day").format(time=moment_text(order.finish_p90, at, tz))
        found.append(Flag(order.finish_p90, text))
    return tuple(found)


def _known(state: BayState, stint: Stint) -> bool:
    """Whether the car of a planned step is still in the bay and has the zone in its work."""
    job = state.jobs.get(stint.job)
    return job is not None and job.closed_at is None and stint.zone in job.zones


def _soonest(work: Sequence[Stint]) -> datetime | None:
    return min((s.start for s in work if s.part is Part.PLANNED), default=None)
