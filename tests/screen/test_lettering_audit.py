"""What is written on the wall can be read: tall enough from 3 m, never cut off, never on top of other words.

Text height h = 2 d tan(angle / 2), the form of ISO 9241-303 and of NUREG-0700 1.3.1-4 (h = 6.283 D MA / 21600):
at least 16 minutes of arc, 20 to 22 preferred. Height means the height of capitals.
"""

from dataclasses import dataclass
from itertools import combinations
from math import pi, radians, tan
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.badges import paint_badge
from bayapp.drawing.digits import digits_width, paint_digits
from bayapp.job.model.ids import Urgency
from bayapp.pages.board.clock_column import Tile
from bayapp.screen.air import air_chart, air_day, air_entry
from bayapp.screen.board import alert_band, bay_button, bays, clock_column, correction, ladder, strip
from bayapp.screen.cars import new_job_begin, new_job_form
from bayapp.screen.input import glove_lock, typed_entry
from bayapp.screen.plan import plan, plan_bars, plan_edges, plan_letters
from bayapp.screen.recipes import recipe_rungs, recipe_view
from bayapp.screen.shelf import bottle_button
from bayapp.screen.widgets import cells_page, choice_page, entry_page, glove_button
from bayapp.screen.widgets.typeset import fit, paint_words
from tests.pages.bays import CAR, HandBay, hand_bay
from tests.screen.test_glove_audit import SCREENS
from tests.screen.walls import Walled, walled

WRITERS = (
    air_chart,
    air_day,
    alert_band,
    bay_button,
    bays,
    new_job_begin,
    bottle_button,
    cells_page,
    choice_page,
    clock_column,
    correction,
    entry_page,
    new_job_form,
    glove_button,
    glove_lock,
    air_entry,
    ladder,
    recipe_rungs,
    plan_bars,
    plan_edges,
    plan_letters,
    plan,
    recipe_view,
    strip,
    typed_entry,
)


def minutes_of_arc(height_mm: float, distance_mm: float = 3_000) -> float:
    """Return the visual angle by NUREG-0700's form, minutes of arc."""
    return height_mm * 21_600 / (2 * pi * distance_mm)


@dataclass(frozen=True)
class Ink:
    """Something written or drawn: on which widget, where its ink lies, and the box it was given."""

    widget: Any
    text: str
    ink: QRectF
    box: QRectF
    cap_px: float = 0.0


@pytest.fixture
def inks(monkeypatch: pytest.MonkeyPatch) -> list[Ink]:
    """Everything that the wall's widgets write, and the badges beside it, as they really paint it."""
    found: list[Ink] = []

    def words(painter: QPainter, rect: QRectF, text: str, cap_px: float, colour: str, **how: Any) -> float:
        on_widget = painter.worldTransform().mapRect  # a mirrored page counts from the right
        taken = paint_words(painter, rect, text, cap_px, colour, **how)
        if text and taken:
            bold, lines = bool(how.get("bold", True)), how.get("lines", 1)
            font, rows = fit(text, rect.width(), rect.height(), cap_px, bold, lines)
            metrics = QFontMetricsF(font)
            wide = max(metrics.horizontalAdvance(row) for row in rows)
            slack = rect.width() - wide
            shift = {Qt.AlignmentFlag.AlignRight: slack, Qt.AlignmentFlag.AlignHCenter: slack / 2}.get(
                how.get("align", Qt.AlignmentFlag.AlignLeft),
                0.0,
            )
            top = rect.top() if how.get("top") else rect.center().y() - taken / 2
            ink = QRectF(rect.left() + shift, top, wide, taken)
            found.append(Ink(painter.device(), text, on_widget(ink), on_widget(rect), metrics.capHeight()))
        return taken

    def digits(painter: QPainter, rect: QRectF, text: str, font: QFont, colour: str, *rest: Any) -> None:
        paint_digits(painter, rect, text, font, colour, *rest)
        cap, wide = QFontMetricsF(font).capHeight(), digits_width(text, font)
        if text:
            ink = QRectF(rect.right() - wide, rect.center().y() - cap / 2, wide, cap)
            on_widget = painter.worldTransform().mapRect
            found.append(Ink(painter.device(), text, on_widget(ink), on_widget(rect), cap))

    def badge(painter: QPainter, urgency: Urgency, rect: QRectF, *rest: Any) -> None:
        paint_badge(painter, urgency, rect, *rest)
        spot = painter.worldTransform().mapRect(rect)
        found.append(Ink(painter.device(), f"<{urgency}>", spot, spot))

    for module in WRITERS:
        for name, stand_in in (("paint_words", words), ("paint_digits", digits), ("paint_badge", badge)):
            if hasattr(module, name):
                monkeypatch.setattr(module, name, stand_in)
    return found


def wrong(inks: list[Ink]) -> set[str]:
    """Return what is cut off by its box or its widget, and what lies on top of something else."""
    found = set()
    for ink in inks:
        whole = QRectF(ink.widget.rect())
        if ink.ink.width() > ink.box.width() + 1:
            found.add(f"{ink.text!r} is {ink.ink.width():.0f} px wide in {ink.box.width():.0f}")
        if not whole.adjusted(-1, -1, 1, 1).contains(ink.ink):
            found.add(f"{ink.text!r} is cut off by its widget")
        for child in ink.widget.children():
            if isinstance(child, QWidget) and child.isVisible() and ink.ink.intersects(QRectF(child.geometry())):
                found.add(f"{ink.text!r} lies under a button")
    for one, other in combinations(inks, 2):
        if one.widget is other.widget and one.ink.adjusted(1, 1, -1, -1).intersects(other.ink):
            found.add(f"{one.text!r} on {other.text!r}")
    return found


def painted(wall: Walled, inks: list[Ink]) -> list[Ink]:
    """Paint the whole wall once, from nothing."""
    inks.clear()
    wall.wall.grab()
    return list(inks)


def test_every_ladder_of_the_practice_car_is_whole(hand: HandBay, inks: list[Ink]):
    with walled(hand, inch=24) as wall:
        wall.answer_all()
        found = {}
        for zone in hand.bay.state.jobs[CAR].zones:
            wall.wall.pages.show_ladder(CAR, (zone,))
            found[zone] = wrong(painted(wall, inks))
        assert {zone: bad for zone, bad in found.items() if bad} == {}


@pytest.mark.parametrize("screen", SCREENS)
def test_countdown_digits_on_tiles_are_read_from_three_metres(hand: HandBay, screen: str, inks: list[Ink]):
    """18 mm, which at 3 m is 20.6 minutes of arc."""
    size, inch = SCREENS[screen]
    with walled(hand, size, inch=inch) as wall:
        wall.answer_all()
        written = painted(wall, inks)
        for tile in (b for b in wall.wall.column.buttons if b.isVisible()):
            assert tile.tile
            (digits,) = [i for i in written if i.widget is tile and i.text == tile.tile.digits]
            tall = digits.cap_px * wall.mm
            assert tall >= 17.9, f"{tall:.2f} mm"  # the font's size is a whole number of pixels
            assert minutes_of_arc(tall) >= 20


@pytest.mark.parametrize("screen", SCREENS)
def test_zone_names_on_tiles_are_9_mm_where_they_fit(hand: HandBay, screen: str, inks: list[Ink]):
    size, inch = SCREENS[screen]
    with walled(hand, size, inch=inch) as wall:
        wall.answer_all()
        written = painted(wall, inks)
        for tile in (b for b in wall.wall.column.buttons if b.isVisible()):
            assert tile.tile
            (name,) = [i for i in written if i.widget is tile and i.text == tile.tile.title]
            assert name.cap_px * wall.mm >= 8.9, f"{name.text!r}: {name.cap_px * wall.mm:.2f} mm"


def test_a_name_too_long_for_9_mm_is_condensed_then_wrapped_then_made_smaller_to_half_at_most(
    board: Walled, inks: list[Ink]
):
    """Measured at 27 inches: what becomes of long names, and that none goes below what is read at arm's length."""
    tile = board.wall.column.buttons[1]
    assert tile.tile
    heights = {}
    for title in (
        "Rear right rim",
        "Rear left caliper and rear right caliper",
        "Front left headlamp and 11 more, Practice estate in pearl white",
    ):
        tile.show_tile(Tile(CAR, tile.tile.zones, title, "Coat", "wait", "11 h 59", Urgency.WAITING, 0.5, None), False)
        inks.clear()
        tile.grab()
        (name,) = [i for i in inks if i.text == title]
        assert not wrong(inks), wrong(inks)
        heights[title] = name.cap_px * board.mm
    short, long, longest = heights.values()
    assert short >= 8.9
    assert short >= long >= longest
    assert longest >= 4.5
    assert minutes_of_arc(longest, 1_000) >= 15


def test_the_height_formula_gives_the_worked_values_of_the_standards():
    """Capital heights at 3 m: 16 minutes of arc are 13.96 mm, 20 are 17.45 mm, 22 are 19.20 mm."""
    for minutes, height in ((16, 13.96), (20, 17.45), (22, 19.20)):
        assert 2 * 3_000 * tan(radians(minutes / 60) / 2) == pytest.approx(height, abs=0.006)
        assert minutes_of_arc(height) == pytest.approx(minutes, abs=0.01)


def test_the_audit_itself_finds_words_that_are_cut_off_or_collide(board: Walled, inks: list[Ink]):
    widget = board.wall.next_bar.main
    box = QRectF(0, 0, 100, 20)
    good = Ink(widget, "good", QRectF(10, 5, 50, 10), box)
    assert wrong([good]) == set()
    assert wrong([Ink(widget, "wide", QRectF(0, 5, 120, 10), box)])
    assert wrong([Ink(widget, "out", QRectF(-30, 5, 50, 10), box)])
    assert wrong([good, Ink(widget, "over", QRectF(40, 5, 50, 10), box)])


def test_six_cars_with_long_titles_are_written_whole(tmp_path: Path, inks: list[Ink]):
    with hand_bay(tmp_path, cars=6) as hand, walled(hand, inch=24) as wall:
        wall.answer_all()
        assert wrong(painted(wall, inks)) == set()
