from dataclasses import replace

import pytest

from bayapp.job import ReadAir
from bayapp.job.state.requests import SetUpBay
from bayapp.pages.air.air_day import AirPageView
from bayapp.record import StoreProblem
from bayapp.record.left_cars import LeftCars
from bayapp.screen.air.air_day import AirPage
from bayapp.screen.air.air_entry import AirEntryPage
from tests.pages.bays import CAR
from tests.screen.walls import Walled


def seen(page: AirPage) -> AirPageView:
    assert page.view
    return page.view


@pytest.fixture
def air(board: Walled) -> AirPage:
    board.press(board.wall.strip.air)
    (page,) = board.wall.findChildren(AirPage)
    assert page.isVisible()
    return page


def test_the_air_in_the_strip_opens_the_page_with_the_answer(air: AirPage):
    assert air.view
    assert air.view.verdict == "Right for coating now"
    assert [chart.panel for chart in air.charts] == list(air.view.panels)


def test_where_the_air_must_be_read_anyway_the_strip_opens_the_keypad(board: Walled):
    board.wait(31 * 60)
    board.answer_all()
    board.press(board.wall.strip.air)
    (keypad,) = board.wall.findChildren(AirEntryPage)
    assert keypad.isVisible()


def test_a_new_reading_changes_the_answer_at_once(board: Walled, air: AirPage):
    board.hand.bay.request(ReadAir(20, 50, 8))
    board.wall.refresher.refresh()
    assert air.view
    assert air.view.verdict == "Not right for coating now"


def test_a_second_that_changes_nothing_shown_paints_nothing(board: Walled, air: AirPage):
    before = air.view
    board.wait(1)
    assert air.view == before
    board.wait(60)
    assert air.view != before


def test_the_cautions_stand_on_a_page_of_their_own_and_lead_back(board: Walled, air: AirPage):
    board.press(air.cautions_button)
    assert "closed metal can" in board.sentences()
    assert "No sensor measures it" in board.sentences()
    board.choose("Back to the air")
    assert air.isVisible()


def test_the_page_knows_the_solvent_of_a_car_that_left_before_the_start_though_nobody_has_read_it_yet(board: Walled):
    bay = board.hand.bay
    bay.request(SetUpBay(3.0, 180.0, 2.0, 3.0))
    unread = bay.state.jobs[CAR]
    board.press(board.wall.strip.air)
    (page,) = board.wall.findChildren(AirPage)
    before = seen(page)
    assert before.vapour_figure.startswith("about ")
    bay.state = replace(bay.state, jobs={})
    board.wall.refresher.refresh()
    assert seen(page).vapour_figure == "–"
    left = [unread]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(LeftCars, "read_next", lambda *_arguments: left.pop() if left else None)
        board.wall.refresher.refresh()
    assert seen(page).vapour_figure == before.vapour_figure


def test_where_a_car_that_left_cannot_be_read_the_page_says_that_there_may_be_more(board: Walled):
    bay = board.hand.bay
    bay.request(SetUpBay(3.0, 180.0, 2.0, 3.0))

    def fails(*_arguments: object) -> None:
        raise StoreProblem("entry 1 is no event", "the store", "restore a backup")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(LeftCars, "read_next", fails)
        board.press(board.wall.strip.air)
        (page,) = board.wall.findChildren(AirPage)
        view = seen(page)
    assert view.vapour_figure.startswith("at least ")
    assert "there may be more solvent in the air than this" in view.vapour_caution
    assert view.verdict == "Right for coating now"


def test_in_the_other_theme_the_charts_are_drawn_anew(board: Walled, air: AirPage):
    before = air.charts[0].grab().toImage().pixelColor(2, 2)
    board.swap_theme()
    assert air.charts[0].grab().toImage().pixelColor(2, 2) != before


def test_the_lines_are_drawn_where_the_readings_lie(air: AirPage):
    """A point of the humidity's last known stretch has the ink of a line, one well below it has not."""
    chart = air.charts[1]
    assert chart.panel
    stretch = chart.panel.lines[0].stretches[-1]
    image = chart.grab().toImage()
    box, ratio = chart.plot_rect(), image.devicePixelRatio()
    x = chart.x_of(stretch.ends) - 4
    y = chart.y_of(stretch.value)
    ink = image.pixelColor(round(x * ratio), round(y * ratio))
    paper = image.pixelColor(round(x * ratio), round((y + box.height() * 0.15) * ratio))
    assert abs(ink.lightness() - paper.lightness()) > 100


def test_a_chart_too_low_for_its_lines_shows_its_figure_alone(air: AirPage):
    """An alert under the page takes height from it: nothing is written over the figure, and nothing under it."""
    chart = air.charts[1]
    chart.setFixedHeight(round(air.charts[1].plot_rect().top()) + 40)
    image = chart.grab().toImage()
    ratio, top = image.devicePixelRatio(), round(chart.plot_rect().top())
    below = {image.pixelColor(x, round((top + 30) * ratio)).name() for x in range(image.width())}
    assert below == {image.pixelColor(2, 2).name()}
