"""Labels of bottles: worked values of the standard and its handbooks, biip beside them, and ten thousand bad scans."""

import random
import string
from collections import Counter
from datetime import date, time
from urllib.parse import quote

import pytest
from biip.gs1_messages import GS1Message
from biip.gtin import Gtin

from bayapp.files.gs1 import BadScan, Doubt, Reading, Scan, read_scan
from tests.files import gs1_oracle as oracle

TODAY = date(2026, 11, 25)
GS = "\x1d"
NUMBER = "0106291041500213"
LABEL = f"{NUMBER}1727123110LOT-A7"


def read(text: str, today: date = TODAY) -> Scan:
    return read_scan(text, today)


def only(text: str, today: date = TODAY) -> Reading:
    scan = read(text, today)
    assert len(scan.readings) == 1, scan
    return scan.readings[0]


# Check digits, with the pages that work them out.


@pytest.mark.parametrize(
    ("digits", "check", "source"),
    [
        ("629104150021", 3, "GS1 Hong Kong, how to calculate a check digit: sum 57"),
        ("730001100001", 7, "gs1.se"),
        ("890400021003", 7, "gs1india.org"),
        ("9638507", 4, "biip 5.2.0"),
        ("03600029145", 2, "biip 5.2.0"),
    ],
)
def test_worked_check_digits_are_taken_and_every_other_digit_is_refused(digits: str, check: int, source: str):
    assert oracle.check_digit(digits) == check, source
    for last in range(10):
        text = f"{digits}{last}"
        if last == check:
            assert read(text).gtin == text.zfill(14)
            assert Gtin.parse(text).as_gtin_14() == text.zfill(14)
        else:
            with pytest.raises(BadScan, match="check digit"):
                read(text)


def test_a_wrong_check_digit_inside_a_message_is_refused_although_biip_lets_it_pass():
    wrong = LABEL.replace("0213", "0214")
    (first, *_) = GS1Message.parse(wrong).element_strings
    assert (first.gtin, bool(first.gtin_error)) == (None, True), "biip has changed: look at the trap again"
    with pytest.raises(BadScan, match="check digit of 06291041500214 is wrong"):
        read(wrong)


# Batch and expiry.


def test_a_whole_label_is_read_in_one_way_and_without_a_doubt():
    scan = read(LABEL)
    assert (scan.gtin, scan.readings, scan.sure) == (
        "06291041500213",
        (Reading("LOT-A7", date(2027, 12, 31)),),
        True,
    )


@pytest.mark.parametrize("prefix", ["", "]C1", "]d2", "]Q3", "]e0", GS, f"]d2{GS}"])
@pytest.mark.parametrize("suffix", ["", "\r", "\r\n", "\t", GS])
def test_symbology_signs_and_ends_of_line_change_nothing(prefix: str, suffix: str):
    assert read(prefix + LABEL + suffix).readings == read(LABEL).readings


@pytest.mark.parametrize("spelled", [GS, "<GS>", "{GS}", "<gs>", "␝"])
def test_a_separator_may_be_spelled_out(spelled: str):
    scan = read(f"{NUMBER}10LOT-A7{spelled}17271231")
    assert (scan.readings, scan.sure) == ((Reading("LOT-A7", date(2027, 12, 31)),), True)


@pytest.mark.parametrize(
    ("digits", "expected"),
    [
        # Day 00 is the last of its month: GS1 General Specifications, as the documents of ruby's gs1 and of biip say.
        ("270200", date(2027, 2, 28)),
        ("280200", date(2028, 2, 29)),
        ("271200", date(2027, 12, 31)),
        ("270400", date(2027, 4, 30)),
        ("271231", date(2027, 12, 31)),
    ],
)
def test_dates_and_day_00(digits: str, expected: date):
    assert only(f"{NUMBER}17{digits}10A").expires_on == expected == oracle.day_of(digits, TODAY)
    (element,) = GS1Message.parse(f"17{digits}").element_strings
    assert element.date == expected


@pytest.mark.parametrize("digits", ["271301", "270230", "270001", "270431", "270229", "270732"])
def test_a_day_that_does_not_exist_is_refused(digits: str):
    with pytest.raises(BadScan):
        read(f"{NUMBER}17{digits}10A")


@pytest.mark.parametrize("this_year", [2026, 2049, 2050, 2051, 2075, 2099, 2100])
def test_the_century_is_that_of_the_general_specifications_7_12_at_both_edges(this_year: int):
    """YY less the year's two digits: 51 to 99 is the last century, -99 to -50 the next, else this one."""
    today = date(this_year, 6, 15)
    for two in range(100):
        year = only(f"{NUMBER}17{two:02}010110A", today).expires_on
        assert year
        apart = two - this_year % 100
        century = this_year // 100 + (-1 if 51 <= apart <= 99 else 1 if -99 <= apart <= -50 else 0)
        assert year.year == century * 100 + two
        assert -49 <= year.year - this_year <= 50


def test_the_edge_of_the_window_moves_with_the_year_that_is_passed_in_and_not_with_the_machines():
    assert [only(f"{NUMBER}17{yy}010110A").expires_on for yy in (76, 77)] == [date(2076, 1, 1), date(1977, 1, 1)]
    next_year = date(2027, 1, 1)
    assert only(f"{NUMBER}1777010110A", next_year).expires_on == date(2077, 1, 1)


@pytest.mark.parametrize(
    ("digits", "far"), [("361124", False), ("361126", True), ("161126", False), ("161120", True), ("770101", True)]
)
def test_a_date_more_than_ten_years_away_is_in_doubt(digits: str, far: bool):
    assert (Doubt.FAR_DATE in read(f"{NUMBER}17{digits}10A").doubts) is far


def test_a_time_of_expiry_is_read_with_its_day():
    assert only(f"{NUMBER}1070A{GS}70032611251430") == Reading("70A", date(2026, 11, 25), time(14, 30))
    assert only("70032611251430").expires_time == time(14, 30), "as long as a product's number, and none"
    assert only(f"{NUMBER}10A{GS}70032611259999").expires_time is None
    with pytest.raises(BadScan):
        read(f"{NUMBER}10A{GS}70032611252560")


def test_best_before_stands_in_for_expiry_and_is_in_doubt():
    scan = read(f"{NUMBER}1527123110A")
    assert (scan.readings[0].expires_on, scan.doubts) == (date(2027, 12, 31), (Doubt.BEST_BEFORE,))


# Traps.


def test_a_lost_separator_is_noticed_although_biip_reads_one_long_batch():
    (element,) = GS1Message.parse("10ABC17271231").element_strings
    assert element.value == "ABC17271231", "biip has changed: look at the trap again"
    scan = read(f"{NUMBER}10ABC17271231")
    assert {Doubt.LOST_SEPARATOR, Doubt.NO_EXPIRY} <= set(scan.doubts)
    assert scan.readings[:2] == (Reading("ABC17271231"), Reading("ABC", date(2027, 12, 31)))


@pytest.mark.parametrize("behind", ["21SER-9", "240KIT", "305", "11260101", "70032712310800", "91X", "37144"])
def test_whatever_may_stand_behind_a_batch_puts_it_in_doubt(behind: str):
    scan = read(f"{NUMBER}1727123110LOT-A{behind}")
    assert Doubt.LOST_SEPARATOR in scan.doubts
    assert "LOT-A" in [reading.batch for reading in scan.readings]


def test_a_batch_of_full_length_that_runs_on_is_in_doubt():
    scan = read(f"{NUMBER}10{'A' * 20}17271231")
    assert Doubt.LOST_SEPARATOR in scan.doubts


@pytest.mark.parametrize(
    ("text", "doubts"),
    [
        ("96385074", {Doubt.NO_BATCH, Doubt.NO_EXPIRY}),
        (NUMBER, {Doubt.NO_BATCH, Doubt.NO_EXPIRY}),
        (f"{NUMBER}17271231", {Doubt.NO_BATCH}),
        (f"{NUMBER}10A", {Doubt.NO_EXPIRY}),
        ("1727123110A", {Doubt.NO_NUMBER}),
        (f"{NUMBER}1727123110A{GS}10B", {Doubt.TWO_BATCHES}),
        (f"{NUMBER}171727123110A"[:18] + "27123110A" + GS + "17280101", {Doubt.TWO_DATES}),
    ],
)
def test_what_a_label_does_not_say_or_says_twice_is_a_doubt(text: str, doubts: set[Doubt]):
    assert set(read(text).doubts) == doubts


TWO_PRODUCTS = f"{NUMBER}01073000110000171727123110A"
KEYBOARD = "Scan again; where it comes back, set the scanner to the keyboard of this machine."


@pytest.mark.parametrize(
    ("text", "wrong", "remedy"),
    [
        ("", "Nothing was scanned.", "Scan again, or type what the label says."),
        ("\r\n", "Nothing was scanned.", "Scan again, or type what the label says."),
        ("hello", "That is no label with batch and expiry.", "Scan again, or type what it says."),
        ("10", "That is no label with batch and expiry.", "Scan again, or type what it says."),
        ("10LÖT", "'Ö' stands on no such label.", KEYBOARD),
        ("\x00", "U+0000 (control character) stands on no such label.", KEYBOARD),
        ("]A01234", "That code is none of a product's label.", "Scan the one beside the batch, or type it."),
        ("https://example.com/welcome", "That web address does not name a product.", "Scan the code beside the batch."),
        ("http://", "That web address does not name a product.", "Scan the code beside the batch."),
        ("1" * 5000, "That is too long for a label of a bottle.", "Scan again, or type what the label says."),
        (TWO_PRODUCTS, "That label names two products.", "Scan the one on the bottle itself."),
    ],
)
def test_what_is_no_label_is_refused_with_what_is_wrong_and_what_to_do(text: str, wrong: str, remedy: str):
    with pytest.raises(BadScan) as refused:
        read(text)
    assert str(refused.value) == f"{wrong} {remedy}"


def test_a_digital_link_is_read_and_its_batch_needs_no_separator():
    scan = read(f"https://id.example.com/01/06291041500213/10/{quote('LOT/21A', safe='')}?17=271231")
    assert (scan.gtin, scan.readings, scan.sure) == (
        "06291041500213",
        (Reading("LOT/21A", date(2027, 12, 31)),),
        True,
    )
    with pytest.raises(BadScan, match="check digit"):
        read("https://id.example.com/01/06291041500214/10/LOT?17=271231")


# Ten thousand scans.

BATCH_LETTERS = string.ascii_uppercase + string.digits * 2 + "-/."


class Original:
    """A label as a maker would print it, and its text as a good scanner types it."""

    def __init__(self, dice: random.Random) -> None:
        digits = "0" + "".join(dice.choices(string.digits, k=12))
        self.gtin = f"{digits}{oracle.check_digit(digits)}"
        self.batch = "".join(dice.choices(BATCH_LETTERS, k=dice.randint(1, 12)))
        self.day = date(dice.randint(2027, 2035), dice.randint(1, 12), dice.randint(1, 28))
        number, expiry, batch = f"01{self.gtin}", f"17{self.day:%y%m%d}", f"10{self.batch}"
        serial = "21" + "".join(dice.choices(BATCH_LETTERS, k=dice.randint(1, 10)))
        made, kit, count = f"11{self.day.replace(year=2026):%y%m%d}", "240KIT", "305"
        self.text = dice.choice(
            [
                number + expiry + batch,
                number + batch + GS + expiry,
                number + expiry + batch + GS + serial,
                number + serial + GS + batch + GS + expiry,
                number + batch + GS + made + expiry,
                number + kit + GS + expiry + batch,
                number + batch + GS + count + GS + expiry,
                "]d2" + number + batch + GS + expiry,
                "]C1" + number + expiry + batch + GS + kit,
                f"https://id.example.com/01/{self.gtin}/10/{quote(self.batch, safe='')}?17={self.day:%y%m%d}",
            ]
        )

    @property
    def label(self) -> tuple[str, str, date]:
        return self.gtin, self.batch, self.day


def damaged(text: str, dice: random.Random) -> tuple[str, str]:
    """What becomes of a scan on its way, and what was done to it."""
    place = dice.randrange(len(text))
    kind = dice.choice(
        ["no-gs", "one-gs", "digit", "letter", "cut", "cut-head", "more", "unicode", "lost", "swap", "twice"]
    )
    if kind == "no-gs":
        return kind, text.replace(GS, "")
    if kind == "one-gs":
        gaps = [n for n, c in enumerate(text) if c == GS]
        gone = dice.choice(gaps) if gaps else len(text)
        return kind, text[:gone] + text[gone + 1 :]
    if kind == "digit":
        place = dice.choice([n for n, c in enumerate(text) if c.isdigit()])
        return kind, text[:place] + dice.choice(string.digits.replace(text[place], "")) + text[place + 1 :]
    put = {"letter": dice.choice(BATCH_LETTERS), "more": text[place] + dice.choice(BATCH_LETTERS + GS)}
    put |= {"unicode": text[place] + dice.choice("öß\u200b\ufeff\u0663\uff11é\x00💧"), "lost": ""}
    if kind in put:
        return kind, text[:place] + put[kind] + text[place + 1 :]
    if kind == "cut":
        return kind, text[:place]
    if kind == "cut-head":
        return kind, text[place:]
    if kind == "twice":
        return kind, text + text
    return kind, text[:place] + text[place + 1 : place + 2] + text[place] + text[place + 2 :]


def test_ten_thousand_damaged_scans_never_crash_and_none_is_sure_of_a_wrong_label():
    """What is read without a doubt is the original, or else a faultless label of its own that no reader can tell apart.

    The second reader (``gs1_oracle``) decides that, and it knows nothing of biip. A lost separator, a character from
    elsewhere and a wrong digit in the product's number must be noticed always.
    """
    dice = random.Random(20261125)
    tally: Counter[str] = Counter()
    for _ in range(10_000):
        original = Original(dice)
        kind, text = damaged(original.text, dice)
        try:
            scan = read(text)
        except BadScan:
            tally["refused"] += 1
            continue
        if not scan.sure:
            tally["in doubt"] += 1
            continue
        (reading,) = scan.readings
        assert scan.gtin
        assert reading.expires_on
        found = (scan.gtin, reading.batch, reading.expires_on)
        if found == original.label:
            tally["as printed"] += 1
            continue
        tally["another faultless label"] += 1
        assert kind not in ("no-gs", "one-gs", "unicode"), (original.text, text, found)
        if not text.startswith("https:"):
            plain = text[3:] if text.startswith("]") else text
            assert oracle.labels(plain.strip(GS), TODAY, lost=False) == {found}, (original.text, text, found)
            assert oracle.labels(plain.strip(GS), TODAY, lost=True) == {found}, (original.text, text, found)
        else:
            assert oracle.check_digit(found[0][:-1]) == int(found[0][-1])
    assert sum(tally.values()) == 10_000
    assert min(tally[kind] for kind in ("refused", "in doubt", "as printed")) > 500, tally
    print(dict(tally))


@pytest.mark.parametrize("place", range(14))
def test_a_single_wrong_digit_of_the_products_number_is_always_noticed(place: int):
    for digit in string.digits:
        changed = f"{NUMBER[2:][:place]}{digit}{NUMBER[2:][place + 1 :]}"
        if changed != NUMBER[2:]:
            with pytest.raises(BadScan, match="check digit"):
                read(f"01{changed}1727123110LOT")


def test_undamaged_scans_are_all_read_as_printed():
    dice = random.Random(7)
    for _ in range(2_000):
        original = Original(dice)
        scan = read(original.text)
        assert scan.gtin == original.gtin
        assert scan.readings[0] == Reading(original.batch, original.day), (original.text, scan)
        assert set(scan.doubts) <= {Doubt.LOST_SEPARATOR}
