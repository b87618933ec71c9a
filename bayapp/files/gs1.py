"""Reads a scanned GS1 label: product number, batch, expiry, and other possible readings.

A scan is untrusted text like a file that a person wrote, and is checked in the same way, with a reason if it is
refused. biip parses the element strings; the faults that it accepts are caught here.

No other module knows biip. The century comes from the day that is passed in.
"""

import calendar
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, time, timedelta
from enum import StrEnum
from typing import Any

from bayapp.text.language import _
from bayapp.text.readable import quoted

GS = "\x1d"
LONGEST = 600
FAR = timedelta(days=3_653)
"""Ten years: no bottle lives longer (common practice, no source), so a date beyond is a slip or a wrong century."""
_SPELLED_GS = re.compile(r"<GS>|\{GS\}|␝", re.IGNORECASE)
_SYMBOLOGY = re.compile(r"^\]([A-Za-z][0-9A-Za-z])")
_OF_GS1 = frozenset({"C1", "e0", "d2", "Q3", "J1"})  # ISO/IEC 15424: GS1-128, DataBar, DataMatrix, QR, DotCode
_OF_EAN = frozenset({"E0", "E4", "I0", "I1"})  # EAN-13 and UPC, EAN-8, ITF-14
_BARE = frozenset({8, 12, 13, 14})
# GS1 General Specifications, 7.11: the 82 characters that a batch may have.
_CHARACTERS = frozenset("!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz")
BATCH, EXPIRY, BEST_BEFORE, EXPIRY_TIME, NUMBER = "10", "17", "15", "7003", "01"


class Doubt(StrEnum):
    """Why a person must compare the reading with the label."""

    LOST_SEPARATOR = "lost-separator"
    TWO_BATCHES = "two-batches"
    TWO_DATES = "two-dates"
    NO_NUMBER = "no-number"
    NO_BATCH = "no-batch"
    NO_EXPIRY = "no-expiry"
    BEST_BEFORE = "best-before"
    FAR_DATE = "far-date"


class BadScan(ValueError):  # noqa: N818 - named for what the person reads
    """The scan cannot be used; scan again, or type what the label says."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read a label: the batch, and until when it is good, in local time if the label gives a time."""

    batch: str = ""
    expires_on: date | None = None
    expires_time: time | None = None


@dataclass(frozen=True, slots=True)
class Scan:
    """What was scanned.

    Attributes:
        gtin: the product's number with 14 digits, its check digit right; None where none was read.
        readings: what the label may say, the likeliest first; several if a separator may have been lost.
        doubts: what a person must check; a scan without any is still shown before it is accepted.
    """

    text: str
    gtin: str | None
    readings: tuple[Reading, ...]
    doubts: tuple[Doubt, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether it is complete and has only one reading."""
        return not self.doubts


def read_scan(typed: str, today: date) -> Scan:
    """Return what a scanner typed.

    Args:
        today: the shop's day; it decides which century two digits of a year mean.

    Raises:
        BadScan: it is no label of this kind, a check digit is wrong, or a date does not exist; says what to do.
    """
    text = _SPELLED_GS.sub(GS, typed.strip("\r\n\t "))
    if not text:
        raise BadScan(_("Nothing was scanned. Scan again, or type what the label says."))
    if len(text) > LONGEST:
        raise BadScan(_("That is too long for a label of a bottle. Scan again, or type what the label says."))
    text, symbology = _without_symbology(text)
    if re.match(r"https?://", text, re.IGNORECASE):
        return _read(typed, _of_link(text), today, in_row=False)
    if symbology not in _OF_GS1 and text.isascii() and text.isdigit() and len(text) in _BARE:
        return _bare(typed, text, today)
    strange = [c for c in text if c not in _CHARACTERS and c != GS]
    if strange:
        raise BadScan(
            _(
                "{character} stands on no such label. Scan again; where it comes back, set the scanner to the "
                "keyboard of this machine."
            ).format(character=quoted(strange[0]))
        )
    return _read(typed, _elements(text.strip(GS)), today, in_row=True)


@dataclass(frozen=True, slots=True)
class _Element:
    """One element string: its AI, its value, and whether more follows it without the separator that it needs."""

    ai: str
    value: str
    trouble: str = ""
    run_on: bool = False


def _without_symbology(text: str) -> tuple[str, str]:
    found = _SYMBOLOGY.match(text)
    if not found:
        return text, ""
    kind = found[1]
    known = _OF_GS1 | _OF_EAN | {"d1", "Q1", "Q0"}  # the last three may hold a web address
    if kind not in known:
        raise BadScan(_("That code is none of a product's label. Scan the one beside the batch, or type it."))
    return text[3:], kind


def _bare(typed: str, text: str, today: date) -> Scan:
    """Read a bare product number, or an element string that happens to be just as long."""
    try:
        return Scan(typed, _bare_number(text), (Reading(),), (Doubt.NO_BATCH, Doubt.NO_EXPIRY))
    except BadScan:
        with suppress(BadScan):
            elements = _elements(text)
            if elements[0].ai in (EXPIRY, EXPIRY_TIME):
                return _read(typed, elements, today, in_row=True)
        raise


def _bare_number(text: str) -> str:
    from biip import ParseError  # noqa: PLC0415 (an eighth of a second, that only who scans should wait for)
    from biip.gtin import Gtin  # noqa: PLC0415 (see above)

    try:
        return str(Gtin.parse(text).as_gtin_14())
    except ParseError as error:
        raise BadScan(_("The check digit of {number} is wrong. Scan again.").format(number=text)) from error


def _elements(text: str) -> tuple[_Element, ...]:
    from biip import ParseConfig, ParseError  # noqa: PLC0415 (see _bare_number)
    from biip.gs1_messages import GS1Message  # noqa: PLC0415 (see _bare_number)

    # biip asks the machine which year it is; dates are worked out here from the day that is passed in.
    config = ParseConfig(gs1_element_strings_verify_date=False)
    try:
        message = GS1Message.parse(text, config=config)
    except (ParseError, ValueError) as error:
        raise BadScan(_("That is no label with batch and expiry. Scan again, or type what it says.")) from error
    if not message.element_strings:
        raise BadScan(_("Nothing was scanned. Scan again, or type what the label says."))
    return tuple(_in_row(message.element_strings, text))


def _in_row(elements: Any, text: str) -> Iterator[_Element]:
    """Yield the elements, and whether one that needs a separator runs straight into the next."""
    place = 0
    for element in elements:
        place += len(element.ai.ai) + len(element.value)
        follows = text[place : place + 1]
        run_on = bool(element.ai.separator_required and follows and follows != GS)
        while text[place : place + 1] == GS:
            place += 1
        yield _Element(element.ai.ai, element.value, element.gtin_error or "", run_on)


def _of_link(text: str) -> tuple[_Element, ...]:
    from biip import ParseConfig, ParseError  # noqa: PLC0415 (see _bare_number)
    from biip.gs1_digital_link_uris import GS1DigitalLinkURI  # noqa: PLC0415 (see _bare_number)

    config = ParseConfig(gs1_element_strings_verify_date=False)
    try:
        link = GS1DigitalLinkURI.parse(text, config=config)
    except (ParseError, ValueError) as error:
        raise BadScan(_("That web address does not name a product. Scan the code beside the batch.")) from error
    return tuple(_Element(e.ai.ai, e.value, e.gtin_error or "") for e in link.element_strings)


def _read(typed: str, elements: tuple[_Element, ...], today: date, in_row: bool) -> Scan:
    if not any(e.ai in (NUMBER, BATCH, EXPIRY, BEST_BEFORE, EXPIRY_TIME) for e in elements):
        raise BadScan(_("That label tells no product, batch or expiry. Scan the one beside the batch, or type it."))
    doubts: dict[Doubt, None] = {}
    gtin = _number_in(elements)
    dates = tuple(_dates(elements, today, doubts))
    batches = tuple(dict.fromkeys(e.value for e in elements if e.ai == BATCH))
    if any(c not in _CHARACTERS for batch in batches for c in batch):
        raise BadScan(_("The batch has a character that stands on no such label. Type what the label says."))
    if any(e.run_on for e in elements):
        doubts[Doubt.LOST_SEPARATOR] = None
    for doubt, found in (
        (Doubt.NO_NUMBER, gtin is None),
        (Doubt.NO_BATCH, not batches),
        (Doubt.TWO_BATCHES, len(batches) > 1),
        (Doubt.NO_EXPIRY, not dates),
        (Doubt.TWO_DATES, len(dates) > 1),
        (Doubt.FAR_DATE, any(abs(when.expires_on - today) > FAR for when in dates if when.expires_on)),
    ):
        if found:
            doubts[doubt] = None
    readings = [
        Reading(batch, when.expires_on, when.expires_time)
        for batch in batches or ("",)
        for when in dates or (Reading(),)
    ]
    if in_row:
        otherwise = [r for reading in readings for r in _with_separator(reading, today)]
        if otherwise:
            doubts[Doubt.LOST_SEPARATOR] = None
        otherwise.sort(key=lambda reading: reading.expires_on is None)  # what tells a date besides is the likelier
        readings += [r for r in otherwise if r not in readings]
    return Scan(typed, gtin, tuple(readings), tuple(doubts))


def _number_in(elements: tuple[_Element, ...]) -> str | None:
    numbers = {e.value for e in elements if e.ai == NUMBER}
    wrong = [e for e in elements if e.ai == NUMBER and e.trouble]
    if wrong:
        raise BadScan(_("The check digit of {number} is wrong. Scan again.").format(number=wrong[0].value))
    if len(numbers) > 1:
        raise BadScan(_("That label names two products. Scan the one on the bottle itself."))
    return next(iter(numbers), None)


def _dates(elements: tuple[_Element, ...], today: date, doubts: dict[Doubt, None]) -> Iterator[Reading]:
    """Yield the different expiry dates, each as a reading without a batch."""
    found = [e for e in elements if e.ai in (EXPIRY, EXPIRY_TIME)]
    if not found:
        found = [e for e in elements if e.ai == BEST_BEFORE]
        if found:
            doubts[Doubt.BEST_BEFORE] = None
    yield from dict.fromkeys(_date_of(e, today) for e in found)


def _date_of(element: _Element, today: date) -> Reading:
    digits = element.value
    year, month, day = _year(int(digits[:2]), today), int(digits[2:4]), int(digits[4:6])
    try:
        day = day or calendar.monthrange(year, month)[1]  # day 00 is the last of the month
        return Reading("", date(year, month, day), _time_of(digits[6:10]))
    except (ValueError, calendar.IllegalMonthError) as error:
        written = f"{digits[:2]}-{digits[2:4]}-{digits[4:6]}"
        raise BadScan(
            _("There is no day {day} in the calendar. Scan again, or type it.").format(day=written)
        ) from error


def _time_of(digits: str) -> time | None:
    """Return the time of day; 99 for hour and minute means none."""
    if not digits or digits == "9999":
        return None
    return time(int(digits[:2]), int(digits[2:]) if digits[2:] != "99" else 0)


def _year(two_digits: int, today: date) -> int:
    """Return the year by GS1 General Specifications 7.12, relative to the day passed in."""
    apart = two_digits - today.year % 100
    century = today.year - today.year % 100
    if 51 <= apart <= 99:
        century -= 100
    elif -99 <= apart <= -50:
        century += 100
    return century + two_digits


def _with_separator(reading: Reading, today: date) -> Iterator[Reading]:
    """Yield the readings of a batch that may have lost a separator: what follows it is not part of the batch."""
    for cut in range(1, len(reading.batch) - 2):
        try:
            behind = _elements(reading.batch[cut:])
            if any(e.trouble for e in behind):
                continue
            dates = tuple(_dates(behind, today, {}))
        except BadScan:
            continue
        when = dates[0] if dates else reading
        yield Reading(reading.batch[:cut], when.expires_on, when.expires_time)
