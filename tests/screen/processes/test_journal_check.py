"""The whole journal is checked once the board stands: what is wrong is shown, an index is mended."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from bayapp.record.integrity import check
from bayapp.screen.processes import journal_check
from bayapp.screen.processes.journal_check import JournalCheck
from tests.screen.walls import Walled


@pytest.fixture
def checking(board: Walled, monkeypatch: pytest.MonkeyPatch) -> Iterator[JournalCheck]:
    monkeypatch.setattr(journal_check, "BEGINS_AFTER_MS", 0)
    board.wall.store_look.stop()  # these would notice that another program writes to the journal
    board.wall.time_zone_watch.stop()
    checking = JournalCheck(board.hand.store, board.wall.selection.bay, board.wall.pages)
    yield checking
    checking.stop()


def spoil(store: Path, *statements: str) -> None:
    with closing(sqlite3.connect(store / "journal.sqlite3", isolation_level=None)) as other:
        for statement in statements:
            other.execute(statement)


def checked(checking: JournalCheck, qtbot: QtBot) -> bool:
    with qtbot.waitSignal(checking.ended, timeout=60_000) as ended:
        checking.begin()
    assert ended.args is not None
    return bool(ended.args[0])


def test_a_whole_journal_is_not_talked_about(board: Walled, checking: JournalCheck, qtbot: QtBot):
    assert checked(checking, qtbot)
    assert board.wall.pages.standing is None
    assert board.wall.strip.store.isHidden()


def test_an_entry_that_is_not_needed_now_and_was_changed_is_told_on_the_board(
    board: Walled, checking: JournalCheck, qtbot: QtBot
):
    spoil(board.hand.store, "UPDATE journal SET wall_ms = wall_ms + 1 WHERE seq = 1")
    assert not checked(checking, qtbot)
    assert "Entry 1 is not as it was written." in board.sentences()
    assert "Put the latest good backup back: More, Settings, Backup." in board.sentences()
    board.wall.pages.show_board()
    assert board.wall.strip.store.title == "Look at the journal"


def test_a_damaged_index_is_made_anew_and_said(board: Walled, checking: JournalCheck, qtbot: QtBot):
    spoil(
        board.hand.store,
        "PRAGMA writable_schema = ON",
        "UPDATE sqlite_master SET sql = replace(sql, '(job)', '(name)') WHERE name = 'ix_journal_job'",
    )
    assert check(board.hand.store) != ()
    assert checked(checking, qtbot)
    assert "An index of the journal was damaged" in board.sentences()
    assert check(board.hand.store) == ()


def test_an_index_that_another_program_damages_meanwhile_is_made_anew_and_said(board: Walled):
    spoil(
        board.hand.store,
        "PRAGMA writable_schema = ON",
        "UPDATE sqlite_master SET sql = replace(sql, '(job)', '(name)') WHERE name = 'ix_journal_job'",
    )
    board.wall.store_look.look()
    assert "An index of the journal was damaged" in board.sentences()
    assert check(board.hand.store) == ()
