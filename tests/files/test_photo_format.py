"""What a photo is, told before it is decoded: kind, size, whole or cut off; sizes agree with Pillow's."""

import io
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from bayapp.files.bounds import MOST_MEGAPIXELS
from bayapp.files.photo_format import BadPhoto, photo_format
from tests.files.photo_samples import photo, quarters, turned

WHOLE = {
    "baseline": photo("jpeg"),
    "progressive": photo("jpeg", progressive=True),
    "grey": photo("jpeg", quarters(mode="L")),
    "four inks": photo("jpeg", quarters(mode="CMYK")),
    "restart markers": photo("jpeg", quarters(640, 480), restart_marker_blocks=1),
    "with EXIF": turned(6),
    "png": photo("png"),
    "png with a palette": photo("png", quarters(mode="P")),
    "webp": photo("webp"),
    "webp without loss": photo("webp", lossless=True),
    "webp with transparency": photo("webp", quarters(mode="RGBA")),
    "webp with EXIF": photo("webp", exif=Image.Exif()),
    "of one pixel": photo("png", quarters(2, 2)),
}


@pytest.mark.parametrize("name", WHOLE)
def test_kind_and_size_are_those_that_pillow_reads(name: str) -> None:
    found = photo_format(WHOLE[name])
    with Image.open(io.BytesIO(WHOLE[name])) as same:
        assert (found.kind, found.width, found.height) == (str(same.format).lower(), *same.size)


@pytest.mark.parametrize("name", WHOLE)
def test_cut_off_anywhere_a_photo_is_not_taken_for_whole(name: str) -> None:
    raw = WHOLE[name]
    for length in range(0, len(raw) - 1, max(1, len(raw) // 97)):
        with pytest.raises(BadPhoto):
            photo_format(raw[:length])


def test_what_a_telephone_adds_behind_a_picture_does_no_harm() -> None:
    assert photo_format(photo() + b"a film of two seconds").width == 96


def told(raw: bytes) -> str:
    """What is said of bytes: their kind and size, or why they are no photo."""
    try:
        found = photo_format(raw)
    except BadPhoto as bad:
        return str(bad)
    assert found.width * found.height <= MOST_MEGAPIXELS * 1_000_000
    return f"{found.kind} {found.width} {found.height}"


@given(st.binary(max_size=400), st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\x20\0\0\0WEBP"]))
def test_any_bytes_are_said_to_be_no_photo_and_nothing_else_happens(rest: bytes, start: bytes) -> None:
    assert told(start + rest)


@given(st.integers(0, 2_000), st.integers(0, 255))
def test_one_wrong_byte_anywhere_is_met_in_words_or_not_at_all(place: int, value: int) -> None:
    raw = bytearray(turned(3))
    raw[place % len(raw)] = value
    assert told(bytes(raw))


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "it is empty"),
        (b"P6 2 2 255 ....", "it is no photo; JPEG, PNG and WebP are taken"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", "have the camera save JPEG"),
        (b"\xff\xd8\xff\xd9", "it is a JPEG without a picture"),
    ],
)
def test_what_cannot_be_taken_is_told_with_what_would_be_right(raw: bytes, says: str) -> None:
    with pytest.raises(BadPhoto, match=says):
        photo_format(raw)


@pytest.mark.parametrize(("width", "height", "says"), [(20_000, 10_000, "20000 × 10000 pixels"), (0, 5, "0 × 5")])
def test_two_hundred_megapixels_are_refused_by_what_the_file_says_of_itself(width: int, height: int, says: str) -> None:
    raw = bytearray(photo("png"))
    raw[16:24] = struct.pack(">II", width, height)
    with pytest.raises(BadPhoto, match=says):
        photo_format(bytes(raw))
