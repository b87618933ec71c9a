"""Which sensors are not used, by what a person answered."""

from datetime import UTC, datetime, timedelta

from bayapp.job.state.sensor_trust import sensor_of, subject_of, unused

NINE = datetime(2026, 11, 25, 9, tzinfo=UTC)


def test_an_answer_about_a_sensor_is_told_from_any_other():
    assert sensor_of(subject_of("hall")) == "hall"
    assert sensor_of("car|roof|level") is None


def test_a_sensor_is_used_again_from_the_moment_on_that_was_named():
    answers = {subject_of("hall"): NINE, subject_of("door"): None, "car|roof|level": NINE + timedelta(hours=1)}
    assert unused(answers, NINE - timedelta(milliseconds=1)) == {"hall"}
    assert unused(answers, NINE) == frozenset()
