"""Looks over a photo before anything decodes it: which kind it is, how large, and whether it is all there.

Only what stands around the picture is read, so that what a hostile or damaged file says of itself costs nothing. JPEG
by ITU-T T.81 annex B, PNG by its third edition (W3C), WebP by RFC 9649; field offsets from memory.
"""

import re
import struct
from dataclasses import dataclass

from bayapp.files.bounds import MOST_MEGAPIXELS, MOST_PHOTO_SIDE
from bayapp.job.state.events import PhotoKind
from bayapp.text.language import _

_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""Markers of a JPEG's frame: its size stands there. The three left out are tables and an extension."""
_BARE = frozenset({0x01, *range(0xD0, 0xD8)})
"""Markers that no length follows."""
_NEXT_MARKER = re.compile(rb"\xff+[^\x00\xd0-\xd7\xff]")
"""What ends a scan: in its data each FF is followed by 00 or by a restart marker."""
_PNG = b"\x89PNG\r\n\x1a\n"
_HEIF = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif")


class BadPhoto(Exception):  # noqa: N818 - what a person is told
    """It is no photo that can be shown; the text says why, and what would be right."""


@dataclass(frozen=True, slots=True)
class PhotoFormat:
    """What a photo is, by what stands around its picture; the size in pixels as it is stored, not turned upright."""

    kind: PhotoKind
    width: int
    height: int


def photo_format(raw: bytes) -> PhotoFormat:
    """Return the kind and size of a photo that is whole and not too large.

    Raises:
        BadPhoto: it is no photo, of a kind that cannot be shown, cut off, or too large.
    """
    try:
        found = _read(raw)
    except (IndexError, struct.error) as error:
        raise _cut_off() from error
    if not 0 < found.width <= MOST_PHOTO_SIDE or not 0 < found.height <= MOST_PHOTO_SIDE:
        raise BadPhoto(_("it says of itself that it is {size} pixels large").format(size=_size(found)))
    if found.width * found.height > MOST_MEGAPIXELS * 1_000_000:
        reason = _("it has {size} pixels; at most {most} million are taken. Have the camera make smaller ones")
        raise BadPhoto(reason.format(size=_size(found), most=MOST_MEGAPIXELS))
    return found


def _read(raw: bytes) -> PhotoFormat:
    if raw.startswith(b"\xff\xd8\xff"):
        return _jpeg(raw)
    if raw.startswith(_PNG):
        return _png(raw)
    if raw[:4] == b"RIFF" and raw[8:12] == b"WEBP":
        return _webp(raw)
    if raw[4:8] == b"ftyp" and raw[8:12] in _HEIF:
        raise BadPhoto(_("it is a HEIC or AVIF photo, which cannot be shown here; have the camera save JPEG"))
    if not raw:
        raise BadPhoto(_("it is empty"))
    raise BadPhoto(_("it is no photo; JPEG, PNG and WebP are taken"))


def _jpeg(raw: bytes) -> PhotoFormat:
    """Walk from marker to marker until the end of the picture."""
    place, found, scanned = 2, None, False
    while True:
        if raw[place] != 0xFF:
            raise BadPhoto(_("it is damaged: a JPEG's marker should stand at byte {place}").format(place=place))
        while raw[place] == 0xFF:
            place += 1
        marker = raw[place]
        place += 1
        if marker == 0xD9:
            break
        if marker in _BARE:
            continue
        (length,) = struct.unpack_from(">H", raw, place)
        if marker in _FRAMES and found is None:
            height, width = struct.unpack_from(">HH", raw, place + 3)
            found = PhotoFormat("jpeg", width, height)
        place += length
        if marker == 0xDA:
            scanned = True
            ends = _NEXT_MARKER.search(raw, place)
            if ends is None:
                raise _cut_off()
            place = ends.start()
    if found is None or not scanned:
        raise BadPhoto(_("it is a JPEG without a picture"))
    return found


def _png(raw: bytes) -> PhotoFormat:
    """Walk from chunk to chunk until the end of the picture."""
    if raw[12:16] != b"IHDR":
        raise BadPhoto(_("it is damaged: a PNG's size should stand first"))
    width, height = struct.unpack_from(">II", raw, 16)
    place = len(_PNG)
    while raw[place + 4 : place + 8] != b"IEND":
        (length,) = struct.unpack_from(">I", raw, place)
        place += length + 12
        if place >= len(raw):
            raise _cut_off()
    if place + 12 > len(raw):
        raise _cut_off()
    return PhotoFormat("png", width, height)


def _webp(raw: bytes) -> PhotoFormat:
    (length,) = struct.unpack_from("<I", raw, 4)
    if length + 8 > len(raw):
        raise _cut_off()
    kind = raw[12:16]
    if kind == b"VP8X":
        width, height = (int.from_bytes(raw[at : at + 3], "little") + 1 for at in (24, 27))
    elif kind == b"VP8L":
        (bits,) = struct.unpack_from("<I", raw, 21)
        width, height = (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    elif kind == b"VP8 ":
        width, height = (side & 0x3FFF for side in struct.unpack_from("<HH", raw, 26))
    else:
        raise BadPhoto(_("it is damaged: no picture stands where a WebP's should"))
    return PhotoFormat("webp", width, height)


def _cut_off() -> BadPhoto:
    return BadPhoto(_("it is cut off: its end is missing. Copy it once more"))


def _size(found: PhotoFormat) -> str:
    return f"{found.width} × {found.height}"
