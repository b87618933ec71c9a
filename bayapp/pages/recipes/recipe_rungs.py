"""The drawn ladder of a recipe: each rung's texture, and its wait as a line."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from math import log1p
from typing import Any

from bayapp.job.clocks import surface
from bayapp.job.model.ids import Motion, Stage, StepId
from bayapp.job.state.state import StepRun
from bayapp.job.text.naming import minutes_text, wait_text
from bayapp.pages.recipes.recipe_edit import RecipeDraft
from bayapp.text.language import _

LEAST_SCALE_MIN = 60.0
TICKS_MIN = (1.0, 10.0, 60.0, 600.0, 6_000.0, 60_000.0)
_NEVER = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class DrawnRung:
    """One step of a recipe.

    Attributes:
        detail: its wait in words.
        stage, layers: the surface as it looks once the step is done.
        opens, ends: where the line of its wait opens and ends, as shares of the scale; ``ends`` is None if it never
            does, ``opens`` None if there is no wait.
        wrong: whether something is wrong with the step.
    """

    title: str
    detail: str
    stage: Stage
    layers: tuple[Motion, ...]
    opens: float | None
    ends: float | None
    wrong: bool


@dataclass(frozen=True, slots=True)
class DrawnLadder:
    """All rungs, and the marks of the scale of their waits: words and shares."""

    rungs: tuple[DrawnRung, ...]
    ticks: tuple[tuple[str, float], ...]


def drawn_ladder(draft: RecipeDraft) -> DrawnLadder:
    """Return the ladder of a draft.

    The scale is stretched for short waits, so that minutes and half-days fit on one line.
    """
    moments = [float(m) for n in range(len(draft.steps)) for edge in ("min", "max") if (m := draft.edge(n, edge))]
    scale = max([LEAST_SCALE_MIN, *moments])
    outline, walked, rungs = draft.outline(), list[StepRun](), list[DrawnRung]()
    for place, step in enumerate(draft.steps):
        walked.append(StepRun(StepId(step["id"]), _NEVER))
        stage, layers = surface(outline, tuple(walked))
        opens = share(draft.edge(place, "min") or 0.0, scale) if draft.wait_of(place) else None
        most = draft.edge(place, "max")
        ends = share(most, scale) if most is not None else None
        wrong = bool(draft.trouble_at(place))
        rungs.append(DrawnRung(draft.title_of(place), wait_words(draft, place), stage, layers, opens, ends, wrong))
    ticks = tuple((minutes_text(m), share(m, scale)) for m in TICKS_MIN if m <= scale)
    return DrawnLadder(tuple(rungs), ticks)


def share(minutes: float, scale: float) -> float:
    """Return the position of a moment on a scale of this length, 0 to 1."""
    return log1p(minutes) / log1p(scale)


def wait_words(draft: RecipeDraft, place: int) -> str:
    """Return the wait of a step in words: "5 min to 1 h, by temperature"."""
    wait = draft.wait_of(place)
    if not wait:
        return ""
    text = wait_text(draft.edge(place, "min") or 0.0, draft.edge(place, "max"), wait.get("max_from") == "start")
    if draft.rows_of(place):
        text = _("{wait}, by the air").format(wait=text)
    if wait.get("of") == "block":
        return _("{wait}, all zones done").format(wait=text)
    if "of" in wait:
        return _("{wait}, after {set}").format(wait=text, set=set_words(wait))
    return text


def set_words(wait: Mapping[str, Any]) -> str:
    """Return the sets that a wait counts from, and which of their steps where it says so: "trim and car, levelled"."""
    name = _(" and ").join(name.replace("-", " ") for name in (wait["of"], *wait.get("also", ())))
    if wait.get("after_last") == "level":
        return _("{set}, levelled").format(set=name)
    return _("{set}, polished").format(set=name) if wait.get("after_last") == "polish" else name
