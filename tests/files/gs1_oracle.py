"""A second reader of element strings, after the GS1 General Specifications and without biip; its table from memory."""

from datetime import date, timedelta
from functools import cache

GS = "\x1d"
# AI: (shortest, longest, digits only); those of one length need no separator.
TABLE: dict[str, tuple[int, int, bool]] = {
    "00": (18, 18, True), "01": (14, 14, True), "02": (14, 14, True), "03": (14, 14, True), "10": (1, 20, False),
    "20": (2, 2, True), "21": (1, 20, False), "22": (1, 20, False), "235": (1, 28, False), "240": (1, 30, False),
    "241": (1, 30, False), "242": (1, 6, True), "243": (1, 20, False), "250": (1, 30, False), "251": (1, 30, False),
    "254": (1, 20, False), "30": (1, 8, True), "37": (1, 8, True), "400": (1, 30, False), "401": (1, 30, False),
    "403": (1, 30, False), "420": (1, 20, False), "422": (3, 3, True), "90": (1, 30, False), "710": (1, 20, False),
    "711": (1, 20, False), "712": (1, 20, False), "713": (1, 20, False), "714": (1, 20, False), "715": (1, 20, False),
    "7003": (10, 10, True), "7020": (1, 20, False), "7021": (1, 20, False), "7022": (1, 20, False),
    "253": (13, 30, False), "255": (13, 25, True), "402": (17, 17, True), "421": (4, 12, False), "424": (3, 3, True),
    "425": (3, 15, True), "426": (3, 3, True), "427": (1, 3, False), "423": (3, 15, True),
    "7001": (13, 13, True), "7002": (1, 30, False), "7004": (1, 4, True), "7005": (1, 12, False),
    "7006": (6, 6, True), "7007": (6, 12, True), "7008": (1, 3, False), "7009": (1, 10, False), "7010": (1, 2, False),
    "7011": (6, 10, True), "7023": (1, 30, False), "7040": (4, 4, False), "7240": (1, 20, False),
    "7241": (2, 2, True), "8001": (14, 14, True), "8002": (1, 20, False), "8004": (1, 30, False), "8005": (6, 6, True),
    "8008": (8, 12, True), "8010": (1, 30, False), "8011": (1, 12, True), "8012": (1, 20, False),
    "8013": (1, 25, False), "8020": (1, 25, False), "8110": (1, 70, False), "8200": (1, 70, False),
    **{f"41{n}": (13, 13, True) for n in range(8)},
    **{f"703{n}": (4, 30, False) for n in range(10)},
    **{f"723{n}": (3, 30, False) for n in range(10)},
    **{f"{n}{d}": (6, 6, True) for n in range(320, 370) for d in range(6)},
    **{f"390{d}": (1, 15, True) for d in range(10)},
    **{f"392{d}": (1, 15, True) for d in range(10)},
    **{f"1{n}": (6, 6, True) for n in "123567"},
    **{f"9{n}": (1, 90, False) for n in range(1, 10)},
    **{f"{n}{d}": (6, 6, True) for n in (310, 311, 312, 313, 314, 315, 316) for d in range(6)},
}  # fmt: skip
NO_SEPARATOR = (*(f"0{n}" for n in range(5)), *(str(n) for n in (*range(11, 21), *range(31, 37), 41)))


def check_digit(digits: str) -> int:
    """Weights 3 and 1 from the right (GS1 General Specifications 7.9)."""
    return -sum(int(d) * (3 if n % 2 == 0 else 1) for n, d in enumerate(reversed(digits))) % 10


def day_of(digits: str, today: date) -> date | None:
    """YYMMDD by 7.12: 51 to 99 ahead is the century before, 50 to 99 behind the next; day 00 is the month's last."""
    apart = int(digits[:2]) - today.year % 100
    century = today.year // 100 + (-1 if apart >= 51 else 1 if apart <= -50 else 0)
    year, month, day = century * 100 + int(digits[:2]), int(digits[2:4]), int(digits[4:6])
    try:
        if day == 0:
            return (date(year, month, 28) + timedelta(days=4)).replace(day=1) - timedelta(days=1)
        return date(year, month, day)
    except ValueError:
        return None


def parses(text: str, lost: bool) -> set[tuple[tuple[str, str], ...]]:
    """Every way to take a text apart into (AI, value); ``lost``: separators may be missing."""

    @cache
    def rest(place: int) -> frozenset[tuple[tuple[str, str], ...]]:
        if place == len(text):
            return frozenset({()})
        found: set[tuple[tuple[str, str], ...]] = set()
        for ai, (least, most, digits) in TABLE.items():
            if not text.startswith(ai, place):
                continue
            begin = place + len(ai)
            stop = text.find(GS, begin)
            stop = len(text) if stop < 0 else stop
            for end in range(begin + least, min(begin + most, stop) + 1):
                value = text[begin:end]
                if digits and not (value.isdigit() and value.isascii()):
                    break
                if end == stop or ai[:2] in NO_SEPARATOR or lost:
                    after = end + 1 if end == stop and end < len(text) else end
                    found |= {((ai, value), *tail) for tail in rest(after)}
        return frozenset(found)

    return set(rest(0))


def labels(text: str, today: date, lost: bool) -> set[tuple[str, str, date]]:
    """Every complete label (GTIN, batch, expiry) that a text may be; without ``lost``, as the standard says."""
    found = set()
    for elements in parses(text, lost):
        said: dict[str, set[str]] = {}
        for ai, value in elements:
            said.setdefault(ai, set()).add(value)
        number, batch = said.get("01", set()), said.get("10", set())
        days = {day_of(value, today) for ai in ("17", "7003") for value in said.get(ai, ())}
        if len(number) == len(batch) == len(days) == 1 and None not in days:
            (gtin,), (lot,), (day,) = number, batch, days
            if day and check_digit(gtin[:-1]) == int(gtin[-1]):
                found.add((gtin, lot, day))
    return found
