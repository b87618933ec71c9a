"""Backups by themselves at a real wall, by the real program in its own process."""

import pytest
from pytestqt.qtbot import QtBot

from bayapp.files.shop.backup_log import read_backup_log
from bayapp.job import CloseJob
from bayapp.record.kept_backups import backups_in
from bayapp.record.store import BACKUPS
from bayapp.screen.processes import backup_runner
from tests.pages.bays import CAR
from tests.screen.walls import Walled


def test_after_a_car_has_left_a_backup_is_made_and_the_night_owes_none(
    qtbot: QtBot, board: Walled, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(backup_runner, "AFTER_CAR_MS", 1)
    runner = backup_runner.BackupRunner(board.hand.store, board.wall.selection, board.openers.settings.read, board.wall)
    runner.begin()
    try:
        assert board.hand.bay.request(CloseJob(CAR)).accepted
        before = board.events()
        with qtbot.waitSignal(runner.done, timeout=60_000):
            pass
        (made,) = backups_in(board.hand.store / BACKUPS)
        assert made.count == before
        assert read_backup_log(board.hand.store).of(board.hand.store.absolute() / BACKUPS).file == made.file.name
        runner.look()
        assert not runner.running
        assert board.hand.bay.told is None
    finally:
        runner.stop()


def test_the_first_look_of_a_day_owes_one_and_the_window_may_close_while_it_is_made(board: Walled):
    runner = board.openers.backups
    runner.look()
    assert runner.running
    runner.stop()
    assert not runner.running


def test_what_failed_stands_on_the_board_for_a_while(board: Walled):
    from bayapp.bay.told import Told

    board.hand.bay.told = Told(board.hand.bay.now(), "No backup was made: the stick is away.")
    board.wall.refresher.refresh()
    assert board.wall.band.text == "No backup was made: the stick is away."
    board.wait(301)
    board.wall.refresher.refresh()
    assert "No backup" not in board.wall.band.text
