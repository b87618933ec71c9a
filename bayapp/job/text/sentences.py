"""Why not, in a sentence for a person: what, why, and from when it will be right. The one place that says it."""

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, timedelta, tzinfo
from math import isfinite

from bayapp.air import Fitness
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.model.wait_tables import By
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.air_sentences import advice_told, short_margin_told
from bayapp.job.text.naming import capital, left_text, span_text, step_title, value_text, zones_title
from bayapp.job.verdict import Refusal, Why
from bayapp.text.days import day_text
from bayapp.text.figures import clock_time, volume
from bayapp.text.language import _


def why_not(refusal: Refusal, state: BayState, zone: tzinfo = UTC) -> str:
    """Return the refusal as one or two sentences, with times of day in ``zone``.

    A moment on another day than the last entry of the record is told with its date.
    """
    job = state.jobs.get(refusal.job) if refusal.job else None
    today = state.last_at.astimezone(zone).date() if state.last_at else None
    return capital(_SENTENCES[refusal.why](_Told(refusal, job, zone, today)))


class _Told:
    """A refusal with its ids turned into the words that people use."""

    def __init__(self, refusal: Refusal, job: JobState | None, zone: tzinfo, today: date | None) -> None:
        self._job = job
        self._tz = zone
        self._today = today
        self.refusal = refusal
        self.facts: Mapping[str, object] = refusal.facts

    def about(self, refusal: Refusal) -> "_Told":
        """Return another reason in the same words."""
        return _Told(refusal, self._job, self._tz, self._today)

    @property
    def tz(self) -> tzinfo:
        """The time zone of the wall."""
        return self._tz

    @property
    def zone(self) -> str:
        """The zone's name, or its bare id where no job knows it."""
        return self.name_of(self.refusal.zone) if self.refusal.zone else ""

    @property
    def step(self) -> str:
        """The step's title."""
        return self.title(self.refusal.step)

    def name_of(self, zone: ZoneId) -> str:
        return self._job.job.zone_names.get(zone, zone) if self._job else zone

    def names(self, key: str) -> str:
        zones = self.facts[key]
        assert isinstance(zones, tuple)
        return zones_title(self._job.job, zones) if self._job else ", ".join(zones)

    def title(self, step: object, zone: ZoneId | None = None) -> str:
        zone = zone or self.refusal.zone
        if not isinstance(step, str):
            return ""
        if self._job is None or zone is None or zone not in self._job.zones:
            return step
        recipe = self._job.job.recipe_of(zone)
        return step_title(recipe, StepId(step)) if recipe.has(StepId(step)) else step

    def next_title(self) -> str:
        place = self.facts["next_place"]
        assert isinstance(place, int)
        assert self._job
        assert self.refusal.zone
        return self.title(self._job.job.recipe_of(self.refusal.zone).step[place].id)

    def anchor_title(self) -> str:
        zones = self.facts["zones"]
        assert isinstance(zones, tuple)
        return self.title(self.facts["anchor"], zones[0])

    def time(self, key: str) -> str:
        moment = self.facts[key]
        assert isinstance(moment, datetime)
        return self.said(moment)

    def said(self, moment: datetime) -> str:
        day = moment.astimezone(self._tz).date()
        of_day = clock_time(moment, self._tz)
        return of_day if self._today in (None, day) else f"{day.isoformat()} {of_day}"

    def right_from(self) -> str:
        return self.said(self.refusal.right_from) if self.refusal.right_from else _("an unknown time")

    def number(self, key: str) -> float:
        value = self.facts[key]
        assert isinstance(value, int | float)
        return float(value)


def _early(t: _Told) -> str:
    since = t.facts["since"]
    assert isinstance(since, datetime)
    assert t.refusal.right_from
    needs = left_text(t.refusal.right_from - since)
    return _("{zone}: {step} is too early. The wait of {needs} runs until {time}.").format(
        zone=t.zone, step=t.step, needs=needs, time=t.right_from()
    )


def _lapsed(t: _Told) -> str:
    said = _("{zone}: {step} is too late; its latest moment was {time}.").format(
        zone=t.zone, step=t.step, time=t.time("lapsed_at")
    )
    if t.facts.get("careful"):
        said += " " + _("The air was not known for some time; that counts as the air which leaves the least time.")
    if t.facts["back_to"] is None:
        return said + " " + _("Inspect the surface, then carry on with a reason.")
    return said + " " + _("Go back to: {back}.").format(back=t.title(t.facts["back_to"]))


def _others_first(t: _Told) -> str:
    return _("{zone}: {step} waits for {others}, which must first have: {anchor}.").format(
        zone=t.zone, step=t.step, others=t.names("zones"), anchor=t.anchor_title()
    )


def _person_busy(t: _Told) -> str:
    return _("{by} is still at {zone}, {step}. Finish that first, or let somebody else do this.").format(
        by=t.facts["by"], zone=t.zone, step=t.step
    )


def _zone_busy(t: _Told) -> str:
    return _("{zone} is being worked on already: {running}. Finish that first.").format(
        zone=t.zone, running=t.title(t.facts["running"])
    )


def _still_worked(t: _Told) -> str:
    return _("{zone} is being worked on: {running}. Finish or undo that first, then set it aside.").format(
        zone=t.zone, running=t.title(t.facts["running"])
    )


def _time_unsure(t: _Told) -> str:
    jump = timedelta(milliseconds=abs(t.number("by_ms")))
    return _("The clock of this machine jumped by {jump}. Say which time is right before work goes on.").format(
        jump=left_text(jump)
    )


def _with_advice(t: _Told, told: str) -> str:
    fitness = t.facts.get("fitness")
    return f"{told} {advice_told(fitness)}" if isinstance(fitness, Fitness) else told


def _dew(t: _Told) -> str:
    return _with_advice(t, short_margin_told(t.number("margin"), t.number("dew"), t.number("needed")))


def _limit(what: str, by: By) -> Callable[[_Told], str]:
    def said(t: _Told) -> str:
        span, value = span_text(by, t.number("low"), t.number("high")), value_text(by, t.number("value"))
        told = _("{what} is {value}; {product} is laid from {span}.")
        return _with_advice(t, told.format(what=_(what), value=value, span=span, product=t.facts["product"]))

    return said


def _before_coat(t: _Told) -> str:
    doubt = t.facts["doubt"]
    assert isinstance(doubt, Refusal)
    return _("Before the wipe: its coat could not be laid now. {why}").format(why=_SENTENCES[doubt.why](t.about(doubt)))


def _instead(t: _Told, otherwise: str) -> str:
    """Say which other bottle would be right, or what else."""
    other = t.facts.get("instead")
    return _("Use bottle {other} instead.").format(other=other) if other else otherwise


def _bottle_expired(t: _Told) -> str:
    day = t.facts["expires"]
    assert isinstance(day, date)
    said = _("Bottle {bottle} of {product} was good until {day}.").format(**t.facts, day=day_text(day))
    return said + " " + _instead(t, _("Put a fresh one on the shelf."))


def _bottle_open_too_long(t: _Told) -> str:
    opened = t.facts["opened"]
    assert isinstance(opened, datetime)
    told = {**t.facts, "day": day_text(opened.astimezone(t.tz).date())}
    said = _("Bottle {bottle} of {product} was opened on {day} and is good for {days} days after that.").format(**told)
    return said + " " + _instead(t, _("Put a fresh one on the shelf."))


def _bottle_empty(t: _Told) -> str:
    said = _("Bottle {bottle} of {product} is empty by the reckoning.").format(**t.facts)
    return said + " " + _instead(t, _("Look how much is left in it, or put a fresh one on the shelf."))


def _bad_amount(t: _Told) -> str:
    said = _("Bottle {bottle} cannot hold {amount}; up to {most} is possible.")
    amount, most = volume(t.number("ml")), volume(t.number("most"))
    return said.format(bottle=t.facts["bottle"], amount=amount, most=most)


def _ripens_outside(t: _Told) -> str:
    by = By(str(t.facts["by"]))
    said = {
        By.TEMPERATURE: _("{zone}: {step} cannot be timed at {value}; its sheet speaks of {span}."),
        By.HUMIDITY: _("{zone}: {step} cannot be timed at {value} humidity; its sheet speaks of {span}."),
    }[by]
    if t.facts["thumb"]:
        said = _("{zone}: {step} cannot be timed at {value}; the product is laid from {span}.")
    span, value = span_text(by, t.number("low"), t.number("high")), value_text(by, t.number("value"))
    told = said.format(zone=t.zone, step=t.step, value=value, span=span)
    return told + " " + _("The wait goes on when the air is back in that.")


def _impossible_air(t: _Told) -> str:
    by = By.HUMIDITY if t.facts["what"] == "rh_percent" else By.TEMPERATURE
    said, span = t.number("value"), span_text(By.TEMPERATURE, -40, 90)
    value = value_text(by, said) if isfinite(said) else str(said)
    what = {
        "air_c": _("an air temperature of {value}; from {span} is possible"),
        "surface_c": _("a surface temperature of {value}; from {span} is possible"),
        "rh_percent": _("a humidity of {value}; above 0 and at most 100 % is possible"),
    }[str(t.facts["what"])].format(value=value, span=span)
    return _("A reading cannot say {what}. Look at the meter again.").format(what=what)


def _plain(sentence: str) -> Callable[[_Told], str]:
    """A sentence that needs no more than zone, step and times."""

    def said(t: _Told) -> str:
        times = {key: t.said(v) for key, v in t.facts.items() if isinstance(v, datetime)}
        return _(sentence).format(**{**t.facts, **times, "zone": t.zone, "step": t.step, "right_from": t.right_from()})

    return said


_SENTENCES: dict[Why, Callable[[_Told], str]] = {
    Why.EARLY: _early,
    Why.LAPSED: _lapsed,
    Why.STEP_BEFORE: lambda t: _("{zone}: {step} comes later. Next is: {next}.").format(
        zone=t.zone, step=t.step, next=t.next_title()
    ),
    Why.OTHERS_FIRST: _others_first,
    Why.NOTHING_TO_UNDO: _plain("{zone}: there is nothing to undo."),
    Why.NOT_RUNNING: _plain("{zone}: {step} is not under way, so it cannot be finished or corrected."),
    Why.ZONE_BUSY: _zone_busy,
    Why.STILL_WORKED: _still_worked,
    Why.SET_ASIDE: _plain("{zone} is set aside: {reason}. Take it up again, then it can be worked."),
    Why.ASIDE_ALREADY: _plain("{zone} is set aside already: {reason}."),
    Why.WORKED_ALREADY: _plain("{zone} is worked in this job already; give it another recipe instead."),
    Why.LADDERS_DIFFER: _plain(
        "{zone} cannot go on by {recipe}: {step} has been done, or missed, and that recipe has nothing like it there."
    ),
    Why.SAME_RECIPE: _plain("{zone} goes by {recipe} already."),
    Why.WAITS_CLASH: _plain("The waits of this job could not hold then: {told}."),
    Why.NOT_ASIDE: _plain("{zone} is not set aside; it can be worked as it is."),
    Why.STILL_AT_WORK: _plain("{by} is still at {zone}: {step}. Finish that first, then {by} can go."),
    Why.PERSON_BUSY: _person_busy,
    Why.TOOL_BUSY: _plain("The {tool} is in use at {zone}. There is only one; it will be right when that is done."),
    Why.DUST_ON_COAT: _plain(
        "Dust would fall on the fresh coat of {zone}. It will be right when that has been buffed or has dried."
    ),
    Why.COAT_IN_DUST: _plain("Dust is flying: {zone}, {step}. It will be right for a coat when that is done."),
    Why.WATER_ON_COAT: _plain(
        "Water would spoil the fresh coat of {zone}. It will be right when that has been buffed and kept dry."
    ),
    Why.KEEP_DRY: _plain("{zone} must be kept dry until {right_from}; no water in the bay before that."),
    Why.NO_READING: _plain("The air has not been read. Read temperature and humidity before a coat."),
    Why.OLD_READING: _plain("The air was last read at {read_at}, over 30 minutes ago. Read it again."),
    Why.DEW_POINT: _dew,
    Why.BEFORE_COAT: _before_coat,
    Why.AIR_LIMIT: _limit("The air", By.TEMPERATURE),
    Why.SURFACE_LIMIT: _limit("The surface", By.TEMPERATURE),
    Why.HUMIDITY_LIMIT: _limit("Humidity", By.HUMIDITY),
    Why.BOTTLE_EXPIRED: _bottle_expired,
    Why.BOTTLE_OPEN_TOO_LONG: _bottle_open_too_long,
    Why.BOTTLE_EMPTY: _bottle_empty,
    Why.NO_BOTTLE: _plain("There is no bottle of {product} on the shelf. Scan or enter the one in your hand."),
    Why.NO_SUCH_BOTTLE: _plain("There is no bottle {bottle} on the shelf."),
    Why.BOTTLE_GONE: _plain("Bottle {bottle} left the shelf at {gone_at}: {reason}. Put it back first."),
    Why.BOTTLE_NOT_GONE: _plain("Bottle {bottle} stands on the shelf already."),
    Why.BAD_AMOUNT: _bad_amount,
    Why.NOT_WEIGHABLE: _plain(
        "{product} does not say its density and the weight of its empty bottle. Tell how much is left instead."
    ),
    Why.BAD_BOTTLE_DATE: _plain("That date cannot be for bottle {bottle}: it is missing, or has yet to come."),
    Why.RIPENS_UNREAD: _plain(
        "{zone}: {step} waits as long as the air makes it, and the air has not been read. "
        "Read it; from then on the wait counts."
    ),
    Why.RIPENS_OUTSIDE: _ripens_outside,
    Why.IMPOSSIBLE_AIR: _impossible_air,
    Why.IMPOSSIBLE_READING_TIME: _plain(
        "The air cannot have been read at {read_at}; a time from {earliest} to {latest} is possible."
    ),
    Why.NO_SUCH_READING: _plain(
        "No reading of the air was recorded at {corrects}, or it was withdrawn; there is nothing to correct."
    ),
    Why.NO_SUCH_JOB: _plain("There is no job {job!r} in this bay."),
    Why.NO_ZONE: _plain("No zone that is worked in this job was named. Name at least one."),
    Why.NO_REASON: _plain("No reason was given. Say why, then it can be done; the day record tells it."),
    Why.NO_SUCH_ZONE: _plain("{zone!r} is not worked in this job."),
    Why.NO_SUCH_STEP: _plain("{zone} has no step {step!r} on its ladder."),
    Why.NO_SUCH_PERSON: lambda t: _("{by!r} is not in this job's crew ({crew}).").format(
        by=t.facts["by"], crew=", ".join(map(str, t.facts["crew"] if isinstance(t.facts["crew"], tuple) else ()))
    ),
    Why.JOB_CLOSED: _plain("This job was closed at {closed_at}."),
    Why.TIME_RAN_BACK: _plain(
        "The time given lies before the last entry of {last_at}. The record only goes forward; check the clock."
    ),
    Why.TIME_UNSURE: _time_unsure,
    Why.IMPOSSIBLE_TIME: _plain(
        "{zone}: {step} cannot have been at {becomes}; what came before and after it does not allow that."
    ),
    Why.STEP_DONE: _plain("{zone}: {step} is done already. Undo it to do it again."),
    Why.ALL_DONE: _plain("{zone} is finished; nothing is left to do on it."),
}
