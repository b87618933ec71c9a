"""Words of the paper."""

from datetime import UTC, datetime, timedelta

import pytest

from bayapp.job.model.ids import Person
from bayapp.job.model.recipe import Wait
from bayapp.report.facts.day_record import WaitKept
from bayapp.report.facts.phrases import Phrases, actual, person_keys, required, stretch, verdict
from tests.report.facts.test_content import coated_glass
from tests.report.shop import BERLIN, at


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, "0:00"), (59.999, "0:59"), (360, "6:00"), (3599, "59:59"), (3723, "1:02:03")]
)
def test_a_stretch_is_minutes_and_seconds(seconds, words):
    assert stretch(timedelta(seconds=seconds)) == words


def waited(minutes: float) -> WaitKept:
    return WaitKept("coat 1", "end", at(0) + timedelta(minutes=minutes), at(0), at(5), at(30))


def test_a_wait_broken_by_a_millisecond_never_reads_as_kept():
    tick = 1 / 60_000
    assert (actual(waited(5 - tick)), verdict(waited(5 - tick))) == ("4:59", "too early by 0:01")
    assert (actual(waited(30 + tick)), verdict(waited(30 + tick))) == ("30:01", "too late by 0:01")
    assert (actual(waited(5)), verdict(waited(5))) == ("5:00", "")
    assert (actual(waited(30)), verdict(waited(30))) == ("30:00", "")


@pytest.mark.parametrize(
    ("wait", "after", "words"),
    [
        (Wait(min=5, max=60), "", "5–60 min"),
        (Wait(max=30), "", "to 30 min"),
        (Wait(min=60), "all rims", "at least 60 min after all rims"),
        (Wait(of="trim"), "trim, unmask", "after trim, unmask"),
        (Wait(min=1, max=8, max_from="start"), "", "from 1 min after, to 8 min from first stroke"),
        (Wait(max=6, max_from="start"), "", "to 6 min from first stroke"),
    ],
)
def test_what_a_recipe_asks_is_said_shortly(wait, after, words):
    assert required(wait, after) == words


def test_short_names_stand_as_they_are():
    assert person_keys([Person("Ash"), Person("Bo")]) == {"Ash": "Ash", "Bo": "Bo"}


def test_long_names_get_initials_that_never_clash():
    people = [Person(p) for p in ("Ada Lund", "Al Lott", "Bo", "ann lee")]
    assert list(person_keys(people).values()) == ["AL", "AL2", "B", "AL3"]


def test_times_of_day_are_local_and_name_another_day():
    phrases = Phrases(coated_glass().record_of(), BERLIN)
    assert phrases.clock(at(0)) == "09:00"
    assert phrases.clock(datetime(2026, 11, 25, 23, 5, tzinfo=UTC)) == "26 Nov 00:05"
    assert phrases.moment(datetime(2026, 11, 26, 8, 21, tzinfo=UTC)) == "Thu 26 Nov, 09:21"
