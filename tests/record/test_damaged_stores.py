"""Damaged stores: each is said to be that, or holds all that was recorded; none goes on in silence with less."""

import shutil
from collections import Counter
from pathlib import Path

import pytest

from bayapp.record import StoreProblem, open_journal
from bayapp.record.integrity import check
from tests.record.damage import Kept, damage, keep_stores
from tests.record.samples import STAMP, at, started

SEED = 20_261_130


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Kept]:
    return keep_stores(tmp_path_factory.mktemp("kept"))


def said_at_start(folder: Path, kept: Kept) -> str:
    """Start on a store as the wall does; return what is said, or nothing where all that was recorded is there."""
    try:
        journal = open_journal(folder)
    except StoreProblem as problem:
        return "refused at the start" if problem.remedy else "WITHOUT A REMEDY"
    try:
        if journal.noticed:
            return "said at the start"
        alive = journal.last_heartbeat()
        right = journal.last_stamp() == (kept.events[-1].at, STAMP) and alive in [(at, STAMP) for at in kept.alive_at]
        right = journal.read_open() == kept.present and right
    except StoreProblem:
        return "refused at the start"
    finally:
        journal.close()
    return "" if right else "WRONG BOARD"


def outcome(folder: Path, kept: Kept) -> str:
    """Return what becomes of a damaged store: said at the start, said by the check behind it, or all is there."""
    said = said_at_start(folder, kept)
    if said and not said.isupper():
        return said
    if check(folder):
        return "said by the check of the whole"
    if said:
        return said
    journal = open_journal(folder)
    try:
        assert journal.read() == kept.events
        assert journal.append((started("car-11", 9_002),), STAMP) == (len(kept.events) + 1,)
        journal.heartbeat(at(9_003), STAMP)
    finally:
        journal.close()
    return "all is there" if check(folder) == () else "WRONG AFTERWARDS"


@pytest.mark.parametrize("stores", [range(16), pytest.param(range(16, 216), marks=pytest.mark.slow)], ids=len)
def test_no_damaged_store_goes_on_in_silence_with_less_than_was_recorded(
    tmp_path: Path, kept: dict[str, Kept], stores: range
):
    found: Counter[str] = Counter()
    silent = []
    for number in stores:
        how = "killed" if number % 2 else "closed"
        folder = tmp_path / "store"
        done = damage(kept[how], folder, SEED + number)
        became = outcome(folder, kept[how])
        print(f"  seed {SEED + number} {how:<6} {done:<44} {became}")
        found[became] += 1
        if became.isupper():
            silent.append((SEED + number, how, done, became))
        shutil.rmtree(folder)
    print(f"  {dict(found)}")
    assert silent == []
    assert found["refused at the start"] > len(stores) / 4, "hardly anything was harmed; the test shows little"


def test_stores_that_were_left_alone_hold_all_that_was_recorded(tmp_path: Path, kept: dict[str, Kept]):
    for how, store in kept.items():
        shutil.copytree(store.folder, tmp_path / how)
        assert outcome(tmp_path / how, store) == "all is there"
