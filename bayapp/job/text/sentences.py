"""Why not, in a sentence for a person: what, why, and from when it will be right. The one place that says it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo
from functools import singledispatch
from math import isfinite

from bayapp.air import Hindrance
from bayapp.job.grounds import (
    AsideAlready,
    BadAmount,
    Bare,
    BeforeCoat,
    BeforeOutage,
    BeyondCalendar,
    BottleEmpty,
    BottleExpired,
    BottleGone,
    BottleOpenTooLong,
    DewPoint,
    Early,
    Grounds,
    HasLeft,
    ImpossibleAir,
    ImpossibleReadingTime,
    ImpossibleThickness,
    ImpossibleTime,
    IsAside,
    JobKnown,
    LaddersDiffer,
    Lapsed,
    LeftOut,
    Marked,
    MarkWhy,
    NoBottle,
    NoSuchJob,
    NoSuchPerson,
    NoSuchReading,
    NotSeen,
    NotWeighable,
    OfBottle,
    OfPlace,
    OldReading,
    OthersFirst,
    OverLimit,
    PersonBusy,
    RipensOutside,
    SameRecipe,
    SeveralBlocks,
    SplashReach,
    StepBefore,
    StillAtWork,
    StillWorked,
    TimeRanBack,
    TimeUnsure,
    ToolBusy,
    UnfitBottle,
    UnreadPlace,
    WaitsClash,
    Why,
    ZoneBusy,
)
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.model.thickness import LEAST_UM, MOST_UM
from bayapp.job.model.wait_tables import By
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.air_sentences import advice_text, short_margin_text
from bayapp.job.text.naming import (
    capital,
    left_text,
    place_title,
    span_text,
    step_title,
    value_text,
    with_note,
    zones_in_brief,
    zones_title,
)
from bayapp.job.verdict import Refusal, one_a_rule
from bayapp.text.days import day_text, short_date
from bayapp.text.figures import clock_time, micrometres, volume
from bayapp.text.language import _, later


def why_not(refusal: Refusal, state: BayState, zone: tzinfo = UTC) -> str:
    """Return the refusal as one or two sentences, with times of day in ``zone``.

    A moment on another day than the last entry of the record is given with its date.
    """
    job = state.jobs.get(refusal.job) if refusal.job else None
    today = state.last_at.astimezone(zone).date() if state.last_at else None
    return capital(_sentence(refusal.grounds, _Names(refusal, job, state, zone, today)))


def all_why_not(refusals: Iterable[Refusal], state: BayState, zone: tzinfo = UTC) -> str:
    """Return the sentences of all rules that forbid something, the first refusal's first; empty where none does."""
    return " ".join(why_not(refusal, state, zone) for refusal in one_a_rule(refusals))


def first_why_not(refusals: Iterable[Refusal], state: BayState, zone: tzinfo = UTC) -> str:
    """Return the first rule's sentence, and what else forbids it in few words, for where there is little room."""
    first, *others = refusals
    said, kinds = why_not(first, state, zone), rules_text(r for r in others if r.code is not first.code)
    return f"{said} {_('Besides: {kinds}.').format(kinds=kinds)}" if kinds else said


def rules_text(refusals: Iterable[Refusal]) -> str:
    """Return what kinds of rules forbid something: "too early, the air"; empty where none does."""
    return ", ".join(dict.fromkeys(_(_IN_FEW_WORDS[refusal.code]) for refusal in refusals))


_IN_FEW_WORDS: Mapping[Code, str] = {
    Code.EARLY: later("too early"),
    Code.LATE: later("too late"),
    Code.ORDER: later("out of turn"),
    Code.BUSY: later("hands or tool elsewhere"),
    Code.BAY: later("dust or water"),
    Code.AIR: later("the air"),
    Code.EXPIRED: later("the bottle"),
    Code.UNKNOWN: later("not known"),
    Code.CLOCK: later("the clock"),
    Code.DONE: later("done"),
    Code.MARK: later("a mark"),
}


@dataclass(frozen=True, slots=True)
class _Names:
    """What people call the zone, the step and the moments of a refusal."""

    refusal: Refusal
    job: JobState | None
    state: BayState
    tz: tzinfo
    today: date | None

    @property
    def zone(self) -> str:
        """The zone's name, with its car where several are here; its bare id where no job knows it."""
        zone = self.refusal.zone
        if zone is None:
            return ""
        return self.of_car(self.job.job.zone_names.get(zone, zone)) if self.job else zone

    @property
    def car(self) -> str:
        """What the refusal's car is called."""
        return self.job.job.name if self.job else ""

    def of_car(self, zones: str) -> str:
        """Return the name of zones with their car's, where several cars are here."""
        if self.job is None or len(self.state.open_jobs) < 2:
            return zones
        return _("{zone} of {car}").format(zone=zones, car=self.job.job.name)

    @property
    def step(self) -> str:
        """The step's title."""
        return self.title(self.refusal.step)

    @property
    def right_from(self) -> str:
        """The moment from which it will be right."""
        return self.time(self.refusal.right_from) if self.refusal.right_from else _("an unknown time")

    def zones(self, zones: tuple[ZoneId, ...]) -> str:
        """Return what these zones are called together."""
        return zones_title(self.job.job, zones) if self.job else ", ".join(zones)

    def title(self, step: StepId | None, zone: ZoneId | None = None) -> str:
        """Return what a step of a zone is called, by default of the refusal's; its bare id where no job knows it."""
        zone = zone or self.refusal.zone
        if step is None:
            return ""
        if self.job is None or zone is None or zone not in self.job.zones:
            return step
        recipe = self.job.job.recipe_of(zone)
        return step_title(recipe, step) if recipe.knows(step) else step

    def day(self, moment: datetime | None) -> str:
        """Return the day of a moment, with its year."""
        return day_text(moment.astimezone(self.tz).date()) if moment else ""

    def time(self, moment: datetime) -> str:
        """Return the time of day, with its date where that is another day than the last entry's."""
        day = moment.astimezone(self.tz).date()
        of_day = clock_time(moment, self.tz)
        return of_day if self.today in (None, day) else f"{short_date(day)} {of_day}"


@singledispatch
def _sentence(grounds: Grounds, names: _Names) -> str:
    raise TypeError(f"no sentence for {type(grounds).__name__}")


_BARE: Mapping[Why, str] = {
    Why.NOTHING_TO_UNDO: later("{zone}: there is nothing to undo."),
    Why.NOT_RUNNING: later("{zone}: {step} is not under way, so it cannot be finished or corrected."),
    Why.COVERED_ALREADY: later("{zone} is covered already."),
    Why.NOT_COVERED: later("{zone} is not covered."),
    Why.NOTHING_TO_COVER: later("{zone} has no coat that dust or water would harm; there is nothing to cover."),
    Why.WAITS_FOR_NOBODY: later("{zone} waits for no other zone; there is no set to close early."),
    Why.NO_SUCH_STAY: later("Nobody can stay until then. Say a moment within the next 14 hours."),
    Why.NOT_DONE_YET: later("{zone}: {step} has not been done, so it cannot be done again."),
    Why.CURES_ELSEWHERE: later("{car} only cures where it stands; nobody works on it there. Move it back in first."),
    Why.NOTHING_TO_WET: later("{zone}: nothing has been done on it that water could harm."),
    Why.WET_WHEN: later("{zone} cannot have got wet then: that is still to come, or was before the car came in."),
    Why.STILL_TO_DO: later("{zone} is not done: {step} comes first. Then it is looked at by light."),
    Why.NO_POLISH: later("{zone}: {step} polishes no paint, so no test spot is made for it."),
    Why.PASSED_ALREADY: later("{zone} was seen by light and is good; nothing was done on it since."),
    Why.MARKED_ALREADY: later("{zone} is marked just so already."),
    Why.NO_SUCH_MARK: later("{zone} has no such mark; there is nothing to lift."),
    Why.MARK_AHEAD: later("{zone}: the date of that mark is still to come. Give the day on which it was."),
    Why.WORKED_ALREADY: later("{zone} is worked in this job already; give it another recipe instead."),
    Why.NOT_ASIDE: later("{zone} is not set aside; it can be worked as it is."),
    Why.DUST_ON_COAT: later(
        "Dust would fall on the fresh coat of {zone}. It will be right when that is covered, buffed or dry."
    ),
    Why.COAT_IN_DUST: later("Dust is flying: {zone}, {step}. No coat may lie bare in it; wait until that is done."),
    Why.COAT_IN_WATER: later("Water is flying: {zone}, {step}. No coat may lie bare in it; wait until that is done."),
    Why.WATER_ON_COAT: later(
        "Water would spoil the fresh coat of {zone}. It will be right when that is covered, or buffed and kept dry."
    ),
    Why.KEEP_DRY: later(
        "{zone} must be kept dry until {right_from}; no water in the bay before that, unless it is covered."
    ),
    Why.COAT_OUTSIDE: later("Outside nothing keeps dust, rain and sun off the fresh coat of {zone}."),
    Why.KEEP_DRY_OUTSIDE: later("{zone} must be kept dry until {right_from}: outside, mind rain and dew."),
    Why.ALREADY_THERE: later("{car} stands there already."),
    Why.CAR_WORKED: later("{zone} is being worked on: {step}. Finish or undo that first, then move the car."),
    Why.NO_MOVE: later("{car} was not moved, or a curtain was since; move it where it stands."),
    Why.NO_READING: later("The air has not been read. Read temperature and humidity before a coat."),
    Why.RIPENS_UNREAD: later(
        "{zone}: {step} waits as long as the air makes it, and the air has not been read. "
        "Read it; from then on the wait counts."
    ),
    Why.NO_ZONE: later("No zone that is worked in this job was named. Name at least one."),
    Why.NO_REASON: later("No reason was given. Say why, then it can be done; the day record tells it."),
    Why.NO_SUCH_ZONE: later("{zone!r} is not worked in this job."),
    Why.NO_THICKNESS: later("{zone}: no such reading of its paint counts; there is nothing to take back."),
    Why.NO_READINGS: later("No reading of the paint was given. Measure once at least."),
    Why.PHOTO_KNOWN: later("This photo is kept there already."),
    Why.NO_SUCH_PHOTO: later("There is no such photo there that could be taken away."),
    Why.NO_SUCH_STEP: later("{zone} has no step {step!r} on its ladder."),
    Why.NOTHING_TO_SETTLE: later("Nobody asks which time is right; there is nothing to settle."),
    Why.JOB_INSIDE: later("This car is in the bay; it has not left."),
    Why.STEP_DONE: later("{zone}: {step} is done already. Undo it to do it again."),
    Why.ALL_DONE: later("{zone} is finished; nothing is left to do on it."),
}
"""The sentences that need no more than zone, step and moment."""
_UNTIL: Mapping[Why, str] = {
    Why.DUST_ON_COAT: later(
        "Dust would fall on the fresh coat of {zone}. Right at {right_from}, when that is dry, or once it is covered."
    ),
    Why.WATER_ON_COAT: later(
        "Water would spoil the fresh coat of {zone}. Right at {right_from}, when that is dry, or once it is covered."
    ),
}
"""What is said instead where the moment from which it will be right is known."""


@_sentence.register
def _bare(grounds: Bare, names: _Names) -> str:
    known = names.refusal.right_from is not None and grounds.why in _UNTIL
    said = _UNTIL[grounds.why] if known else _BARE[grounds.why]
    return _(said).format(zone=names.zone, step=names.step, right_from=names.right_from, car=names.car)


@_sentence.register
def _early(grounds: Early, names: _Names) -> str:
    needs = left_text(grounds.opens_at - grounds.since)
    words = _("{zone}: {step} is too early. The wait of {needs} runs until {time}.")
    if grounds.by_air:  # the ladder says base and present wait; a third length would only confuse
        words = _("{zone}: {step} is too early. In this air its wait runs until {time}.")
    return words.format(zone=names.zone, step=names.step, needs=needs, time=names.time(grounds.opens_at))


@_sentence.register
def _lapsed(grounds: Lapsed, names: _Names) -> str:
    said = _("{zone}: {step} is too late; its latest moment was {time}.").format(
        zone=names.zone, step=names.step, time=names.time(grounds.lapsed_at)
    )
    if grounds.unsure:
        said = _("{zone}: {step} may be too late; nobody knows how long the machine was off from {time} on.").format(
            zone=names.zone, step=names.step, time=names.time(grounds.lapsed_at)
        )
    if grounds.air_was_unknown:
        said += " " + _("The air was not known for some time; that counts as the air which leaves the least time.")
    if grounds.back_to is None and grounds.again is not None:
        again = names.title(grounds.again)
        return said + " " + _("Inspect the surface: carry on with a reason, or do again: {step}.").format(step=again)
    if grounds.back_to is None:
        return said + " " + _("Inspect the surface, then carry on with a reason.")
    return said + " " + _("Go back to: {back}.").format(back=names.title(grounds.back_to))


@_sentence.register
def _step_before(grounds: StepBefore, names: _Names) -> str:
    return _("{zone}: {step} comes later. Next is: {next}.").format(
        zone=names.zone, step=names.step, next=names.title(grounds.next_step)
    )


@_sentence.register
def _left_out(grounds: LeftOut, names: _Names) -> str:
    after = _(", then ").join(names.title(step) for step in grounds.after)
    return _("{zone}: {step} was left out. Made up now, it is followed again by: {after}.").format(
        zone=names.zone, step=names.step, after=after
    )


@_sentence.register
def _others_first(grounds: OthersFirst, names: _Names) -> str:
    anchor = names.title(grounds.anchor, grounds.zones[0])
    said = _("{zone}: {step} waits for {others}, which must first have: {anchor}.").format(
        zone=names.zone, step=names.step, others=names.zones(grounds.zones), anchor=anchor
    )
    if set(grounds.zones) == {names.refusal.zone}:
        return said
    return said + " " + _("It can also go on by itself.")


@_sentence.register
def _zone_busy(grounds: ZoneBusy, names: _Names) -> str:
    return _("{zone} is being worked on already: {running}. Finish that first.").format(
        zone=names.zone, running=names.title(grounds.running)
    )


@_sentence.register
def _still_worked(grounds: StillWorked, names: _Names) -> str:
    return _("{zone} is being worked on: {running}. Finish or undo that first, then set it aside.").format(
        zone=names.zone, running=names.title(grounds.running)
    )


@_sentence.register
def _not_seen(grounds: NotSeen, names: _Names) -> str:
    zones = zones_in_brief(names.job.job, grounds.zones) if names.job else ", ".join(grounds.zones)
    words = _("{zones}: not seen by light yet. Look it over, or let {car} go with a reason.")
    return words.format(zones=zones, car=names.car)


@_sentence.register
def _is_aside(grounds: IsAside, names: _Names) -> str:
    return _("{zone} is set aside: {reason}. Take it up again, then it can be worked.").format(
        zone=names.zone, reason=grounds.reason
    )


_FORBIDS: Mapping[MarkWhy, str] = {  # what harms which surface: common practice, no source
    Why.MATT: later("{zone} is matt and is not polished: where it shines once, it shines for good."),
    Why.FILM: later("{zone} is under film, and {recipe} is not made for film. Take a recipe that suits film."),
    Why.FRESH_REPAINT: later(
        "{zone} was repainted on {day} and takes no coat for {days} days: {step} not before {right_from}."
    ),
    Why.LEAVE_ALONE: later("{zone} is to be left alone."),
    Why.SENSOR: later("{zone} covers a sensor and is not coated: what lies on it may blind it."),
}


@_sentence.register
def _marked(grounds: Marked, names: _Names) -> str:
    said = _(_FORBIDS[grounds.why]).format(
        zone=names.zone,
        step=names.step,
        recipe=grounds.recipe,
        day=day_text(grounds.painted_on) if grounds.painted_on else "",
        days=grounds.days,
        right_from=names.day(names.refusal.right_from),
    )
    return with_note(said, grounds.note)


@_sentence.register
def _aside_already(grounds: AsideAlready, names: _Names) -> str:
    return _("{zone} is set aside already: {reason}.").format(zone=names.zone, reason=grounds.reason)


@_sentence.register
def _ladders_differ(grounds: LaddersDiffer, names: _Names) -> str:
    return _(
        "{zone} cannot go on by {recipe}: it has nothing like {step}, which is done. Send it back below that first."
    ).format(zone=names.zone, recipe=grounds.recipe, step=names.step)


@_sentence.register
def _same_recipe(grounds: SameRecipe, names: _Names) -> str:
    return _("{zone} goes by {recipe} already.").format(zone=names.zone, recipe=grounds.recipe)


@_sentence.register
def _waits_clash(grounds: WaitsClash, names: _Names) -> str:
    return _("The waits of this job could not hold then: {clash}.").format(clash=grounds.clash)


@_sentence.register
def _still_at_work(grounds: StillAtWork, names: _Names) -> str:
    return _("{by} is still at {zone}: {step}. Finish that first, then {by} can go.").format(
        by=grounds.by, zone=names.zone, step=names.step
    )


@_sentence.register
def _several_blocks(grounds: SeveralBlocks, names: _Names) -> str:
    return _("{step} on {zones} is one touch, on {others} another. Begin one after the other.").format(
        zones=names.zones(grounds.zones), others=names.zones(grounds.others), step=names.step
    )


@_sentence.register
def _person_busy(grounds: PersonBusy, names: _Names) -> str:
    return _("{by} is still at {zone}, {step}. Finish that first, or let somebody else do this.").format(
        by=grounds.by, zone=names.zone, step=names.step
    )


@_sentence.register
def _tool_busy(grounds: ToolBusy, names: _Names) -> str:
    return _("The {tool} is in use at {zone}. There is only one; it will be right when that is done.").format(
        tool=grounds.tool, zone=names.zone
    )


@_sentence.register
def _splash(grounds: SplashReach, names: _Names) -> str:
    assert names.job, "only a car that is here is asked about"
    wet = names.state.jobs.get(grounds.wet)
    return _("{zones} must be kept dry until {until}. Is that out of reach of the water on {wet}?").format(
        zones=names.of_car(zones_title(names.job.job, grounds.zones)),
        until=names.right_from,
        wet=wet.job.name if wet else grounds.wet,
    )


@_sentence.register
def _of_place(grounds: OfPlace, names: _Names) -> str:
    said = {
        Why.NO_SUCH_PLACE: _("There is no place {place!r}; the settings name the bays."),
        Why.BAY_NAME: _("A bay cannot be called {place!r}: the name is empty, or another bay has it."),
        Why.OCCUPIED_BAY: _("{car} stands in {place}. Move it first, then take the bay away."),
    }[grounds.why]
    return said.format(place=grounds.place, car=names.car)


@_sentence.register
def _unread_place(grounds: UnreadPlace, names: _Names) -> str:
    return _("Nobody has read the air where the car stands: {place}. Read temperature and humidity there.").format(
        place=place_title(names.state.places, grounds.place)
    )


@_sentence.register
def _old_reading(grounds: OldReading, names: _Names) -> str:
    if grounds.place is not None:
        said = _("The air of {place} was last read at {read_at}, over 30 minutes ago. Read it again there.")
        place = place_title(names.state.places, grounds.place)
        return said.format(place=place, read_at=names.time(grounds.read_at))
    return _("The air was last read at {read_at}, over 30 minutes ago. Read it again.").format(
        read_at=names.time(grounds.read_at)
    )


@_sentence.register
def _dew_point(grounds: DewPoint, names: _Names) -> str:
    fitness = grounds.fitness
    said = short_margin_text(fitness.margin_k, fitness.dew_c, fitness.limits.margin_k)
    return f"{said} {advice_text(fitness)}"


@_sentence.register
def _over_limit(grounds: OverLimit, names: _Names) -> str:
    what = {
        Hindrance.AIR: _("The air"),
        Hindrance.SURFACE: _("The surface"),
        Hindrance.HUMIDITY: _("Humidity"),
    }[grounds.hindrance]
    by = By.HUMIDITY if grounds.hindrance is Hindrance.HUMIDITY else By.TEMPERATURE
    span, value = span_text(by, grounds.low, grounds.high), value_text(by, grounds.value)
    said = _("{what} is {value}; {product} is laid from {span}.")
    said = said.format(what=what, value=value, span=span, product=grounds.product)
    return f"{said} {advice_text(grounds.fitness)}" if grounds.advised else said


@_sentence.register
def _before_coat(grounds: BeforeCoat, names: _Names) -> str:
    why = _sentence(grounds.doubt, names)
    return _("Before the wipe: its coat could not be laid now. {why}").format(why=why)


def _instead(grounds: UnfitBottle, otherwise: str) -> str:
    """Say which other bottle would be right, or what else."""
    return _("Use bottle {other} instead.").format(other=grounds.instead) if grounds.instead else otherwise


@_sentence.register
def _bottle_expired(grounds: BottleExpired, names: _Names) -> str:
    said = _("Bottle {bottle} of {product} was good until {day}.").format(
        bottle=grounds.bottle, product=grounds.product, day=day_text(grounds.expires)
    )
    return said + " " + _instead(grounds, _("Put a fresh one on the shelf."))


@_sentence.register
def _bottle_open_too_long(grounds: BottleOpenTooLong, names: _Names) -> str:
    day = day_text(grounds.opened.astimezone(names.tz).date())
    said = _("Bottle {bottle} of {product} was opened on {day} and is good for {days} days after that.").format(
        bottle=grounds.bottle, product=grounds.product, day=day, days=grounds.days
    )
    return said + " " + _instead(grounds, _("Put a fresh one on the shelf."))


@_sentence.register
def _bottle_empty(grounds: BottleEmpty, names: _Names) -> str:
    said = _("Bottle {bottle} of {product} is empty by the reckoning.").format(
        bottle=grounds.bottle, product=grounds.product
    )
    return said + " " + _instead(grounds, _("Look how much is left in it, or put a fresh one on the shelf."))


@_sentence.register
def _no_bottle(grounds: NoBottle, names: _Names) -> str:
    return _("There is no bottle of {product} on the shelf. Scan or enter the one in your hand.").format(
        product=grounds.product
    )


@_sentence.register
def _of_bottle(grounds: OfBottle, names: _Names) -> str:
    said = {
        Why.NO_SUCH_BOTTLE: _("There is no bottle {bottle} on the shelf."),
        Why.BOTTLE_NOT_GONE: _("Bottle {bottle} stands on the shelf already."),
        Why.BAD_BOTTLE_DATE: _("That date cannot be for bottle {bottle}: it is missing, or has yet to come."),
    }[grounds.why]
    return said.format(bottle=grounds.bottle)


@_sentence.register
def _bottle_gone(grounds: BottleGone, names: _Names) -> str:
    return _("Bottle {bottle} left the shelf at {gone_at}: {reason}. Put it back first.").format(
        bottle=grounds.bottle, gone_at=names.time(grounds.gone_at), reason=grounds.reason
    )


@_sentence.register
def _bad_amount(grounds: BadAmount, names: _Names) -> str:
    amount, most = volume(grounds.ml), volume(grounds.most)
    said = _("Bottle {bottle} cannot hold {amount}; up to {most} is possible.")
    return said.format(bottle=grounds.bottle, amount=amount, most=most)


@_sentence.register
def _not_weighable(grounds: NotWeighable, names: _Names) -> str:
    return _(
        "{product} does not say its density and the weight of its empty bottle. Tell how much is left instead."
    ).format(product=grounds.product)


@_sentence.register
def _ripens_outside(grounds: RipensOutside, names: _Names) -> str:
    said = {
        By.TEMPERATURE: _("{zone}: {step} cannot be timed at {value}; its sheet speaks of {span}."),
        By.HUMIDITY: _("{zone}: {step} cannot be timed at {value} humidity; its sheet speaks of {span}."),
    }[grounds.by]
    if grounds.thumb:
        said = _("{zone}: {step} cannot be timed at {value}; the product is laid from {span}.")
    span, value = span_text(grounds.by, grounds.low, grounds.high), value_text(grounds.by, grounds.value)
    said = said.format(zone=names.zone, step=names.step, value=value, span=span)
    return said + " " + _("The wait goes on when the air is back in that.")


@_sentence.register
def _impossible_air(grounds: ImpossibleAir, names: _Names) -> str:
    by = By.HUMIDITY if grounds.what == "rh_percent" else By.TEMPERATURE
    value = value_text(by, grounds.value) if isfinite(grounds.value) else str(grounds.value)
    what = {
        "air_c": _("an air temperature of {value}; from {span} is possible"),
        "surface_c": _("a surface temperature of {value}; from {span} is possible"),
        "rh_percent": _("a humidity of {value}; above 0 and at most 100 % is possible"),
    }[grounds.what].format(value=value, span=span_text(By.TEMPERATURE, -40, 90))
    return _("A reading cannot say {what}. Look at the meter again.").format(what=what)


@_sentence.register
def _impossible_reading_time(grounds: ImpossibleReadingTime, names: _Names) -> str:
    return _("The air cannot have been read at {read_at}; a time from {earliest} to {latest} is possible.").format(
        read_at=names.time(grounds.read_at), earliest=names.time(grounds.earliest), latest=names.time(grounds.latest)
    )


@_sentence.register
def _no_such_reading(grounds: NoSuchReading, names: _Names) -> str:
    return _(
        "No reading of the air was recorded at {corrects}, or it was withdrawn; there is nothing to correct."
    ).format(corrects=names.time(grounds.corrects))


@_sentence.register
def _impossible_thickness(grounds: ImpossibleThickness, names: _Names) -> str:
    um = micrometres(grounds.um) if isfinite(grounds.um) else str(grounds.um)
    return _("{zone}: paint of {um} cannot be; from {least} to {most} is possible. Look at the gauge again.").format(
        zone=names.zone, um=um, least=micrometres(LEAST_UM), most=micrometres(MOST_UM)
    )


@_sentence.register
def _no_such_job(grounds: NoSuchJob, names: _Names) -> str:
    return _("There is no job {job!r} in this bay.").format(job=grounds.job)


@_sentence.register
def _job_known(grounds: JobKnown, names: _Names) -> str:
    return _("job {job!r} is in the bay already, or has been; give the new one another title or start.").format(
        job=grounds.job
    )


@_sentence.register
def _no_such_person(grounds: NoSuchPerson, names: _Names) -> str:
    return _("{by!r} is not in this job's crew ({crew}).").format(by=grounds.by, crew=", ".join(grounds.crew))


@_sentence.register
def _has_left(grounds: HasLeft, names: _Names) -> str:
    return _("This job was closed at {closed_at}.").format(closed_at=names.time(grounds.closed_at))


@_sentence.register
def _time_ran_back(grounds: TimeRanBack, names: _Names) -> str:
    return _(
        "The time given lies before the last entry of {last_at}. The record only goes forward; check the clock."
    ).format(last_at=names.time(grounds.last_at))


@_sentence.register
def _time_unsure(grounds: TimeUnsure, names: _Names) -> str:
    return _("This machine was off at {time}, and nobody has said yet for how long. Say what time it is.").format(
        time=names.time(grounds.since)
    )


@_sentence.register
def _before_outage(grounds: BeforeOutage, names: _Names) -> str:
    words = _(
        "The board still ran at {since}, and this machine has been on since it was switched on again: "
        "it cannot be before {earliest}. If the board was wrong before, answer that you don't know, then put it right."
    )
    return words.format(since=names.time(grounds.since), earliest=names.time(grounds.earliest))


@_sentence.register
def _beyond_calendar(grounds: BeyondCalendar, names: _Names) -> str:
    return _("The year given is {given}; work is recorded from {earliest} to {latest}. Check the clock.").format(
        given=grounds.given.year, earliest=grounds.earliest.year, latest=grounds.latest.year
    )


@_sentence.register
def _impossible_time(grounds: ImpossibleTime, names: _Names) -> str:
    return _("{zone}: {step} cannot have been at {becomes}; what came before and after it does not allow that.").format(
        zone=names.zone, step=names.step, becomes=names.time(grounds.becomes)
    )
