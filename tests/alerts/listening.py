"""An ear for the tests of tones: finds pulses and partials in samples, not knowing how they were made."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d
from scipy.signal import find_peaks
from scipy.signal.windows import blackmanharris

from bayapp.alerts.notes import Pulse
from bayapp.alerts.tones import RATE

Sound = NDArray[np.floating[Any]]


@dataclass(frozen=True)
class Heard:
    """The stretches in which something sounds, as sample numbers."""

    starts: NDArray[np.int64]
    ends: NDArray[np.int64]

    @property
    def pulses(self) -> list[Pulse]:
        offs = [*(self.starts[1:] - self.ends[:-1]) / RATE, 0.0]
        return [Pulse(float(on), float(off)) for on, off in zip((self.ends - self.starts) / RATE, offs, strict=True)]


def envelope(sound: Sound) -> Sound:
    """Follow the crests: the greatest sample within a period of the lowest chord (D5 with A5, 3.4 ms)."""
    return np.asarray(maximum_filter1d(np.abs(sound), size=round(0.0036 * RATE)))


def listen(sound: Sound, floor: float = 0.005) -> Heard:
    """Find where the envelope is above a share of its peak (0.005 is 46 dB down)."""
    loud = envelope(sound) > floor * np.max(np.abs(sound))
    edges = np.flatnonzero(np.diff(np.concatenate([[False], loud, [False]]).astype(np.int8)))
    return Heard(starts=edges[::2], ends=edges[1::2])


def power(sound: Sound) -> tuple[Sound, Sound]:
    """Return frequencies (Hz) and power of the whole sound."""
    windowed = sound * np.hanning(len(sound))
    return np.fft.rfftfreq(len(sound), 1 / RATE), np.abs(np.fft.rfft(windowed)) ** 2


def main_components(sound: Sound) -> list[float]:
    """Return the frequencies of the spectrum's peaks less than 40 dB below the strongest, zero-padded to 0.2 Hz."""
    size = 5 * RATE
    spectrum = np.abs(np.fft.rfft(sound * blackmanharris(len(sound)), size)) ** 2
    peaks, _ = find_peaks(spectrum, height=spectrum.max() * 1e-4, distance=100)
    return [float(peak) * RATE / size for peak in peaks]


def strokes(sound: Sound) -> list[list[float]]:
    """Return the main components of each pulse, the lowest first."""
    heard = listen(sound)
    return [main_components(sound[start:end]) for start, end in zip(heard.starts, heard.ends, strict=True)]


def rhythms_differ(first: Sequence[Pulse], second: Sequence[Pulse]) -> bool:
    """Say whether two rhythms are told apart by what lasts longer; how many strokes there are does not do it alone.

    Some stroke of one is at least 1.8 times as long as the same stroke of the other, or what the one with more strokes
    goes on with sounds at least 1.8 times as long as any stroke that the other has (our own measure).
    """
    shorter, longer = sorted((first, second), key=len)
    if any(max(a.on_s, b.on_s) >= 1.8 * min(a.on_s, b.on_s) for a, b in zip(shorter, longer, strict=False)):
        return True
    more = sum(pulse.on_s for pulse in longer[len(shorter) :])
    return more >= 1.8 * max(pulse.on_s for pulse in shorter)


def pitches_differ(first: Sequence[Sequence[float]], second: Sequence[Sequence[float]]) -> bool:
    """Say whether some stroke that both have (its components, the lowest first) is of other notes.

    Other notes are more or fewer at once, or one of them nearly a whole tone (12 %) away.
    """
    for one, other in zip(map(notes, first), map(notes, second), strict=False):
        if len(one) != len(other) or any(max(a, b) >= 1.11 * min(a, b) for a, b in zip(one, other, strict=True)):
            return True
    return False


def notes(components: Sequence[float]) -> list[float]:
    """Return the components that are no multiple of a lower one, within 1 %: what the ear takes for notes."""
    found: list[float] = []
    for hertz in components:
        if all(abs(hertz / note - round(hertz / note)) > 0.01 * round(hertz / note) for note in found):
            found.append(hertz)
    return found


def is_evacuation(pulses: Sequence[Pulse], gap_after_s: float) -> bool:
    """Three equal pulses, on and off about half a second, then about a second and a half of silence.

    The three-pulse signal T-3 of ISO 8201 as cited in the Ontario Building Code, appendix B-3.2.4.18:
    3 x (0.5 s on, 0.5 s off), the last gap 1.5 s; on a single-stroke bell three strokes a second apart, then 2 s of
    silence. The bounds are wider than the code's 10 %.
    """
    if len(pulses) != 3:
        return False
    strokes = [pulse.on_s + pulse.off_s for pulse in pulses[:-1]]
    on_bell = all(0.8 <= stroke <= 1.2 for stroke in strokes) and 1.5 <= gap_after_s <= 2.5
    halves = [pulse.on_s for pulse in pulses] + [pulse.off_s for pulse in pulses[:-1]]
    return on_bell or (all(0.35 <= part <= 0.65 for part in halves) and 1.2 <= gap_after_s <= 1.8)


def is_gas_alarm(pulses: Sequence[Pulse], gap_after_s: float) -> bool:
    """Four short pulses, then a long silence: the signal T-4, 4 x (0.1 s on, 0.1 s off), then 5 s (from memory)."""
    return len(pulses) == 4 and all(pulse.on_s <= 0.3 for pulse in pulses) and gap_after_s > 3.0
