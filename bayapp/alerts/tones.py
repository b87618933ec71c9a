"""The tone of each kind of alert, synthesised as soft bells."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.notes import D5, Pulse, ToneNote, Tune, note

RATE = 48_000
PEAK = 0.89  # about 1 dB under full scale: no clipping, also after a resampler's ripple
QUIETEST_DB = -24.0
ATTACK_S = 0.020
RELEASE_S = 0.040
HIGHEST_HZ = 2_500.0  # ISO 7731: the main components of a danger signal lie between 500 and 2500 Hz

KNOCK: Tune = (note(0.09, 0.0, D5),)
"""One low, short knock: a touch was not taken. No alert has a single short stroke."""
KNOCK_LEVEL = 0.3

Samples = NDArray[np.float32]

# A bar's partials: number, share, and how fast it fades (per second). The upper ones fade first, as in wood.
_PARTIALS = ((1.0, 1.0, 4.0), (2.0, 0.40, 6.0), (3.0, 0.22, 8.0), (4.0, 0.14, 12.0))


def pattern(kind: AlertKind) -> tuple[Pulse, ...]:
    """Return the pulses of a kind's tone in order; the last one's silence is 0."""
    return tuple(note.pulse for note in kind.row.tune)


def duration_s(kind: AlertKind) -> float:
    """Return how long a kind's tone lasts."""
    return sum(on_s + off_s for on_s, off_s in pattern(kind))


def gain(level: float) -> float:
    """Map a level 0..1 (anything outside is taken as the nearer end) to an amplitude, even steps in decibels."""
    return float(10.0 ** (QUIETEST_DB * (1.0 - min(max(level, 0.0), 1.0)) / 20.0))


def render(kind: AlertKind, level: float = 1.0, rate: int = RATE) -> Samples:
    """Return a kind's tone as mono samples, within ±0.89 at level 1 and 24 dB less at level 0."""
    return _scaled(kind.row.tune, level, rate)


def render_knock(rate: int = RATE) -> Samples:
    """Return the knock as mono samples, quieter than any call."""
    return _scaled(KNOCK, KNOCK_LEVEL, rate)


def _scaled(tune: Tune, level: float, rate: int) -> Samples:
    return np.asarray(_synthesised(tune, rate) * (PEAK * gain(level)), dtype=np.float32)


@lru_cache(maxsize=2 * (len(AlertKind) + 1))
def _synthesised(notes: Tune, rate: int) -> NDArray[np.float64]:
    """Synthesise a tone within ±1; kept, so that a call need not wait for it a second time."""
    tune = np.concatenate([_stroke(note, rate) for note in notes])
    tune /= float(np.max(np.abs(tune)))
    tune.flags.writeable = False
    return tune


def _stroke(note: ToneNote, rate: int) -> NDArray[np.float64]:
    times = np.arange(round(note.pulse.on_s * rate)) / rate
    bars = sum((_bar(hertz, times) for hertz in note.hertz), np.zeros_like(times))
    silence = np.zeros(round(note.pulse.off_s * rate))
    return np.concatenate([bars / len(note.hertz) * _damper(len(times), rate), silence])


def _bar(hertz: float, times: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sound one struck bar; partials above 2500 Hz are left out."""
    sound = np.zeros_like(times)
    for number, share, fading in _PARTIALS:
        if number * hertz <= HIGHEST_HZ:
            sound += share * np.exp(-fading * times) * np.sin(2 * np.pi * number * hertz * times)
    return sound


def _damper(length: int, rate: int) -> NDArray[np.float64]:
    """Return the soft rise and fall at the ends of a stroke: half cosines, so that nothing clicks."""
    envelope = np.ones(length)
    rise, fall = round(ATTACK_S * rate), round(RELEASE_S * rate)
    envelope[:rise] = 0.5 - 0.5 * np.cos(np.pi * np.arange(rise) / rise)
    envelope[-fall:] = 0.5 + 0.5 * np.cos(np.pi * np.arange(1, fall + 1) / fall)
    return envelope
