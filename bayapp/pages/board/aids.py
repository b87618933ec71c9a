"""What a ladder offers beside the next step: to cover a coat or take the cover off, and to go on without the others."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.bay import Bay
from bayapp.job import CloseSet, Cover, JobState, PassZones, SkipSpot, Uncover, Verdict, why_not
from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.spots import polish_of, wants_spot
from bayapp.job.state.events import SetClosed
from bayapp.job.state.state import Aid
from bayapp.job.text.naming import capital, kind_words, zones_title
from bayapp.pages.viewpoint import Viewpoint
from bayapp.text.figures import clock_time, moment_text
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class FillSpotCard:
    """Fill in the card of a test spot for the polish of these zones."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId


@dataclass(frozen=True, slots=True)
class AidButton:
    """A button beside the next step.

    Attributes:
        refused: it cannot be done now, and the detail says why not.
        hold: it leaves out what protects others, such as masking, and must be held.
    """

    title: str
    detail: str
    request: Cover | Uncover | CloseSet | PassZones | SkipSpot | FillSpotCard
    refused: bool = False
    hold: bool = False


def aids(bay: Bay, state: JobState, zones: tuple[ZoneId, ...], step: StepId | None, seen: Viewpoint) -> list[AidButton]:
    """Return what is offered for these zones, of which ``step`` comes next."""
    job, covered = state.job.id, tuple(z for z in zones if state.zones[z].covered)
    bare = tuple(z for z in zones if z not in covered)
    found = []
    if covered:
        off = Uncover(job, covered, seen.by)
        refusal = bay.judge(off).refusal
        since = _("covered {since}").format(since=_since(state, covered[0], seen.at, seen.tz))
        detail = why_not(refusal, bay.state, seen.tz) if refusal else since
        found.append(AidButton(_("Cover off"), detail, off, refusal is not None))
    cover = Cover(job, bare, seen.by)
    if bare and bay.judge(cover).accepted:
        found.append(AidButton(_("Cover the coat"), _("tent it, touch nothing"), cover))
    if step and polish_of(state, zones, step):
        found.append(AidButton(_("Test spot"), _("machine, pad, paste, passes"), FillSpotCard(job, zones, step)))
        if wants_spot(state, zones, step):
            found.append(AidButton(_("No test spot"), _("it is written down"), SkipSpot(job, zones, step, seen.by)))
    good = PassZones(job, zones, seen.by)
    if bay.judge(good).accepted and any(state.zones[zone].runs for zone in zones):
        wet = any(state.zones[zone].may_have_spots for zone in zones)
        found.append(AidButton(_("Seen: good"), _("no water spots") if wet else _("looked at by light"), good))
    alone = CloseSet(job, zones, seen.by)
    if step and (verdict := bay.judge(alone)).accepted:
        found.append(_alone(state, zones[0], step, alone, verdict, seen))
    return found


def _alone(
    state: JobState, zone: ZoneId, step: StepId, request: CloseSet, verdict: Verdict, seen: Viewpoint
) -> AidButton:
    """Return what lets zones go on without others; before any coat is laid that leaves more out than a wait."""
    recipe = state.job.recipe_of(zone)
    title = _("{step} by itself").format(step=capital(kind_words(recipe.named(step).kind)))
    if any(recipe.named(run.step).kind is StepKind.COAT for run in state.zones[zone].rungs):
        return AidButton(title, _by_itself(state, verdict, zone, seen.at, seen.tz), request)
    without = next(event.without for event in verdict.events if isinstance(event, SetClosed))
    detail = _("not ready: {zones}").format(zones=zones_title(state.job, without))
    return AidButton(_("Hold 2 s: {what}").format(what=title), detail, request, hold=True)


def covering_caution(offered: Iterable[AidButton]) -> str:
    """Return what to mind when a coat is covered, where that is offered (common practice, no source)."""
    if not any(isinstance(aid.request, Cover) for aid in offered):
        return ""
    return _(
        "A cover stands like a tent, clear of the wet coat, and lets the vapour out. The product's sheet comes first."
    )


def _since(state: JobState, zone: ZoneId, at: datetime, tz: tzinfo) -> str:
    cover = state.zones[zone].covered
    assert cover, "only covered zones are asked about"
    time = moment_text(cover.at, at, tz)
    return _("{time} by {by}").format(time=time, by=cover.by) if cover.by else time


def _by_itself(state: JobState, verdict: Verdict, zone: ZoneId, at: datetime, tz: tzinfo) -> str:
    """Say what comes of it before it is touched: from when to when, or what it costs where that has passed."""
    window = verdict.windows.get(zone)
    if window is None or window.opens_at is None:
        return _("without waiting for the others")
    if window.lapsed(at) and window.lapses_at:
        return _("its latest moment was {time}").format(time=moment_text(window.lapses_at, at, tz))
    opens = moment_text(window.opens_at, at, tz)
    if window.lapses_at is None:
        return _("from {opens}").format(opens=opens)
    return _("from {opens} to {lapses}").format(opens=opens, lapses=moment_text(window.lapses_at, at, tz))


def aid_text(aid: Aid, tz: tzinfo) -> str:
    """Return what was said of a zone, and when: "covered at 14:26"."""
    words = {
        "covered": _("covered at {time}"),
        "uncovered": _("cover off at {time}"),
        "by-itself": _("by itself at {time}"),
        "sent-back": _("sent back at {time}"),
        "got-wet": _("got wet, told at {time}"),
        "passed": _("seen and good at {time}"),
    }
    return words[aid.kind].format(time=clock_time(aid.at, tz, seconds=False))
