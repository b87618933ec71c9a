"""What a sample is quality: good, absurd, jumped, stuck, silent, late. Limits are common practice, no source."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.shop.sensor_settings import Quantity
from bayapp.sensing.judge import Channel, Rules, Sample, SampleQuality, SensorHealth, health, take_sample

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
AIR, HUMIDITY = Quantity.AIR, Quantity.HUMIDITY
RULES = Rules()


def at(minutes: float) -> datetime:
    return NINE + timedelta(minutes=minutes)


def said(minutes: float, value: float, came: float | None = None, quantity: Quantity = AIR) -> Sample:
    return Sample("door", quantity, value, at(minutes), at(minutes if came is None else came))


def heard(*samples: Sample, quantity: Quantity = AIR) -> tuple[Channel, list[SampleQuality]]:
    channel, qualities = Channel(quantity, NINE), []
    for sample in samples:
        channel, quality = take_sample(channel, sample, RULES)
        qualities.append(quality)
    return channel, qualities


def test_nothing_is_unheard_and_after_five_minutes_silent():
    channel = Channel(AIR, NINE)
    assert health(channel, at(5), RULES, False) is SensorHealth.UNHEARD
    assert health(channel, at(5.01), RULES, False) is SensorHealth.SILENT


def test_a_sensor_that_stops_is_silent_after_its_minutes_and_good_again_with_its_next_word():
    channel, _ = heard(said(0, 20), said(1, 20.1))
    assert health(channel, at(6), RULES, False) is SensorHealth.GOOD
    assert health(channel, at(6.01), RULES, False) is SensorHealth.SILENT
    channel, quality = take_sample(channel, said(20, 20.4), RULES)
    assert (quality, health(channel, at(20), RULES, False)) == (SampleQuality.GOOD, SensorHealth.GOOD)


@pytest.mark.parametrize(
    ("quantity", "value"),
    [(AIR, -127.0), (AIR, 85.0), (AIR, float("nan")), (AIR, float("inf")), (HUMIDITY, 0.0), (HUMIDITY, 0.04),
     (HUMIDITY, 100.5), (HUMIDITY, -6.0)],
)  # fmt: skip
def test_what_no_bay_has_is_absurd_and_does_not_become_the_last_good_number(quantity: Quantity, value: float):
    """-127 and 85 °C are what a common one-wire sensor says when it is unplugged or just powered (from memory)."""
    good = said(0, 48, quantity=quantity)
    channel, qualities = heard(good, said(1, value, quantity=quantity), quantity=quantity)
    assert qualities == [SampleQuality.GOOD, SampleQuality.ABSURD]
    assert channel.good == good
    assert health(channel, at(1), RULES, False) is SensorHealth.ABSURD


def test_a_jump_is_held_back_and_believed_once_it_has_stayed_for_two_minutes():
    """The gate is opened in winter: the air does fall by ten degrees, and stays there."""
    channel, qualities = heard(said(0, 21), said(0.5, 11), said(1, 10.8), said(2, 10.5))
    assert qualities == [SampleQuality.GOOD, SampleQuality.JUMPED, SampleQuality.JUMPED, SampleQuality.JUMPED]
    assert channel.good == said(0, 21)
    assert health(channel, at(2), RULES, False) is SensorHealth.JUMPED
    channel, quality = take_sample(channel, said(2.5, 10.4), RULES)
    assert (quality, channel.good) == (SampleQuality.GOOD, said(2.5, 10.4))


def test_a_spike_goes_by():
    channel, qualities = heard(said(0, 21), said(0.5, 35), said(1, 21.1))
    assert qualities == [SampleQuality.GOOD, SampleQuality.JUMPED, SampleQuality.GOOD]
    assert channel.jump == ()


def test_spikes_that_do_not_agree_are_never_believed():
    _, qualities = heard(said(0, 21), *(said(n / 2, 35 + 20 * (n % 2)) for n in range(1, 12)))
    assert set(qualities[1:]) == {SampleQuality.JUMPED}


def test_warming_as_fast_as_air_can_is_no_jump():
    _, qualities = heard(*(said(n / 6, 15 + n / 6) for n in range(60)))
    assert set(qualities) == {SampleQuality.GOOD}


def test_the_same_number_for_an_hour_while_others_move_is_stuck_and_alone_only_after_three():
    channel, _ = heard(*(said(n, 21.437) for n in range(61)))
    assert health(channel, at(60), RULES, True) is SensorHealth.STUCK
    assert health(channel, at(60), RULES, False) is SensorHealth.GOOD
    channel, _ = heard(*(said(n, 21.437) for n in range(181)))
    assert health(channel, at(180), RULES, False) is SensorHealth.STUCK
    channel, _ = take_sample(channel, said(181, 21.438), RULES)
    assert health(channel, at(181), RULES, True) is SensorHealth.GOOD


def test_few_samples_are_not_called_stuck():
    channel, _ = heard(*(said(n * 10, 21.4) for n in range(9)))
    assert health(channel, at(80), RULES, True) is not SensorHealth.STUCK


def test_a_late_sample_is_late_and_does_not_pass_for_the_present():
    channel, qualities = heard(said(10, 21), said(4, 18, came=10.5))
    assert (qualities, channel.good) == ([SampleQuality.GOOD, SampleQuality.LATE], said(10, 21))


def test_only_late_samples_are_silence_about_the_present():
    channel, qualities = heard(said(0, 20, came=20))
    assert qualities == [SampleQuality.LATE]
    assert health(channel, at(20), RULES, False) is SensorHealth.SILENT


def test_older_than_half_an_hour_or_from_the_future_is_not_taken():
    channel, qualities = heard(said(0, 20, came=31), said(33, 20, came=31.5))
    assert qualities == [SampleQuality.TOO_OLD, SampleQuality.AHEAD]
    assert channel.good is None
    assert health(channel, at(32), RULES, False) is SensorHealth.AHEAD


@given(st.lists(st.tuples(st.floats(0.05, 8), st.floats(allow_nan=True), st.floats(-3, 40)), max_size=40))
def test_no_stream_whatever_makes_an_impossible_number_good(stream: list[tuple[float, float, float]]):
    channel, minutes = Channel(AIR, NINE), 0.0
    for gap, value, age in stream:
        minutes += gap
        channel, quality = take_sample(channel, said(minutes - age, value, came=minutes), RULES)
        assert quality is not SampleQuality.GOOD or RULES.possible(AIR, value)
    assert channel.good is None or (RULES.possible(AIR, channel.good.value) and channel.good.read_at <= at(minutes + 1))


def test_a_sensor_may_be_held_to_narrower_limits():
    tight = replace(RULES, possible_c=(5.0, 40.0))
    _, quality = take_sample(Channel(AIR, NINE), said(0, 4.9), tight)
    assert quality is SampleQuality.ABSURD
