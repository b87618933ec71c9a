"""Photos taken into a store by the screen's child: small and upright as Pillow turns them, and kept as they came."""

import io
import json
import os
import struct
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageOps

from tests.files.photo_samples import photo, quarters, turned

ORIENTATIONS = range(1, 9)


def take(store: Path, *files: Path) -> dict[str, dict[str, Any]]:
    """Run the child on these files; return what it said of each by the file's name."""
    command = [sys.executable, "-m", "bayapp", "keep-photos", f"--store={store}", *map(str, files)]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False, env=dict(os.environ))
    assert ended.returncode == 0, ended.stderr
    lines = [json.loads(line) for line in ended.stdout.splitlines()]
    assert [line["reads"] for line in lines[::2]] == [line["source"] for line in lines[1::2]] == list(map(str, files))
    return {Path(line["source"]).name: line for line in lines[1::2]}


def bomb() -> bytes:
    """A PNG of some kilobytes that would need 400 MB."""
    return photo("png", Image.new("L", (20_000, 5_500)), compress_level=9)


def two_hundred_megapixels() -> bytes:
    raw = bytearray(photo("jpeg"))
    place = raw.index(b"\xff\xc0") + 5
    raw[place : place + 4] = struct.pack(">HH", 10_000, 20_000)
    return bytes(raw)


def hostile_exif() -> bytes:
    """Directories that point to themselves, beyond the file and at a million entries."""
    tiff = b"II*\0\x08\0\0\0" + struct.pack("<H", 65_535)
    tiff += struct.pack("<HHII", 0x0112, 3, 0xFFFFFFFF, 0xFFFFFFF0) + struct.pack("<HHII", 0x8769, 4, 1, 8)
    tiff += struct.pack("<HHII", 0x8825, 13, 1, 0x7FFFFFFF) + struct.pack("<I", 8)
    return photo("jpeg", exif=b"Exif\0\0" + tiff)


FILES: dict[str, bytes] = {
    **{f"turned-{n}.jpg": turned(n) for n in ORIENTATIONS},
    "turned-999.jpg": turned(999),
    "large.jpg": photo("jpeg", quarters(4_000, 3_000)),
    "see-through.png": photo("png", quarters(mode="RGBA")),
    "small.webp": photo("webp", lossless=True),
    "hostile-exif.jpg": hostile_exif(),
    "bomb.png": bomb(),
    "huge.jpg": two_hundred_megapixels(),
    "cut.jpg": photo("jpeg", quarters(800, 600))[:-400],
    "renamed.jpg": b"format = 'no photo'\n",
    "empty.jpg": b"",
}
TAKEN = [name for name in FILES if name.startswith(("turned", "large", "see", "small", "hostile"))]


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, dict[str, Any]]]:
    """What the child said of every file, and the store."""
    folder = tmp_path_factory.mktemp("photos")
    files = [folder / name for name in FILES]
    for file in files:
        file.write_bytes(FILES[file.name])
    return folder / "store", take(folder / "store", *files, folder / "never-there.jpg")


def colours(image: Image.Image) -> list[tuple[int, ...]]:
    """The colour in the middle of each quarter."""
    wide, high = image.size
    places = ((x, y) for y in (high // 4, high * 3 // 4) for x in (wide // 4, wide * 3 // 4))
    return [tuple(image.convert("RGB").getpixel(place)) for place in places]  # type: ignore[arg-type]


def near(some: list[tuple[int, ...]], others: list[tuple[int, ...]]) -> bool:
    return all(
        abs(a - b) < 30 for one, other in zip(some, others, strict=True) for a, b in zip(one, other, strict=True)
    )


@pytest.mark.parametrize("orientation", ORIENTATIONS)
def test_a_photo_is_shown_upright_as_pillow_turns_it_by_its_exif(orientation: int, said: Any) -> None:
    store, lines = said
    line = lines[f"turned-{orientation}.jpg"]
    with Image.open(store / "photos" / "previews" / f"{line['sha256']}.jpg") as shown:
        upright = ImageOps.exif_transpose(Image.open(io.BytesIO(FILES[f"turned-{orientation}.jpg"])))
        assert shown.size == upright.size
        assert near(colours(shown), colours(upright))
        assert dict(shown.getexif()) == {}, "what is shown says nothing of place or owner"


def test_eight_orientations_look_eight_ways() -> None:
    looks = {
        tuple(colours(ImageOps.exif_transpose(Image.open(io.BytesIO(FILES[f"turned-{n}.jpg"]))))) for n in ORIENTATIONS
    }
    assert len(looks) == len(ORIENTATIONS), "else the test above would tell none of them apart"


def test_a_kept_photo_is_what_came_from_the_camera_place_and_owner_too(said: Any) -> None:
    store, lines = said
    for name in TAKEN:
        endings = {"jpeg": "jpg", "png": "png", "webp": "webp"}
        kept = store / "photos" / f"{lines[name]['sha256']}.{endings[lines[name]['kind']]}"
        assert kept.read_bytes() == FILES[name]
        assert lines[name]["size"] == len(FILES[name])
    with Image.open(store / "photos" / f"{lines['turned-6.jpg']['sha256']}.jpg") as kept:
        assert kept.getexif()[0x013B] == "Tarnwick Bay"
        assert kept.getexif().get_ifd(0x8825)[2] == (12.0, 34.0, 56.0)


def test_a_large_photo_is_scaled_for_the_screen(said: Any) -> None:
    store, lines = said
    with Image.open(store / "photos" / "previews" / f"{lines['large.jpg']['sha256']}.jpg") as shown:
        assert shown.size == (1600, 1200)
        assert near(colours(shown), colours(quarters()))


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("bomb.png", "needs more than 128 MB"),
        ("huge.jpg", "20000 × 10000 pixels"),
        ("cut.jpg", "cut off"),
        ("renamed.jpg", "no photo"),
        ("empty.jpg", "empty"),
        ("never-there.jpg", "not there any more"),
    ],
)
def test_what_cannot_be_shown_is_said_why_and_nothing_of_it_is_kept(name: str, why: str, said: Any) -> None:
    assert why in said[1][name]["why"]
    assert "sha256" not in said[1][name]


def test_only_what_was_taken_lies_in_the_store(said: Any) -> None:
    store, lines = said
    kept = {lines[name]["sha256"] for name in TAKEN}
    assert {path.stem for path in (store / "photos").iterdir() if path.is_file()} == kept
    assert {path.stem for path in (store / "photos" / "previews").iterdir()} == kept


WITH_PEAK = """
import atexit, sys
from pathlib import Path
from bayapp.cli import main
peak = lambda: [line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM")][0]
atexit.register(lambda: print(peak(), file=sys.stderr))
main()
"""


@pytest.mark.skipif(sys.platform != "linux", reason="reads a process's peak where Linux tells it")
def test_all_bad_photos_together_take_less_than_two_processor_seconds_and_two_hundred_megabytes(tmp_path: Path) -> None:
    """With the start of the program, which takes most of both."""
    bad = [tmp_path / name for name in FILES if name not in TAKEN]
    for file in bad:
        file.write_bytes(FILES[file.name])
    command = [sys.executable, "-c", WITH_PEAK, "keep-photos", f"--store={tmp_path / 'store'}", *map(str, bad)]
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    assert child.stderr
    peak = child.stderr.read().split()[-2]
    child.stderr.close()
    _pid, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    assert child.returncode == 0
    assert used.ru_utime + used.ru_stime < 2
    assert int(peak) < 200_000


def test_a_full_store_is_said_to_be_full_and_keeps_nothing(tmp_path: Path) -> None:
    from tests.record.disks import small_disk

    file = tmp_path / "large.jpg"
    file.write_bytes(photo("jpeg", Image.effect_noise((900, 900), 200).convert("RGB"), quality=95))
    with small_disk(tmp_path / "store", kilobytes=200) as store:
        line = take(store, file)["large.jpg"]
        assert line["why"].startswith("The disk is full")
        assert [path for path in (store / "photos").rglob("*") if path.is_file()] == []
