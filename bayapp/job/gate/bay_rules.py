"""Rules across zones: dust, water, one pair of hands, one tool. Each returns the reason why not, or None.

Hands and tools are the shop's; dust and water stay in the air of one place.
"""

from collections.abc import Container, Iterable, Iterator, Sequence
from datetime import datetime

from bayapp.job.gate.bay_facts import BayFacts, Running, dust_free_at
from bayapp.job.grounds import Bare, PersonBusy, SeveralBlocks, SplashReach, ToolBusy, Why
from bayapp.job.model.ids import Code, JobId, StepKind, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.model.recipe import Step
from bayapp.job.state.requests import Start
from bayapp.job.verdict import Refusal

Beside = Sequence[tuple[ZoneId, Step]]
"""Zones of the same request in other work blocks, each with its own step: a touch on a set that goes across blocks."""


def one_block(request: Start, facts: BayFacts) -> Refusal | None:
    """One touch joins zones of one work block only: no person, and no tool there is one of, is at two at once."""
    job = facts.state.jobs[request.job].job
    first, *others = dict.fromkeys(job.block_of[zone].zones for zone in request.zones)
    tools = [job.recipe_of(zones[0]).named(request.step).tool for zones in (first, *others)]
    shared = len([t for t in tools if t]) > len({t for t in tools if t})
    if not others or (request.by is None and not shared):
        return None
    elsewhere = tuple(zone for zone in request.zones if zone not in first)
    grounds = SeveralBlocks(tuple(zone for zone in request.zones if zone in first), elsewhere)
    return Refusal(Code.BUSY, grounds, request.job, elsewhere[0], request.step)


def person_free(request: Start, facts: BayFacts, touch: str = "") -> Refusal | None:
    """One person works on one step at a time; ``touch`` is the one that all of the request's zones were begun by."""
    if request.by is None:
        return None
    for other in _elsewhere(request, facts, touch):
        if other.run.by == request.by:
            return Refusal(Code.BUSY, PersonBusy(request.by), other.job.job.id, other.zone, other.run.step)
    return None


def tool_free(request: Start, step: Step, facts: BayFacts, touch: str = "") -> Refusal | None:
    """A tool there is one of is in one place."""
    if step.tool is None:
        return None
    for other in _elsewhere(request, facts, touch):
        if other.step.tool == step.tool:
            return Refusal(Code.BUSY, ToolBusy(step.tool), other.job.job.id, other.zone, other.run.step)
    return None


def _elsewhere(request: Start, facts: BayFacts, touch: str) -> Iterator[Running]:
    """Yield what is under way by another touch; one without a name is a touch of its own."""
    for other in facts.running:
        same_step = other.job.job.id == request.job and other.run.step == request.step
        if not (same_step and (other.zone in request.zones or (touch and other.run.touch == touch))):
            yield other


def no_dust_on_coats(request: Start, step: Step, facts: BayFacts, beside: Beside = ()) -> Refusal | None:
    """No dusty step while a fresh coat is open in the same air, and no coat while dust flies there."""
    own = {(request.job, zone) for zone in (*request.zones, *(z for z, its in beside if its.makes_dust))}
    fresh = _around(own, request.job, facts) if step.makes_dust else []
    if fresh:
        return _until_dry(Why.DUST_ON_COAT, fresh, facts)
    if step.kind is StepKind.COAT:
        for other in facts.running:
            job = other.job.job.id
            if other.step.makes_dust and (job, other.zone) not in own and facts.state.share_air(request.job, job):
                return Refusal(Code.BAY, Bare(Why.COAT_IN_DUST), job, other.zone, other.run.step)
        for zone, its in beside:
            if its.makes_dust:
                return Refusal(Code.BAY, Bare(Why.COAT_IN_DUST), request.job, zone, request.step)
    return None


def no_water_on_coats(request: Start, step: Step, facts: BayFacts, beside: Beside = ()) -> tuple[Refusal, ...]:
    """No wet step inside the keep-dry time of the same car, nor while a fresh coat is open in the same air.

    Of another car's zones that must only be kept dry it is asked whether the water reaches them.
    """
    if not step.makes_wet:
        return ()
    for zone, its in beside:
        if its.kind is StepKind.COAT:
            return (Refusal(Code.BAY, Bare(Why.WATER_ON_COAT), request.job, zone),)
    own = {(request.job, zone) for zone in (*request.zones, *(z for z, its in beside if its.makes_wet))}
    fresh = _around(own, request.job, facts)
    dry = [e for e in facts.dry if e[:2] not in own and (e[0] == request.job or e[:2] in fresh)]
    if dry:
        job, zone, until = max(dry, key=lambda entry: entry[2])
        return (Refusal(Code.BAY, Bare(Why.KEEP_DRY), job, zone, None, until),)
    if fresh:
        return (_until_dry(Why.WATER_ON_COAT, fresh, facts),)
    return _in_reach(request.job, [entry for entry in facts.dry if entry[0] != request.job], facts)


def _until_dry(why: Why, fresh: Iterable[tuple[JobId, ZoneId]], facts: BayFacts) -> Refusal:
    """Return the refusal by the coat that is fresh the longest; without a moment where work is still to be done."""
    dries = [(job, zone, dust_free_at(facts.state.jobs[job], zone, facts.at)) for job, zone in fresh]
    job, zone, until = max(dries, key=lambda entry: (entry[2] is None, entry[2] or facts.at))
    return Refusal(Code.BAY, Bare(why), job, zone, None, until)


def _around(own: Container[tuple[JobId, ZoneId]], job: JobId, facts: BayFacts) -> list[tuple[JobId, ZoneId]]:
    """Return the fresh coats in the air around a car, less those of its own zones."""
    return [entry for entry in facts.fresh if entry not in own and facts.state.share_air(job, entry[0])]


def _in_reach(wet: JobId, dry: list[tuple[JobId, ZoneId, datetime]], facts: BayFacts) -> tuple[Refusal, ...]:
    """Return what water on one car may reach on others: each other car once, with the question or the answer."""
    refusals: dict[JobId, Refusal] = {}
    asked: dict[JobId, list[tuple[ZoneId, datetime]]] = {}
    for job, zone, until in dry:
        answer = facts.state.splash_answer(wet, job, zone) if facts.state.share_air(wet, job) else True
        if answer is None:
            asked.setdefault(job, []).append((zone, until))
        elif answer is False and (job not in refusals or until > (refusals[job].right_from or until)):
            refusals[job] = Refusal(Code.BAY, Bare(Why.KEEP_DRY), job, zone, None, until)
    questions = (
        Refusal(Code.BAY, SplashReach(tuple(z for z, _ in of), wet), job, of[0][0], None, max(u for _, u in of))
        for job, of in asked.items()
    )
    return (*refusals.values(), *questions)


def against_coming_into(job: JobId, facts: BayFacts) -> tuple[Refusal, ...]:
    """Return what dust and water under way around a car would do to its coats, where it stands by these facts."""
    fresh = [zone for of, zone in facts.fresh if of == job]
    dry = [entry for entry in facts.dry if entry[0] == job and entry[1] not in fresh]
    found: list[Refusal] = []
    for other in facts.running:
        wet = other.job.job.id
        if wet == job or not facts.state.share_air(wet, job):
            continue
        if fresh and other.step.makes_dust:
            found.append(Refusal(Code.BAY, Bare(Why.DUST_ON_COAT), job, fresh[0]))
        if fresh and other.step.makes_wet:
            found.append(Refusal(Code.BAY, Bare(Why.WATER_ON_COAT), job, fresh[0]))
        elif other.step.makes_wet:
            found += _in_reach(wet, dry, facts)
    return tuple({(r.why, r.zone): r for r in found}.values())


def out_in_the_weather(job: JobId, facts: BayFacts) -> tuple[Refusal, ...]:
    """Return what to mind of a coat that is outside: a warning, no refusal (common practice, no source)."""
    if facts.state.jobs[job].place != OUTSIDE:
        return ()
    fresh = [zone for of, zone in facts.fresh if of == job]
    if fresh:
        return (Refusal(Code.BAY, Bare(Why.COAT_OUTSIDE), job, fresh[0]),)
    dry = [entry for entry in facts.dry if entry[0] == job]
    if not dry:
        return ()
    _, zone, until = max(dry, key=lambda entry: entry[2])
    return (Refusal(Code.BAY, Bare(Why.KEEP_DRY_OUTSIDE), job, zone, None, until),)
