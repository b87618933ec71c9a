"""Every page on every screen: targets for gloves, nothing on anything else, words whole and apart.

Both audits look at a page once it is open, because opening it is what takes long.
"""

import pytest

from bayapp.screen import picture
from tests.pages.bays import HandBay
from tests.screen.test_glove_audit import SCREENS, failings, overlaps
from tests.screen.test_lettering_audit import Ink, inks, painted, wrong  # noqa: F401 (a fixture)
from tests.screen.walls import PAGES, Walled, walled


def audited(wall: Walled, written: list[Ink]) -> dict[str, list[str]]:
    """Turn to every page and return what is wrong on it."""
    found = {}
    for page in PAGES:
        wall.turn_to(page)
        on_page = painted(wall, written)
        assert len(on_page) > 10
        found[page] = [*failings(wall), *overlaps(wall.wall), *sorted(wrong(on_page))]
    return {page: bad for page, bad in found.items() if bad}


def test_what_a_picture_can_be_taken_of_is_looked_at_here():
    assert set(picture.PAGES) <= set(PAGES)


BETWEEN = "1920x1080 at 27 inch"
"""Always looked at in other words."""
TIGHT = "1920x1080 at 24 inch", "1280x800 at 27 inch"
"""The least room in millimetres and in pixels; the others are looked at with the slow."""


@pytest.mark.parametrize("screen", [s if s in TIGHT else pytest.param(s, marks=pytest.mark.slow) for s in SCREENS])
def test_every_page_is_made_for_gloves_and_can_be_read(
    hand: HandBay,
    screen: str,
    inks: list[Ink],  # noqa: F811 (the fixture)
):
    size, inch = SCREENS[screen]
    with walled(hand, size, inch=inch) as wall:
        assert audited(wall, inks) == {}
