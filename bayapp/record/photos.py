"""The photos of a store: each in a file named by its SHA-256, exactly as it came, and never written again.

A photo is copied into a draft first, so that what is looked at is what is kept, whatever becomes of the stick that it
came from. An entry of the journal names it only once it is on disk.
"""

import hashlib
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from bayapp.job.state.events import PhotoAdded, PhotoKind
from bayapp.private_files import make_private_folder
from bayapp.record import draft_lock
from bayapp.record.durable import sync
from bayapp.text.language import _, ngettext

FOLDER = "photos"
PREVIEWS = "previews"  # in that folder: each photo upright and small; they can be made anew at any time
ENDINGS: dict[PhotoKind, str] = {"jpeg": ".jpg", "png": ".png", "webp": ".webp"}
_DRAFT = ".taking-"
_AT_A_TIME = 1 << 20
_AT_ONCE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)


class PhotoTooLarge(Exception):  # noqa: N818 - says what was found, not what failed
    """A file has more bytes than a photo may have."""


class SourceUnreadable(Exception):  # noqa: N818 - says what was found, not what failed
    """A file cannot be read: its stick was pulled, it is a folder or a device, nobody may; the text says why."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A copy of a file that may become a photo of the store."""

    path: Path
    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class PhotoMissing:
    """A photo of the journal is not in the store."""

    sha256: str

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("Photo {name} is missing from the folder {folder!r} of the store.").format(
            name=short(self.sha256), folder=FOLDER
        )


@dataclass(frozen=True, slots=True)
class PhotoAltered:
    """A photo of the store is not the one that was kept under its name."""

    sha256: str

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("Photo {name} is not as it was kept: its file was altered.").format(name=short(self.sha256))


def short(sha256: str) -> str:
    """Return the beginning of a checksum, by which people tell photos apart."""
    return sha256[:12]


def photo_file(store: Path, sha256: str, kind: PhotoKind) -> Path:
    """Return where a photo lies in a store."""
    return store / FOLDER / f"{sha256}{ENDINGS[kind]}"


def preview_file(store: Path, sha256: str) -> Path:
    """Return where the small upright picture of a photo lies, if it has been made."""
    return store / FOLDER / PREVIEWS / f"{sha256}.jpg"


@contextmanager
def drafted(source: Path, store: Path, largest: int) -> Iterator[Draft]:
    """Copy a file into the folder of photos under a name of its own, and leave nothing of it behind.

    Raises:
        SourceUnreadable, PhotoTooLarge: it is not copied.
        OSError: the store cannot be written.
    """
    folder = store / FOLDER
    make_private_folder(folder)
    path = folder / f"{_DRAFT}{os.getpid()}"
    os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600))
    with draft_lock.held(path):
        try:
            with path.open("r+b", buffering=0) as draft:
                sha256, size = _copy(source, draft.fileno(), largest)
            yield Draft(path, sha256, size)
        finally:
            with suppress(OSError):
                draft_lock.delete(path)


def settle(draft: Draft, store: Path, kind: PhotoKind) -> Path:
    """Give a draft its name for good, on disk when this returns; one of the same content is replaced by it.

    Raises:
        OSError: the store cannot be written; nothing was changed.
    """
    final = photo_file(store, draft.sha256, kind)
    sync(draft.path)
    draft.path.replace(final)
    sync(final.parent)
    return final


def clear_killed(store: Path) -> None:
    """Delete what was left by processes that were killed as they took a photo in."""
    draft_lock.clear_killed(store / FOLDER, f"{_DRAFT}*")


def missing(store: Path, photos: Iterable[PhotoAdded]) -> Iterator[PhotoMissing]:
    """Yield which photos of the journal are not there; their content is not looked at."""
    for photo in _each_once(photos):
        if _size(photo_file(store, photo.sha256, photo.kind)) is None:
            yield PhotoMissing(photo.sha256)


def wrong(store: Path, photos: Iterable[PhotoAdded]) -> Iterator[PhotoMissing | PhotoAltered]:
    """Yield which photos of the journal are not there, or not as they were kept; every byte is read."""
    for photo in _each_once(photos):
        file = photo_file(store, photo.sha256, photo.kind)
        if _size(file) is None:
            yield PhotoMissing(photo.sha256)
        elif checksum(file) != photo.sha256:
            yield PhotoAltered(photo.sha256)


def carry(photos: Iterable[PhotoAdded], source: Path, target: Path) -> list[PhotoMissing | PhotoAltered]:
    """Copy the photos that a store or backup lacks from another, durably; return which could not be had.

    Both are folders with a folder of photos in them. One whose content is not what its name says is left out.

    Raises:
        OSError: the target cannot be written.
    """
    lacking: list[PhotoMissing | PhotoAltered] = []
    for photo in _each_once(photos):
        there = photo_file(target, photo.sha256, photo.kind)
        if _size(there) == photo.size:
            continue
        file = photo_file(source, photo.sha256, photo.kind)
        if _size(file) is None:
            lacking.append(PhotoMissing(photo.sha256))
            continue
        if not _carried(file, photo, target):
            lacking.append(PhotoAltered(photo.sha256))
    return lacking


def _carried(file: Path, photo: PhotoAdded, target: Path) -> bool:
    """Copy a photo, unless it is not what its name says."""
    try:
        with drafted(file, target, photo.size) as draft:
            if draft.sha256 == photo.sha256:
                settle(draft, target, photo.kind)
                return True
    except (PhotoTooLarge, SourceUnreadable):
        pass
    return False


def lacking_text(count: int) -> str:
    """Return the sentence about photos that a backup does not hold."""
    return ngettext(
        "{n} photo of the journal is missing or altered and could not be copied.",
        "{n} photos of the journal are missing or altered and could not be copied.",
        count,
    ).format(n=count)


def checksum(file: Path) -> str | None:
    """Return the SHA-256 of a file; None where it cannot be read."""
    try:
        with file.open("rb") as opened:
            return hashlib.file_digest(opened, "sha256").hexdigest()
    except OSError:
        return None


def _copy(source: Path, target: int, largest: int) -> tuple[str, int]:
    content, size = hashlib.sha256(), 0
    for some in _read(source):
        size += len(some)
        if size > largest:
            raise PhotoTooLarge
        content.update(some)
        _write_all(target, some)
    return content.hexdigest(), size


def _read(source: Path) -> Iterator[bytes]:
    try:
        handle = os.open(source, _AT_ONCE)
        with os.fdopen(handle, "rb", buffering=0) as file:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise SourceUnreadable(_("it is a folder, a pipe or a device, and no photo"))
            while some := file.read(_AT_A_TIME):
                yield some
    except FileNotFoundError as error:
        raise SourceUnreadable(_("it is not there any more; was its stick pulled out?")) from error
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise SourceUnreadable(_("it cannot be read: {why}").format(why=why)) from error


def _write_all(target: int, some: bytes) -> None:
    left = memoryview(some)
    while left:
        left = left[os.write(target, left) :]


def _each_once(photos: Iterable[PhotoAdded]) -> Iterable[PhotoAdded]:
    return {photo.sha256: photo for photo in photos}.values()


def _size(file: Path) -> int | None:
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_size if stat.S_ISREG(found.st_mode) else None
