"""Readings that come late, from sensors, or wrong: what is recorded, what is refused, what counts afterwards."""

import math
from dataclasses import replace

import pytest

from bayapp.job import CorrectAir, ReadAir, why_not
from bayapp.job.state.events import AirCorrected, AirRead, AirValues
from tests.job.builders import Shop, at, code, grounds, job, read_air, recipe, start, step, why


def shop() -> Shop:
    return Shop(job((["roof"], recipe(step("wipe"), step("coat")))))


def typed(air_c: float, read: float | None = None, source: str = "") -> ReadAir:
    return ReadAir(air_c, 50.0, None, None, None if read is None else at(read), source)


def temperatures(bay: Shop) -> list[float]:
    return [reading.air_c for reading in bay.state.readings]


def test_a_reading_typed_now_holds_from_now() -> None:
    bay = shop()
    event = bay.must(read_air(20.0, 50.0), 5).events[0]
    assert (event.read_at, event.source, event.measured_at) == (None, "", at(5))
    assert bay.state.air == event


def test_a_late_reading_takes_its_place_in_the_order_of_measuring_and_not_the_present() -> None:
    bay = shop()
    bay.must(typed(20), 0)
    bay.must(typed(24), 20)
    late = bay.must(typed(22, read=10, source="wall"), 30).events[0]
    assert (late.at, late.read_at, late.measured_at, late.source) == (at(30), at(10), at(10), "wall")
    assert temperatures(bay) == [20, 22, 24]
    assert bay.state.air.air_c == 24


def test_of_two_readings_of_one_instant_the_one_recorded_later_counts() -> None:
    bay = shop()
    bay.must(typed(20), 10)
    bay.must(typed(21, read=10, source="wall"), 12)
    assert temperatures(bay) == [20, 21]


def test_of_two_readings_of_one_instant_the_one_recorded_later_counts_also_when_the_other_is_corrected() -> None:
    bay = shop()
    bay.must(typed(15, read=1), 2)
    bay.must(typed(25, read=1), 3)
    bay.must(CorrectAir(at(2), ReadAir(16.0, 50.0)), 4)
    assert [r.air_c for r in bay.state.readings][-2:] == [16, 25]
    assert bay.state.air.air_c == 25


@pytest.mark.parametrize("read", [10.001, -31])
def test_a_reading_of_the_future_or_of_before_the_bay_was_known_is_refused(read: float) -> None:
    bay = shop()
    verdict = bay.do(typed(20, read=read), 10)
    assert (code(verdict), why(verdict)) == ("clock", "impossible-reading-time")
    sentence = why_not(verdict.refusal, bay.state)
    assert "07:40:00" in sentence
    assert "08:10:00" in sentence
    assert bay.state.readings == ()


def test_a_sensor_may_speak_first_of_all_with_a_reading_half_an_hour_old() -> None:
    bay = Shop()
    assert bay.do(typed(20, read=-30, source="wall"), 0).accepted
    assert code(bay.do(typed(20, read=-30.5, source="wall"), 0)) == "clock"


@pytest.mark.parametrize(
    ("request_", "what", "said"),
    [
        (ReadAir(200.0, 50.0), "air_c", "an air temperature of 200 °C; from -40 to 90 °C is possible"),
        (ReadAir(20.0, 0.0), "rh_percent", "a humidity of 0 %; above 0 and at most 100 % is possible"),
        (ReadAir(20.0, 101.0), "rh_percent", "a humidity of 101 %; above 0 and at most 100 % is possible"),
        (ReadAir(math.nan, 50.0), "air_c", "an air temperature of nan; from -40 to 90 °C is possible"),
        (ReadAir(20.0, 50.0, -41.0), "surface_c", "a surface temperature of -41 °C; from -40 to 90 °C is possible"),
    ],
)
def test_a_value_that_cannot_be_is_refused_by_name(request_: ReadAir, what: str, said: str) -> None:
    bay = shop()
    verdict = bay.do(request_, 1)
    assert (code(verdict), why(verdict), grounds(verdict).what) == ("air", "impossible-air", what)
    assert why_not(verdict.refusal, bay.state) == f"A reading cannot say {said}. Look at the meter again."


def test_a_corrected_reading_keeps_its_moment_and_both_values_stay_in_the_record() -> None:
    bay = shop()
    bay.must(typed(20), 0)
    bay.must(typed(44), 10)
    bay.must(typed(24), 20)
    event = bay.must(CorrectAir(at(10), typed(22)), 25).events[0]
    assert isinstance(event, AirCorrected)
    assert event.was == AirValues(air_c=44, rh_percent=50)
    assert event.becomes == AirValues(air_c=22, rh_percent=50)
    assert temperatures(bay) == [20, 22, 24]
    assert bay.state.air_corrections == (event,)
    assert [e.air_c for e in bay.events if isinstance(e, AirRead)] == [20, 44, 24]


def test_a_correction_may_move_a_reading_in_time_and_again_be_corrected() -> None:
    bay = shop()
    bay.must(typed(20), 0)
    bay.must(typed(22), 10)
    bay.must(typed(24), 20)
    bay.must(CorrectAir(at(20), typed(24, read=5)), 25)
    assert temperatures(bay) == [20, 24, 22]
    event = bay.must(CorrectAir(at(20), typed(23)), 26).events[0]
    assert event.was.read_at == event.becomes.read_at == at(5)
    assert temperatures(bay) == [20, 23, 22]
    bay.must(CorrectAir(at(20), typed(23, read=20)), 27)
    assert temperatures(bay) == [20, 22, 23]
    assert bay.state.air.read_at is None


def test_a_withdrawn_reading_counts_no_more_and_cannot_be_withdrawn_twice() -> None:
    bay = shop()
    bay.must(typed(20), 0)
    bay.must(typed(44, source="wall"), 10)
    bay.must(CorrectAir(at(10), None, "wall"), 12)
    assert temperatures(bay) == [20]
    again = bay.do(CorrectAir(at(10), None, "wall"), 13)
    assert (code(again), why(again)) == ("unknown", "no-such-reading")
    assert "08:10:00" in why_not(again.refusal, bay.state)


def test_a_correction_names_the_source_as_well() -> None:
    bay = shop()
    bay.must(typed(20, source="wall"), 0)
    assert why(bay.do(CorrectAir(at(0), typed(21)), 1)) == "no-such-reading"
    assert bay.do(CorrectAir(at(0), typed(21), "wall"), 1).accepted


@pytest.mark.parametrize("becomes", [typed(20, read=10.5), replace(typed(20), air_c=999.0)])
def test_a_correction_is_held_to_the_rules_of_a_reading(becomes: ReadAir) -> None:
    bay = shop()
    bay.must(typed(20), 10)
    assert not bay.do(CorrectAir(at(10), becomes), 11).accepted
    assert temperatures(bay) == [20]


def test_a_reading_is_old_by_when_it_was_measured() -> None:
    strict = recipe(step("wipe"), step("coat"), air="refuse")
    bay = Shop(job((["roof"], strict)))
    bay.work("roof", "wipe", 0, 1)
    bay.must(typed(20, read=0), 20)
    assert bay.ask(start("roof", "coat"), 30).accepted
    assert why(bay.ask(start("roof", "coat"), 30.1)) == "old-reading"
