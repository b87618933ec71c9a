"""The list of readings that one may be wrong of."""

from datetime import UTC, timedelta

from bayapp.job import CorrectAir, ReadAir, SetUpPlaces
from bayapp.job.model.ids import Person
from bayapp.job.model.place import OUTSIDE
from bayapp.pages.air.air_readings import SHOWN, air_readings
from tests.job.builders import START, Shop, at, job, recipe, step
from tests.job.gate.places import BAY_2, BAYS


def shop() -> Shop:
    return Shop(job((["roof"], recipe(step("wipe")))))


def test_the_latest_reading_comes_first_with_what_it_said_and_from_whom() -> None:
    bay = shop()
    bay.must(ReadAir(20, 50, 18.5, Person("Ash")), 0)
    bay.must(ReadAir(21, 48, None, None, None, "door"), 5)
    bay.must(CorrectAir(at(0), ReadAir(12, 50, 11)), 6)
    view = air_readings(bay.state, at(7), UTC)
    assert [(row.title, row.detail) for row in view.rows] == [
        ("08:05  21.0 °C, 48 %", "by door"),
        ("08:00  12.0 °C, 50 %", "by Ash, surface 11.0 °C, corrected"),
    ]
    assert view.rows[1].reading.at == START


def test_a_reading_tells_where_it_was_taken() -> None:
    bay = shop()
    bay.must(SetUpPlaces(BAYS), 0)
    bay.must(ReadAir(20, 50, by=Person("Ash"), place=BAY_2), 1)
    bay.must(ReadAir(8, 70, place=OUTSIDE), 2)
    assert [row.detail for row in air_readings(bay.state, at(3), UTC).rows] == ["Outside", "Back bay, by Ash"]


def test_a_reading_of_another_day_has_its_date() -> None:
    bay = shop()
    bay.must(ReadAir(20, 50), 0)
    (row,) = air_readings(bay.state, at(0) + timedelta(days=1), UTC).rows
    assert row.title == "25 Nov 08:00  20.0 °C, 50 %"


def test_more_than_a_page_holds_are_counted_and_a_withdrawn_one_is_gone() -> None:
    bay = shop()
    for n in range(SHOWN + 2):
        bay.must(ReadAir(20 + n, 50), n)
    bay.must(CorrectAir(at(SHOWN + 1), None), SHOWN + 2)
    first = air_readings(bay.state, at(20), UTC)
    assert (len(first.rows), first.earlier) == (SHOWN, 1)
    last = air_readings(bay.state, at(20), UTC, SHOWN)
    assert [row.title for row in last.rows] == ["08:00  20.0 °C, 50 %"]
    assert last.earlier == 0


def test_where_nothing_was_read_the_page_says_so() -> None:
    view = air_readings(shop().state, at(0), UTC)
    assert (view.rows, view.subtitle) == ((), "The air has not been read yet.")
