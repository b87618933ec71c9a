"""Big buttons in groups: each group stands beside its heading, and every button stays large enough for a glove."""

import pytest
from pytestqt.qtbot import QtBot

from bayapp.drawing.palette import PALETTES
from bayapp.screen.widgets.choice_page import LEAST, ChoicePage, Entry
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import Measure

PAGE_MM = (275, 200)


def shown(qtbot: QtBot, *groups: int) -> ChoicePage:
    look = Look(PALETTES["dark"], Measure(3.0))
    page = ChoicePage(look)
    qtbot.addWidget(page)
    page.resize(*(round(look.mm(side)) for side in PAGE_MM))
    entries = [Entry((g, n), f"car {n}", heading=f"group {g}") for g, count in enumerate(groups) for n in range(count)]
    page.show_choices("Which car?", "", entries)
    page.show()
    return page


@pytest.mark.parametrize("groups", [(1,), (2, 1), (1, 2, 4), (3, 2, 1, 3), (1, 1, 1, 1, 2)])
def test_buttons_follow_their_heading_and_stand_clear_of_each_other(qtbot: QtBot, groups: tuple[int, ...]):
    page = shown(qtbot, *groups)
    assert page.headings == [f"group {g}" for g in range(len(groups))]
    boxes = [button.geometry() for button in page.buttons if button.isVisible()]
    assert len(boxes) == sum(groups)
    assert not any(a.intersects(b) for n, a in enumerate(boxes) for b in boxes[n + 1 :])
    assert max(box.bottom() for box in boxes) <= page.height()
    assert min(box.height() for box in boxes) >= 3.0 * LEAST * 0.9
    firsts = [boxes[sum(groups[:g])] for g in range(len(groups))]
    assert [box.top() for box in firsts] == sorted({box.top() for box in firsts}), "each group begins a row"


def test_groups_for_which_there_is_no_room_stand_without_headings(qtbot: QtBot):
    """Eight cars that left on eight days: each says its day itself."""
    page = shown(qtbot, *([1] * 8))
    assert page.headings == []
    boxes = [button.geometry() for button in page.buttons if button.isVisible()]
    assert not any(a.intersects(b) for n, a in enumerate(boxes) for b in boxes[n + 1 :])


def test_a_page_without_headings_has_none(qtbot: QtBot):
    page = shown(qtbot, 1)
    page.show_choices("Which car?", "", [Entry(1, "one"), Entry(2, "two")])
    assert page.headings == []
