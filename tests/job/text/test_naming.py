from datetime import timedelta, timezone

import pytest

from bayapp.job.model.ids import Motion, StepId, StepKind
from bayapp.job.text.naming import (
    capital,
    kind_words,
    late_text,
    left_text,
    motion_words,
    step_title,
    wait_text,
    zones_title,
)
from bayapp.text.figures import clock_time
from tests.job.builders import START, job, recipe, step


@pytest.mark.parametrize(
    ("ladder", "name", "title"),
    [
        (recipe(step("wipe")), "wipe", "solvent wipe"),
        (recipe(step("buff", title="buff, dry towel")), "buff", "buff, dry towel"),
        (recipe(step("coat")), "coat", "coat"),
        (recipe(step("coat-1"), step("coat-2", motion="horizontal")), "coat-2", "coat 2 of 2, across"),
        (recipe(step("coat-a", layer=3), step("coat-b")), "coat-a", "coat 3 of 2"),
        (
            recipe(
                step("coat-a", motion="vertical", any_order="x"), step("coat-b", motion="horizontal", any_order="x")
            ),
            "coat-b",
            "coat across",
        ),
    ],
)
def test_steps_are_called_what_people_call_them(ladder, name, title):
    assert step_title(ladder, StepId(name)) == title


def test_every_kind_and_motion_has_words():
    assert all(kind_words(kind) for kind in StepKind)
    assert len({motion_words(motion) for motion in Motion}) == len(Motion)


@pytest.mark.parametrize(
    ("zones", "title"),
    [
        (["roof"], "roof"),
        (["left-rim", "right-rim"], "rims"),
        (["right-rim", "left-rim", "left-rim"], "rims"),
        (["roof", "left-rim"], "roof and left rim"),
        (["roof", "left-rim", "windscreen"], "roof and 2 more"),
        (["roof", "bonnet"], "panels"),  # the door is not worked in this job
    ],
)
def test_zones_are_called_by_their_set_when_they_are_all_of_it_that_is_worked(zones, title):
    car = job((["roof", "bonnet", "windscreen", "left-rim", "right-rim"], recipe(step("wipe"))))
    assert zones_title(car, zones) == title


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0:00"),
        (0.001, "0:01"),
        (1, "0:01"),
        (59.5, "1:00"),
        (61, "1:01"),
        (3599, "59:59"),
        (3599.5, "1 h 00"),
        (3601, "1 h 01"),
        (86_340, "23 h 59"),
        (86_341, "1 d 0 h"),
        (86_401, "1 d 1 h"),
    ],
)
def test_a_time_left_is_rounded_up_so_that_nothing_left_means_now(seconds, text):
    assert left_text(timedelta(seconds=seconds)) == text


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.9, "+0:00"), (130, "+2:10"), (599.9, "+9:59"), (600, "+10 min"), (3599, "+59 min"), (3900, "+1 h 05")],
)
def test_lateness_is_rounded_down(seconds, text):
    assert late_text(timedelta(seconds=seconds)) == text


def test_the_time_of_day_is_that_on_the_shops_wall():
    assert clock_time(START, timezone(timedelta(hours=-5))) == "03:00:00"
    assert clock_time(START, timezone(timedelta(hours=5, minutes=30)), seconds=False) == "13:30"


def test_a_sentence_begins_with_a_large_letter():
    assert [capital("roof"), capital(""), capital("'x'")] == ["Roof", "", "'x'"]


@pytest.mark.parametrize(
    ("least", "most", "from_start", "told"),
    [
        (0, None, False, "at once"),
        (5, None, False, "not before 5 min"),
        (0, 8, False, "within 8 min"),
        (0, 8, True, "within 8 min from first stroke"),
        (1.5, 8, True, "after 1.5 min, 8 min from first stroke"),
        (60, 240, False, "60 min to 4 h later"),
        (135, 150, False, "135 min to 2.5 h later"),
    ],
)
def test_a_wait_is_worded_in_minutes_and_whole_or_half_hours(least, most, from_start, told):
    assert wait_text(least, most, from_start) == told
