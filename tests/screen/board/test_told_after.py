"""What the planner found that a touch cost stands over the bar, and beside it what takes the touch back."""

from datetime import timedelta

from PySide6.QtCore import QCoreApplication

from bayapp.job import Start
from bayapp.job.model.ids import StepId
from bayapp.job.state.events import StepUndone
from bayapp.pages.wanted import Page
from tests.pages.bays import CAR
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


def test_a_touch_that_was_just_made_leaves_every_page_and_answer_in_its_place(board: Walled):
    """The undo is no call: it comes and goes where the legend is, and never where a call is answered."""
    board.answer_all()
    board.wall.pages.want(Page.MORE)
    QCoreApplication.processEvents()
    before = [button.geometry() for button in board.wall.pages.choices.buttons if button.isVisible()]
    assert board.hand.bay.request(Start(CAR, SCREEN, StepId("wipe"), board.wall.selection.by)).accepted
    board.wall.refresher.refresh()
    QCoreApplication.processEvents()
    assert [button.geometry() for button in board.wall.pages.choices.buttons if button.isVisible()] == before
    board.wall.pages.show_board()
    band = board.wall.band
    assert band.undo_button.isVisible()
    assert not band.undo_button.geometry().intersects(band.heard_button.geometry())
    assert not band.undo_button.geometry().intersects(band.snooze_button.geometry())
