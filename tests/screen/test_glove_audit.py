"""In real millimetres: a wet glove hits what it means, and nothing stands on anything else.

``test_every_page.py`` turns to every page and asks this of each.

Sizes are the house's own (targets of 25 mm, gaps of 6 mm), above what MIL-STD-1472F 5.4.6 gives for touch screens
(15 to 38 mm square, 3 to 6 mm apart, larger with gloves; from memory).
"""

from itertools import combinations, pairwise
from math import hypot
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Person
from bayapp.practice import practice_scenario
from bayapp.screen.widgets.glove_button import GloveButton
from tests.pages.bays import OPENING, HandBay, hand_bay
from tests.screen.walls import Walled, walled

TARGET_MM = 25.0
GAP_MM = 6.0
SCREENS = {
    "1920x1080 at 27 inch": ((1920, 1080), 27.0),
    "1920x1080 at 24 inch": ((1920, 1080), 24.0),
    "1920x1080 at 32 inch": ((1920, 1080), 32.0),
    "1280x800 at 27 inch": ((1280, 800), 27.0),
    "3840x2160 at 27 inch": ((3840, 2160), 27.0),
}


def gap(a: QRectF, b: QRectF) -> float:
    """Return the shortest way from one rectangle to another; negative where they overlap."""
    across = max(a.left() - b.right(), b.left() - a.right())
    down = max(a.top() - b.bottom(), b.top() - a.bottom())
    if across >= 0 and down >= 0:
        return hypot(across, down)
    return max(across, down)


def failings(wall: Walled) -> list[str]:
    boxes = [(f"{b.text() or b.accessibleName()!r}", wall.box_mm(b)) for b in wall.targets()]
    assert len(boxes) > 3
    found = [
        f"{name}: {box.width():.1f} × {box.height():.1f} mm"
        for name, box in boxes
        if min(box.width(), box.height()) < TARGET_MM
    ]
    for (one, here), (other, there) in combinations(boxes, 2):
        if gap(here, there) < GAP_MM:
            found.append(f"{one} and {other}: {gap(here, there):.2f} mm apart")
    return found


def overlaps(parent: QWidget) -> list[str]:
    """Return which visible widgets of one parent overlap, and which stick out of it, all the way down."""
    shown = [c for c in parent.findChildren(QWidget) if c.parent() is parent and c.isVisible()]
    found = [f"{a} on {b}" for a, b in combinations(shown, 2) if a.geometry().intersects(b.geometry())]
    found += [f"{c} sticks out of {parent}" for c in shown if not parent.rect().contains(c.geometry())]
    return [*found, *(line for child in shown for line in overlaps(child))]


@pytest.mark.parametrize("page", ["board", "ladder", "alert", "choices", "air"])
def test_in_the_light_theme_everything_stands_the_same(hand: HandBay, page: str):
    with walled(hand, theme="light") as light:
        light.turn_to(page)
        assert failings(light) + overlaps(light.wall) == []


@pytest.mark.parametrize("inch", [23.5, 24.0, 25.0, 26.0, 27.0, 32.0])
def test_a_crew_of_four_and_the_question_of_the_clock_fit_the_strip(tmp_path: Path, inch: float):
    with hand_bay(tmp_path, cars=0) as hand:
        job, _ = practice_scenario(OPENING)
        hand.bay.open_job(job.model_copy(update={"crew": tuple(Person(p) for p in ("Ash", "Bo", "Cy", "Maximilian"))}))
        hand.doubt_the_time()
        with walled(hand, inch=inch) as wall:
            assert len([b for b in wall.wall.strip.people if b.isVisible()]) == 4
            assert wall.wall.strip.clock.isVisible()
            assert failings(wall) + overlaps(wall.wall) == []


@pytest.mark.parametrize("size", [(1920, 1080), (1280, 800)])
def test_an_alert_beside_an_open_ladder_takes_the_place_of_the_legend(hand: HandBay, size: tuple[int, int]):
    """The room under a page is kept for alerts: none is ever hidden, and nothing moves when one comes."""
    with walled(hand, size) as wall:
        wall.turn_to("refused")
        places = [(button, button.geometry()) for button in wall.wall.ladder_bar.findChildren(GloveButton)]
        assert not wall.wall.band.heard_button.isVisible()
        wall.wait(71)
        assert wall.wall.band.isVisible()
        assert wall.wall.band.heard_button.isVisible()
        assert wall.wall.ladder.isVisible()
        assert failings(wall) + overlaps(wall.wall) == []
        wall.press(wall.wall.band.heard_button)
        assert not wall.wall.band.heard_button.isVisible()
        assert overlaps(wall.wall) == []
        assert [(button, button.geometry()) for button, _ in places] == places


@pytest.mark.parametrize("screen", SCREENS)
def test_the_next_step_is_at_least_30_mm_tall_and_half_the_screen_wide(hand: HandBay, screen: str):
    size, inch = SCREENS[screen]
    with walled(hand, size, inch=inch) as wall:
        box = wall.box_mm(wall.wall.next_bar.main)
        assert box.height() >= 30
        assert wall.wall.next_bar.main.width() >= wall.wall.width() / 2
        wall.turn_to("ladder")
        box = wall.box_mm(wall.wall.ladder_bar.main)
        assert box.height() >= 30
        assert box.width() >= 150


def test_the_audit_itself_finds_a_small_a_near_and_an_overlapping_button(board: Walled):
    """The check can fail: three buttons that are wrong on purpose are reported."""
    main, more = board.wall.next_bar.main, board.wall.next_bar.more
    more.setGeometry(main.geometry().right() - 4, 0, 60, 60)
    assert any(f"{60 * board.mm:.1f} × {60 * board.mm:.1f} mm" in line for line in failings(board))
    assert any("apart" in line for line in failings(board))
    assert overlaps(board.wall)


def test_a_window_on_a_small_screen_shrinks_whole(hand: HandBay):
    """Below 23 inches gloves are too large, and the board says nothing else: it is the same board, smaller."""
    with walled(hand, (1280, 800), inch=15) as wall:
        for page in ("board", "ladder"):
            wall.turn_to(page)
            assert overlaps(wall.wall) == []
        assert wall.look.measure.px_per_mm == pytest.approx(min(1280 / 500, 800 / 281))


def test_sizes_follow_the_screens_word_unless_the_shop_sets_them(hand: HandBay):
    """A larger screen of as many pixels shows a smaller board in pixels, and the same in millimetres."""
    heights = []
    for inch in (24.0, 27.0, 32.0):
        with walled(hand, inch=inch) as wall:
            heights.append(wall.wall.strip.height())
            assert wall.box_mm(wall.wall.strip).height() == pytest.approx(25.5, abs=0.3)
    assert all(a > b for a, b in pairwise(heights))
