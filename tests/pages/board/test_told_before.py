"""Before a touch the wall says what it would shut out: on the board, on a ladder, and for the second car."""

from dataclasses import replace
from datetime import UTC
from pathlib import Path

from bayapp.job import FinishStep
from bayapp.job.model.ids import StepId, Urgency
from bayapp.pages.board.board import BoardView, board
from bayapp.pages.board.ladder import Button, ladder
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import HandBay
from tests.pages.glass_first import COAT, KIM, SALOON, SCREEN, SIDES, WASH, WHY, before_the_coat


def shown(hand: HandBay) -> BoardView:
    """The board once it is known what its steps cost."""
    seen = Viewpoint(KIM, hand.bay.now(), UTC, SALOON)
    board(hand.bay, hand.clocks(), seen)
    hand.bay.advice.costs.work_out(seen.at)
    return board(hand.bay, hand.clocks(), seen)


def button(hand: HandBay, zones=SCREEN) -> Button:
    seen = Viewpoint(KIM, hand.bay.now(), UTC, SALOON)
    ladder(hand.bay, SALOON, zones, None, seen)
    hand.bay.advice.costs.work_out(seen.at)
    return ladder(hand.bay, SALOON, zones, None, seen).button


def test_on_the_board_the_coat_that_closes_the_way_comes_second_says_why_and_must_be_held(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        view = shown(hand)
        assert (view.main.action, view.main.hold, view.main.costs) == (WASH, False, True)
        assert view.main.detail == "To be wiped again then: windscreen."
        assert view.instead
        assert (view.instead.action, view.instead.hold, view.instead.costs) == (COAT, True, True)
        assert view.instead.second == "Or hold 2 s: coat up and down, windscreen (Kim)"
        assert view.instead.detail == WHY


def test_on_its_ladder_the_coat_says_why_and_must_be_held(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        coat = button(hand)
        assert (coat.title, coat.detail) == ("Hold 2 s: coat up and down (Kim)", WHY)
        assert (coat.action, coat.hold, coat.costs, coat.refused) == (COAT, True, True, False)
        assert coat.urgency is Urgency.OPEN, "the coat itself is not late"


def test_the_ladder_of_a_set_that_only_spoils_a_wipe_says_so_and_needs_a_touch_and_no_hold(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        wash = button(hand, SIDES)
        assert (wash.action, wash.hold, wash.costs) == (WASH, False, True)
        assert wash.detail == "To be wiped again then: windscreen."


def test_once_the_side_glass_has_been_polished_nothing_is_held_and_nothing_is_warned_of(tmp_path: Path):
    with before_the_coat(tmp_path) as hand:
        for step in ("decontaminate", "polish"):
            hand.bay.request(replace(WASH, step=StepId(step)))
            hand.wait(60)
            for zone in SIDES:
                finish = ladder(hand.bay, SALOON, (zone,), None, Viewpoint(KIM, hand.bay.now(), UTC)).button.action
                assert finish
                hand.bay.request(finish)
        wipe = replace(COAT, step=StepId("wipe"))
        assert button(hand).action == wipe, "water and dust came over it"
        hand.bay.request(wipe)
        hand.bay.request(FinishStep(SALOON, SCREEN, StepId("wipe"), KIM))
        coat = button(hand)
        assert (coat.action, coat.hold, coat.costs) == (COAT, False, False)
