"""Two sensors of one bay that contradict each other: when that is reported, and when it is not."""

import pytest

from bayapp.job import ReadAir
from bayapp.job.state.contradiction import Contradiction
from tests.sensing.test_watch import AIR, HUMIDITY, Hall, at, both, sensor


def hall_of(*sensors):
    return Hall(*(sensors or (both("door"), both("hall"))))


def say(bay: Hall, minutes: float, **values: tuple[float, float]) -> None:
    """Let each sensor say its temperature and humidity."""
    for name, (air_c, rh_percent) in values.items():
        bay.say(minutes, name, air_c=air_c, rh_percent=rh_percent)


def apart(hall: Hall, minutes: float) -> tuple[Contradiction, ...]:
    return hall.watch.contradictions(hall.readings, at(minutes), hall.unused)


def minute_by_minute(
    bay: Hall, end: int, begin: int = 0, **values: tuple[float, float]
) -> list[tuple[Contradiction, ...]]:
    found = []
    for minutes in range(begin, end + 1):
        say(bay, minutes, **values)
        found.append(apart(bay, minutes))
    return found


def test_two_that_differ_by_more_than_both_allow_are_reported_after_ten_minutes_with_both_values():
    hall = hall_of()
    found_each_minute = minute_by_minute(hall, 10, door=(21.0, 50), hall=(17.9, 55))
    assert found_each_minute[:10] == [()] * 10
    ((found,),) = found_each_minute[10:]
    assert (found.first.id, found.second.id, found.quantity) == ("door", "hall", AIR)
    assert (found.values, found.since) == ((21.0, 17.9), at(0))


@pytest.mark.parametrize(("air_c", "rh_percent"), [(18.0, 50), (24.0, 50), (21.0, 38), (21.0, 62)])
def test_at_the_limit_of_both_tolerances_they_still_agree(air_c: float, rh_percent: float):
    """Each may be off by 1.5 °C and 6 % (common practice, no source), one to each side."""
    assert not any(minute_by_minute(hall_of(), 30, door=(21.0, 50), hall=(air_c, rh_percent)))


def test_a_tolerance_of_the_settings_counts():
    exact = hall_of(both("door", tolerance_c=0.3), both("hall", tolerance_c=0.5))
    assert minute_by_minute(exact, 10, door=(21.0, 50), hall=(20.1, 50))[-1]
    assert not any(minute_by_minute(hall_of(), 10, door=(21.0, 50), hall=(20.1, 50)))


def test_humidity_alone_is_reported_but_not_beside_a_temperature_that_explains_it():
    (found,) = minute_by_minute(hall_of(), 10, door=(21.0, 40), hall=(21.0, 55))[-1]
    assert (found.quantity, found.values) == (HUMIDITY, (40, 55))
    (found,) = minute_by_minute(hall_of(), 10, door=(21.0, 40), hall=(15.0, 58))[-1]
    assert found.quantity == AIR


def test_a_gate_that_was_open_for_some_minutes_calls_nobody():
    hall = hall_of()
    minute_by_minute(hall, 5, door=(21.0, 50), hall=(21.0, 50))
    assert not any(minute_by_minute(hall, 14, begin=6, door=(21.0, 50), hall=(17.5, 55)))
    assert not any(minute_by_minute(hall, 30, begin=15, door=(21.0, 50), hall=(19.0, 52)))
    assert not any(minute_by_minute(hall, 40, begin=31, door=(21.0, 50), hall=(17.5, 55)))


def test_one_that_is_silent_or_not_trusted_contradicts_nobody():
    hall = hall_of()
    minute_by_minute(hall, 10, door=(21.0, 50), hall=(15.0, 50))
    hall.unused.add("hall")
    assert apart(hall, 10) == ()
    hall.unused.clear()
    assert not any(minute_by_minute(hall, 30, begin=11, door=(21.0, 50))[6:])


def test_two_panels_may_well_be_of_different_warmth():
    hall = hall_of(sensor("bonnet", "surface_c"), sensor("roof", "surface_c"))
    for minutes in range(30):
        hall.say(minutes, "bonnet", surface_c=35)
        hall.say(minutes, "roof", surface_c=18)
        assert apart(hall, minutes) == ()


def test_of_three_the_two_that_differ_most_are_reported():
    hall = hall_of(both("door"), both("hall"), both("lamp"))
    (found,) = minute_by_minute(hall, 10, door=(17.0, 50), hall=(20.5, 50), lamp=(24.0, 50))[-1]
    assert {found.first.id, found.second.id} == {"door", "lamp"}


def test_where_a_persons_meter_has_judged_one_wrong_that_alone_is_reported():
    hall = hall_of()
    minute_by_minute(hall, 9, door=(21.0, 50), hall=(15.0, 50))
    hall.record(9, ReadAir(21, 50))
    say(hall, 10, door=(21.0, 50), hall=(15.0, 50))
    assert [t.sensor.id for t in hall.troubles(10)] == ["hall"]
    assert apart(hall, 10) == ()
