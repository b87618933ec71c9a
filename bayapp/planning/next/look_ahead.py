"""Look-ahead in the bay: what can no longer be kept once a step is begun. Quick, and needs no plan."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from types import MappingProxyType

from bayapp.job import BayState, Start, ZoneClock
from bayapp.job.model.ids import JobId, Person, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Step
from bayapp.job.waits.bans import bans
from bayapp.planning.core.look_ahead import Due, LookAhead
from bayapp.planning.core.work_order import Loss
from bayapp.planning.from_bay.air_of_day import in_this_air
from bayapp.planning.from_bay.scatter import LEAST_LEFT, LEAST_SHARE_LEFT, NINE_IN_TEN, SLOW, SLOW_IN_ALL

NEAR = timedelta(hours=2)
"""What closes later than this is not put at risk by a single step."""

Block = tuple[JobId, ZoneId, StepId]
Quiet = Mapping[tuple[JobId, ZoneId], datetime]
Dust = Mapping[JobId, datetime]
"""Until when dust flies around a car."""


_Due = Due[datetime, Block]


def _due(lapses_at: datetime, opens_at: datetime, job: JobId, zone: ZoneId, step: StepId) -> _Due:
    return Due((job, zone, step), opens_at, lapses_at, (opens_at, zone))


def _loss(due: _Due) -> Loss:
    job, zone, step = due.what
    return Loss(job=job, zone=zone, step=step, lapses_at=due.lapses_at)


class BayLookAhead:
    """The windows that are running, or soon will be, in a bay, and the people who can keep them.

    A step that must follow another within a latest moment counts too; nobody coats while dust flies; a person who
    may well be at work longer than expected does not count as free. The look-ahead is quick and considers one order
    only, soonest lapse first: the planner's own trial sees further.
    """

    def __init__(
        self, state: BayState, now: Collection[ZoneClock], at: datetime, given_up: Collection[Loss] = ()
    ) -> None:
        self._state, self.at = state, at
        self._due = [d for clock in now if (d := self._running_out(clock))]
        self._busy: dict[Person | None, datetime] = {}
        self._dust: Dust = {job.job.id: at for job in state.open_jobs}
        for (by, _), clocks in _touches(now).items():
            step = self._step(clocks[0].job, clocks[0].zone, clocks[0].running.step) if clocks[0].running else None
            if step is None or clocks[0].running is None:
                continue
            begun, whole = clocks[0].running.started_at, timedelta(minutes=step.minutes) * len(clocks)
            ends = max(begun + whole * NINE_IN_TEN, at + whole * LEAST_SHARE_LEFT, at + LEAST_LEFT)
            self._busy[by] = max(ends, self._busy.get(by, at))
            self._dust = self._with_dust(clocks[0].job, ends) if step.makes_dust else self._dust
            for clock in clocks:
                self._due += self._follow(clock.job, clock.zone, StepId(step.id), begun, ends)
        crew: list[Person | None] = [p for job in state.open_jobs for p in job.job.crew]
        self._free = {person: self._busy.get(person, at) for person in crew or [None]}
        self._anyway: frozenset[Block] | None = None
        lost = {loss.window for loss in given_up}
        if lost and (lost := lost & self._lost_anyway()):  # what one touch can still keep is not lost
            self._due, self._anyway = [d for d in self._due if d.what not in lost], None

    def missed(self, start: Start, takes: timedelta) -> tuple[Loss, ...]:
        """Return the windows that would be missed if, and only if, this were begun now."""
        lost = self._late(*self._with(start, self.at, takes))
        return tuple(_loss(d) for d in lost if d.what not in self._lost_anyway())

    def missed_resting(self, by: Person | None, until: datetime) -> tuple[Loss, ...]:
        """Return the windows that would be missed if a person did nothing until then."""
        lost = self._late(list(self._due), self._hands(by, until), self._dust)
        return tuple(_loss(d) for d in lost if d.what not in self._lost_anyway())

    def risked(self, start: Start, takes: timedelta, later: timedelta, quiet_from: Quiet) -> tuple[Loss, ...]:
        """Return the windows that would be missed if this were begun, now or later, and everything went slowly.

        If the step itself keeps no running window, those at risk anyway are included: it should not be begun then.

        Args:
            quiet_from: for each zone, from when its next coat can be laid at all.
        """
        due, hands, dust = self._with(start, self.at + later, takes * SLOW)
        lost = self._late(_near(due, self.at), hands, dust, SLOW_IN_ALL, quiet_from)
        if lost and self._keeps(start):
            hands = list(self._free.values())
            anyway = self._late(_near(self._due, self.at), hands, self._dust, SLOW_IN_ALL, quiet_from)
            known = {d.what for d in anyway}
            lost = [d for d in lost if d.what not in known]
        return tuple(_loss(d) for d in lost)

    def busy_until(self, moment: datetime) -> bool:
        """Whether somebody is at work or a window closes before then."""
        return bool(self._busy) or any(d.lapses_at <= moment for d in self._due)

    def only_opens(self, start: Start, takes: timedelta) -> bool:
        """Whether a step must soon follow this one, and this one itself is in no hurry."""
        follows = (self._follow(start.job, zone, start.step, self.at, self.at + takes) for zone in start.zones)
        return not self._keeps(start) and any(list(due) for due in follows)

    def _keeps(self, start: Start) -> bool:
        return any(d.what[0] == start.job and d.what[1] in start.zones for d in self._due)

    def _with(self, start: Start, begins: datetime, takes: timedelta) -> tuple[list[_Due], list[datetime], Dust]:
        """Return what is due, when each pair of hands is free, and until when dust flies, if this is begun."""
        ends = begins + takes
        own = {(start.job, zone) for zone in start.zones}
        due = [d for d in self._due if d.what[:2] not in own]
        for zone in start.zones:
            due += self._follow(start.job, zone, start.step, begins, ends)
        dusty = self._step(start.job, start.zones[0], start.step).makes_dust
        return due, self._hands(start.by, ends), self._with_dust(start.job, ends) if dusty else self._dust

    def _with_dust(self, job: JobId, until: datetime) -> Dust:
        """Return until when dust flies around each car, if it also flies around this one until then."""
        return {
            other: max(flies, until) if self._state.share_air(job, other) else flies
            for other, flies in self._dust.items()
        }

    def _lost_anyway(self) -> frozenset[Block]:
        if self._anyway is None:
            lost = self._late(list(self._due), list(self._free.values()), self._dust)
            self._anyway = frozenset(d.what for d in lost)
        return self._anyway

    def _hands(self, by: Person | None, until: datetime) -> list[datetime]:
        """Return when each pair of hands is free, if this person (or else whoever is free first) is busy until then."""
        taken = by if by in self._free else min(self._free, key=lambda person: self._free[person])
        return list({**self._free, taken: max(until, self._free[taken])}.values())

    def _late(
        self,
        due: list[_Due],
        hands: list[datetime],
        dust: Dust,
        pace: float = 1.0,
        quiet_from: Quiet = MappingProxyType({}),
    ) -> list[_Due]:
        """Return what is begun too late if everybody does what is due at this pace."""
        return list(_AllDue(self._state, self._follow, dust, pace, quiet_from).late(due, hands))

    def _step(self, job: JobId, zone: ZoneId, step: StepId) -> Step:
        return _step(self._state, job, zone, step)

    def _running_out(self, clock: ZoneClock) -> _Due | None:
        if clock.running or clock.lapses or clock.step is None or clock.lapses_at is None or clock.out:
            return None
        return _due(clock.lapses_at, max(clock.opens_at or self.at, self.at), clock.job, clock.zone, clock.step)

    def _follow(self, job: JobId, zone: ZoneId, step: StepId, begins: datetime, ends: datetime) -> Iterator[_Due]:
        """Yield the step of the same zone that must follow within a latest moment, if there is one."""
        recipe = self._state.jobs[job].job.recipe_of(zone)
        place = recipe.group_of(recipe.position(step)).stop
        if place >= len(recipe.step) or len(recipe.group_of(recipe.position(step))) > 1:
            return
        if bans(self._state.jobs[job], zone, recipe.step[place], self.at):
            return
        written = recipe.step[place].wait
        if written is None or written.latest is None or written.of is not None or written.after not in (None, step):
            return
        wait, _ = in_this_air(self._state.jobs[job], written, ((zone, step),))
        assert wait.latest is not None
        lapses_at = (begins if wait.max_from == "start" else ends) + wait.latest
        yield _due(lapses_at, ends + wait.earliest, job, zone, StepId(recipe.step[place].id))


class _AllDue(LookAhead[datetime, Block]):
    """What is due in a bay if everybody works at one pace; zones of a work block may be begun by one touch."""

    def __init__(
        self,
        state: BayState,
        follow: Callable[[JobId, ZoneId, StepId, datetime, datetime], Iterable[_Due]],
        dust: Dust,
        pace: float,
        quiet_from: Quiet,
    ) -> None:
        self._state, self._follow, self._dust, self._pace, self._quiet_from = state, follow, dust, pace, quiet_from

    def takes_hands(self, what: Block) -> bool:
        return True

    def touch_of(self, what: Block) -> Block:
        job, zone, step = what
        return job, self._state.jobs[job].job.block_of[zone].zones[0], step

    def begins(self, due: _Due, free_from: datetime | None) -> datetime:
        quiet = due.opens_at
        if _step(self._state, *due.what).kind is StepKind.COAT:
            dust = self._dust[due.what[0]]
            quiet = max(dust, self._quiet_from.get(due.what[:2], dust))
        return max(free_from or due.opens_at, due.opens_at, quiet)

    def ends(self, what: Block, begins: datetime) -> datetime:
        return begins + timedelta(minutes=_step(self._state, *what).minutes) * self._pace

    def touch_ends(self, begins: datetime, ends: datetime) -> datetime:
        return begins + (ends - begins) * (SLOW / self._pace if self._pace > 1 else 1)

    def follow(self, what: Block, begins: datetime, ends: datetime) -> Iterable[_Due]:
        return self._follow(*what, begins, ends)


def _step(state: BayState, job: JobId, zone: ZoneId, step: StepId) -> Step:
    return state.jobs[job].job.recipe_of(zone).named(step)


def _near(due: Iterable[_Due], at: datetime) -> list[_Due]:
    return [d for d in due if d.lapses_at <= at + NEAR]


def _touches(now: Collection[ZoneClock]) -> dict[tuple[Person | None, datetime], list[ZoneClock]]:
    """Return the zones that are worked, by who began them and when."""
    found: dict[tuple[Person | None, datetime], list[ZoneClock]] = {}
    for clock in now:
        if clock.running:
            found.setdefault((clock.running.by, clock.running.started_at), []).append(clock)
    return found
