"""The page of the clock: how long the machine was off, what time it is, and what is known of that."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from enum import StrEnum

from bayapp.bay import Bay
from bayapp.job import BayState
from bayapp.job.model.ids import Person
from bayapp.job.state.machine_time import MachineTime, Outage
from bayapp.job.state.requests import SayTime
from bayapp.text.days import day_of_week, day_text, long_date, same_day
from bayapp.text.figures import clock_time, length_text
from bayapp.text.language import _

CLOCKS_AGREE = timedelta(seconds=2)
WORTH_PUTTING_RIGHT = timedelta(seconds=10)
"""By how much the board must differ from a clock that a time service sets before anybody is told."""
MOST_BLAMED = 2
MINUTE = timedelta(minutes=1)


class ClockNotice(StrEnum):
    """The kinds of notice about the clock on the strip."""

    QUESTION = "question"
    WRONG = "wrong"
    UNSURE = "unsure"
    JUMPED = "jumped"
    TIME_ZONE = "time-zone"


class ClockTouch(StrEnum):
    """What a button of the page does: says a time, lets one be typed, or asks why the board's was wrong."""

    SAY = "say"
    TYPE_TIME = "type-time"
    TYPE_DAY = "type-day"
    SAY_WHY = "say-why"


@dataclass(frozen=True, slots=True)
class ClockChoice:
    """One answer as a button.

    Attributes:
        ahead: how far from the board's time what it says is; None where it says no time.
        by_machine: that is read off the machine's clock, and must still be so when it is touched.
        said: what is said, but for the time.
    """

    touch: ClockTouch
    title: str
    detail: str = ""
    ahead: timedelta | None = None
    by_machine: bool = False
    said: SayTime | None = None

    def request(self, at: datetime, by: Person | None) -> SayTime:
        """Return what is said by this button at a moment of the board."""
        assert self.said, "only a button that says something is a request"
        is_now = None if self.ahead is None else at + self.ahead
        return SayTime(self.said.answer, is_now, self.said.wrong, by)


@dataclass(frozen=True, slots=True)
class ClockPage:
    """What the page says, and the answers where it asks."""

    title: str
    subtitle: str
    sentences: tuple[str, ...]
    choices: tuple[ClockChoice, ...] = ()


def clock_notice(state: BayState, at: datetime, tz: tzinfo) -> ClockNotice | None:
    """Return the notice about the machine's clock at a moment of the board, or None."""
    known = state.machine
    if known.asked:
        return ClockNotice.QUESTION
    if state.open_jobs and known.behind is not None and abs(known.behind) >= WORTH_PUTTING_RIGHT:
        return ClockNotice.WRONG
    if any(job.opened_at <= moment for job in state.open_jobs for moment in known.unsure_since):
        return ClockNotice.UNSURE
    if any(same_day(step.at, at, tz) for step in state.clock_steps):
        return ClockNotice.JUMPED
    return ClockNotice.TIME_ZONE if any(same_day(c.at, at, tz) for c in state.time_zone_changes) else None


def notice_words(notice: ClockNotice) -> str:
    """Return the words of the strip's button."""
    return {
        ClockNotice.QUESTION: _("Is the clock right?"),
        ClockNotice.WRONG: _("put clock right?"),
        ClockNotice.UNSURE: _("time not certain"),
        ClockNotice.JUMPED: _("clock jumped"),
        ClockNotice.TIME_ZONE: _("time zone changed"),
    }[notice]


def time_and_day(moment: datetime, tz: tzinfo, beside: datetime) -> str:
    """Return the time of day, with its day where that is another than of ``beside``, and its year where that is."""
    said, day, other = clock_time(moment, tz, seconds=False), _day(moment, tz), _day(beside, tz)
    if day == other:
        return said
    return f"{day_of_week(day) if day.year == other.year else day_text(day)}, {said}"


def clock_page(bay: Bay, tz: tzinfo) -> ClockPage:
    """Return the page: the question where there is one, else what is known and what can be put right."""
    return _question(bay, tz) if bay.clock_watch.unsure else _report(bay, tz)


def still_so(bay: Bay, choice: ClockChoice) -> bool:
    """Whether the machine's clock still says what it said when this button was shown."""
    if not choice.by_machine or choice.ahead is None:
        return True
    return abs(bay.clock_watch.by_machine() - bay.now() - choice.ahead) <= CLOCKS_AGREE


def _question(bay: Bay, tz: tzinfo) -> ClockPage:
    at, machine, asked = bay.now(), bay.clock_watch.by_machine(), bay.state.machine.asked
    since, ahead = asked[0].since, machine - at
    at_least = sum((outage.until - outage.since for outage in asked), timedelta())
    now = time_and_day(machine, tz, since)
    unknown = ClockChoice(
        ClockTouch.SAY,
        _("I don't know"),
        _("waits stand still, windows are over; the time may be any later"),
        said=SayTime("unknown"),
    )
    if ahead < -CLOCKS_AGREE:
        words = _(
            "By this machine's clock it is {now}. That cannot be: the board still ran at {then}. "
            "How long it was off cannot be told from it."
        )
        other = ClockChoice(ClockTouch.TYPE_TIME, _("It is …"), _("type the time, and the day"))
        return ClockPage(
            _("What time is it?"),
            _("Nothing that hangs on time is accepted before the answer; look around as you like."),
            (words.format(now=now, then=clock_time(since, tz, seconds=False)),),
            (other, unknown),
        )
    off = length_text(ahead + at_least)
    words = _("By this machine's clock it was off for {off}, from {then} on. Is that so? It is {now}.")
    yes = ClockChoice(
        ClockTouch.SAY,
        _("Yes, it is {now}").format(now=now),
        _("it was off for {off}").format(off=off),
        ahead,
        by_machine=True,
        said=SayTime("machine"),
    )
    other = ClockChoice(ClockTouch.TYPE_TIME, _("No, it is …"), _("type the time, and the day"))
    return ClockPage(
        _("Is the clock right?"),
        _("Nothing that hangs on time is accepted before the answer; look around as you like."),
        (words.format(off=off, then=time_and_day(since, tz, machine), now=now),),
        (yes, other, unknown),
    )


def _report(bay: Bay, tz: tzinfo) -> ClockPage:
    at, known = bay.now(), bay.state.machine
    says = _("The board says {time}, {day}.").format(time=clock_time(at, tz), day=long_date(_day(at, tz)))
    choices: list[ClockChoice] = []
    behind = known.behind
    if behind is not None and bay.clock_watch.by_service and abs(behind) >= WORTH_PUTTING_RIGHT:
        right = time_and_day(at + behind, tz, at)
        certain = known.lost is not None or not known.blamable
        choices.append(
            ClockChoice(
                ClockTouch.SAY if certain else ClockTouch.SAY_WHY,
                _("Put right: {time}").format(time=right),
                _behind_words(behind),
                behind,
                by_machine=True,
                said=SayTime("service"),
            )
        )
    choices.append(ClockChoice(ClockTouch.TYPE_TIME, _("It is another time …"), _("type the time, and the day")))
    return ClockPage(_("The time"), says, tuple(_told(bay, tz)), tuple(choices))


def _told(bay: Bay, tz: tzinfo) -> list[str]:
    """Return what there is to say of the clock, the most pressing first."""
    state, at = bay.state, bay.now()
    known, found = state.machine, list[str]()
    notice = clock_notice(state, at, tz)
    if notice is ClockNotice.WRONG and known.behind is not None:
        words = _("A time service sets this machine's clock by now. {behind}.")
        found.append(words.format(behind=_capital(_behind_words(known.behind))))
    found += [_outage_words(outage, at, tz) for outage in reversed(_shown_outages(known))]
    if any(same_day(step.at, at, tz) for step in state.clock_steps):
        found.append(
            _("This machine's clock was moved; running waits were not. They are counted by time that really passed.")
        )
    changes = [change for change in state.time_zone_changes if same_day(change.at, at, tz)]
    if changes:
        words = _("This machine's time zone was {was} and is now {becomes}. Times are shown in it; no wait moved.")
        found.append(words.format(was=changes[-1].was, becomes=changes[-1].becomes))
    return found or [_("If the board's time is wrong, put it right here: no running wait gets shorter by that.")]


def _shown_outages(known: MachineTime) -> tuple[Outage, ...]:
    began = known.began
    later = [outage for outage in known.outages if began is None or outage.until > began]
    return tuple(later[-MOST_BLAMED:])


def _outage_words(outage: Outage, at: datetime, tz: tzinfo) -> str:
    if outage.length == "unsure":
        words = _(
            "The machine was off from {then} on; nobody knows for how long: minutes, or days. "
            "Waits were counted as if no time had passed, windows as if all had. "
            "The board's time may be behind by as much; say what time it is as soon as you know."
        )
    elif outage.length == "measured":
        words = _("The machine was off from {then} on for {off}; a time service measured that.")
    else:
        words = _("The machine was off from {then} on for {off}, as a person said.")
    then = time_and_day(outage.since, tz, at)
    return words.format(then=then, off=length_text(outage.until - outage.since))


def _behind_words(behind: timedelta) -> str:
    words = _("the board is {by} behind") if behind > timedelta() else _("the board is {by} ahead")
    return words.format(by=length_text(abs(behind)))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# A time that was typed.


def meant(bay: Bay, typed: time, tz: tzinfo, day: date | None = None) -> datetime:
    """Return which moment a person means by a time of day: the first since the machine was off, else the nearest."""
    at = bay.now()
    if day is not None:
        return datetime.combine(day, typed, tz)
    near = [datetime.combine(_day(at, tz) + timedelta(days=n), typed, tz) for n in (-1, 0, 1)]
    if bay.clock_watch.unsure:
        return next(moment for moment in near if moment > at - MINUTE)
    return min(near, key=lambda moment: abs(moment - at))


def typed_page(bay: Bay, ahead: timedelta, tz: tzinfo) -> ClockPage:
    """Return the page that says what a time that was typed comes to, so far from the board's, and takes it."""
    at = bay.now()
    becomes = at + ahead
    said = _("It is {time}").format(time=clock_time(becomes, tz, seconds=False))
    day = ClockChoice(ClockTouch.TYPE_DAY, _("Another day …"), _("type the day"))
    takes = _of_question(bay, ahead, said, tz) if bay.clock_watch.unsure else _of_correction(bay, ahead, tz)
    sentences = (_("{time}, {day}").format(time=said, day=long_date(_day(becomes, tz))),)
    return ClockPage(_("What that comes to"), _("Is that right?"), sentences, (*takes, day))


def _of_question(bay: Bay, ahead: timedelta, said: str, tz: tzinfo) -> tuple[ClockChoice, ...]:
    asked = bay.state.machine.asked
    off = length_text(ahead + sum((outage.until - outage.since for outage in asked), timedelta()))
    then = time_and_day(asked[0].since, tz, bay.now())
    if ahead < -MINUTE:
        detail = _("before the board last ran: {then}").format(then=then)
    else:
        detail = _("it was off for {off}, from {then} on").format(off=off, then=then)
    return (ClockChoice(ClockTouch.SAY, said, detail, ahead, said=SayTime("time")),)


def _of_correction(bay: Bay, ahead: timedelta, tz: tzinfo) -> tuple[ClockChoice, ...]:
    """Return what can have made the board's time wrong: an outage of another length, or that it was so all along."""
    at, known = bay.now(), bay.state.machine
    choices = [
        ClockChoice(
            ClockTouch.SAY,
            _("It was off for {off}").format(off=length_text(outage.until - outage.since + ahead)),
            _("from {then} on, not for {was}").format(
                then=time_and_day(outage.since, tz, at), was=length_text(outage.until - outage.since)
            ),
            ahead,
            said=SayTime("time", wrong=outage.until),
        )
        for outage in known.blamable[-MOST_BLAMED:]
        if ahead >= -outage.slack
    ]
    choices.append(
        ClockChoice(
            ClockTouch.SAY,
            _("Wrong all along"),
            _("{behind}; no wait changes").format(behind=_behind_words(ahead)),
            ahead,
            said=SayTime("time", wrong="all-along"),
        )
    )
    if known.blamable:
        unknown = _("no wait is shorter, windows are over")
        choices.append(ClockChoice(ClockTouch.SAY, _("I don't know why"), unknown, ahead, said=SayTime("time")))
    return tuple(choices)


def _day(moment: datetime, tz: tzinfo) -> date:
    return moment.astimezone(tz).date()
