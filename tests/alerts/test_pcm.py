"""The bytes a device gets, against Python's own reading of them (array, struct formats)."""

from array import array

import numpy as np
import pytest

from bayapp.alerts.pcm import Layout, SampleKind, encode

SAMPLES = np.array([0.0, 0.5, -0.5, 1.0, -1.0], dtype=np.float32)


@pytest.mark.parametrize(
    ("kind", "code", "written"),
    [
        (SampleKind.INT16, "h", [0, 16384, -16384, 32767, -32767]),
        (SampleKind.INT32, "i", [0, 1073741824, -1073741824, 2147483647, -2147483647]),
        (SampleKind.UINT8, "B", [128, 192, 64, 255, 1]),
        (SampleKind.FLOAT, "f", [0.0, 0.5, -0.5, 1.0, -1.0]),
    ],
)
def test_samples_are_written_as_the_device_counts(kind: SampleKind, code: str, written: list[float]) -> None:
    assert array(code, encode(SAMPLES, Layout(sample=kind))).tolist() == written


def test_every_channel_gets_the_sound() -> None:
    stereo = array("h", encode(SAMPLES, Layout(channels=2)))
    assert stereo[::2] == stereo[1::2] == array("h", encode(SAMPLES, Layout()))
