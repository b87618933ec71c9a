"""Which steps must keep away from which surfaces: dust from fresh coats, water from what must stay dry.

Both stay in the air of one place. Water on another car may come beside what must only be kept dry, because a person is
asked then whether it is out of reach; it keeps away where somebody has said that it is not.

A coat that is covered keeps nothing away until its own next step begins, which takes the cover off.

Dust and water stay away from the wipe before a coat on: they would spoil it, and it had to be wiped again.

The planner is stricter than the gate where the gate is silent: no coat begins while water flies.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job.gate.bay_facts import dust_free_at, fresh_coat
from bayapp.job.model.ids import JobId, StepKind, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.state import BayState
from bayapp.job.waits.cure import cure_of
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.planning.core.problem import ForbiddenInterval
from bayapp.planning.from_bay.remaining_operations import Key, Ladder, Rung, task_id

Lasting = Callable[[Rung], int]
DUST, FLYING = frozenset({"dust"}), frozenset({"dust that flies now"})
WATER, OWN_WATER, OTHERS_WATER = frozenset({"water"}), frozenset({"water in reach"}), frozenset({"water of others"})


@dataclass(frozen=True, slots=True)
class _Open:
    """A stretch in which a coat lies open on a zone.

    Attributes:
        begins: the rung that it begins with; None where it has begun.
        rungs: what is done on the zone meanwhile.
        last, longer_s: it ends so long after the end of that rung; after now, where that is None.
        for_good: nobody goes on with it.
        dries: nothing is done to it any more; it only needs to become dry to touch.
    """

    begins: Rung | None
    rungs: tuple[Rung, ...]
    last: Rung | None
    longer_s: int = 0
    for_good: bool = False
    dries: bool = False


def left_open(
    state: BayState, ladders: Iterable[Ladder], rungs: Mapping[Key, Rung], at: datetime
) -> dict[tuple[JobId, ZoneId], Rung | None]:
    """Return zones whose last open coat nobody goes on with, and the rung with which it begins; None where it has.

    Such a zone is set aside, or held, or what comes next on it cannot be planned. Dust and water must wait for it.
    """
    known = {(ladder.job.job.id, ladder.zone): ladder for ladder in ladders}
    found: dict[tuple[JobId, ZoneId], Rung | None] = {}
    for job in state.open_jobs:
        for zone in job.zones:
            ladder = known.get((job.job.id, zone), Ladder(job, zone, (), held=True))
            for stretch in _stretches(ladder, rungs, at, lambda rung: 0):
                if stretch.for_good:
                    found[job.job.id, zone] = stretch.begins
    return found


def forbidden(
    state: BayState, ladders: Iterable[Ladder], rungs: Mapping[Key, Rung], at: datetime, lasting: Lasting
) -> tuple[ForbiddenInterval, ...]:
    """Return a forbidden interval for every fresh coat and every surface to keep dry, now and to come.

    Stricter than the gate in one point: no coat is begun while water flies, nor water while a buffed coat is not
    yet finished. What is under way is under way: it is held against no forbidden interval that has begun.

    Args:
        rungs: what is planned.
        lasting: how long a step takes; what is left of it, where it is under way.
    """
    dusty = {key for key, r in rungs.items() if r.step.makes_dust}
    wet = {key for key, r in rungs.items() if r.step.makes_wet}
    known = {(ladder.job.job.id, ladder.zone): ladder for ladder in ladders}
    found = []
    for job in state.open_jobs:
        near = {other.job.id for other in state.open_jobs if state.share_air(job.job.id, other.job.id)}
        dust, water = ({key for key in keys if key[0] in near} for keys in (dusty, wet))
        for zone in job.zones:
            ladder = known.get((job.job.id, zone), Ladder(job, zone, (), held=True))
            own = {r.key for r in ladder.rungs}
            in_reach = {key for key in water if _reaches(state, key[0], job.job.id, zone)}
            against = {WATER: water, OWN_WATER: in_reach, OTHERS_WATER: water - in_reach}
            for interval in _zone_intervals(ladder, rungs, at, lasting):
                keys = against.get(interval.against, dust) - own
                if interval.against == FLYING:
                    keys = {key for key in keys if rungs[key].run is not None}
                elif interval.first is None:
                    keys = {key for key in keys if rungs[key].run is None}
                if keys:
                    found.append(
                        ForbiddenInterval(
                            interval.id, interval.first, interval.last, frozenset(map(task_id, keys)), interval.longer_s
                        )
                    )
    return tuple(found)


def _reaches(state: BayState, wet: JobId, dry: JobId, zone: ZoneId) -> bool:
    """Whether water on a car reaches a zone that must be kept dry: its own does, another's where somebody said so."""
    return wet == dry or state.splash_answer(wet, dry, zone) is False


def _zone_intervals(
    ladder: Ladder, rungs: Mapping[Key, Rung], at: datetime, lasting: Lasting
) -> Iterator[ForbiddenInterval]:
    """Yield what keeps dust and water away from one zone, each against nothing yet but the word for it."""
    name = f"{ladder.job.job.id}/{ladder.zone}"
    left = _planned(ladder, rungs)
    dry = _dry_s(ladder.recipe)
    stretches = list(_stretches(ladder, rungs, at, lasting))
    for number, stretch in enumerate(stretches, 1):
        coat = next((r for r in stretch.rungs if r.step.kind is StepKind.COAT and r.run is None), None)
        kept_from = _kept_from(ladder, left, stretch.begins, at)
        if kept_from is None and coat is not None:  # what dust flies now must have settled before the next coat
            yield ForbiddenInterval(f"{name} no dust before {number}", task_id(coat.key), task_id(coat.key), FLYING)
        if stretch.for_good:
            return
        no_dust = _interval(f"{name} no dust {number}", kept_from, stretch, DUST)
        yield no_dust
        if stretch is stretches[-1] and not stretch.dries and left and _complete(ladder, left):
            yield ForbiddenInterval(f"{name} keep dry", no_dust.first, task_id(left[-1].key), OWN_WATER, dry)
            yield _interval(f"{name} no water {number}", kept_from, stretch, OTHERS_WATER)
        else:
            yield _interval(f"{name} no water {number}", kept_from, stretch, WATER)
    cure = cure_of(ladder.job, ladder.zone)
    if all(stretch.dries for stretch in stretches) and left and _complete(ladder, left) and dry:
        begins = task_id(left[-1].key) if left[-1].run is None else None
        yield ForbiddenInterval(f"{name} keep dry", begins, task_id(left[-1].key), OWN_WATER, dry)
    elif not left and cure and cure.dry_until and cure.dry_until > at and not ladder.covered:
        yield ForbiddenInterval(f"{name} keep dry", None, None, OWN_WATER, _seconds_up(cure.dry_until - at))


def _interval(name: str, kept_from: Rung | None, stretch: _Open, against: frozenset[str]) -> ForbiddenInterval:
    first, last = (None if rung is None else task_id(rung.key) for rung in (kept_from, stretch.last))
    return ForbiddenInterval(name, first, last, against, stretch.longer_s)


def _kept_from(ladder: Ladder, left: list[Rung], begins: Rung | None, at: datetime) -> Rung | None:
    """Return the rung from whose beginning dust and water stay away; None where they do from now on.

    It is what an open coat begins with, or the wipe just before that coat; where that is done or under way, it is now.
    """
    if begins is None or begins.step.kind is not StepKind.COAT or begins.run is not None:
        return begins
    place = left.index(begins)
    if place > 0:
        before = left[place - 1]
        if before.step.kind is not StepKind.WIPE:
            return begins
        return before if before.run is None else None
    rungs = ladder_position(ladder.job, ladder.zone, at).rungs
    return None if rungs and ladder.recipe.named(rungs[-1].step).kind is StepKind.WIPE else begins


def _stretches(ladder: Ladder, rungs: Mapping[Key, Rung], at: datetime, lasting: Lasting) -> Iterator[_Open]:
    """Yield when a coat lies open: from its first stroke until the last is dry to touch, or has fallen off."""
    left, dust_free_s = _planned(ladder, rungs), _seconds_up(timedelta(minutes=ladder.recipe.finish.dust_free_minutes))
    is_open = fresh_coat(ladder.job, ladder.zone, at)
    if is_open and (free := dust_free_at(ladder.job, ladder.zone, at)) is not None:
        yield _Open(None, (), None, _seconds_up(free - at), dries=True)
        is_open = False
    begins: Rung | None = None
    inside: list[Rung] = []
    before: Rung | None = None
    for rung in left:
        if is_open and not rung.open_before and rung.run is None:
            yield _fallen(begins, inside, before, rung, at, lasting)
            is_open = False
        opens = rung.step.kind is StepKind.COAT or (rung.open_before and rung.run is None)
        if not is_open and opens:
            is_open, inside = True, []
            begins = before if rung.open_before and before is not None else rung
        if is_open:
            inside.append(rung)
            if not rung.open_after:
                yield _Open(begins, tuple(inside), rung, dust_free_s)
                is_open, inside = False, []
        before = rung
    if is_open:
        yield _to_the_end(ladder, left, begins, inside)


def _fallen(
    begins: Rung | None, inside: list[Rung], before: Rung | None, rung: Rung, at: datetime, lasting: Lasting
) -> _Open:
    """Return a stretch that ends because the zone falls back to below its coats."""
    if before is None or before.run is not None:
        falls = 0 if rung.not_before is None else _seconds_up(rung.not_before - at)
        return _Open(begins, tuple(inside), None, max(falls, 0 if before is None else lasting(before)))
    return _Open(begins, tuple(inside), rung, -lasting(rung))


def _to_the_end(ladder: Ladder, left: list[Rung], begins: Rung | None, inside: list[Rung]) -> _Open:
    """Return a stretch that nothing on the ladder ends: the coat dries by itself, or nobody goes on with it."""
    if left and _complete(ladder, left) and left[-1].dries:
        return _Open(begins, tuple(inside), left[-1], _dry_s(ladder.recipe))
    return _Open(begins, tuple(inside), None, for_good=True)


def _planned(ladder: Ladder, rungs: Mapping[Key, Rung]) -> list[Rung]:
    return [r for r in ladder.rungs if r.key in rungs]


def _complete(ladder: Ladder, left: list[Rung]) -> bool:
    return not (ladder.held or ladder.forbidden) and len(left) == len(ladder.rungs)


def _dry_s(recipe: Recipe) -> int:
    return _seconds_up(timedelta(hours=recipe.finish.keep_dry_hours))


def _seconds_up(length: timedelta) -> int:
    return -(-length // timedelta(seconds=1))
