"""What a touch would shut out, in sentences that are read before the touch."""

from collections.abc import Iterable
from datetime import datetime, timedelta, tzinfo

from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.shut_out.shut_out import Barred, Barrier, ShutOut
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import capital, kind_words, of_car, step_title, zones_title
from bayapp.text.figures import moment_text
from bayapp.text.language import _, ngettext

WORTH_SAYING = timedelta(minutes=30)
"""A shorter wait is soon filled with other work, and every polish and every coat has one."""


def shut_out_sentence(found: ShutOut, start: Start, state: BayState, at: datetime, tz: tzinfo) -> str:
    """Return what would have to wait, the worst first, and how much more, and which wipes it spoils; empty for none."""
    said = (_waiting(found, start, state, at, tz), spoilt_sentence(found, state))
    return " ".join(sentence for sentence in said if sentence)


def spoilt_sentence(found: ShutOut, state: BayState) -> str:
    """Return what would have to be wiped again; empty for nothing."""
    cars: dict[JobId, list[ZoneId]] = {}
    for job, zone in found.spoils:
        cars.setdefault(job, []).append(zone)
    named = [of_car(state.jobs[job].job, _zones(state.jobs[job].job, zones), len(cars)) for job, zones in cars.items()]
    return _("To be wiped again then: {zones}.").format(zones=", ".join(named)) if named else ""


def _waiting(found: ShutOut, start: Start, state: BayState, at: datetime, tz: tzinfo) -> str:
    groups = _worth_saying(found)
    if not groups:
        return ""
    first, *others = groups
    told = _never(first, start, state) if first[0].until is None else _later(first, first[0].until, state, at, tz)
    rest = sum(len(group) for group in others)
    more = ngettext("And {n} more.", "And {n} more.", rest).format(n=rest)
    return f"{told} {more}" if rest else told


def shut_out_brief(found: ShutOut, state: BayState, at: datetime, tz: tzinfo) -> str:
    """Return what would have to wait longest, and until when, else what to wipe again; empty for no known end."""
    groups = _worth_saying(found)
    if not groups:
        return spoilt_sentence(found, state)
    until = groups[0][0].until
    return _later(groups[0], until, state, at, tz) if until else ""


def _worth_saying(found: ShutOut) -> list[list[Barred]]:
    """Return what would have to wait for long, in groups of one step and one end, the worst first."""
    groups: dict[tuple[JobId, StepId, datetime | None], list[Barred]] = {}
    for one in found.barred:
        if one.until is None or one.until - one.otherwise >= WORTH_SAYING:
            groups.setdefault((one.job, one.step, one.until), []).append(one)
    return list(groups.values())


def _later(group: list[Barred], until: datetime, state: BayState, at: datetime, tz: tzinfo) -> str:
    job = state.jobs[group[0].job].job
    whole = until + timedelta(minutes=1) - timedelta(milliseconds=1)  # never sooner than it will be right
    step = step_title(job.recipe_of(group[0].zone), group[0].step)
    said = _("{step} on {zones} would wait until {time}.")
    zones = _zones(job, (one.zone for one in group))
    return said.format(step=capital(step), zones=zones, time=moment_text(whole, at, tz))


def _never(group: list[Barred], start: Start, state: BayState) -> str:
    job, by = state.jobs[group[0].job].job, group[0].by
    kind = job.recipe_of(group[0].zone).named(group[0].step).kind
    zones = tuple(one.zone for one in group)
    could_not = ngettext("{zones} could not be {done}", "{zones} could not be {done}", len(zones)).format(
        zones=capital(_zones(job, zones)), done=_done_words(kind)
    )
    return _("{could_not} until {until}.").format(could_not=could_not, until=_until(by, start, state))


def _until(by: Barrier, start: Start, state: BayState) -> str:
    """Return what must come first, and what that waits for in its turn."""
    job = state.jobs[by.job].job
    zones = start.zones if by.zone in start.zones and by.job == start.job else (by.zone,)
    kind = job.recipe_of(by.zone).named(by.step).kind if by.step else None
    done = _done_words(kind) if kind else _("dry")
    said = ngettext("the {zones} is {done}", "the {zones} are {done}", len(zones))
    said = said.format(zones=_zones(job, zones), done=done)
    if by.stuck is None:
        return said
    stuck = kind_words(job.recipe_of(by.zone).named(by.stuck).kind)
    if by.waits_for is not None:
        name = by.waits_for
        waits_for = job.vehicle.set_titles.get(name, name.replace("-", " "))
        more = ngettext(
            "{first}, and its {step} waits for {zones}", "{first}, and their {step} waits for {zones}", len(zones)
        )
        return more.format(first=said, step=stuck, zones=waits_for)
    more = ngettext("{first}, and its {step} would wait too", "{first}, and their {step} would wait too", len(zones))
    return more.format(first=said, step=stuck)


def _zones(job: Job, zones: Iterable[ZoneId]) -> str:
    """Return what zones are called together; several that are no set by their number."""
    wanted = tuple(zones)
    named = zones_title(job, wanted)
    alone = len(wanted) < 3 or any(set(job.zones_named(name)) == set(wanted) for name in job.vehicle.sets)
    if alone:
        return named
    surfaces = {job.vehicle.zone_named(zone).surface for zone in wanted}
    n = len(wanted)
    if surfaces == {"glass"}:
        return ngettext("{n} pane", "{n} panes", n).format(n=n)
    if surfaces == {"rim"}:
        return ngettext("{n} rim", "{n} rims", n).format(n=n)
    if surfaces == {"paint"}:
        return ngettext("{n} panel", "{n} panels", n).format(n=n)
    return ngettext("{n} zone", "{n} zones", n).format(n=n)


def _done_words(kind: StepKind) -> str:
    """Return what a surface is once a step of this kind is done: "polished"."""
    return {
        StepKind.WASH: _("washed"),
        StepKind.DECONTAMINATE: _("decontaminated"),
        StepKind.RINSE: _("rinsed"),
        StepKind.DRY: _("dried"),
        StepKind.POLISH: _("polished"),
        StepKind.DUST_OFF: _("dusted off"),
        StepKind.WIPE: _("wiped"),
        StepKind.COAT: _("coated"),
        StepKind.LEVEL: _("levelled"),
        StepKind.BUFF: _("buffed"),
        StepKind.CURE: _("cured by infrared lamp"),
        StepKind.DRESS: _("dressed"),
        StepKind.CLEAN: _("cleaned"),
        StepKind.MASK: _("masked"),
        StepKind.UNMASK: _("unmasked"),
        StepKind.INSPECT: _("looked over"),
    }[kind]
