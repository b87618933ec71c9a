"""What a reading moved, in one sentence."""

from datetime import UTC

import pytest

from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import AlertBook, acknowledge, refresh
from bayapp.alerts.withdrawn import withdraw
from bayapp.job import CorrectAir, ReadAir, clocks
from bayapp.job.retimed import Retiming, retiming, retiming_told
from bayapp.job.state.requests import Request
from tests.job.builders import Shop, at, job, read_air, two_step

TABLES = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [30, 20]]}


def shop() -> Shop:
    bay = Shop(job((["roof", "bonnet"], two_step(TABLES))))
    bay.must(read_air(20), 0)
    bay.work("roof", "coat", 0, 1)
    return bay


def after(bay: Shop, request: Request, minutes: float) -> Retiming | None:
    before = bay.state
    (event,) = bay.must(request, minutes).events
    return retiming(before, event, bay.state)


@pytest.mark.parametrize(
    ("request_", "said"),
    [
        (read_air(16), "The air is 4 °C colder: roof, level now opens at 08:06:43, 0:44 later."),
        (read_air(25), "The air is 5 °C warmer: roof, level now opens at 08:05:24, 0:36 sooner."),
        (read_air(8), "The air is 12 °C colder: roof, level cannot be timed any more."),
        (
            ReadAir(10, 50.0, None, None, at(1)),
            "A reading of 08:01 came late: roof, level now opens at 08:09:00, 3:00 later.",
        ),
        (
            CorrectAir(at(0), ReadAir(10, 50.0)),
            "The reading of 08:00 was corrected: roof, level now opens at 08:09:00, 3:00 later.",
        ),
        (CorrectAir(at(0), None), "The reading of 08:00 was withdrawn: roof, level cannot be timed any more."),
    ],
)
def test_it_says_why_and_what(request_: Request, said: str) -> None:
    bay = shop()
    found = after(bay, request_, 3)
    assert found
    assert retiming_told(found, bay.state, UTC) == said


def test_a_flicker_of_the_meter_is_not_told() -> None:
    assert after(shop(), read_air(20.1), 3) is None


def test_an_opening_that_was_called_is_taken_back_and_said_also_where_it_was_answered() -> None:
    bay = shop()
    book = refresh(AlertBook(), conditions(bay.state, clocks(bay.state, at(6)), at(6)), at(6))
    subjects = {alert.condition.subject for alert in book.alerts}
    for before in (book, acknowledge(book, subjects, at(6.5))):
        again = shop()
        found = after(again, CorrectAir(at(0), ReadAir(10, 50.0)), 7)
        assert found
        left, told = withdraw(before, found.moved, again.state, at(7))
        assert left.alerts == ()
        assert [(c.kind, c.label) for c in told] == [(AlertKind.ATTENTION, "Roof, level is not ready after all")]


def test_nothing_is_taken_back_that_stays_true() -> None:
    bay = shop()
    book = refresh(AlertBook(), conditions(bay.state, clocks(bay.state, at(6)), at(6)), at(6))
    found = after(bay, CorrectAir(at(0), ReadAir(21, 50.0)), 7)
    assert found
    assert withdraw(book, found.moved, bay.state, at(7)) == (book, ())
