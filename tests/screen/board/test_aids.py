"""The ladder's buttons beside the next step, touched on the wall."""

from dataclasses import replace
from datetime import UTC
from itertools import combinations

from bayapp.job import Cover
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.state.events import CoatCovered, CoatUncovered, SetClosed
from bayapp.pages.board.ladder import Group, SwapChoice, ladder
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, BO, CAR
from tests.screen.board.test_told_before import held
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


def test_what_leaves_others_out_before_a_coat_is_held_and_a_short_touch_does_nothing(board: Walled):
    board.wall.pages.show_ladder(CAR, (ZoneId("cabin"),))
    (alone,) = (button for button in board.wall.ladder.aids if button.isVisible())
    before = board.events()
    board.press(alone)
    assert board.events() == before
    held(alone)
    assert isinstance(board.hand.journal.read()[-1], SetClosed)


def test_where_set_layers_and_cover_all_are_asked_about_the_clock_keeps_its_room(board: Walled):
    board.wall.pages.show_ladder(CAR, SCREEN)
    page, hand = board.wall.ladder, board.hand
    view = ladder(hand.bay, CAR, SCREEN, None, Viewpoint(ASH, hand.bay.now(), UTC))
    groups = tuple(Group(name, SCREEN, chosen=False) for name in ("windscreen", "all glass"))
    choices = tuple(SwapChoice(StepId(name), name, chosen=False) for name in ("across", "in circles"))
    page.show_ladder(replace(view, groups=groups, choices=choices))
    places = [b.geometry() for b in (*page.groups, *page.choices, *page.aids) if b.isVisible()]
    assert len(places) == 5
    assert len({place.top() for place in places}) == 2, "no third row, which would lie on the clock"
    assert not any(one.intersects(other) for one, other in combinations(places, 2))
