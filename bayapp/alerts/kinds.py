"""The table of alerts: one row for each kind says all that differs between kinds.

The sound process loads this module: it imports nothing from outside of ``bayapp.alerts``, and no numpy.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from bayapp.alerts.notes import A5, B5, D5, D6, E5, F_SHARP5, Tune, note
from bayapp.alerts.repeats import GOOD_NEWS, Repeat, until_answered


def later(sentence: str) -> str:
    """Mark a sentence for the catalogue; whoever shows it looks it up (``text/language.py`` is not loaded here)."""
    return sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertRow:
    """What is special about one kind of alert.

    Attributes:
        priority: the greater is called first. Closing ranks above lapsed: what can still be saved comes before what is
            already lost (priority from consequence and time left to act, as in IEC 62682; from memory).
        shown_as: the urgency whose colour and sign it has on the board.
        tune: its tone. Every kind has a rhythm of its own as well as a pitch, no faster than the four strokes a second
            that ISO 7731 prefers (from memory). None is three equal pulses (the evacuation signal of ISO 8201) or four
            short ones (the gas signal T-4).
        repeat: how loudly and how often it is called until somebody answers.
        stage: how far a wait has come, counted from 1; 0 for what is no stage of a wait.
        sentence: what is shown and spoken; empty where whoever raises it brings the words.
        withdrawn: what is said instead when an air reading has made it untrue; empty where none can.
        hurries_before_lapse: whether it is called at full pace again when the lapse is near.
    """

    priority: int
    shown_as: Literal["open", "closing", "lapsed", "finished"]
    tune: Tune
    repeat: Repeat
    stage: int = 0
    sentence: str = ""
    withdrawn: str = ""
    hurries_before_lapse: bool = False


class AlertKind(StrEnum):
    """Why the screen calls. The sound check plays the kinds in this order."""

    row: AlertRow

    def __new__(cls, name: str, row: AlertRow) -> "AlertKind":
        """Make a member whose value is its name alone, as journals and the sound process know it."""
        kind = str.__new__(cls, name)
        kind._value_ = name
        kind.row = row
        return kind

    @classmethod
    def named(cls, name: str) -> "AlertKind":
        """Return the kind of this name, such as "opened"; a KeyError where there is none."""
        return cls[name.upper()]

    OPENED = (
        "opened",
        AlertRow(
            priority=3,
            stage=1,
            sentence=later("{zones}, {step} is ready"),
            withdrawn=later("{zones}, {step} is not ready after all"),
            shown_as="open",
            repeat=until_answered(first_s=60, floor_s=30, level=0.5),
            # short-long, a rising fifth: come, it is ready
            tune=(note(0.18, 0.08, D5), note(0.60, 0.0, A5)),
        ),
    )
    CLOSING = (
        "closing",
        AlertRow(
            priority=6,
            stage=2,
            sentence=later("{zones}, {step} closes soon"),
            withdrawn=later("{zones}, {step} is not ready after all"),
            shown_as="closing",
            repeat=until_answered(first_s=20, floor_s=10, level=0.7),
            hurries_before_lapse=True,
            # three and two quick strokes, the second group higher: hurry
            tune=(
                *(note(0.14, 0.11, A5), note(0.14, 0.11, A5), note(0.14, 0.26, A5)),
                *(note(0.14, 0.11, D6), note(0.26, 0.0, D6)),
            ),
        ),
    )
    LAPSED = (
        "lapsed",
        AlertRow(
            priority=5,
            stage=3,
            sentence=later("{zones}, {step} is too late"),
            withdrawn=later("{zones}, {step} is not too late after all"),
            shown_as="lapsed",
            repeat=until_answered(first_s=30, floor_s=15, level=0.7),
            # two long chords, falling: too late
            tune=(note(0.50, 0.14, B5, F_SHARP5), note(0.66, 0.0, E5, B5)),
        ),
    )
    CURED = (
        "cured",
        AlertRow(
            priority=1,
            sentence=later("{zones}: may get wet"),
            shown_as="finished",
            repeat=GOOD_NEWS,
            # one long bell: rest, it may get wet
            tune=(note(1.10, 0.0, D5, A5),),
        ),
    )
    HANDOVER = (
        "handover",
        AlertRow(
            priority=2,
            sentence=later("{title} may be handed over"),
            shown_as="finished",
            repeat=GOOD_NEWS,
            # short-short-long up the triad: done, hand the keys over
            tune=(note(0.16, 0.09, D5), note(0.16, 0.09, F_SHARP5), note(0.80, 0.0, A5, D6)),
        ),
    )
    ATTENTION = (
        "attention",
        AlertRow(
            priority=4,
            shown_as="lapsed",
            repeat=until_answered(first_s=45, floor_s=20, level=0.6),
            # two equal knocks on one pitch: look here
            tune=(note(0.14, 0.16, F_SHARP5), note(0.14, 0.0, F_SHARP5)),
        ),
    )
