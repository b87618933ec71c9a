"""What the planner found that a touch cost stands over the bar, and beside it what takes the touch back."""

from datetime import timedelta

from PySide6.QtCore import QCoreApplication

from bayapp.job.state.events import StepUndone
from tests.pages.board.test_told_after import SCREEN, begun
from tests.screen.walls import Walled


def test_undo_beside_what_a_touch_cost_takes_that_touch_back(board: Walled):
    band = board.wall.band
    board.answer_all()
    assert not band.undo_button.isVisible()
    begun(board.hand, later=timedelta(minutes=24))
    board.answer_all()
    QCoreApplication.processEvents()
    assert band.text == "Solvent wipe, rear screen. It costs 24 minutes: all done at 10:54."
    board.press(band.undo_button)
    (undone,) = [event for event in board.hand.journal.read() if isinstance(event, StepUndone)]
    assert (undone.zone,) == SCREEN
    QCoreApplication.processEvents()
    assert not band.undo_button.isVisible()
    assert band.text == ""
