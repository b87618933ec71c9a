"""A note is written for every car, also where the bay takes none at first."""

from bayapp.screen.window.owed_notes import OwedNotes
from tests.pages.bays import CAR
from tests.screen.walls import Walled

MISSING = "9 entries are missing"


def texts(board: Walled) -> list[str]:
    return [note.text for note in board.hand.bay.state.jobs[CAR].notes if note.text == MISSING]


def test_a_note_is_written_at_once(board: Walled):
    owed = OwedNotes(board.hand.bay, MISSING, board.wall)
    assert texts(board) == [MISSING]
    assert owed.cars == []


def test_while_the_bay_asks_for_the_time_a_note_is_kept_and_written_then(board: Walled):
    board.hand.doubt_the_time()
    owed = OwedNotes(board.hand.bay, MISSING, board.wall)
    assert texts(board) == []
    board.hand.settle_the_time()
    owed.write()
    owed.write()
    assert texts(board) == [MISSING]
    owed.stop()
