"""Where the buttons of a ladder lie: a finger that meant one thing on the board never undoes another on a ladder."""

from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QWidget

from tests.pages.bays import HandBay
from tests.screen.walls import Walled, walled


def _place(button: QWidget) -> QRect:
    return QRect(button.mapToGlobal(QPoint(0, 0)), button.size())


def test_undo_never_lies_where_the_board_offers_something_to_begin(hand: HandBay):
    for size in ((1920, 1080), (1280, 800)):
        with walled(hand, size) as wall:
            _undo_is_outermost(wall)


def _undo_is_outermost(wall: Walled) -> None:
    wall.answer_all()
    bar = wall.wall.next_bar
    assert bar.instead.isVisible()
    begins, more = [_place(bar.main), _place(bar.instead)], _place(bar.more)
    wall.touch("bonnet")
    undo = wall.wall.ladder_bar.undo
    assert undo.isVisible()
    assert not any(_place(undo).intersects(place) for place in begins)
    assert _place(undo).right() == more.right()
