"""Real disks of their own for tests: a small one, and one whose medium goes bad. Skipped where nobody may mount."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest


@contextmanager
def small_disk(place: Path, kilobytes: int = 600) -> Iterator[Path]:
    """Mount a disk of so many kB at a folder."""
    _may_mount()
    place.mkdir(exist_ok=True)
    _try("mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(place))
    try:
        yield place
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=False, capture_output=True)


class LoopDisk:
    """A file system in a file, mounted at a folder; the file promises more room than the small disk under it has."""

    def __init__(self, image: Path, place: Path) -> None:
        self.image, self.place = image, place

    def go_bad(self) -> None:
        """Take the room away under the file system: what it writes from now on fails as on a bad medium."""
        filler = self.image.with_name("filler")
        with suppress(OSError), filler.open("wb", buffering=0) as file:
            while file.write(bytes(4_096)):
                pass

    def pull(self) -> None:
        """Pull it out: the folder is an empty one of the disk below."""
        subprocess.run(["umount", "--lazy", str(self.place)], check=True)

    def plug_in(self) -> None:
        """Mount it again."""
        _try("mount", "-o", "loop", str(self.image), str(self.place))


@contextmanager
def loop_disk(folder: Path) -> Iterator[LoopDisk]:
    """Mount an ext4 file system of 8 MB that lies in a file on a disk of 2 MB."""
    with small_disk(folder / "medium", kilobytes=2_000) as medium:
        image, place = medium / "stick.img", folder / "stick"
        place.mkdir()
        with image.open("wb") as file:
            file.truncate(8_000_000)
        _try("mkfs.ext4", "-q", "-F", str(image))
        disk = LoopDisk(image, place)
        disk.plug_in()
        try:
            yield disk
        finally:
            subprocess.run(["umount", "--lazy", str(place)], check=False, capture_output=True)


def _may_mount() -> None:
    if os.name != "posix" or os.geteuid() != 0:
        pytest.skip("only root may mount a disk")


def _try(*words: str) -> None:
    try:
        subprocess.run(words, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError) as error:
        pytest.skip(f"this system does not let {words[0]} run: {error}")
