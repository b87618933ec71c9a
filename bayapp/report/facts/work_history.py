"""Separates the recorded work that counts from what was undone, with corrected times."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.events import (
    CoatCovered,
    CoatUncovered,
    Event,
    GotWet,
    RecipeSwapped,
    SetClosed,
    StepFinished,
    StepStarted,
    StepUndone,
    TimeCorrected,
    WorkAdded,
    ZonePassed,
    ZoneSentBack,
    ZoneSetAside,
    ZoneTakenUp,
)

Work = StepStarted | StepFinished | TimeCorrected
Aid = CoatCovered | CoatUncovered | SetClosed | ZoneSentBack | GotWet | ZonePassed
"""What is said of a zone beside its steps, and an undo takes back like them."""
Act = Work | Aid
Change = ZoneSetAside | ZoneTakenUp | WorkAdded | RecipeSwapped
Held = StepStarted | StepFinished | Aid | Change


@dataclass(frozen=True, slots=True)
class Undoing:
    """One undo and the acts that it undid."""

    undo: StepUndone
    acts: tuple[Act, ...]


@dataclass(frozen=True, slots=True)
class WorkHistory:
    """The work of one job.

    Attributes:
        acts: starts and finishes that count, at their corrected times, and changes of the job, in the order of those
            times.
        undoings: what was undone, in the order of the journal.
    """

    acts: tuple[Held, ...]
    undoings: tuple[Undoing, ...]


@dataclass(slots=True)
class _Zone:
    """A stack of what each undo would take back, the last on top."""

    undoable: list[list[tuple[int, Act]]] = field(default_factory=list)

    def running(self) -> StepStarted | None:
        for act in reversed([act for taken in self.undoable for _, act in taken]):
            if not isinstance(act, TimeCorrected | Aid):
                return act if isinstance(act, StepStarted) else None
        return None

    def add(self, place: int, act: Act) -> None:
        running = self.running()
        if isinstance(act, StepFinished):
            if running is None:
                return
            if running.implied:
                self.undoable[-1].append((place, act))
                return
        self.undoable.append([(place, act)])


def work_history(events: Sequence[Event], job: JobId) -> WorkHistory:
    """Return the history of one job's work; an undo takes back the same acts as in the fold."""
    zones: dict[ZoneId, _Zone] = {}
    undoings: list[Undoing] = []
    held: list[tuple[int, Held]] = []
    for place, event in enumerate(events):
        if event.job != job:
            continue
        if isinstance(event, Change):
            held.append((place, event))
        elif isinstance(event, Act):
            zones.setdefault(event.zone, _Zone()).add(place, event)
        elif isinstance(event, StepUndone) and zones.get(event.zone, _Zone()).undoable:
            taken = zones[event.zone].undoable.pop()
            undoings.append(Undoing(event, tuple(act for _, act in taken)))
    for zone in zones.values():
        held += _corrected(act for taken in zone.undoable for act in taken)
    held.sort(key=lambda act: (act[1].at, act[0]))
    return WorkHistory(tuple(act for _, act in held), tuple(undoings))


def _corrected(acts: Iterable[tuple[int, Act]]) -> list[tuple[int, StepStarted | StepFinished | Aid]]:
    """Move each start and finish to the time it was corrected to."""
    held: list[tuple[int, StepStarted | StepFinished | Aid]] = []
    for place, act in acts:
        if not isinstance(act, TimeCorrected):
            held.append((place, act))
            continue
        kind = StepStarted if act.edge == "start" else StepFinished
        for n, (other_place, other) in enumerate(held):
            if isinstance(other, kind) and other.step == act.step and other.at == act.was:
                held[n] = (other_place, other.model_copy(update={"at": act.becomes}))
    return held
