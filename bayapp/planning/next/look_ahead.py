"""What can no longer be kept once a step is begun: a quick look that needs no plan."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from heapq import heapify, heappop, heappush, heapreplace
from types import MappingProxyType

from bayapp.job import BayState, Start, ZoneClock
from bayapp.job.model.ids import JobId, Person, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Step
from bayapp.planning.core.work_order import Loss
from bayapp.planning.from_bay.air_of_day import in_this_air

LEAST_LEFT = timedelta(seconds=30)
"""Whatever is under way still takes as long, and a tenth of what it was expected to."""
NINE_IN_TEN = 1.37
"""Nine in ten steps take no longer than this times what is expected: exp(1.2816 sigma), sigma as in ``risk``."""
SLOW, SLOW_IN_ALL = 1.4, 1.15
"""One step may well take so many times longer than expected; many, one after the other, less so."""
NEAR = timedelta(hours=2)
"""What closes later than this is not put at risk by a single step."""

Block = tuple[JobId, ZoneId, StepId]
Quiet = Mapping[tuple[JobId, ZoneId], datetime]


@dataclass(frozen=True, slots=True)
class _Due:
    """A step that must be begun between two moments; ordered by the latter."""

    lapses_at: datetime
    opens_at: datetime
    job: JobId
    zone: ZoneId
    step: StepId

    def __lt__(self, other: "_Due") -> bool:
        return (self.lapses_at, self.opens_at, self.zone) < (other.lapses_at, other.opens_at, other.zone)

    @property
    def block(self) -> Block:
        """What tells it from others."""
        return self.job, self.zone, self.step

    def lost(self) -> Loss:
        return Loss(job=self.job, zone=self.zone, step=self.step, lapses_at=self.lapses_at)


class Meanwhile:
    """The windows that run or will soon run in a bay, and the hands there are to keep them.

    What follows on a step within a latest moment counts too; nobody coats while dust flies; nobody can count on hands
    that may well be at work for longer than expected. The look is quick and thinks of hands only in one order, soonest
    lapse first: the planner's own trial sees further.
    """

    def __init__(
        self, state: BayState, now: Collection[ZoneClock], at: datetime, given_up: Collection[Loss] = ()
    ) -> None:
        self._state, self.at = state, at
        lost = {(loss.job, loss.zone, loss.step) for loss in given_up}
        self._due = [d for clock in now if (d := self._running_out(clock)) and d.block not in lost]
        self._busy: dict[Person | None, datetime] = {}
        self._dust = at
        for (by, _), clocks in _touches(now).items():
            step = self._step(clocks[0].job, clocks[0].zone, clocks[0].running.step) if clocks[0].running else None
            if step is None or clocks[0].running is None:
                continue
            begun, whole = clocks[0].running.started_at, timedelta(minutes=step.minutes) * len(clocks)
            ends = max(begun + whole * NINE_IN_TEN, at + whole / 10, at + LEAST_LEFT)
            self._busy[by] = max(ends, self._busy.get(by, at))
            self._dust = max(self._dust, ends if step.makes_dust else at)
            for clock in clocks:
                self._due += self._follow(clock.job, clock.zone, StepId(step.id), begun, ends)
        crew: list[Person | None] = [p for job in state.open_jobs for p in job.job.crew]
        self._free = {person: self._busy.get(person, at) for person in crew or [None]}
        self._anyway: frozenset[Block] | None = None

    def missed(self, start: Start, takes: timedelta) -> tuple[Loss, ...]:
        """Return the windows that would be missed if this were begun now, and would not if it were not."""
        lost = self._late(*self._with(start, self.at, takes))
        return tuple(d.lost() for d in lost if d.block not in self._lost_anyway())

    def missed_resting(self, by: Person | None, until: datetime) -> tuple[Loss, ...]:
        """Return the windows that would be missed if a person did nothing until then."""
        lost = self._late(list(self._due), self._hands(by, until), self._dust)
        return tuple(d.lost() for d in lost if d.block not in self._lost_anyway())

    def risked(self, start: Start, takes: timedelta, later: timedelta, quiet_from: Quiet) -> tuple[Loss, ...]:
        """Return the windows that would be missed if this were begun, now or later, and everything went slowly.

        What keeps none of the windows that run should not be begun either while these are at risk anyway.

        Args:
            quiet_from: from when a zone's next coat can be laid at all.
        """
        due, hands, dust = self._with(start, self.at + later, takes * SLOW)
        lost = self._late(_near(due, self.at), hands, dust, SLOW_IN_ALL, quiet_from)
        if lost and self._keeps(start):
            hands = list(self._free.values())
            anyway = self._late(_near(self._due, self.at), hands, self._dust, SLOW_IN_ALL, quiet_from)
            known = {d.block for d in anyway}
            lost = [d for d in lost if d.block not in known]
        return tuple(d.lost() for d in lost)

    def busy_until(self, moment: datetime) -> bool:
        """Whether anybody is at work, or a window closes before then."""
        return bool(self._busy) or any(d.lapses_at <= moment for d in self._due)

    def only_opens(self, start: Start, takes: timedelta) -> bool:
        """Whether something must soon follow on this, and this itself is in no hurry."""
        follows = (self._follow(start.job, zone, start.step, self.at, self.at + takes) for zone in start.zones)
        return not self._keeps(start) and any(list(due) for due in follows)

    def _keeps(self, start: Start) -> bool:
        return any(d.job == start.job and d.zone in start.zones for d in self._due)

    def _with(self, start: Start, begins: datetime, takes: timedelta) -> tuple[list[_Due], list[datetime], datetime]:
        """Return what is due, whose hands are free from when, and until when dust flies, if this is begun."""
        ends = begins + takes
        own = {(start.job, zone) for zone in start.zones}
        due = [d for d in self._due if (d.job, d.zone) not in own]
        for zone in start.zones:
            due += self._follow(start.job, zone, start.step, begins, ends)
        dusty = self._step(start.job, start.zones[0], start.step).makes_dust
        return due, self._hands(start.by, ends), max(self._dust, ends) if dusty else self._dust

    def _lost_anyway(self) -> frozenset[Block]:
        if self._anyway is None:
            lost = self._late(list(self._due), list(self._free.values()), self._dust)
            self._anyway = frozenset(d.block for d in lost)
        return self._anyway

    def _hands(self, by: Person | None, until: datetime) -> list[datetime]:
        """Return when each pair of hands is free, if this person, or else whoever is free first, is not until then."""
        taken = by if by in self._free else min(self._free, key=lambda person: self._free[person])
        return list({**self._free, taken: max(until, self._free[taken])}.values())

    def _late(
        self,
        due: list[_Due],
        hands: list[datetime],
        dust: datetime,
        pace: float = 1.0,
        quiet_from: Quiet = MappingProxyType({}),
    ) -> list[_Due]:
        """Return what is begun too late when everybody does what is due, soonest lapse first, at a pace.

        Zones of a work block that would lapse one after the other are begun by one touch.
        """
        free = [(moment, hand) for hand, moment in enumerate(hands)]
        heapify(free)
        touched: dict[Block, tuple[datetime, int]] = {}
        late: list[_Due] = []
        heapify(due)
        while due:
            now = heappop(due)
            step, block = self._step(now.job, now.zone, now.step), self._block(now)
            quiet = max(dust, quiet_from.get((now.job, now.zone), dust))
            begins = max(free[0][0], now.opens_at, quiet if step.kind is StepKind.COAT else now.opens_at)
            length = timedelta(minutes=step.minutes) * pace
            if begins <= now.lapses_at:
                touched[block] = begins, free[0][1]
                heapreplace(free, (begins + length, free[0][1]))
            elif block in touched and now.opens_at <= touched[block][0] <= now.lapses_at:
                begins, hand = touched[block]
                ends = next(moment for moment, other in free if other == hand) + length
                free = [(ends if other == hand else moment, other) for moment, other in free]
                heapify(free)
                length = (ends - begins) * (SLOW / pace if pace > 1 else 1)
            else:
                late.append(now)
                continue
            for follows in self._follow(now.job, now.zone, now.step, begins, begins + length):
                heappush(due, follows)
        return late

    def _block(self, due: _Due) -> Block:
        return due.job, self._state.jobs[due.job].job.block_of[due.zone].zones[0], due.step

    def _step(self, job: JobId, zone: ZoneId, step: StepId) -> Step:
        return self._state.jobs[job].job.recipe_of(zone).named(step)

    def _running_out(self, clock: ZoneClock) -> _Due | None:
        if clock.running or clock.lapses or clock.step is None or clock.lapses_at is None or clock.aside:
            return None
        return _Due(clock.lapses_at, max(clock.opens_at or self.at, self.at), clock.job, clock.zone, clock.step)

    def _follow(self, job: JobId, zone: ZoneId, step: StepId, begins: datetime, ends: datetime) -> Iterator[_Due]:
        """Yield what must follow on a step of the same zone within a latest moment, if anything must."""
        recipe = self._state.jobs[job].job.recipe_of(zone)
        place = recipe.group_of(recipe.position(step)).stop
        if place >= len(recipe.step) or len(recipe.group_of(recipe.position(step))) > 1:
            return
        written = recipe.step[place].wait
        if written is None or written.latest is None or written.of is not None or written.after not in (None, step):
            return
        wait, _ = in_this_air(self._state.jobs[job], written, ((zone, step),))
        assert wait.latest is not None
        lapses_at = (begins if wait.max_from == "start" else ends) + wait.latest
        yield _Due(lapses_at, ends + wait.earliest, job, zone, StepId(recipe.step[place].id))


def _near(due: Iterable[_Due], at: datetime) -> list[_Due]:
    return [d for d in due if d.lapses_at <= at + NEAR]


def _touches(now: Collection[ZoneClock]) -> dict[tuple[Person | None, datetime], list[ZoneClock]]:
    """Return the zones that are worked, by who began them and when."""
    found: dict[tuple[Person | None, datetime], list[ZoneClock]] = {}
    for clock in now:
        if clock.running:
            found.setdefault((clock.running.by, clock.running.started_at), []).append(clock)
    return found
