"""Work on the time line: a bar is one step on zones done together, a spell a block done in one go."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from bayapp.job import BayState, StepRun, zone_clock
from bayapp.job.clocks import ZoneClock, surface
from bayapp.job.model.ids import JobId, Motion, Person, Stage, StepKind, Urgency, ZoneId
from bayapp.job.text.naming import kind_words, step_title
from bayapp.pages.plan.plan_stints import Part, Stint
from bayapp.text.language import _

SIDE_BY_SIDE = timedelta(seconds=90)
PRESSING = (Urgency.LAPSED, Urgency.CLOSING, Urgency.OPEN, Urgency.WAITING, Urgency.IDLE)


class RowKey(NamedTuple):
    """The row of a person (None if nobody is named), or of a block of a job."""

    person: Person | None = None
    job: JobId | None = None
    block: int = 0


RowOf = Callable[[Stint], RowKey]


@dataclass(frozen=True, slots=True)
class Bracket:
    """When a bar may begin: from opening to lapse. ``lapses_at`` is None if there is no latest moment.

    A bar over several zones may begin when every zone of it keeps its own window. Only a running clock has another
    urgency than idle.
    """

    start: datetime
    opens_at: datetime
    lapses_at: datetime | None
    urgency: Urgency


@dataclass(frozen=True, slots=True)
class Bar:
    """One step on one zone, or on several in immediate succession.

    Attributes:
        names: the name of the step: in full, then shorter ones for less room.
        stage, layers: the surface as it looks once the step is done.
        next_up: whether it is this person's next step.
        bracket: when it may begin; None if it has no wait.
    """

    names: tuple[str, ...]
    zones: tuple[ZoneId, ...]
    start: datetime
    end: datetime
    part: Part
    stage: Stage
    layers: tuple[Motion, ...]
    next_up: bool = False
    bracket: Bracket | None = None


@dataclass(frozen=True, slots=True)
class Spell:
    """Bars of one work block that one person does without a break, in order."""

    job: JobId
    zones: tuple[ZoneId, ...]
    person: Person | None
    bars: tuple[Bar, ...]

    @property
    def start(self) -> datetime:
        """When its first bar begins."""
        return self.bars[0].start

    @property
    def end(self) -> datetime:
        """When its last bar ends."""
        return max(bar.end for bar in self.bars)


class Surfaces:
    """The surface after each step, and the present state of each clock."""

    def __init__(self, state: BayState, stints: Iterable[Stint], at: datetime) -> None:
        self._state, self._at = state, at
        self._to_come: dict[tuple[JobId, ZoneId], list[Stint]] = {}
        for stint in sorted(stints, key=lambda s: s.start):
            self._to_come.setdefault((stint.job, stint.zone), []).append(stint)
        self._clocks: dict[tuple[JobId, ZoneId], ZoneClock] = {}

    def after(self, stint: Stint) -> tuple[Stage, tuple[Motion, ...]]:
        """Return stage and layers once this is done, if all goes as planned."""
        job = self._state.jobs[stint.job]
        recipe = job.job.recipe_of(stint.zone)
        upto = self._to_come[stint.job, stint.zone]
        upto = upto[: upto.index(stint) + 1]
        seen = {s.step for s in upto}
        stood = [r for r in job.zones[stint.zone].rungs if r.step not in seen and r.started_at < stint.start]
        return surface(recipe, (*stood, *(StepRun(s.step, s.start) for s in upto)))

    def urgency(self, stint: Stint) -> Urgency:
        """Return the state of the clock that this waits for; idle if none runs yet."""
        key = stint.job, stint.zone
        if key not in self._clocks:
            self._clocks[key] = zone_clock(self._state.jobs[stint.job], stint.zone, self._at)
        clock = self._clocks[key]
        awaited = stint.step in clock.choices and not clock.running
        return clock.urgency if awaited else Urgency.IDLE


def spells(
    state: BayState, stints: Sequence[Stint], row_of: RowOf, at: datetime, next_up: Iterable[Stint] = ()
) -> dict[RowKey, list[Spell]]:
    """Return the spells of each row, by start."""
    surfaces, first = Surfaces(state, stints, at), frozenset(next_up)
    rows: dict[RowKey, list[list[list[Stint]]]] = {}
    latest: dict[tuple[RowKey, Person | None], tuple[tuple[JobId, int], list[list[Stint]]]] = {}
    for stint in sorted(stints, key=lambda s: (s.start, s.end, s.zone)):
        row, block = row_of(stint), (stint.job, block_of(state, stint))
        of, spell = latest.get((row, stint.person), (block, []))
        if not spell or of != block or not _goes_on(spell[-1], stint):
            spell = []
            latest[row, stint.person] = block, spell
            rows.setdefault(row, []).append(spell)
        if spell and _same_bar(spell[-1][-1], stint):
            spell[-1].append(stint)
        else:
            spell.append([stint])
    return {row: [_spell(state, bars, surfaces, first) for bars in found] for row, found in rows.items()}


def block_of(state: BayState, stint: Stint) -> int:
    """Return the place of the work block in its job."""
    return next(n for n, block in enumerate(state.jobs[stint.job].job.blocks) if stint.zone in block.zones)


def _goes_on(bar: list[Stint], stint: Stint) -> bool:
    """Whether this follows a bar without a break; an overlapping other step is somebody else's work."""
    end = max(s.end for s in bar)
    return stint.start <= end + SIDE_BY_SIDE and (_same_bar(bar[-1], stint) or stint.start >= end)


def _same_bar(one: Stint, other: Stint) -> bool:
    return (one.step, one.part) == (other.step, other.part)


def _spell(state: BayState, bars: list[list[Stint]], surfaces: Surfaces, first: frozenset[Stint]) -> Spell:
    zones = tuple(dict.fromkeys(s.zone for bar in bars for s in bar))
    lead = bars[0][0]
    drawn = tuple(
        _bar(state, bar, surfaces, first, through=bool(n) and _same_zones(bars[n - 1], bar))
        for n, bar in enumerate(bars)
    )
    return Spell(lead.job, zones, lead.person, drawn)


def _same_zones(before: list[Stint], bar: list[Stint]) -> bool:
    """Whether a bar continues on the zones of the one before, so that nobody waits in between."""
    return {s.zone for s in bar} <= {s.zone for s in before}


def _bar(state: BayState, stints: list[Stint], surfaces: Surfaces, first: frozenset[Stint], through: bool) -> Bar:
    lead = stints[0]
    recipe = state.jobs[lead.job].job.recipe_of(lead.zone)
    stage, layers = surfaces.after(lead)
    step = recipe.named(lead.step)
    return Bar(
        _names(step_title(recipe, lead.step), step.kind, len(layers), recipe.layers),
        tuple(dict.fromkeys(s.zone for s in stints)),
        lead.start,
        max(s.end for s in stints),
        lead.part,
        stage,
        layers,
        not first.isdisjoint(stints),
        _bracket(stints, surfaces) if lead.part is Part.PLANNED and not through else None,
    )


def _names(title: str, kind: StepKind, layer: int, layers: int) -> tuple[str, ...]:
    """Return a step's title, then the title up to its comma, then the one word for its kind."""
    if kind is StepKind.COAT and layers > 1:
        return title, _("coat {number}").format(number=layer)
    word = {StepKind.DECONTAMINATE: _("decon"), StepKind.WIPE: _("wipe")}.get(kind) or kind_words(kind)
    return tuple(dict.fromkeys((title, title.partition(",")[0], word)))


def _bracket(stints: list[Stint], surfaces: Surfaces) -> Bracket | None:
    """Return when the whole bar may begin, at its own pace, so that each zone starts inside its own window."""
    start = stints[0].start
    urgency = min((surfaces.urgency(s) for s in stints), key=_pressing)
    room = [s.lapses_at - s.start for s in stints if s.lapses_at]
    wait = [s.start - s.opens_at for s in stints if s.opens_at]
    if not room and (not wait or urgency is not Urgency.WAITING):
        return None
    lapses_at = start + min(room) if room else None
    opens_at = start - min(wait) if wait else start
    return Bracket(start, min(opens_at, lapses_at) if lapses_at else opens_at, lapses_at, urgency)


def _pressing(urgency: Urgency) -> int:
    return PRESSING.index(urgency) if urgency in PRESSING else len(PRESSING)
