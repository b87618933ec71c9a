"""Is it right for coating now, and what the day was like. Dew points: table of the DIN 4108 type, from memory."""

from collections.abc import Iterator
from datetime import UTC, timedelta
from pathlib import Path

import pytest

from bayapp.air import Limits, assess
from bayapp.job import FinishStep, MoveCar, ReadAir, SetAside, SetUpPlaces, TakeUp
from bayapp.job.model.ids import JobId, StepId, Urgency, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.contradiction import Contradiction, SensorValues
from bayapp.job.state.requests import SetUpBay
from bayapp.pages.air.air_chart import Panel, panels
from bayapp.pages.air.air_day import AirPageView, air_page, coats_ahead
from bayapp.text.figures import TemperatureUnit, Units, use_units
from tests.job.gate.places import BAY_1, BAY_2, DIVIDED
from tests.pages.bays import ASH, CAR, OPENING, HandBay, hand_bay
from tests.pages.board.test_next_step import small_job


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path / "empty", cars=0) as found:
        yield found


def page(hand: HandBay) -> AirPageView:
    return air_page(hand.bay.state, hand.bay.now(), UTC)


def read(hand: HandBay, air_c: float, rh_percent: float, surface_c: float | None = None) -> None:
    assert hand.bay.request(ReadAir(air_c, rh_percent, surface_c)).accepted


def chart(view: AirPageView, place: int) -> Panel:
    return view.panels[place]


# The answer.


def test_before_anybody_has_read_the_air_nobody_knows(empty: HandBay):
    view = page(empty)
    assert (view.fit, view.verdict) == (None, "Not known: read the air")
    assert view.urgency is Urgency.IDLE
    assert chart(view, 1).large == "–"


def test_in_fit_air_it_says_by_how_much_and_without_a_panel_that_a_car_may_be_colder(empty: HandBay):
    read(empty, 20, 50)
    view = page(empty)
    assert (view.fit, view.verdict) == (True, "Right for coating now")
    assert view.why.startswith("The surface is 10.7 °C above the dew point of 9.3 °C; 3.0 °C is enough.")
    assert "a car that has just come in is colder" in view.why
    read(empty, 20, 50, 19)
    assert "just come in" not in page(empty).why


def test_a_cold_panel_is_not_fit_and_it_says_what_would_make_it_so(empty: HandBay):
    read(empty, 20, 50, 8)
    view = page(empty)
    assert (view.fit, view.verdict, view.urgency) == (False, "Not right for coating now", Urgency.LAPSED)
    assert view.why == (
        "The surface is 1.3 °C below the dew point of 9.3 °C; a coat needs 3.0 °C above it. "
        "Warm the panel by 4.3 °C, or dry the air to 37 %."
    )


def test_after_half_an_hour_nobody_knows_any_more(empty: HandBay):
    read(empty, 20, 50)
    empty.wait(30 * 60)
    assert page(empty).fit is True
    empty.wait(0.001)
    view = page(empty)
    assert (view.fit, view.verdict) == (None, "Not known: read the air again")
    assert view.subtitle == "Last read at 09:00."


def test_the_limits_of_every_coat_that_is_still_to_be_laid_count(hand: HandBay):
    read(hand, 9, 50)
    view = page(hand)
    assert view.verdict == "Not right for every coat"
    assert "Orrelin" in view.why
    assert "Warm the air to 10.0 °C" in view.why
    read(hand, 2, 50)
    assert page(hand).verdict == "Not right for coating now"
    assert "Warm the air to 10.0 °C" in page(hand).why, "for all of them, not only for the first"


def test_a_coat_that_is_laid_or_set_aside_is_not_asked_about(empty: HandBay):
    empty.bay.open_job(small_job(), OPENING)
    job, bonnet = JobId("short"), (ZoneId("bonnet"),)
    assert coats_ahead(empty.bay.state) == (None,)
    empty.bay.request(SetAside(job, bonnet, "no time today", ASH))
    assert coats_ahead(empty.bay.state) == ()
    empty.bay.request(TakeUp(job, bonnet, ASH))
    for step, minutes in (("wipe", 2), ("coat", 0)):
        assert coats_ahead(empty.bay.state) == (None,)
        assert empty.bay.request(FinishStep(job, bonnet, StepId(step), ASH)).accepted
        empty.wait(minutes * 60)
    assert coats_ahead(empty.bay.state) == ()


def test_the_shops_own_margin_is_drawn_in_and_counts(empty: HandBay):
    read(empty, 20, 60, 16)
    assert page(empty).fit is True
    empty.bay.request(SetUpBay(5.0, None, None, 3.0))
    view = page(empty)
    assert view.fit is False
    assert chart(view, 2).limits[0].words == "5 °C"


# The day.


def test_a_reading_is_known_for_half_an_hour_and_then_only_supposed(empty: HandBay):
    read(empty, 20, 50, 18)
    empty.wait(2 * 3600)
    read(empty, 21, 48, 19)
    empty.wait(600)
    line = chart(page(empty), 1).lines[0]
    known = [(s.begins, s.ends, s.value) for s in line.stretches if s.known]
    supposed = [(s.begins, s.ends, s.value) for s in line.stretches if not s.known]
    second = OPENING + timedelta(hours=2)
    assert known[0] == (OPENING, OPENING + timedelta(minutes=30), 50)
    assert supposed == [(OPENING + timedelta(minutes=30), second, 50)]
    assert known[1][0] == second
    assert len(known) == 2


def test_where_the_panel_was_not_read_there_is_no_line_of_it(empty: HandBay):
    read(empty, 20, 50)
    temperatures = chart(page(empty), 0)
    assert [bool(line.stretches) for line in temperatures.lines] == [True, False, True]
    assert temperatures.lines[1].words == "panel not read"


def test_every_line_and_every_limit_lies_inside_its_chart(hand: HandBay):
    for reading in ((-5.5, 96.0, -7.5), (35.0, 20.0, 40.0), (20.0, 100.0, None)):
        air_c, rh_percent, surface_c = reading
        read(hand, air_c, rh_percent, surface_c)
        for panel in page(hand).panels:
            for value in [s.value for line in panel.lines for s in line.stretches] + [x.value for x in panel.limits]:
                assert panel.bottom <= value <= panel.top


def test_a_figure_outside_its_limits_is_marked(hand: HandBay):
    read(hand, 20, 90, 20)
    assert [panel.outside for panel in page(hand).panels] == [False, True, True]
    read(hand, 20, 50, 20)
    assert [panel.outside for panel in page(hand).panels] == [False, False, False]


def test_below_freezing_it_is_a_frost_point(empty: HandBay):
    read(empty, 5, 40)
    view = page(empty)
    assert chart(view, 2).title == "Above the frost point"
    assert "frost point of -6.6 °C" in view.why


def test_the_days_coats_are_marked_where_they_were_laid(hand: HandBay):
    state = hand.bay.state.jobs[CAR]
    laid = [
        run
        for zone, z in state.zones.items()
        for run in z.runs
        if state.job.recipe_of(zone).named(run.step).kind == "coat" and run.started_at.date() == OPENING.date()
    ]
    view = page(hand)
    assert laid
    for run in laid:
        assert any(mark.begins <= run.started_at <= mark.ends for mark in view.coats)
    assert all(a.ends < b.begins for a, b in zip(view.coats, view.coats[1:], strict=False))
    assert view.begins <= view.coats[0].begins
    assert view.now < view.ends


def test_a_sensor_that_reads_every_second_does_not_fill_the_chart():
    from bayapp.job.state.events import AirRead

    readings = [AirRead(at=OPENING + timedelta(seconds=n), air_c=20.0, rh_percent=50.0) for n in range(3600)]
    end = OPENING + timedelta(hours=1)
    line = panels(readings, assess(20, 50), Limits(), OPENING, end)[1].lines[0]
    assert len(line.stretches) <= 62
    assert line.stretches[0].begins == OPENING
    assert line.stretches[-1].ends == end


def test_in_fahrenheit_lines_limits_and_words_agree(hand: HandBay):
    use_units(Units(temperature=TemperatureUnit.FAHRENHEIT))
    try:
        read(hand, 20, 50, 20)
        temperatures, _humidity, margin = page(hand).panels
        assert temperatures.lines[0].words == "air 68.0 °F"
        assert temperatures.lines[0].stretches[-1].value == pytest.approx(68)
        assert [x.value for x in temperatures.limits] == pytest.approx([50, 86])
        assert margin.limits[0].value == pytest.approx(5.4)
    finally:
        use_units(Units())


# The vapour.


def test_without_the_bays_figures_the_vapour_is_not_known_and_they_are_asked_for(hand: HandBay):
    view = page(hand)
    assert view.vapour_figure == "–"
    assert view.vapour_caution.startswith("Not known: say in the settings")
    assert view.vapour_label == "Estimate, not a gas alarm"


def test_with_them_it_stands_beside_its_limits_and_over_them_what_to_do(hand: HandBay):
    hand.bay.request(SetUpBay(3.0, 150.0, 2.0, 3.0))
    view = page(hand)
    assert view.vapour_figure.startswith("about ")
    assert "Limits: 400 ppm for 15 minutes, 200 ppm for 8 hours." in view.vapour_caution
    assert not view.vapour_over
    hand.bay.request(SetUpBay(3.0, 30.0, 1.0, 3.0))
    view = page(hand)
    assert view.vapour_over
    assert "stop, go out" in view.vapour_caution
    assert any("closed metal can" in line for line in view.cautions)
    assert sum("that a spark lights" in line for line in view.cautions) == 1


# Two sensors that contradict each other.


def differing(door: tuple[float, float], hall: tuple[float, float]) -> Contradiction:
    first, second = (
        SensorValues(
            name, f"{name} sensor", {"air_c": said[0], "rh_percent": said[1]}, {"air_c": 1.5, "rh_percent": 6.0}
        )
        for name, said in (("door", door), ("hall", hall))
    )
    return Contradiction(first, second, "air_c", OPENING)


def test_where_sensors_differ_both_are_named_with_their_values_and_the_worse_of_them_answers(empty: HandBay):
    """10 °C and 90 % have a dew point of 8.4 °C by the Magnus formula (17.62, 243.12 °C; Sonntag 1990, from memory)."""
    read(empty, 20, 50)
    view = air_page(empty.bay.state, empty.bay.now(), UTC, (differing((20, 50), (10, 90)),))
    assert view.subtitle.endswith("Sensors differ: door sensor 20.0 °C, hall sensor 10.0 °C.")
    assert (view.fit, view.verdict) == (False, "Not right for coating now")
    assert view.why.startswith("By the hall sensor: The surface is 1.6 °C above the dew point of 8.4 °C")


def test_where_the_sensor_that_counts_is_the_worse_its_own_answer_stands(empty: HandBay):
    read(empty, 10, 90)
    view = air_page(empty.bay.state, empty.bay.now(), UTC, (differing((10, 90), (20, 50)),))
    assert (view.fit, view.why.startswith("The surface is 1.6 °C above")) == (False, True)


def test_an_old_reading_is_not_answered_for_by_a_sensor_that_another_contradicts(empty: HandBay):
    read(empty, 20, 50)
    empty.wait(31 * 60)
    view = air_page(empty.bay.state, empty.bay.now(), UTC, (differing((20, 50), (10, 90)),))
    assert view.fit is None


def test_the_page_is_of_the_air_where_the_car_stands_and_of_the_coats_there(empty: HandBay):
    bay = empty.bay
    for name in ("first", "second"):
        bay.open_job(small_job().model_copy(update={"id": JobId(name)}))
    assert bay.request(SetUpPlaces(DIVIDED)).accepted
    assert bay.request(MoveCar(JobId("first"), BAY_1)).accepted
    assert bay.request(MoveCar(JobId("second"), OUTSIDE)).accepted
    assert bay.request(ReadAir(20, 50, place=BAY_1)).accepted
    found = {place: air_page(bay.state, bay.now(), UTC, place=place) for place in (BAY_1, BAY_2, OUTSIDE)}
    assert [view.fit for view in found.values()] == [True, None, None]
    assert found[BAY_1].subtitle.startswith("Front bay: ")
    assert found[OUTSIDE].verdict == "Not known: read the air"
    assert found[OUTSIDE].subtitle.startswith("Outside: ")
