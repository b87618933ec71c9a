"""On its way to the shelf: what is asked, and that nothing is shelved which nobody has compared with the label."""

import random
from collections import Counter
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from bayapp.files.gs1 import BadScan, Doubt, Reading, read_scan
from bayapp.job import BayState, Product, Shelf, ShelveBottle, fold, gate
from bayapp.pages.shelf.new_bottle import Ask, Draft, Part, check_line, drafted, ends_at, expiry_words, same_label
from tests.files.test_gs1 import GS, LABEL, NUMBER, TODAY, Original, damaged
from tests.pages.bays import OPENING

COAT = Product(name="coat", title="Clear Coat")
GTIN = "06291041500213"


def scanned(text: str, shelf: Shelf | None = None) -> Draft:
    return drafted(read_scan(text, TODAY), shelf or BayState().shelf)


def shelved(*bottles: ShelveBottle) -> Shelf:
    state = BayState()
    for bottle in bottles:
        state = fold(gate(state, bottle, OPENING).events, state)
    return state.shelf


def known(batch: str = "LOT-A7", day: date = date(2027, 12, 31)) -> ShelveBottle:
    return ShelveBottle(COAT, 50.0, batch, GTIN, day, datetime(2028, 1, 1, tzinfo=UTC))


def asks(draft: Draft) -> list[Ask]:
    """Everything that is asked until the last look, with plain answers."""
    found = []
    for _ in range(10):
        found.append(draft.ask())
        match draft.ask():
            case Ask.PRODUCT:
                draft = _with(draft, product=COAT)
            case Ask.READING:
                draft = draft.choose(draft.readings[0])
            case Ask.BATCH:
                draft = draft.type_batch("A")
            case Ask.EXPIRY:
                draft = draft.type_expiry(date(2027, 1, 1))
            case Ask.SIZE:
                draft = _with(draft, size_ml=50.0)
            case Ask.CHECK:
                return found
    raise AssertionError(found)


def _with(draft: Draft, **values: object) -> Draft:
    from dataclasses import replace

    return replace(draft, **values)  # type: ignore[arg-type]


def test_without_a_scanner_everything_is_asked():
    assert asks(Draft()) == [Ask.PRODUCT, Ask.BATCH, Ask.EXPIRY, Ask.SIZE, Ask.CHECK]


def test_a_whole_label_of_a_new_number_asks_for_product_and_size():
    assert asks(scanned(LABEL)) == [Ask.PRODUCT, Ask.SIZE, Ask.CHECK]


def test_what_a_number_is_is_remembered_with_its_size():
    draft = scanned(f"{NUMBER}1728063010LOT-B1", shelved(known()))
    assert asks(draft) == [Ask.CHECK]
    assert (draft.product, draft.size_ml, draft.batch) == (COAT, 50.0, "LOT-B1")


def test_a_plain_product_number_asks_for_batch_and_expiry():
    assert asks(scanned(NUMBER, shelved(known()))) == [Ask.BATCH, Ask.EXPIRY, Ask.CHECK]


def test_a_lost_separator_lets_a_person_choose_how_the_label_reads():
    draft = scanned(f"{NUMBER}10LOT-A717271231")
    assert asks(draft)[:2] == [Ask.PRODUCT, Ask.READING]
    chosen = draft.choose(Reading("LOT-A7", date(2027, 12, 31)))
    assert (chosen.batch, chosen.expiry, chosen.seen) == ("LOT-A7", Reading("", date(2027, 12, 31)), frozenset(Part))


def test_a_label_that_a_person_has_confirmed_before_is_in_no_doubt_again():
    shelf = shelved(known("LOT-A717271231X", date(2028, 6, 30)), known("LOT-21A"))
    assert Doubt.LOST_SEPARATOR in read_scan(f"{NUMBER}1727123110LOT-21A", TODAY).doubts
    assert asks(scanned(f"{NUMBER}1727123110LOT-21A", shelf)) == [Ask.CHECK]


@pytest.mark.parametrize("text", [f"{NUMBER}1777010110A", f"{NUMBER}1527123110A", f"{NUMBER}10{'A' * 20}17271231"])
def test_in_doubt_batch_and_expiry_are_each_to_be_compared(text: str):
    draft = _with(scanned(text), product=COAT, size_ml=50.0)
    assert draft.ask() is Ask.CHECK
    assert draft.request(UTC, None) is None
    assert draft.compare(Part.BATCH).request(UTC, None) is None
    assert draft.compare(Part.BATCH).compare(Part.EXPIRY).request(UTC, None) is not None
    assert check_line(draft, TODAY) not in ("", check_line(Draft(), TODAY))


def test_what_the_label_says_otherwise_is_asked_again():
    draft = _with(scanned(LABEL), product=COAT, size_ml=50.0)
    again = draft.forget(Part.BATCH)
    assert (again.ask(), again.request(UTC, None)) == (Ask.BATCH, None)
    request = again.type_batch("LOT-A8").request(UTC, None)
    assert request
    assert (request.batch, request.expires_on) == ("LOT-A8", date(2027, 12, 31))
    assert draft.forget(Part.EXPIRY).ask() is Ask.EXPIRY


def test_a_label_without_batch_or_date_can_be_shelved_once_a_person_says_so():
    draft = _with(scanned(NUMBER), product=COAT, size_ml=50.0).type_batch("").type_expiry(None)
    request = draft.request(UTC, None)
    assert request
    assert (request.batch, request.expires_on, request.expires_at) == ("", None, None)


def test_the_day_ends_by_the_shops_own_clock_and_a_time_on_the_label_ends_it_sooner():
    berlin = ZoneInfo("Europe/Berlin")
    assert ends_at(Reading("", date(2027, 12, 31)), berlin) == datetime(2027, 12, 31, 23, tzinfo=UTC)
    assert ends_at(Reading("", date(2027, 7, 1), time(14, 30)), berlin) == datetime(2027, 7, 1, 12, 30, tzinfo=UTC)
    assert expiry_words(Reading("", date(2027, 7, 1), time(14, 30))) == "Good until 1 Jul 2027, 14:30"


def test_an_expired_label_is_said_to_be_so_before_it_is_shelved():
    assert "expired already" in check_line(scanned(f"{NUMBER}1726110110A"), TODAY)


def test_the_same_label_finds_the_bottles_that_bear_it_and_no_others():
    shelf = shelved(known(), known("LOT-B1"), known())
    assert [b.number for b in same_label(read_scan(LABEL, TODAY), shelf)] == ["1", "3"]
    lost = read_scan(f"{NUMBER}10LOT-A717271231", TODAY)
    assert [b.number for b in same_label(lost, shelf)] == ["1", "3"], "also where the separator was lost"
    assert same_label(read_scan(NUMBER + "10X" + GS + "17271231", TODAY), shelf) == ()


def test_ten_thousand_damaged_scans_never_reach_the_shelf_unseen():
    """After any scan, what could be shelved without another look is the label itself, or a faultless other one.

    And even that takes a touch under batch and expiry in large letters; here is counted how often which is asked.
    """
    dice = random.Random(17)
    tally: Counter[str] = Counter()
    for _ in range(10_000):
        original = Original(dice)
        kind, text = damaged(original.text, dice)
        shelf = (
            shelved(ShelveBottle(COAT, 50.0, original.batch, original.gtin, original.day, OPENING))
            if dice.random() < 0.1
            else BayState().shelf
        )
        try:
            scan = read_scan(text, TODAY)
        except BadScan:
            tally["refused"] += 1
            continue
        draft = _with(drafted(scan, shelf), product=COAT, size_ml=50.0)
        request = draft.request(UTC, None)
        if request is None:
            tally["asked"] += 1
            continue
        found = (request.gtin, request.batch, request.expires_on)
        if found == original.label:
            tally["as printed"] += 1
            continue
        tally["another faultless label"] += 1
        assert scan.sure, (original.text, text, found)
        assert kind not in ("no-gs", "one-gs", "unicode"), (original.text, text, found)
    assert tally["asked"] > 1_000
    print(dict(tally))
