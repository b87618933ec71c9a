"""The column of tiles: the soonest is on every page, and every clock is on one of them."""

from itertools import pairwise
from pathlib import Path

from PySide6.QtCore import Qt, QTimer

from bayapp.screen.widgets.measure import board_layout, tile_rects
from tests.pages.bays import hand_bay
from tests.screen.walls import Walled, walled


def titles(wall: Walled) -> list[str]:
    return [b.tile.title for b in wall.wall.column.buttons if b.isVisible() and b.tile]


def test_the_later_button_pages_through_every_clock_and_the_first_tile_stays(board: Walled):
    column = board.wall.column
    everything = [t.title for t in column.tiles]
    assert column.later.isVisible()
    first, seen = titles(board)[0], titles(board)[1:]
    board.press(column.later)
    while titles(board)[1:] != seen[: len(titles(board)) - 1]:
        assert titles(board)[0] == first
        seen += titles(board)[1:]
        board.press(column.later)
    assert [first, *seen] == everything


def test_the_later_button_says_how_many_are_hidden_and_which_come_next(board: Walled):
    column = board.wall.column
    hidden = len(column.tiles) - len(titles(board))
    assert column.later.title.startswith(f"{hidden} more clocks")
    assert column.tiles[len(titles(board))].title in column.later.detail


def test_left_alone_the_column_turns_back_to_the_first_page(board: Walled):
    column = board.wall.column
    start = titles(board)
    board.press(column.later)
    assert titles(board) != start
    (back,) = column.findChildren(QTimer, options=Qt.FindChildOption.FindDirectChildrenOnly)
    assert back.isActive()
    assert back.interval() == 15_000
    back.timeout.emit()
    assert titles(board) == start


def test_a_page_that_is_gone_is_left(board: Walled):
    """Turned to the last page, the clocks go: the column stands on a page that exists."""
    column = board.wall.column
    for _ in range(2):
        board.press(column.later)
    column.show_tiles(column.tiles[:2])
    assert len(titles(board)) == 2
    assert not column.later.isVisible()


def test_the_next_tick_does_not_turn_the_page_back(board: Walled):
    board.press(board.wall.column.later)
    turned = titles(board)
    board.wait(1)
    assert titles(board) == turned


def test_six_cars_page_through_all_their_clocks(tmp_path: Path):
    with hand_bay(tmp_path, cars=6) as hand, walled(hand) as wall:
        wall.answer_all()
        seen: set[tuple[str, str]] = set()
        for _ in range(40):
            shown = [b.tile for b in wall.wall.column.buttons if b.isVisible() and b.tile]
            seen |= {(tile.title, tile.detail) for tile in shown}
            wall.press(wall.wall.column.later)
        assert seen == {(t.title, t.detail) for t in wall.wall.column.tiles}
        assert len(seen) == len(wall.wall.column.tiles) > 30


def test_tiles_never_overlap_and_stay_in_every_column_that_a_board_has():
    """The smallest board, 281 mm tall, has a column of 189 mm."""
    assert board_layout(500, 281).column.height() > 186
    for height in range(186, 500, 7):
        for wanted in range(12):
            rects, later = tile_rects(200, height, wanted)
            places = [*rects, *([later] if later else [])]
            assert all(a.bottom() + 6.5 <= b.top() + 1e-6 for a, b in pairwise(places)), (height, wanted)
            assert wanted <= len(rects) or later
            assert not wanted or rects
            assert all(r.bottom() <= height + 1e-6 for r in places), (height, wanted)
