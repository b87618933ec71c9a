"""Days that left the plan early on are carried on to their end, by a way out where no plan holds all that is left."""

import pytest

from tests.liveness.off_plan import NAMES, day


def test_there_are_thirty_of_them():
    assert len(NAMES) == 30


@pytest.mark.parametrize("name", NAMES)
def test_a_day_off_the_plan_is_carried_on_to_its_end(name: str):
    today = day(name)
    assert [answer.why for answer in today.refused] == []
    outcome = today.ends()
    assert outcome.good, outcome


def test_whoever_coats_a_pane_before_the_others_are_washed_was_told_before():
    assert day("saloon--windscreen-coated-first").warned
    assert not day("hatchback--rims-wiped-then-half-an-hour-lost").warned
