"""A store that goes away while the wall runs is told on the board, and is no secret until it is back."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from bayapp.record import StoreLost
from bayapp.record.findings import EntriesMissing, WitnessMissing
from bayapp.screen.window.store_watch import LOOK_MS
from tests.screen.walls import Walled

JOURNAL = "journal.sqlite3"


def test_it_is_looked_at_more_than_once_a_second():
    assert LOOK_MS < 1_000


def test_a_journal_that_is_renamed_is_told_within_a_look_and_stays_on_the_strip(board: Walled):
    file = board.hand.store / JOURNAL
    board.wall.store_look.look()
    assert board.wall.strip.store.isHidden()
    file.rename(file.with_name("elsewhere"))
    board.wall.store_look.look()
    assert f"{JOURNAL} is not in its folder any more." in board.sentences()
    assert "Put it back as it was" in board.sentences()
    assert "NOT RECORDED" in board.wall.strip.store.title
    assert board.wall.strip.store.isVisible()
    board.wall.pages.show_board()
    board.wall.store_look.look()
    assert board.wall.pages.standing is None, "the page is shown once"
    board.press(board.wall.strip.store)
    assert f"{JOURNAL} is not in its folder any more." in board.sentences()
    file.with_name("elsewhere").rename(file)
    board.wall.store_look.look()
    assert board.wall.strip.store.isHidden()


def test_no_touch_is_taken_meanwhile_and_the_next_one_is_when_it_is_back(board: Walled, qtbot: QtBot):
    file = board.hand.store / JOURNAL
    before = board.hand.journal.last_seq()
    file.rename(file.with_name("elsewhere"))
    with qtbot.capture_exceptions() as raised:
        board.press(board.wall.next_bar.main)
    assert [kind for kind, _trouble, _trace in raised] == [StoreLost]
    file.with_name("elsewhere").rename(file)
    assert board.hand.journal.last_seq() == before
    board.press(board.wall.next_bar.main)
    assert board.hand.journal.last_seq() > before


def test_what_is_only_to_be_known_leaves_the_strip_once_it_was_read_and_damage_stays(board: Walled):
    watch = board.wall.selection.bay.store_watch
    for found, stays in ((WitnessMissing(), False), (EntriesMissing(3, 4), True)):
        watch.take_found([found])
        board.wall.refresher.refresh()
        board.press(board.wall.strip.store)
        assert found.words in board.sentences()
        board.wall.pages.show_board()
        assert board.wall.strip.store.isVisible() is stays


@pytest.mark.parametrize("name", [JOURNAL, f"{JOURNAL}-wal"])
def test_a_deleted_file_is_told_with_its_name(board: Walled, name: str):
    (board.hand.store / name).unlink()
    board.wall.store_look.look()
    assert f"{name} is not in its folder any more." in board.sentences()


def test_a_deleted_journal_can_be_written_back_by_a_hold_and_a_replaced_one_cannot(board: Walled, qtbot: QtBot):
    file = board.hand.store / JOURNAL
    recorded = board.hand.journal.last_seq()
    file.rename(file.with_name("elsewhere"))
    file.write_bytes(b"holiday pictures")
    board.wall.store_look.look()
    assert "Another file lies in the place" in board.sentences()
    assert board.choices() == []
    file.unlink()
    board.wall.store_look.look()
    assert f"{JOURNAL} is not in its folder any more." in board.sentences()
    with qtbot.wait_signal(board.wall.store_look.saved) as saved:
        board.hold_choice("Hold for 2 s: write it back")
    (copy,) = saved.args
    assert entries_of(copy) == recorded
    file.with_name("elsewhere").rename(file)


def test_what_cannot_be_written_back_says_why_and_what_can_be_done(board: Walled):
    file = board.hand.store / JOURNAL
    file.rename(file.with_name("elsewhere"))
    board.wall.store_look.look()
    (board.hand.store / "backups").write_bytes(b"a file where the folder of backups should be")
    board.hold_choice("Hold for 2 s: write it back")
    assert "A file stands where the folder" in board.sentences()
    file.with_name("elsewhere").rename(file)


def entries_of(copy: Path) -> int:
    with closing(sqlite3.connect(copy)) as journal:
        count: int = journal.execute("SELECT count(*) FROM journal").fetchone()[0]
    return count
