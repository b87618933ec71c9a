"""What people call steps, zones and stretches of time. The one place that words them."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

from bayapp.job.model.ids import Motion, PlaceId, SetName, StepId, StepKind, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.place import OUTSIDE, Places
from bayapp.job.model.product import COLDEST_C, LEAST_PERCENT, MOST_PERCENT, WARMEST_C
from bayapp.job.model.recipe import Recipe, Step, Wait
from bayapp.job.model.wait_tables import By
from bayapp.text.figures import percent, short_figure, shown_temperature, temperature, temperature_unit
from bayapp.text.language import _, ngettext

MOST_NAMED = 5
"""So many sets and zones are named before the rest is counted."""
LONGEST_BY_SETS = 44
"""So many letters may name zones by sets and what differs from them; beyond that they are counted."""


def kind_words(kind: StepKind) -> str:
    """Return what a person calls a kind of step: "solvent wipe"."""
    return {
        StepKind.WASH: _("wash"),
        StepKind.DECONTAMINATE: _("decontaminate"),
        StepKind.RINSE: _("rinse"),
        StepKind.DRY: _("dry"),
        StepKind.POLISH: _("polish"),
        StepKind.DUST_OFF: _("dust off"),
        StepKind.WIPE: _("solvent wipe"),
        StepKind.COAT: _("coat"),
        StepKind.LEVEL: _("level"),
        StepKind.BUFF: _("buff"),
        StepKind.CURE: _("cure"),
        StepKind.DRESS: _("dress"),
        StepKind.CLEAN: _("clean"),
        StepKind.MASK: _("mask"),
        StepKind.UNMASK: _("unmask"),
        StepKind.INSPECT: _("inspect"),
    }[kind]


def motion_words(motion: Motion) -> str:
    """Return how strokes run, as a person says it: "up and down"."""
    return {
        Motion.VERTICAL: _("up and down"),
        Motion.HORIZONTAL: _("across"),
        Motion.CIRCULAR: _("in circles"),
    }[motion]


def step_title(recipe: Recipe, step_id: StepId) -> str:
    """Return what a person calls a step: "coat 2 of 3, across"."""
    recipe = recipe.holder(step_id)
    step = recipe.named(step_id)
    if step.title:
        return step.title
    if step.kind is not StepKind.COAT:
        return kind_words(step.kind)
    return _coat_title(recipe, step)


def _coat_title(recipe: Recipe, step: Step) -> str:
    if recipe.layers == 1:
        return _("coat")
    if step.any_order and step.motion:
        return _("coat {motion}").format(motion=motion_words(step.motion))
    number = step.layer or [s.id for s in recipe.step if s.kind is StepKind.COAT].index(step.id) + 1
    title = _("coat {number} of {layers}").format(number=number, layers=recipe.layers)
    return f"{title}, {motion_words(step.motion)}" if step.motion else title


def zones_title(job: Job, zones: Iterable[ZoneId]) -> str:
    """Return what a person calls these zones: a set's title when they are all of a set's worked zones.

    Else by sets and what differs from one, in the fewest letters: "all glass except windscreen"; where that would be
    long, the first and how many more.
    """
    wanted = list(dict.fromkeys(zones))
    if len(wanted) == 1:
        return job.zone_names.get(wanted[0], wanted[0])
    for name in job.vehicle.sets:
        if set(job.zones_named(name)) == set(wanted):
            return _set_title(job, name)
    if len(wanted) == 2:
        return _("{one} and {other}").format(one=job.zone_names[wanted[0]], other=job.zone_names[wanted[1]])
    by_sets = min(_by_sets(job, frozenset(wanted)), key=len, default="")
    if by_sets and len(by_sets) <= LONGEST_BY_SETS:
        return by_sets
    rest = len(wanted) - 1
    return ngettext("{first} and {rest} more", "{first} and {rest} more", rest).format(
        first=job.zone_names[wanted[0]], rest=rest
    )


def _set_title(job: Job, name: str) -> str:
    plain = job.zone_names.get(ZoneId(name), name.replace("-", " "))
    return job.vehicle.set_titles.get(name, plain)


def sets_title(job: Job, wait: Wait) -> str:
    """Return what a person calls the sets that a wait counts: "all trim and the car itself"."""
    titles = [_set_title(job, name) for name in wait.sets if job.members(SetName(name))]
    return _(" and ").join(titles or [_set_title(job, wait.sets[0])])


def _by_sets(job: Job, wanted: frozenset[ZoneId]) -> Iterator[str]:
    """Yield titles of zones as two sets, as a set and a zone, and as a set except a zone, two, or a set."""
    sets = {name: frozenset(job.zones_named(name)) for name in job.vehicle.sets}
    titles: dict[frozenset[ZoneId], str] = {frozenset({z}): job.zone_names[z] for z in job.block_of}
    titles |= {zones: _set_title(job, name) for name, zones in reversed(sets.items()) if len(zones) > 1}
    for zones in dict.fromkeys(zones for zones in sets.values() if len(zones) > 1):
        more, left_out = wanted - zones, zones - wanted
        if not left_out and more in titles:
            first, second = sorted((zones, more), key=list(titles).index, reverse=True)
            yield _("{one} and {other}").format(one=titles[first], other=titles[second])
        elif not more and left_out in titles:
            yield _("{zones} except {others}").format(zones=titles[zones], others=titles[left_out])
        elif not more and len(left_out) == 2:
            one, other = (job.zone_names[zone] for zone in job.block_of if zone in left_out)
            yield _("{zones} except {one} and {other}").format(zones=titles[zones], one=one, other=other)


def zones_in_order(job: Job, zones: Iterable[ZoneId]) -> str:
    """Return what a person calls these zones, however they were found: those of the job in its order."""
    wanted = set(zones)
    return zones_title(job, [zone for zone in job.block_of if zone in wanted])


def zones_in_brief(job: Job, zones: Iterable[ZoneId]) -> str:
    """Return the zones by the largest sets that they fill, then by name; of many, the first and how many more."""
    left = list(dict.fromkeys(zones))
    groups: list[list[ZoneId]] = []
    for members in sorted((job.zones_named(name) for name in job.vehicle.sets), key=len, reverse=True):
        if len(members) > 1 and set(members) <= set(left):
            groups.append(list(members))
            left = [zone for zone in left if zone not in members]
    names = [zones_title(job, group) for group in [*groups, *([zone] for zone in left)]]
    if len(names) > MOST_NAMED:
        more = len(names) - MOST_NAMED
        names = [*names[:MOST_NAMED], ngettext("{n} more", "{n} more", more).format(n=more)]
    return ", ".join(names)


def value_text(by: By, value: float) -> str:
    """Return °C or % humidity in the shop's unit, without a needless tenth."""
    shown = shown_temperature(value) if by is By.TEMPERATURE else value
    digits = 0 if round(shown, 1) == round(shown) else 1
    return temperature(value, digits) if by is By.TEMPERATURE else percent(value, digits)


def span_text(by: By, low: float, high: float) -> str:
    """Return from where to where, in the shop's unit: "10 to 30 °C"; "at most 70 %" where one end is open."""
    shown = [shown_temperature(value) if by is By.TEMPERATURE else value for value in (low, high)]
    unit = temperature_unit() if by is By.TEMPERATURE else "%"
    ends = [short_figure(round(value, 1)) for value in shown]
    lowest, highest = (COLDEST_C, WARMEST_C) if by is By.TEMPERATURE else (LEAST_PERCENT, MOST_PERCENT)
    if low <= lowest < high < highest:
        return _("at most {high} {unit}").format(high=ends[1], unit=unit)
    if lowest < low < highest <= high:
        return _("at least {low} {unit}").format(low=ends[0], unit=unit)
    return _("{low} to {high} {unit}").format(low=ends[0], high=ends[1], unit=unit)


def left_text(left: timedelta) -> str:
    """Return a time left as the wall shows it: whole seconds, rounded up so that 0:00 means now.

    "m:ss" below an hour, "h:mm h" below a day, days above.
    """
    seconds = -((-left) // timedelta(seconds=1))
    if seconds < 3600:
        return f"{seconds // 60}:{seconds % 60:02d}"
    minutes = -(-seconds // 60)
    if minutes < 24 * 60:
        return _("{h} h {m:02d}").format(h=minutes // 60, m=minutes % 60)
    hours = -(-minutes // 60)
    return _("{d} d {h} h").format(d=hours // 24, h=hours % 24)


def minutes_text(minutes: float) -> str:
    """Return minutes as a sheet would say them: "5 min", "12 h"."""
    if minutes >= 120 and minutes % 30 == 0:
        return _("{h} h").format(h=short_figure(minutes / 60))
    return _("{m} min").format(m=short_figure(minutes))


def wait_text(least: float, most: float | None, from_start: bool = False) -> str:
    """Return what a wait asks for, in minutes: "5 min to 2 h later", "within 8 min from first stroke"."""
    if most is None:
        return _("not before {min}").format(min=minutes_text(least)) if least else _("at once")
    if from_start:
        words = _("after {min}, {max} from first stroke") if least else _("within {max} from first stroke")
    else:
        words = _("{min} to {max} later") if least else _("within {max}")
    return words.format(min=minutes_text(least), max=minutes_text(most))


def elapsed_text(elapsed: timedelta) -> str:
    """Return a time that has passed, in whole seconds, rounded down."""
    return left_text(timedelta(seconds=elapsed // timedelta(seconds=1)))


def late_text(late: timedelta) -> str:
    """Return how late something is: "+2:10", "+12 min", "+1 h 05"."""
    seconds = late // timedelta(seconds=1)
    if seconds < 600:
        return f"+{seconds // 60}:{seconds % 60:02d}"
    if seconds < 3600:
        return _("+{m} min").format(m=seconds // 60)
    return "+" + _("{h} h {m:02d}").format(h=seconds // 3600, m=seconds % 3600 // 60)


def of_car(job: Job, words: str, cars: int) -> str:
    """Return words about a car, its short name before them where more than one stands in the bay."""
    return _("{car}: {words}").format(car=job.short_name, words=words) if cars > 1 else words


def place_title(places: Places, place: PlaceId | None) -> str:
    """Return what a person calls a place: a bay's name, also of a bay that is no more; empty where nobody said."""
    if place is None:
        return ""
    return _("outside") if place == OUTSIDE else places.names.get(place, place)


def with_note(said: str, note: str) -> str:
    """Return a sentence with what a person noted beside it, where anybody did."""
    return said + " " + _("Noted: {note}.").format(note=note.rstrip(".")) if note else said


def capital(sentence: str) -> str:
    """Return the sentence with its first letter large."""
    return sentence[:1].upper() + sentence[1:]
