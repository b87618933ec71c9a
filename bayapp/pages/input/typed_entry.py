"""A value typed with a glove: an amount, a weight, a day, a batch, a plate, a mileage, a name."""

import calendar
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, time
from enum import StrEnum

from bayapp.job.model.identity import MOST_MILEAGE, MOST_SIGNS, fault_in_plate, signs_in, tidied
from bayapp.text.days import day_text, long_date
from bayapp.text.figures import typed_volume, volume_unit
from bayapp.text.language import _
from bayapp.text.readable import fault_in

ERASE, SHIFT, POINT, SPACE = "erase", "shift", ".", " "
NUMBERS = ("789", "456", "123", "0.")
DIGITS = ("789", "456", "123", "0")
LETTERS = ("ABCDEFG", "HIJKLMN", "OPQRSTU", "VWXYZ")
SIGNS = ("12345", "67890", "-/._")
PLATE = ("ABCDEFGH", "IJKLMNOP", "QRSTUVWX", "YZ-. ")
PLATE_FIGURES = ("12345", "67890", "-. ")
SENTENCE = ("ABCDEFG", "HIJKLMN", "OPQRSTU", "VWXYZ ")
SENTENCE_SIGNS = ("12345", "67890", ".,:-/+", "?!()% ")
LONGEST = 20
LONGEST_NOTE = 80
MOST_FIGURES = 5
DATE_FIGURES = 8
TIME_FIGURES = 4


class Kind(StrEnum):
    """What is typed; of a ``DAY`` the month is enough, and it means its end, as on a label.

    A ``PLATE`` is typed as it stands on the car; so is the name of a key hook.
    """

    ML = "ml"
    GRAMS = "grams"
    DAY = "day"
    DATE = "date"
    TIME = "time"
    BATCH = "batch"
    NAME = "name"
    NOTE = "note"
    NUMBER = "number"
    PLATE = "plate"
    MILEAGE = "mileage"


DAYS = (Kind.DAY, Kind.DATE)
AMOUNTS = (Kind.ML, Kind.GRAMS, Kind.NUMBER, Kind.MILEAGE)


@dataclass(frozen=True, slots=True)
class TypingView:
    """All that the page shows; ``keys`` row by row, ``shift`` the words on the key that swaps letters and digits."""

    title: str
    subtitle: str
    shown: str
    unit: str
    keys: tuple[str, ...]
    shift: str
    trouble: str
    note: str
    untouched: bool = False


@dataclass(frozen=True, slots=True)
class Typing:
    """What has been typed so far.

    Attributes:
        unit: what a plain number is counted in.
        check: returns what is wrong with a number while it is typed, or empty. It gets None if nothing is typed, which
            is accepted if ``may_be_empty``; so is an empty plate or note.
        untouched: the text is the old value, which the first key replaces.
    """

    kind: Kind
    title: str
    subtitle: str = ""
    text: str = ""
    letters: bool = True
    unit: str = ""
    check: Callable[[float | None], str] | None = None
    may_be_empty: bool = False
    untouched: bool = False

    def opened_with(self, old: float | str | date | None) -> "Typing":
        """Return the entry with the old value in it, in the unit that is typed; a figure is rounded to its tenth."""
        if isinstance(old, date):
            text = f"{old:%Y%m%d}"
        elif isinstance(old, float | int):
            text = f"{round(old, 1):g}" if 0 <= old < 10**MOST_FIGURES else ""
        else:
            text = old or ""
        return replace(self, text=text, untouched=bool(text))

    def press(self, key: str) -> "Typing":
        """Return the entry after a key; a key that makes no sense changes nothing."""
        if key == SHIFT:
            return replace(self, letters=not self.letters)
        if self.untouched:
            return replace(self, text=self.text[:-1] if key == ERASE else "", untouched=False)._with(key)
        return replace(self, text=self.text[:-1]) if key == ERASE else self._with(key)

    def _with(self, key: str) -> "Typing":
        if key == ERASE:
            return self
        longer = self.text + key
        return (
            replace(self, text=longer.removeprefix("0") if _is_led_by_zero(self.kind, longer) else longer)
            if (_may_be(self.kind, longer))
            else self
        )

    @property
    def number(self) -> float | None:
        """The amount; None while nothing is typed."""
        figures = any(c.isdigit() for c in self.text)
        return float(self.text) if self.kind in AMOUNTS and figures else None

    @property
    def ml(self) -> float | None:
        """The amount in millilitres, whatever unit the shop types; None while nothing is typed."""
        return None if self.number is None or self.kind is not Kind.ML else typed_volume(self.number)

    @property
    def day(self) -> date | None:
        """The day; a month alone means its last day. None while it is incomplete or does not exist."""
        lengths = {Kind.DAY: (6, DATE_FIGURES), Kind.DATE: (DATE_FIGURES,)}.get(self.kind, ())
        if len(self.text) not in lengths:
            return None
        year, month, day = int(self.text[:4]), int(self.text[4:6]), int(self.text[6:] or 0)
        try:
            return date(year, month, day or calendar.monthrange(year, month)[1])
        except (ValueError, calendar.IllegalMonthError):
            return None

    @property
    def time_of_day(self) -> time | None:
        """The time of day, hours from 0 to 23; None while it is incomplete or there is none such."""
        if self.kind is not Kind.TIME or len(self.text) < TIME_FIGURES - 1:
            return None
        hour, minute = int(self.text[:-2]), int(self.text[-2:])
        return time(hour, minute) if hour < 24 and minute < 60 else None

    @property
    def sentence(self) -> str:
        """The note as people write it: what was typed in capitals alone becomes small."""
        text = " ".join(self.text.split())
        return text.lower() if text.isupper() else text

    def trouble(self) -> str:
        """Return what is missing; empty when it can be taken."""
        if self.kind is Kind.TIME:
            return "" if self.time_of_day else _("Hours and minutes, e.g. 1405 for 14:05, or 2:05 pm.")
        if self.kind in DAYS and self.day is None:
            if len(self.text) == DATE_FIGURES:
                return _("There is no such day: write year, month, day.")
            return _("Year, month, day, e.g. 2027 12 31.")
        if self.kind is Kind.BATCH:
            return "" if self.text else _("As the label says it.")
        if self.kind is Kind.PLATE:
            return self._fault_in_plate()
        if self.kind in (Kind.NAME, Kind.NOTE):
            lacking = "" if self.may_be_empty else _("One letter at least.")
            return fault_in(self.text) if self.text.strip() else lacking
        if self.kind in DAYS or self.number is not None or self.may_be_empty:
            return self.check(self.number) if self.check else ""
        return _("Type a number.")

    def _fault_in_plate(self) -> str:
        if not self.text.strip():
            return "" if self.may_be_empty else _("One letter or figure at least.")
        return fault_in_plate(self.text)

    def view(self) -> TypingView:
        """Return the page."""
        return TypingView(
            self.title,
            self.subtitle,
            self._shown(),
            self._unit(),
            self._keys(),
            self._shift(),
            self.trouble(),
            self._note(),
            self.untouched,
        )

    def _shown(self) -> str:
        if self.kind is Kind.TIME:
            return f"{self.text[:-2]}:{self.text[-2:]}" if len(self.text) > 2 else self.text
        if self.kind not in DAYS:
            return self.text
        parts = (self.text[:4], self.text[4:6], self.text[6:])
        return "-".join(part for part in parts if part)

    def _unit(self) -> str:
        return {Kind.ML: volume_unit(), Kind.GRAMS: _("g")}.get(self.kind, self.unit)

    def _keys(self) -> tuple[str, ...]:
        if self.kind is Kind.NAME:
            return LETTERS
        if self.kind is Kind.NOTE:
            return SENTENCE if self.letters else SENTENCE_SIGNS
        if self.kind is Kind.PLATE:
            return PLATE if self.letters else PLATE_FIGURES
        if self.kind is Kind.BATCH:
            return LETTERS if self.letters else SIGNS
        return DIGITS if self.kind in (*DAYS, Kind.TIME, Kind.MILEAGE) else NUMBERS

    def _shift(self) -> str:
        if self.kind not in (Kind.BATCH, Kind.NOTE, Kind.PLATE):
            return ""
        return _("1 2 3") if self.letters else _("A B C")

    def _note(self) -> str:
        if self.kind is Kind.DATE and self.day:
            return long_date(self.day)
        return _("Good until {day}.").format(day=day_text(self.day)) if self.day else ""


def _is_led_by_zero(kind: Kind, text: str) -> bool:
    return kind in AMOUNTS and len(text) == 2 and text[0] == "0" and text[1] != POINT


def _may_be(kind: Kind, text: str) -> bool:
    if kind is Kind.NOTE:
        return len(text) <= LONGEST_NOTE and not text.startswith(SPACE)
    if kind is Kind.PLATE:
        return signs_in(tidied(text)) <= MOST_SIGNS and not text.startswith(SPACE)
    if kind in (Kind.BATCH, Kind.NAME):
        return len(text) <= LONGEST
    if kind is Kind.MILEAGE:
        return _is_figures(text) and int(text) <= MOST_MILEAGE
    if kind in (*DAYS, Kind.TIME):
        return _is_figures(text) and len(text) <= (TIME_FIGURES if kind is Kind.TIME else DATE_FIGURES)
    whole, _point, tenth = text.partition(POINT)
    short = len(whole) <= MOST_FIGURES and len(tenth) <= 1
    return short and _is_figures(whole) and (not tenth or _is_figures(tenth))


def _is_figures(text: str) -> bool:
    return text.isascii() and text.isdigit()
