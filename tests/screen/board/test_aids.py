"""The ladder's buttons beside the next step, touched on the wall."""

from bayapp.job import Cover
from bayapp.job.model.ids import ZoneId
from bayapp.job.state.events import CoatCovered, CoatUncovered
from tests.pages.bays import BO, CAR
from tests.screen.walls import Walled

SCREEN = (ZoneId("windscreen"),)


def test_a_coat_is_covered_by_one_touch_and_uncovered_by_another(board: Walled):
    board.wall.pages.show_ladder(CAR, SCREEN)
    before = board.events()
    ladder = board.wall.ladder
    assert [b.title for b in ladder.aids if b.isVisible()] == ["Cover the coat"]
    board.press(ladder.aids[0])
    assert [b.title for b in ladder.aids if b.isVisible()] == ["Cover off"]
    board.press(ladder.aids[0])
    assert [type(e) for e in board.hand.journal.read()[before:]] == [CoatCovered, CoatUncovered]


def test_a_cover_that_somebody_else_put_on_meanwhile_is_told_and_not_recorded_twice(board: Walled):
    board.wall.pages.show_ladder(CAR, SCREEN)
    assert board.hand.bay.request(Cover(CAR, SCREEN, BO)).accepted
    before = board.events()
    board.press(board.wall.ladder.aids[0])
    assert board.events() == before
    assert "covered already" in board.sentences()
