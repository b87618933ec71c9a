"""Every page in words that are 40 % longer, and in a mirror: as fit for gloves and as readable as in English."""

from pathlib import Path

import pytest

from tests.pages.bays import HandBay
from tests.screen.languages import speaking
from tests.screen.test_every_page import BETWEEN, audited
from tests.screen.test_glove_audit import SCREENS
from tests.screen.test_lettering_audit import Ink, inks  # noqa: F401 (a fixture)
from tests.screen.walls import walled

SLOW = "1920x1080 at 32 inch", "3840x2160 at 27 inch"


@pytest.mark.parametrize("tag", ["en-XA", pytest.param("ar-XB", marks=pytest.mark.slow)])
@pytest.mark.parametrize("screen", [BETWEEN, *(pytest.param(s, marks=pytest.mark.slow) for s in SLOW)])
def test_longer_and_mirrored_words_fit_just_as_well(
    hand: HandBay,
    screen: str,
    tag: str,
    catalogues: Path,
    inks: list[Ink],  # noqa: F811 (the fixture)
):
    size, inch = SCREENS[screen]
    with speaking(tag, catalogues), walled(hand, size, inch=inch) as wall:
        assert audited(wall, inks) == {}
