"""Lists the photos of a folder, a stick or a camera's card, the newest first; none of them is opened."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bayapp.files.bounds import MOST_CARD_FOLDERS, MOST_LISTED_PHOTOS
from bayapp.files.plain_file import is_plain, names_in

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")
CARD = "DCIM"
"""Where cameras put their folders (JEITA CP-3461, the design rule for camera file systems; from memory)."""


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """A file that may be a photo."""

    path: Path
    changed_at: datetime
    size: int


def photo_files(folder: Path) -> list[PhotoFile]:
    """Return the files of a folder that end like photos, and those of a camera's folders in it, the newest first.

    Raises:
        OSError: the folder cannot be read.
    """
    found = _in(folder)
    card = folder / CARD
    if card.is_dir():
        found += _in(card)
        names, _whole = names_in(card)
        for inside in [card / name for name in names if (card / name).is_dir()][-MOST_CARD_FOLDERS:]:
            found += _in(inside)
    return sorted(found, key=lambda file: (file.changed_at, file.path.name), reverse=True)[:MOST_LISTED_PHOTOS]


def _in(folder: Path) -> list[PhotoFile]:
    names, _whole = names_in(folder)
    paths = (folder / name for name in names if name.lower().endswith(ENDINGS))
    return [file for path in paths if is_plain(path) and (file := _looked_at(path))]


def _looked_at(path: Path) -> PhotoFile | None:
    try:
        found = path.stat()
        return PhotoFile(path, datetime.fromtimestamp(found.st_mtime, UTC), found.st_size)
    except (OSError, OverflowError, ValueError):
        return None
