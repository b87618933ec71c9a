"""The notes that a tone is written in."""

from dataclasses import dataclass
from typing import NamedTuple

# Equal temperament from A4 = 440 Hz (ISO 16).
D5, E5, F_SHARP5, A5, B5, D6 = (440.0 * 2 ** (semitones / 12) for semitones in (5, 7, 9, 12, 14, 17))


class Pulse(NamedTuple):
    """One sounding stretch and the silence after it, in seconds."""

    on_s: float
    off_s: float


@dataclass(frozen=True, slots=True)
class ToneNote:
    """A stroke on one or more bars at once (fundamentals in hertz), damped at the end of its pulse."""

    hertz: tuple[float, ...]
    pulse: Pulse


Tune = tuple[ToneNote, ...]


def note(on_s: float, off_s: float, *hertz: float) -> ToneNote:
    """Return a stroke of ``on_s`` seconds with ``off_s`` seconds of silence after it."""
    return ToneNote(hertz, Pulse(on_s, off_s))
