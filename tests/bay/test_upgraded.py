"""A store of an older version: what was done with it is said once on the board, and nobody is asked to look at it."""

from datetime import UTC
from pathlib import Path

from bayapp.pages.board.board import board
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import HandBay
from tests.record.samples import at, version_1


def said(hand: HandBay) -> str:
    band = board(hand.bay, hand.clocks(), Viewpoint(None, hand.bay.now(), UTC)).band
    return band.text if band else ""


def test_that_the_journal_was_brought_up_to_date_is_said_on_the_board_for_a_while_and_only_once(tmp_path: Path):
    version_1(tmp_path)
    hand = HandBay(tmp_path, at(60))
    assert said(hand).startswith("This bayapp is newer: the journal was brought up to date for it. As it was before")
    assert hand.bay.store_watch.found == ()
    hand.wait(6 * 60)
    assert said(hand) == ""
    hand.restart()
    assert said(hand) == ""
    hand.journal.close()
