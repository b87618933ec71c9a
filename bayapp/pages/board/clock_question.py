"""The notice that the machine's clock was moved, and the question which time is right if that cannot be known."""

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum

from bayapp.bay import Bay
from bayapp.job import BayState
from bayapp.text.days import same_day
from bayapp.text.figures import clock_time, day_of_month
from bayapp.text.language import _

CLOCKS_AGREE = timedelta(seconds=2)


class ClockNotice(StrEnum):
    """The kinds of notice about the clock on the strip."""

    QUESTION = "question"
    JUMPED = "jumped"
    TIME_ZONE = "time-zone"


class ClockAnswer(StrEnum):
    """What a person can answer about the time shown."""

    RIGHT = "right"
    MACHINE = "machine"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class ClockChoice:
    """One answer as a button; ``ahead`` is how far the machine's clock was ahead of the board's when it was shown."""

    answer: ClockAnswer
    ahead: timedelta
    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class ClockPage:
    """What the page says, and the answers where it asks."""

    title: str
    subtitle: str
    sentence: str
    choices: tuple[ClockChoice, ...] = ()


def clock_notice(state: BayState, unsure: bool, at: datetime, tz: tzinfo) -> ClockNotice | None:
    """Return the notice about the machine's clock for today; ``unsure``: a person must say what time it is."""
    if unsure:
        return ClockNotice.QUESTION
    if any(same_day(step.at, at, tz) for step in state.clock_steps):
        return ClockNotice.JUMPED
    return ClockNotice.TIME_ZONE if any(same_day(c.at, at, tz) for c in state.time_zone_changes) else None


def clock_notice_now(bay: Bay, tz: tzinfo) -> ClockNotice | None:
    """Return the notice about the machine's clock at this moment."""
    return clock_notice(bay.state, bay.clock_watch.unsure, bay.now(), tz)


def notice_words(notice: ClockNotice) -> str:
    """Return the words of the strip's button."""
    return {
        ClockNotice.QUESTION: _("Is the clock right?"),
        ClockNotice.JUMPED: _("clock jumped"),
        ClockNotice.TIME_ZONE: _("time zone changed"),
    }[notice]


def clock_page(bay: Bay, notice: ClockNotice | None, tz: tzinfo) -> ClockPage:
    """Return the page for a notice; a question answered in the meantime becomes the report of a jump."""
    at = bay.now()
    says = _("The board says {time}.").format(time=clock_time(at, tz))
    changes = bay.state.time_zone_changes
    if notice is ClockNotice.TIME_ZONE and changes:
        sentence = _("This machine's time zone was {was} and is now {becomes}. Times are shown in it; no wait moved.")
        sentence = sentence.format(was=changes[-1].was, becomes=changes[-1].becomes)
        return ClockPage(_("The time zone changed"), says, sentence)
    if not bay.clock_watch.unsure:
        sentence = _(
            "This machine's clock was moved; running waits were not. They are counted by time that really passed."
        )
        return ClockPage(_("The clock jumped"), says, sentence)
    return ClockPage(
        _("Is the clock right?"),
        _("No step is accepted until this is answered."),
        _("The machine was off and its clock now lies before the last entry. How long it was off cannot be known."),
        _choices(at, bay.clock_watch.wall_time(), tz),
    )


def still_so(bay: Bay, choice: ClockChoice) -> bool:
    """Whether the machine's clock still says what it said when this answer was shown."""
    return abs(bay.clock_watch.wall_time() - bay.now() - choice.ahead) <= CLOCKS_AGREE


def _choices(at: datetime, machine: datetime, tz: tzinfo) -> tuple[ClockChoice, ...]:
    ahead = machine - at
    right = _("{time} is right").format(time=clock_time(at, tz))
    by_machine = _("{time} is right").format(time=f"{day_of_month(machine, tz)} {clock_time(machine, tz)}")
    later = _("set the clock of this machine, then come back to this page")
    asked = (ClockChoice(ClockAnswer.MACHINE, ahead, by_machine, _("as this machine's clock says by now")),)
    return (
        ClockChoice(ClockAnswer.RIGHT, ahead, right, _("go on from here")),
        *(asked if ahead > CLOCKS_AGREE else ()),
        ClockChoice(ClockAnswer.LATER, ahead, _("It is wrong"), later),
    )
