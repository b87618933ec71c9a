"""Marks on the zones of a car: what can be said, what follows from it, what has been said, and the ways back."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, tzinfo

from bayapp.job import JobState, LiftMark, SetMark, VehicleForm
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.model.mark import Mark, MarkKind, Marks, with_mark
from bayapp.job.text.mark_words import forbidden_by_kind, kind_title, mark_text, mark_title, marks_in_brief
from bayapp.job.text.naming import capital, step_title
from bayapp.job.waits.bans import bans, left_to_do
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.pages.cars.change import Picking
from bayapp.pages.cars.new_job import SetChoice, WorkView
from bayapp.text.days import day_text
from bayapp.text.language import _, ngettext

DAYS_AGO = (0, 1, 3, 5, 7, 10, 14, 21, 28)
"""How long ago a repaint was, by one touch; any other day is typed."""
MOST_NAMED = 3
SETS, LIST, UNDO = "sets", "list", "undo"


def summary(car: JobState) -> str:
    """Return what is marked on a car, in a line; empty where nothing is."""
    marks = [mark for found in car.marks.values() for mark in found]
    if not marks:
        return ""
    count = ngettext("{n} mark", "{n} marks", len(marks)).format(n=len(marks))
    return _("{count}: {marks}").format(count=count, marks=marks_in_brief(marks))


def named(form: VehicleForm, zones: Sequence[ZoneId]) -> str:
    """Return zones by the largest sets of the form that they fill, worked or not, then by name; of many the first."""
    left = list(dict.fromkeys(zones))
    names = []
    for name in sorted(form.set_titles, key=lambda name: -len(form.zones_of([name]))):
        members = form.zones_of([name])
        if len(members) > 1 and set(members) <= set(left):
            names.append(form.set_titles[name])
            left = [zone for zone in left if zone not in members]
    names += [form.zone_named(zone).name for zone in left]
    if len(names) > MOST_NAMED:
        more = len(names) - MOST_NAMED
        names = [*names[:MOST_NAMED], ngettext("{n} more", "{n} more", more).format(n=more)]
    return ", ".join(names)


def mark_view(car: JobState, picking: Picking, said: Sequence[SetMark]) -> WorkView:
    """Return the page on which zones are touched and then what they are; ``said`` is what a touch can take back."""
    kinds = [
        SetChoice(kind.value, capital(kind_title(kind)), forbidden_by_kind(kind), whole=False, some=False)
        for kind in MarkKind
    ]
    choices = [*kinds, SetChoice(SETS, _("Whole sets"), _("all paint, all glass, ..."), whole=False, some=False)]
    if car.marks:
        choices.append(SetChoice(LIST, _("Marks so far"), _("see, and lift"), whole=False, some=False))
    if said:
        last = said[-1]
        about = named(car.job.vehicle, last.zones)
        what = _("{zones}: {mark}").format(zones=about, mark=mark_title(last.mark))
        choices.append(SetChoice(UNDO, _("Undo"), what, whole=False, some=False))
    chosen = capital(named(car.job.vehicle, picking.chosen)) if picking.chosen else ""
    told = _("{zones}: what is it?").format(zones=chosen) if chosen else ""
    return WorkView(tuple(choices), summary(car) or _("Nothing is marked."), "", go=_("Done"), told=told)


def days_ago(today: date) -> tuple[tuple[int, date], ...]:
    """Return how many days ago something may have been, with that day."""
    return tuple((days, today - timedelta(days=days)) for days in DAYS_AGO)


def ago_text(days: int) -> str:
    """Return how many days ago something was."""
    if days <= 1:
        return _("yesterday") if days else _("today")
    return ngettext("{n} day ago", "{n} days ago", days).format(n=days)


def consequences(car: JobState, zones: Sequence[ZoneId], mark: Mark, at: datetime, tz: tzinfo) -> tuple[str, ...]:
    """Return what a mark would forbid on these zones, and what of today's work would fall away, in sentences."""
    marks: Marks = car.marks
    for zone in zones:
        marks = with_mark(marks, zone, mark)
    marked = replace(car, marks=marks)
    names = capital(named(car.job.vehicle, zones))
    if mark.kind is MarkKind.DAMAGE:
        return (_("{zones}: it is told and kept; no work is forbidden by it.").format(zones=names),)
    until = _until(marked, zones, mark, at)
    if mark.kind is MarkKind.REPAINTED and until:
        day = day_text(until.astimezone(tz).date())
        first = _("{zones}: no coat before {day}.").format(zones=names, day=day)
    else:
        first = _("{zones}: {forbidden}.").format(zones=names, forbidden=forbidden_by_kind(mark.kind))
    return (first, *_fallen_away(car, marked, zones, at), *_under_way(marked, zones, at))


def _until(car: JobState, zones: Sequence[ZoneId], mark: Mark, at: datetime) -> datetime | None:
    """Return until when a mark forbids what is on the ladders of these zones; None where it forbids nothing there."""
    found = (
        ban.until
        for zone in zones
        if zone in car.zones
        for step in car.job.recipe_of(zone).step
        for ban in bans(car, zone, step, at)
        if ban.mark == mark and ban.until
    )
    return max(found, default=None)


def _fallen_away(before: JobState, after: JobState, zones: Sequence[ZoneId], at: datetime) -> list[str]:
    """Return what of the work that is left would be done no more, zones that lose the same together."""
    lost: dict[tuple[str, ...], list[ZoneId]] = {}
    for zone in zones:
        if zone in before.zones and zone not in before.aside:
            gone = _steps_left(before, zone, at) - _steps_left(after, zone, at)
            recipe = before.job.recipe_of(zone)
            titles = tuple(step_title(recipe, StepId(step.id)) for step in recipe.step if step.id in gone)
            if titles:
                lost.setdefault(titles, []).append(zone)
    return [
        _("{zones}: of today's work this falls away: {steps}.").format(
            zones=capital(named(before.job.vehicle, same)), steps=", ".join(titles)
        )
        for titles, same in lost.items()
    ]


def _steps_left(car: JobState, zone: ZoneId, at: datetime) -> set[str]:
    recipe = car.job.recipe_of(zone)
    places = left_to_do(car, zone, ladder_position(car, zone, at).next_places, at)
    return {recipe.step[place].id for place in places}


def _under_way(car: JobState, zones: Sequence[ZoneId], at: datetime) -> list[str]:
    """Return the work that is being done now and would be forbidden."""
    found = []
    for zone in zones:
        running = car.zones[zone].running if zone in car.zones else None
        if running and bans(car, zone, car.job.recipe_of(zone).named(running.step), at):
            step = step_title(car.job.recipe_of(zone), running.step)
            zone_name = capital(car.job.zone_names[zone])
            found.append(_("{zone}: {step} is under way; stop it.").format(zone=zone_name, step=step))
    return found


@dataclass(frozen=True, slots=True)
class MarkRow:
    """Zones that are marked alike."""

    zones: tuple[ZoneId, ...]
    mark: Mark
    title: str
    detail: str


def marks_listed(car: JobState) -> tuple[MarkRow, ...]:
    """Return every mark of a car, zones that are marked alike together."""
    alike: dict[Mark, list[ZoneId]] = {}
    for zone in car.job.zone_names:
        for mark in car.marks.get(zone, ()):
            alike.setdefault(mark, []).append(zone)
    return tuple(
        MarkRow(tuple(zones), mark, capital(named(car.job.vehicle, zones)), mark_text(mark))
        for mark, zones in alike.items()
    )


def lifting(car: JobState, row: MarkRow, by: Person | None) -> LiftMark:
    """Return the request that lifts a mark from all zones that are marked alike."""
    return LiftMark(car.job.id, row.zones, row.mark.kind, row.mark.what, row.mark.point, by)


def way_back(before: Marks, said: SetMark, by: Person | None) -> tuple[SetMark | LiftMark, ...]:
    """Return what takes a mark back: what it took the place of is said again, elsewhere it is lifted."""
    found: list[SetMark | LiftMark] = []
    mark = said.mark
    for zone in said.zones:
        replaced = next((old for old in before.get(zone, ()) if mark.replaces(old)), None)
        if replaced is None:
            found.append(LiftMark(said.job, (zone,), mark.kind, mark.what, mark.point, by))
        elif replaced != mark:
            found.append(SetMark(said.job, (zone,), replaced, by))
    return tuple(found)
