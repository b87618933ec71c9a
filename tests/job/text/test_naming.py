from datetime import timedelta, timezone

import pytest

from bayapp.job.model.ids import Motion, StepId, StepKind, ZoneId
from bayapp.job.model.wait_tables import By
from bayapp.job.text.naming import (
    capital,
    elapsed_text,
    kind_words,
    late_text,
    left_text,
    minutes_text,
    motion_words,
    of_car,
    span_text,
    step_title,
    value_text,
    wait_text,
    zones_title,
)
from bayapp.text.figures import clock_time
from tests.job.builders import START, form, job, recipe, step


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
    assert [motion_words(motion) for motion in (Motion.VERTICAL, Motion.HORIZONTAL)] == ["up and down", "across"]
    assert len({motion_words(motion) for motion in Motion}) == len(Motion)
    same = {kind: kind.value for kind in StepKind} | {StepKind.WIPE: "solvent wipe", StepKind.DUST_OFF: "dust off"}
    assert {kind: kind_words(kind) for kind in StepKind} == same


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


GLASS = {
    "left": ("front-left", "rear-left"),
    "right": ("front-right", "rear-right"),
    "glass": ("left", "right", "screen"),
}


@pytest.mark.parametrize(
    ("zones", "title"),
    [
        ("front-left rear-left front-right rear-right", "left and right"),
        ("screen front-left rear-left", "left and screen"),
        ("screen front-right rear-right", "right and screen"),
        ("front-left rear-left front-right", "left and front right"),
        ("front-left front-right screen", "glass except rear left and rear right"),
        ("front-left rear-left front-right rear-right roof", "front left and 4 more"),
        ("screen front-left rear-left front-right", "glass except rear right"),
    ],
)
def test_a_set_that_is_not_all_in_step_is_called_by_what_differs_and_that_once(zones, title):
    """In the fewest letters: what is in it, or what is left out."""
    names = ("screen", "front-left", "rear-left", "front-right", "rear-right", "roof", "bonnet")
    car = job((names, recipe(step("wipe"))), vehicle=form(names, GLASS))
    assert zones_title(car, [ZoneId(zone) for zone in zones.split()]) == title


def test_what_would_be_long_by_sets_is_counted():
    names = tuple(f"a-very-long-name-of-a-zone-number-{n}" for n in range(4))
    car = job((names, recipe(step("wipe"))), vehicle=form(names, {"long-names": names}))
    assert zones_title(car, [ZoneId(name) for name in names[:3]]) == "a very long name of a zone number 0 and 2 more"


def test_what_has_no_name_is_called_by_its_id():
    car = job((["roof", "bonnet"], recipe(step("wipe"))), vehicle=form(sets={"upper-side": ("roof", "bonnet")}))
    assert zones_title(car, [ZoneId("spoiler")]) == "spoiler"
    assert zones_title(car, [ZoneId("roof"), ZoneId("bonnet")]) == "upper side"
    titled = car.vehicle.model_copy(update={"set_titles": {"upper-side": "top of the car"}})
    named = car.model_copy(update={"vehicle": titled})
    assert zones_title(named, [ZoneId("roof"), ZoneId("bonnet")]) == "top of the car"


@pytest.mark.parametrize(
    ("by", "value", "text"),
    [
        (By.TEMPERATURE, 20, "20 °C"),
        (By.TEMPERATURE, 20.04, "20 °C"),
        (By.TEMPERATURE, 20.5, "20.5 °C"),
        (By.HUMIDITY, 50, "50 %"),
        (By.HUMIDITY, 50.5, "50.5 %"),
    ],
)
def test_a_value_is_said_without_a_needless_tenth(by, value, text):
    assert value_text(by, value) == text


def test_a_span_is_said_with_one_unit():
    assert span_text(By.TEMPERATURE, 10, 30.5) == "10 to 30.5 °C"
    assert span_text(By.TEMPERATURE, 10.04, 30.26) == "10 to 30.3 °C", "in tenths, as a person reads them"
    assert span_text(By.HUMIDITY, 30, 70) == "30 to 70 %"


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(5, "5 min"), (90, "90 min"), (119, "119 min"), (120, "2 h"), (135, "135 min"), (150, "2.5 h"), (720, "12 h")],
)
def test_minutes_are_said_as_a_sheet_would(minutes, text):
    assert minutes_text(minutes) == text


def test_time_that_has_passed_is_rounded_down():
    assert elapsed_text(timedelta(seconds=59.9)) == "0:59"
    assert elapsed_text(timedelta(seconds=3600)) == "1 h 00"


def test_a_car_is_named_only_where_more_than_one_stands_in_the_bay():
    car = job((["roof"], recipe(step("wipe"))))
    assert of_car(car, "roof is ready", 1) == "roof is ready"
    assert of_car(car, "roof is ready", 2) == "Green car: roof is ready"


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
    ("least", "most", "from_start", "words"),
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
def test_a_wait_is_worded_in_minutes_and_whole_or_half_hours(least, most, from_start, words):
    assert wait_text(least, most, from_start) == words
