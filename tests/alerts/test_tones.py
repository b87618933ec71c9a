"""The tones, judged from their samples: what ISO 7731 asks for, what fire and gas signals reserve, what is pleasant."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from bayapp.alerts.calls import JOIN
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.notes import Pulse
from bayapp.alerts.tones import PEAK, QUIETEST_DB, RATE, duration_s, pattern, render, render_knock
from tests.alerts.listening import (
    envelope,
    is_evacuation,
    is_gas_alarm,
    listen,
    main_components,
    pitches_differ,
    power,
    rhythms_differ,
    strokes,
)

each_kind = pytest.mark.parametrize("kind", list(AlertKind))

# Equal temperament from A4 = 440 Hz (ISO 16), note numbers as in the MIDI tuning standard (A4 = 69).
CHROMATIC = [440.0 * 2 ** ((number - 69) / 12) for number in range(69, 105)]


@each_kind
def test_the_main_components_lie_between_500_and_2500_hz(kind: AlertKind) -> None:
    # ISO 7731: main components of an auditory danger signal between 500 and 2500 Hz, several of them.
    components = main_components(render(kind))
    assert len(components) >= 2
    assert all(500 <= hertz <= 2500 for hertz in components)


@each_kind
def test_enough_of_the_energy_lies_below_1500_hz_for_ears_in_muffs(kind: AlertKind) -> None:
    hertz, energy = power(render(kind))
    assert energy[hertz < 1500].sum() / energy.sum() >= 0.75


@each_kind
def test_no_kind_sounds_the_520_hz_of_bedroom_fire_alarms(kind: AlertKind) -> None:
    hertz, energy = power(render(kind))
    assert energy[(hertz > 500) & (hertz < 540)].sum() / energy.sum() < 0.01


@each_kind
def test_every_fundamental_is_a_note_of_the_scale(kind: AlertKind) -> None:
    for components in strokes(render(kind)):
        assert min(abs(1200 * np.log2(components[0] / note)) for note in CHROMATIC) < 5, "within five cents"


@each_kind
def test_samples_neither_clip_nor_carry_direct_current(kind: AlertKind) -> None:
    sound = render(kind)
    assert np.max(np.abs(sound)) == pytest.approx(PEAK, abs=1e-4)
    assert abs(float(np.mean(sound))) < 1e-4


@each_kind
def test_nothing_clicks(kind: AlertKind) -> None:
    sound = render(kind)
    hertz, energy = power(np.pad(sound, RATE))
    assert energy[hertz > 3000].sum() / energy.sum() < 1e-6, "60 dB down"
    assert sound[0] == 0.0
    assert abs(sound[-1]) < 1e-4


@each_kind
def test_every_stroke_rises_in_no_less_than_10_ms(kind: AlertKind) -> None:
    crest = envelope(render(kind))
    heard = listen(render(kind))
    for start, end in zip(heard.starts, heard.ends, strict=True):
        stroke = crest[start:end]
        top = np.max(stroke)
        rise = np.argmax(stroke >= 0.9 * top) - np.argmax(stroke >= 0.1 * top)
        assert rise / RATE >= 0.010


@each_kind
def test_the_rhythm_in_the_samples_is_the_stated_pattern(kind: AlertKind) -> None:
    heard = listen(render(kind)).pulses
    assert len(heard) == len(pattern(kind))
    for measured, stated in zip(heard, pattern(kind), strict=True):
        assert measured.on_s == pytest.approx(stated.on_s, abs=0.02)
        assert measured.off_s == pytest.approx(stated.off_s, abs=0.02)


@each_kind
def test_strokes_come_no_faster_than_four_a_second(kind: AlertKind) -> None:
    # ISO 7731 prefers signals that pulse at 0.5 to 4 Hz (from memory).
    starts = listen(render(kind)).starts / RATE
    assert all(later - earlier >= 0.245 for earlier, later in pairwise(starts))


def test_the_reserved_signals_are_recognised() -> None:
    half = Pulse(0.5, 0.5)
    assert is_evacuation([half, half, Pulse(0.5, 0.0)], gap_after_s=1.5)
    assert is_evacuation([Pulse(0.1, 0.9), Pulse(0.1, 0.9), Pulse(0.1, 0.0)], gap_after_s=2.0)
    assert is_gas_alarm([Pulse(0.1, 0.1)] * 3 + [Pulse(0.1, 0.0)], gap_after_s=5.0)


@each_kind
def test_no_kind_can_be_taken_for_a_fire_or_gas_signal(kind: AlertKind) -> None:
    heard = listen(render(kind)).pulses
    intervals = {kind.row.repeat.interval(calls) for calls in range(1, 200)}
    gaps = [interval.total_seconds() - duration_s(kind) for interval in intervals if interval]
    for gap in [*gaps, 1.5, 5.0]:
        assert not is_evacuation(heard, gap)
        assert not is_gas_alarm(heard, gap)


@pytest.mark.parametrize(("one", "other"), list(combinations(AlertKind, 2)))
def test_any_two_kinds_differ_in_rhythm_alone(one: AlertKind, other: AlertKind) -> None:
    assert rhythms_differ(listen(render(one)).pulses, listen(render(other)).pulses)


@pytest.mark.parametrize(("one", "other"), list(combinations(AlertKind, 2)))
def test_any_two_kinds_differ_in_pitch(one: AlertKind, other: AlertKind) -> None:
    assert pitches_differ(strokes(render(one)), strokes(render(other)))


def test_a_knock_more_in_the_same_rhythm_is_no_rhythm_of_its_own() -> None:
    knock = Pulse(0.14, 0.16)
    assert not rhythms_differ([knock, knock], [knock, knock, knock])
    assert rhythms_differ([knock, knock], [knock, knock, Pulse(0.3, 0.0)])
    assert rhythms_differ([knock, knock], [knock, Pulse(0.3, 0.0)])
    assert not rhythms_differ([Pulse(0.5, 0.1)], [Pulse(0.6, 0.1)])


def test_the_same_notes_once_more_are_no_pitch_of_their_own() -> None:
    low, high, chord = [587.3, 1174.7, 1762.0], [659.3, 1318.5], [587.3, 880.0, 1174.7, 1760.0]
    assert not pitches_differ([low, low], [low, low, high])
    assert not pitches_differ([low], [[*low, 2349.3]])
    assert not pitches_differ([low], [[600.0, 1200.0]])
    assert pitches_differ([low, low], [low, high])
    assert pitches_differ([low], [chord])


@each_kind
def test_levels_are_even_steps_in_decibels(kind: AlertKind) -> None:
    peaks = [20 * np.log10(np.max(np.abs(render(kind, level)))) for level in (0.0, 0.25, 0.5, 0.75, 1.0)]
    assert np.diff(peaks) == pytest.approx([-QUIETEST_DB / 4] * 4, abs=0.01)


def test_a_level_beyond_the_ends_is_the_nearer_end() -> None:
    assert np.array_equal(render(AlertKind.OPENED, 7.0), render(AlertKind.OPENED, 1.0))
    assert np.array_equal(render(AlertKind.OPENED, -7.0), render(AlertKind.OPENED, 0.0))


@each_kind
def test_a_tone_is_over_before_the_next_call_may_begin(kind: AlertKind) -> None:
    assert len(render(kind)) / RATE == pytest.approx(duration_s(kind))
    assert duration_s(kind) <= JOIN.total_seconds()


def test_a_knock_is_like_no_alert_and_quieter_than_any() -> None:
    knock = render_knock()
    assert all(len(pattern(kind)) > 1 or duration_s(kind) > 1 for kind in AlertKind)
    assert len(knock) < 0.15 * RATE
    quietest = min(kind.row.repeat.level for kind in AlertKind)
    assert np.max(np.abs(knock)) < min(np.max(np.abs(render(kind, quietest))) for kind in AlertKind)
