import pytest

from bayapp.job import ReadAir
from bayapp.screen.air_page import AirPage
from bayapp.screen.keypad_page import KeypadPage
from tests.screen.walls import Walled


@pytest.fixture
def air(board: Walled) -> AirPage:
    board.press(board.wall.strip.air)
    (page,) = board.wall.findChildren(AirPage)
    assert page.isVisible()
    return page


def test_the_air_in_the_strip_opens_the_page_with_the_answer(air: AirPage):
    assert air.view
    assert air.view.verdict == "Fit to coat now"
    assert [chart.panel for chart in air.charts] == list(air.view.panels)


def test_where_the_air_must_be_read_anyway_the_strip_opens_the_keypad(board: Walled):
    board.wait(31 * 60)
    board.answer_all()
    board.press(board.wall.strip.air)
    (keypad,) = board.wall.findChildren(KeypadPage)
    assert keypad.isVisible()


def test_a_new_reading_changes_the_answer_at_once(board: Walled, air: AirPage):
    board.hand.bay.request(ReadAir(20, 50, 8))
    board.wall.refresh()
    assert air.view
    assert air.view.verdict == "Not fit to coat now"


def test_a_second_that_changes_nothing_shown_paints_nothing(board: Walled, air: AirPage):
    before = air.view
    board.wait(1)
    assert air.view == before
    board.wait(60)
    assert air.view != before


def test_the_cautions_are_told_on_a_page_of_their_own_and_lead_back(board: Walled, air: AirPage):
    board.press(air.cautions_button)
    assert "closed metal can" in board.told()
    assert "No sensor measures it" in board.told()
    board.choose("Back to the air")
    assert air.isVisible()


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
