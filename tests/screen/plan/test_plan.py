"""Fingers on the time line: drag, pinch, wheel and buttons, with the events that Qt itself sends."""

import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QPoint, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QImage, QPaintEvent, QPointingDevice, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from bayapp.drawing.colour_math import contrast
from bayapp.drawing.palette import PALETTES
from bayapp.job import Start
from bayapp.job.model.ids import StepId, Urgency, ZoneId
from bayapp.pages.plan.plan_stints import Part
from bayapp.pages.wanted import Page
from bayapp.screen import picture
from bayapp.screen.plan.plan import PlanPage
from bayapp.screen.plan.plan_chart import LEAST_SPAN_S, PlanChart
from bayapp.screen.plan.plan_frame import seconds_of
from tests.pages.bays import ASH, CAR, OPENING, HandBay
from tests.pages.orders import order_of, planned
from tests.screen.walls import Walled, walled

MIN = timedelta(minutes=1)


@pytest.fixture
def page(board: Walled) -> PlanPage:
    board.open_plan()
    return page_of(board)


def page_of(wall: Walled) -> PlanPage:
    (found,) = wall.wall.findChildren(PlanPage)
    assert found.isVisible()
    return found


@pytest.fixture(scope="session")
def glass() -> QPointingDevice:
    return QTest.createTouchDevice()


def middle(chart: PlanChart) -> QPoint:
    return chart.scene_of.frame().view.center().toPoint()


def time_at(chart: PlanChart, x: float) -> float:
    """The moment under a column, in seconds, by the range that is set and not by what is painted."""
    (left, right), view = chart.times(), chart.scene_of.frame().view
    return left + (x - view.left()) / view.width() * (right - left)


def drag(chart: PlanChart, start: QPoint, by: QPoint, steps: int = 5) -> None:
    port = chart.viewport()
    QTest.mousePress(port, Qt.MouseButton.LeftButton, pos=start)
    for n in range(1, steps + 1):
        QTest.mouseMove(port, start + by * n / steps)
    QTest.mouseRelease(port, Qt.MouseButton.LeftButton, pos=start + by)


def wheel(chart: PlanChart, at: QPoint, notches: int) -> None:
    port = chart.viewport()
    event = QWheelEvent(
        QPointF(at),
        QPointF(port.mapToGlobal(at)),
        QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QCoreApplication.sendEvent(port, event)


def pinch(chart: PlanChart, glass: QPointingDevice, start: tuple[QPoint, QPoint], end: tuple[QPoint, QPoint]) -> None:
    port = chart.viewport()
    touch = QTest.touchEvent(port, glass)
    touch.press(0, start[0], port).press(1, start[1], port).commit()
    for n in range(1, 6):
        first, second = (a + (b - a) * n / 5 for a, b in zip(start, end, strict=True))
        touch.move(0, first, port).move(1, second, port).commit()
    touch.release(0, end[0], port).release(1, end[1], port).commit()


# The way there and back.


def test_more_leads_to_the_plan_and_back_to_the_board(board: Walled):
    board.press(board.wall.next_bar.more)
    board.choose("Plan")
    page = page_of(board)
    assert board.wall.column.buttons[0].isVisible()
    assert board.wall.next_bar.main.isVisible()
    board.press(page.close_button)
    assert board.wall.car.isVisible()
    assert not page.isVisible()


def test_what_there_is_to_say_stands_on_a_page_of_its_own_that_leads_back(board: Walled, page: PlanPage):
    board.press(page.words_button)
    assert "2 h 10 sooner than zone after zone." in board.sentences()
    board.choose("Back to the time line")
    assert page.isVisible()


def test_nothing_of_the_time_line_is_loaded_before_a_plan_is_looked_at():
    code = (
        "import sys, bayapp.screen.app, bayapp.screen.openers, bayapp.screen.plan.plan_controller\n"
        "heavy = {'pyqtgraph', 'numpy', 'ortools', 'bayapp.screen.plan.plan'} & sys.modules.keys()\n"
        "sys.exit(f'loaded: {heavy}' if heavy else 0)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert (result.returncode, result.stderr) == (0, "")


# What is in sight.


@pytest.mark.parametrize("size", [(1920, 1080), (1280, 800)])
@pytest.mark.parametrize("page_name", ["plan", "plan-zones"])
def test_at_opening_now_and_the_soonest_bar_are_in_sight(hand: HandBay, size: tuple[int, int], page_name: str):
    with walled(hand, size) as wall:
        wall.answer_all()
        wall.open_plan(page_name)
        chart = page_of(wall).chart
        scene = chart.scene_of
        assert scene.view
        assert scene.view.soonest
        frame = scene.frame()
        for moment in (scene.view.now, scene.view.soonest):
            assert frame.view.left() < frame.x(moment) < frame.view.right()
        rows = [
            n for n, r in enumerate(scene.rows) for b in r.bars
            if b.start == scene.view.soonest and b.part is Part.PLANNED
        ]  # fmt: skip
        assert any(scene.whole(scene.row_boxes()[n]) for n in rows)


def test_a_plan_that_begins_tomorrow_shows_now_and_its_first_bar(board: Walled):
    board.hand.bay.advice.take_order(order_of(OPENING, planned("roof", "wipe", OPENING + timedelta(hours=20), 2)))
    board.wall.pages.want(Page.PLAN)
    frame = page_of(board).chart.scene_of.frame()
    assert frame.view.left() < frame.x(OPENING) < frame.x(OPENING + timedelta(hours=20)) < frame.view.right()


def test_the_place_of_a_bar_agrees_with_its_time_in_the_picture(board: Walled, page: PlanPage):
    """The picture itself is asked: the solid of what was done begins and ends in the columns of its moments."""
    page.day_button.click()
    chart, palette = page.chart, board.look.palette
    scene = chart.scene_of
    frame = scene.frame()
    done = [b for b in scene.rows[0].bars if b.part is Part.DONE]
    longest = max(done, key=lambda b: b.end - b.start)
    picture = chart.grab().toImage()
    box = scene.row_boxes()[0]
    ratio = picture.devicePixelRatio()

    def solid(x: float) -> bool:
        column = (picture.pixelColor(round(x * ratio), y) for y in range(round(box.top()), round(box.bottom())))
        return sum(c.name() == palette.text_quiet for c in column) > box.height() / 5

    left, right = frame.x(longest.start), frame.x(longest.end)
    assert right - left > 10
    assert solid(left + 3)
    assert solid((left + right) / 2)
    assert solid(right - 3)
    assert not solid(frame.x(min(b.start for b in done)) - 3)
    assert frame.x(longest.end) - frame.x(longest.start) == pytest.approx(
        (longest.end - longest.start).total_seconds() / (chart.times()[1] - chart.times()[0]) * frame.view.width()
    )


def test_everything_is_painted_anew_in_the_other_theme(board: Walled, page: PlanPage):
    spot = page.chart.geometry().center()
    before = page.grab().toImage().pixelColor(spot.x(), page.chart.geometry().top() + 3).lightness()
    board.swap_theme()
    after = page.grab().toImage().pixelColor(spot.x(), page.chart.geometry().top() + 3).lightness()
    assert before < 60 < 190 < after


def test_every_word_on_the_time_line_stands_out_seven_to_one():
    """WCAG 2.x contrast of each ink on the ground it is written on."""
    for palette in PALETTES.values():
        for ink, ground in (
            (palette.text, palette.tile),
            (palette.text, palette.tile_raised),
            (palette.text_quiet, palette.tile),
            (palette.tile, palette.text_quiet),
            (palette.ink_on(Urgency.WORKING), palette.state(Urgency.WORKING)),
            (palette.flag_text, palette.flag),
        ):
            assert contrast(ink, ground) >= 7, (palette.name, ink, ground)


# Fingers.


def test_a_finger_drags_time_along_and_it_stays_under_the_finger(page: PlanPage):
    chart = page.chart
    start, by = middle(chart), QPoint(-120, 0)
    moment, span = time_at(chart, start.x()), chart.times()[1] - chart.times()[0]
    drag(chart, start, by)
    assert time_at(chart, start.x() + by.x()) == pytest.approx(moment, abs=2)
    assert chart.times()[1] - chart.times()[0] == pytest.approx(span)
    assert chart.top() == 0


def test_nobody_can_drag_into_nothing(page: PlanPage):
    chart = page.chart
    view = chart.scene_of.view
    assert view
    for by in (QPoint(40_000, 9_000), QPoint(-40_000, -9_000)):
        for _again in range(3):
            drag(chart, middle(chart), by)
        left, right = chart.times()
        slack = 0.1 * (view.ends - view.begins).total_seconds()
        assert seconds_of(view.begins) - slack <= left < right <= seconds_of(view.ends) + slack
        assert right > seconds_of(view.begins)
        assert left < seconds_of(view.ends)
        assert 0 <= chart.top() <= max(0.0, chart.scene_of.tops[-1] - chart.room())


def test_a_finger_on_the_glass_drags_as_a_mouse_does(page: PlanPage, glass: QPointingDevice):
    chart, port = page.chart, page.chart.viewport()
    start = middle(chart)
    moment = time_at(chart, start.x())
    touch = QTest.touchEvent(port, glass)
    touch.press(0, start, port).commit()
    for step in (30, 60, 90):
        touch.move(0, start - QPoint(step, 0), port).commit()
    touch.release(0, start - QPoint(90, 0), port).commit()
    assert time_at(chart, start.x() - 90) == pytest.approx(moment, abs=2)
    assert not chart.follows


def test_two_fingers_pinch_and_both_moments_stay_under_them(page: PlanPage, glass: QPointingDevice):
    chart = page.chart
    at = middle(chart)
    start = (at - QPoint(100, 10), at + QPoint(100, 10))
    end = (at - QPoint(180, 30), at + QPoint(140, 60))
    moments = [time_at(chart, p.x()) for p in start]
    pinch(chart, glass, start, end)
    for moment, finger in zip(moments, end, strict=True):
        assert time_at(chart, finger.x()) == pytest.approx(moment, abs=2)
    assert chart.top() == 0, "rows are never stretched"


def test_a_pinch_stops_at_ten_minutes_and_at_the_whole_day(page: PlanPage, glass: QPointingDevice):
    chart = page.chart
    at = middle(chart)
    near, far = (at - QPoint(60, 0), at + QPoint(60, 0)), (at - QPoint(330, 0), at + QPoint(330, 0))
    for _again in range(3):
        pinch(chart, glass, near, far)
    assert chart.times()[1] - chart.times()[0] == pytest.approx(LEAST_SPAN_S)
    for _again in range(5):
        pinch(chart, glass, far, near)
    whole = chart.times()
    page.day_button.click()
    assert chart.times() == pytest.approx(whole)


def test_fingers_that_lie_over_one_another_and_a_third_drop_do_nothing(page: PlanPage, glass: QPointingDevice):
    chart, port = page.chart, page.chart.viewport()
    at, before = middle(chart), page.chart.times()
    pinch(chart, glass, (at - QPoint(2, 90), at + QPoint(2, 90)), (at - QPoint(9, 90), at + QPoint(9, 90)))
    assert chart.times() == pytest.approx(before)
    three = [at - QPoint(100, 0), at + QPoint(100, 0), at + QPoint(0, 60)]
    touch = QTest.touchEvent(port, glass)
    for n, point in enumerate(three):
        touch.press(n, point, port)
    touch.commit()
    touch.stationary(0).stationary(1).move(2, at + QPoint(50, 90), port).commit()
    assert chart.times() == pytest.approx(before)
    for n, point in enumerate(three):
        touch.release(n, point, port)
    touch.commit()


def test_lifting_one_of_two_fingers_makes_no_jump(page: PlanPage, glass: QPointingDevice):
    chart, port = page.chart, page.chart.viewport()
    at = middle(chart)
    left, right = at - QPoint(150, 0), at + QPoint(150, 0)
    touch = QTest.touchEvent(port, glass)
    touch.press(0, left, port).press(1, right, port).commit()
    before = chart.times()
    touch.release(0, left, port).stationary(1).commit()
    touch.move(1, right + QPoint(1, 0), port).commit()
    assert chart.times()[0] == pytest.approx(before[0], abs=5)
    touch.move(1, right + QPoint(40, 0), port).commit()
    assert chart.times()[0] < before[0] - 60
    touch.release(1, right, port).commit()


@pytest.mark.parametrize("notches", [1, 3, -2])
def test_the_wheel_zooms_around_its_column(page: PlanPage, notches: int):
    chart = page.chart
    at = middle(chart) + QPoint(90, 0)
    moment, span = time_at(chart, at.x()), chart.times()[1] - chart.times()[0]
    wheel(chart, at, notches)
    assert time_at(chart, at.x()) == pytest.approx(moment, abs=2)
    assert (chart.times()[1] - chart.times()[0] < span) is (notches > 0)


def test_rows_by_zone_are_dragged_up_to_the_last_and_are_counted(board: Walled):
    board.open_plan("plan-zones")
    page = page_of(board)
    chart = page.chart
    hidden = chart.hidden_rows()
    assert hidden > 3
    assert page.rows_button.detail == f"{hidden} more rows: drag"
    assert chart.scene_of.whole(chart.scene_of.row_boxes()[0])
    drag(chart, middle(chart), QPoint(0, -60))
    assert chart.top() == pytest.approx(60 * board.mm, abs=0.5)
    drag(chart, middle(chart), QPoint(0, -9_000))
    assert chart.scene_of.whole(chart.scene_of.row_boxes()[-1])


def test_both_people_of_a_crew_of_two_are_whole_on_a_small_wall(hand: HandBay):
    """At 1280 × 800 the second person's row had no name."""
    for inch in (21.0, 24.0, 27.0):
        with walled(hand, (1280, 800), inch=inch) as small:
            small.open_plan()
            chart = page_of(small).chart
            assert len(chart.scene_of.rows) == 2
            assert all(chart.scene_of.whole(box) for box in chart.scene_of.row_boxes()), inch


# Buttons.


def test_three_buttons_do_what_pinching_does_for_wet_gloves(board: Walled, page: PlanPage):
    chart = page.chart
    opening = chart.times()
    board.press(page.day_button)
    view = chart.scene_of.view
    assert view
    assert chart.times()[0] < seconds_of(view.begins) < seconds_of(view.ends) < chart.times()[1]
    board.press(page.now_button)
    assert chart.times() == pytest.approx(opening)
    assert page.rows_button.title == "By zone"
    board.press(page.rows_button)
    assert page.rows_button.title == "By person"
    assert chart.scene_of.view
    assert chart.scene_of.view.by_person is False
    board.press(page.rows_button)
    assert chart.times() == pytest.approx(opening)


def test_rows_are_swapped_without_turning_away_from_what_is_looked_at(board: Walled, page: PlanPage):
    drag(page.chart, middle(page.chart), QPoint(-200, 0))
    seen = page.chart.times()
    board.press(page.rows_button)
    assert page.chart.times() == pytest.approx(seen)


# As time goes on.


class Painted(QObject):
    """What a widget was asked to repaint."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.boxes: list[QRect] = []
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 (Qt's name)
        if isinstance(event, QPaintEvent):
            self.boxes += [QRect(box) for box in event.region()]  # type: ignore[attr-defined] # Qt's stubs forget it
        return False

    @property
    def area(self) -> float:
        return sum(box.width() * box.height() for box in self.boxes)


@pytest.fixture
def painted(board: Walled, page: PlanPage) -> Painted:
    for _turn in range(2):  # what was said to begin at the opening is foreseen by now, and Qt has caught up with it
        board.wait(5)
        settle()
    return Painted(page.chart.viewport())


def settle() -> None:
    """Let a scene do what it has put off: it looks through its items in one round and paints in the next."""
    for _round in range(4):
        QCoreApplication.processEvents()


def test_a_second_repaints_a_strip_at_the_line_of_now_or_nothing(board: Walled, page: PlanPage, painted: Painted):
    whole = page.chart.width() * page.chart.height()
    for _second in range(10):
        board.wait(1)
        settle()
    assert 0 < painted.area < whole * 0.6, "ten seconds together repaint less than the whole once"
    worst = max(box.width() * box.height() for box in painted.boxes)
    assert worst < whole * 0.13


def test_the_whole_day_stands_still_for_a_second(board: Walled, page: PlanPage, painted: Painted):
    board.press(page.day_button)
    settle()
    painted.boxes.clear()
    board.wait(1)
    settle()
    assert painted.area == 0


def test_the_line_of_now_moves_and_the_large_view_goes_with_it(board: Walled, page: PlanPage):
    chart = page.chart
    for _minute in range(45):
        board.wait(60)
        frame = chart.scene_of.frame()
        x = frame.x(board.hand.bay.now())
        assert frame.view.left() < x < frame.view.left() + frame.view.width() * 0.45
    assert chart.now_item.scenePos().x() == pytest.approx(x, abs=2)


def test_who_looks_elsewhere_is_left_there(board: Walled, page: PlanPage):
    drag(page.chart, middle(page.chart), QPoint(-300, 0))
    seen = page.chart.times()
    board.wait(3_600)
    assert page.chart.times() == pytest.approx(seen)


def test_a_step_that_begins_is_shown_at_once_and_what_was_said_of_it_stays(board: Walled, page: PlanPage):
    board.wait(130)
    assert board.hand.bay.request(Start(CAR, (ZoneId("windscreen"),), StepId("coat-3"), ASH)).accepted
    board.wall.refresher.refresh()
    (row,) = [r for r in page.chart.scene_of.rows if r.label == "Ash"]
    (running,) = [b for b in row.bars if b.part is Part.RUNNING]
    assert running.start == board.hand.bay.now()
    assert row.foreseen


def test_a_new_work_order_is_taken_over_while_one_looks(board: Walled, page: PlanPage):
    at: datetime = board.hand.bay.now()
    board.hand.bay.advice.take_order(order_of(at, planned("roof", "wipe", at + 460 * MIN, 2)))
    board.wall.refresher.refresh()
    assert page.chart.scene_of.view
    assert page.chart.scene_of.view.title == f"Work done at {(at + 462 * MIN).astimezone(UTC):%H:%M}"


def test_an_alert_comes_in_the_room_that_is_kept_for_it_and_the_time_line_stays_whole(board: Walled, page: PlanPage):
    tall = page.height()
    board.wait(71)
    assert board.wall.band.isVisible()
    assert page.height() == tall
    assert page.chart.geometry().bottom() < page.now_button.geometry().top()
    assert page.chart.scene_of.whole(page.chart.scene_of.row_boxes()[0])


def test_the_picture_command_plans_and_shows_the_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(picture, "PLAN_SECONDS", 0.1)
    shown: list[str] = []
    show_title = PlanPage.show_title

    def overheard(page: PlanPage, title: str, subtitle: str) -> None:
        shown.append(title)
        show_title(page, title, subtitle)

    monkeypatch.setattr(PlanPage, "show_title", overheard)
    picture.paint_picture(tmp_path / "plan.png", picture.Scene(at=OPENING), "plan", (1280, 720), "light")
    assert QImage(str(tmp_path / "plan.png")).size() == QSize(1280, 720)
    assert shown
    assert shown[-1] != "No plan yet"
