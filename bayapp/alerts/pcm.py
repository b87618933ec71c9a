"""Turns samples into the bytes that a sound device takes."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from bayapp.alerts.tones import RATE, Samples


class SampleKind(StrEnum):
    """How one sample is written, in the machine's byte order."""

    UINT8 = "u1"
    INT16 = "i2"
    INT32 = "i4"
    FLOAT = "f4"


@dataclass(frozen=True, slots=True)
class Layout:
    """What a device wants: samples a second, channels side by side, and the kind of sample."""

    rate: int = RATE
    channels: int = 1
    sample: SampleKind = SampleKind.INT16


def encode(samples: Samples, layout: Layout) -> bytes:
    """Write mono samples (-1 to 1, already at the layout's rate) to every channel."""
    match layout.sample:
        case SampleKind.FLOAT:
            written = samples
        case SampleKind.UINT8:
            written = np.rint(128.0 + 127.0 * samples)
        case _:
            greatest = np.iinfo(layout.sample.value).max
            written = np.rint(samples.astype(np.float64) * greatest)
    return np.repeat(written.astype(layout.sample.value), layout.channels).tobytes()
