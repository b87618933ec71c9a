"""The rows of the plan: one for each person or work block, with lanes so that nothing overlaps."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import BayState, JobState
from bayapp.job.text.naming import capital, of_car, zones_title
from bayapp.pages.plan.plan_bars import Bar, Bracket, RowKey, Spell, block_of, spells
from bayapp.pages.plan.plan_stints import Part, Stint
from bayapp.text.figures import moment_text
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class PlacedSpell:
    """A spell, and its place in its row.

    Attributes:
        title: the heading above it: the zones, or who does it.
        lane, lanes: its lane, of how many; a spell that overlaps none takes the whole row.
    """

    title: str
    spell: Spell
    lane: int = 0
    lanes: int = 1

    def meets(self, other: "PlacedSpell") -> bool:
        """Whether two stretches are at the same height."""
        return self.lane * other.lanes < (other.lane + 1) * self.lanes and (
            other.lane * self.lanes < (self.lane + 1) * other.lanes
        )


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One row.

    Attributes:
        label: the person or block.
        doing: what is under way in it, or comes next; ``until``: how long there is work.
        stretches: the spells, by start.
        foreseen: what the morning's plan had for the time that has passed.
        brackets: windows of the planned bars; those in one lane follow each other.
    """

    label: str
    doing: str
    until: str
    stretches: tuple[PlacedSpell, ...]
    foreseen: tuple[Spell, ...] = ()
    brackets: tuple[tuple[Bracket, ...], ...] = ()

    @property
    def bars(self) -> tuple[Bar, ...]:
        """Every bar of the row."""
        return tuple(bar for stretch in self.stretches for bar in stretch.spell.bars)

    @property
    def lanes(self) -> int:
        """The greatest number of spells side by side."""
        return max((stretch.lanes for stretch in self.stretches), default=1)


def plan_rows(
    state: BayState, work: Sequence[Stint], said: Sequence[Stint], by_person: bool, at: datetime, tz: tzinfo
) -> tuple[PlanRow, ...]:
    """Return the rows: people in the order of the crews, or blocks, the soonest to be worked first."""

    def row_of(stint: Stint) -> RowKey:
        return RowKey(stint.person) if by_person else RowKey(None, stint.job, block_of(state, stint))

    found = spells(state, work, row_of, at, _next_of_each(work))
    before = spells(state, said, row_of, at)
    keys = _people(state, work) if by_person else sorted(found, key=lambda key: _pressing(found[key]))
    return tuple(_row(state, key, found.get(key, []), before.get(key, []), at, tz) for key in keys)


def _next_of_each(work: Iterable[Stint]) -> list[Stint]:
    """Return what each person does next."""
    first: dict[object, Stint] = {}
    for stint in sorted((s for s in work if s.part is Part.PLANNED), key=lambda s: s.start):
        first.setdefault(stint.person, stint)
    return list(first.values())


def _people(state: BayState, work: Iterable[Stint]) -> list[RowKey]:
    crew = [person for job in state.open_jobs for person in job.job.crew]
    working = sorted({s.person for s in work if s.person})
    nobody = [None] if any(s.person is None for s in work) else []
    return [RowKey(person) for person in dict.fromkeys([*crew, *working, *nobody])]


def _pressing(found: Sequence[Spell]) -> tuple[bool, datetime]:
    """Blocks with work ahead come first, the soonest at the top; then those that are done, the latest first done."""
    ahead = [bar.start for spell in found for bar in spell.bars if bar.part is not Part.DONE]
    return not ahead, min(ahead) if ahead else max(spell.end for spell in found)


def _row(
    state: BayState, key: RowKey, found: Sequence[Spell], before: Sequence[Spell], at: datetime, tz: tzinfo
) -> PlanRow:
    brackets = [bar.bracket for spell in found for bar in spell.bars if bar.bracket]
    return PlanRow(
        _label(state, key),
        _doing(state, key, found, at, tz),
        _until(state, key, found, at, tz),
        tuple(PlacedSpell(_title(state, key, spell), spell, lane, lanes) for spell, lane, lanes in _laned(found)),
        tuple(before),
        _levels(brackets),
    )


def _label(state: BayState, key: RowKey) -> str:
    if key.job is None:
        return key.person or _("anyone")
    job = state.jobs[key.job].job
    return of_car(job, capital(zones_title(job, job.blocks[key.block].zones)), len(state.open_jobs))


def _title(state: BayState, key: RowKey, spell: Spell) -> str:
    job = state.jobs[spell.job].job
    if key.job is None:
        return of_car(job, capital(zones_title(job, spell.zones)), len(state.open_jobs))
    zones = "" if set(spell.zones) == set(job.blocks[key.block].zones) else capital(zones_title(job, spell.zones))
    return ": ".join(part for part in (spell.person, zones) if part)


def _doing(state: BayState, key: RowKey, found: Sequence[Spell], at: datetime, tz: tzinfo) -> str:
    """Return in words the present or next step, whose bar may be too small to read."""
    ahead = [(bar, spell) for spell in found for bar in spell.bars if bar.part is not Part.DONE]
    if not ahead:
        return ""
    bar, spell = min(ahead, key=lambda found: (found[0].part is not Part.RUNNING, found[0].start))
    what = f"{bar.names[0]}, {zones_title(state.jobs[spell.job].job, bar.zones)}" if key.job is None else spell.person
    when = _("now") if bar.part is Part.RUNNING else moment_text(bar.start, at, tz)
    return _("{when}: {what}").format(when=when, what=what or bar.names[0])


def _until(state: BayState, key: RowKey, found: Sequence[Spell], at: datetime, tz: tzinfo) -> str:
    ahead = [bar.end for spell in found for bar in spell.bars if bar.part is not Part.DONE]
    if ahead:
        return _("has work until {time}").format(time=moment_text(max(ahead), at, tz))
    if key.job is not None and _climbed(state.jobs[key.job], key.block):
        return _("finished")
    return _("nothing more planned") if found else _("nothing planned")


def _climbed(state: JobState, block: int) -> bool:
    """Whether every zone of a block has finished its ladder."""
    work = state.job.blocks[block]
    return all(len(state.zones[zone].rungs) == len(work.recipe.step) for zone in work.zones)


def _laned(found: Sequence[Spell]) -> list[tuple[Spell, int, int]]:
    """Give each spell a lane, and the number of lanes beside it."""
    laned: list[tuple[Spell, int, int]] = []
    cluster: list[tuple[Spell, int]] = []
    ends: list[datetime] = []
    for spell in sorted(found, key=lambda s: (s.start, s.end)):
        if ends and spell.start >= max(ends):
            laned += [(one, lane, len(ends)) for one, lane in cluster]
            cluster, ends = [], []
        lane = next((n for n, end in enumerate(ends) if end <= spell.start), len(ends))
        ends[lane : lane + 1] = [spell.end]
        cluster.append((spell, lane))
    return [*laned, *((one, lane, len(ends)) for one, lane in cluster)]


def _levels(brackets: Sequence[Bracket]) -> tuple[tuple[Bracket, ...], ...]:
    levels: list[list[Bracket]] = []
    for bracket in sorted(brackets, key=lambda b: (b.opens_at, b.start)):
        free = next((level for level in levels if _reach(level[-1]) < bracket.opens_at), None)
        if free is None:
            levels.append([bracket])
        else:
            free.append(bracket)
    return tuple(tuple(level) for level in levels)


def _reach(bracket: Bracket) -> datetime:
    return max(bracket.start, bracket.lapses_at or bracket.start)
