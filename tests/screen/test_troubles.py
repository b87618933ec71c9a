"""A store that fails is reported on the wall in words to act on; a bug is not hidden by it."""

import sqlite3
import sys
from contextlib import closing

import pytest
from pytestqt.qtbot import QtBot

from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.screen.troubles import Troubles, shown_on
from tests.screen.walls import Walled

FULL = StoreProblem("The disk is full.", "/srv/bay", "Free some space, then touch again.")

SILENT = BackgroundWriteFailed(FULL.what, FULL.where, FULL.remedy)


def take(troubles: Troubles, trouble: BaseException) -> None:
    troubles.take(type(trouble), trouble, None)


def test_a_full_disk_is_reported_with_what_to_do_and_the_clocks_stay_in_sight(board: Walled):
    take(Troubles(board.wall.request_sender, board.wall.pages), FULL)
    assert board.wall.pages.choices.isVisible()
    assert board.wall.pages.choices.title == "Not recorded"
    assert board.wall.pages.choices.sentences[:2] == ("The disk is full. (/srv/bay)", FULL.remedy)
    assert board.wall.column.buttons[0].isVisible()
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.car.isVisible()


def test_every_touch_that_is_lost_is_reported(board: Walled):
    troubles = Troubles(board.wall.request_sender, board.wall.pages)
    for _ in range(2):
        take(troubles, FULL)
        assert board.wall.pages.choices.isVisible()
        board.wall.pages.show_board()


def test_a_failed_sign_of_life_says_that_no_touch_is_lost_and_hides_no_lost_touch(board: Walled):
    troubles = Troubles(board.wall.request_sender, board.wall.pages)
    take(troubles, SILENT)
    assert board.wall.pages.choices.title == "The store fails"
    assert "No touch is lost" in board.sentences()
    assert "touched last" not in board.sentences()
    board.wall.pages.show_board()
    for trouble in (FULL, SILENT):
        take(troubles, trouble)
        assert "What was touched last is not recorded" in board.sentences()


def test_a_failing_sign_of_life_is_reported_once_until_a_touch_succeeds(board: Walled):
    troubles = Troubles(board.wall.request_sender, board.wall.pages)
    for shown in (True, False):
        take(troubles, SILENT)
        assert board.wall.pages.choices.isVisible() is shown
        board.wall.pages.show_board()
    board.press(board.wall.next_bar.main)
    take(troubles, SILENT)
    assert board.wall.pages.choices.isVisible()


def test_a_bug_goes_where_bugs_go(board: Walled, monkeypatch: pytest.MonkeyPatch):
    seen = list[object]()
    monkeypatch.setattr(sys, "excepthook", lambda kind, trouble, trace: seen.append(trouble))
    bug = KeyError("bug")
    with shown_on(board.wall.request_sender, board.wall.pages):
        sys.excepthook(KeyError, bug, None)
    assert seen == [bug]
    assert not board.wall.pages.choices.isVisible()


def test_a_real_touch_on_a_locked_store_is_reported_and_the_next_one_is_recorded(qtbot: QtBot, board: Walled):
    """Another connection holds SQLite's write lock: the real journal gives up, and then goes on."""
    before, main = board.events(), board.wall.next_bar.main
    with closing(sqlite3.connect(board.hand.store / "journal.sqlite3", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with qtbot.captureExceptions() as caught:
            board.press(main)
        other.execute("ROLLBACK")
    ((kind, trouble, _),) = caught
    assert issubclass(kind, StoreProblem)
    take(Troubles(board.wall.request_sender, board.wall.pages), trouble)
    assert board.wall.pages.choices.title == "Not recorded"
    assert board.events() == before
    board.press(main)
    assert board.events() == before + 1
