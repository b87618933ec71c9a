"""The fewer buttons a page has, the larger their letters: it is read from three metres."""

from pytestqt.qtbot import QtBot

from bayapp.drawing.palette import PALETTES
from bayapp.screen.widgets.choice_page import ChoicePage, Entry
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import Measure

WORD = "HHHH"


def height_of_letters(qtbot: QtBot, count: int) -> int:
    """Show so many buttons; return how many rows of pixels the word on the first has."""
    look = Look(PALETTES["dark"], Measure(3.0))
    page = ChoicePage(look)
    qtbot.addWidget(page)
    page.resize(round(look.mm(275)), round(look.mm(200)))
    page.show_choices("Which?", "", [Entry(n, WORD) for n in range(count)])
    page.show()
    image = page.buttons[0].grab().toImage()
    middle = range(image.width() // 3, 2 * image.width() // 3)
    edge = round(look.mm(4))
    inked = (any(image.pixelColor(x, y).lightness() > 200 for x in middle) for y in range(edge, image.height() - edge))
    return sum(inked)


def test_fewer_buttons_have_larger_letters(qtbot: QtBot):
    few, some, many = (height_of_letters(qtbot, count) for count in (2, 6, 8))
    assert few > some > many > 0
