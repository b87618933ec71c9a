"""Opens files from people: plain files only, whole, and no larger than asked; lists those of a folder.

A pipe or a device in a folder would be waited for without end, and some devices do something when they are opened.
"""

import os
import stat
from collections.abc import Iterable
from itertools import islice
from pathlib import Path

from bayapp.files.bounds import MOST_FOLDER_BYTES, MOST_FOLDER_ENTRIES
from bayapp.files.problems import BadFile, Finding
from bayapp.text.language import _

_AT_ONCE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)


def read_bytes(path: Path, largest: int) -> bytes:
    """Return the content of a file.

    Raises:
        BadFile: it is missing, no plain file, too large, or not readable.
    """
    try:
        _expect_plain(path, path.stat().st_mode)
        with os.fdopen(os.open(path, _AT_ONCE), "rb") as file:
            _expect_plain(path, os.fstat(file.fileno()).st_mode)  # it may have been replaced meanwhile
            raw = file.read(largest + 1) or b""
    except FileNotFoundError as error:
        raise unreadable(path, _("there is no such file")) from error
    except (OSError, ValueError) as error:
        raise unreadable(
            path, _("it cannot be read: {error}").format(error=getattr(error, "strerror", None) or error)
        ) from error
    if len(raw) > largest:
        reason = _("it is larger than {size} kB, so it is not what it should be").format(size=largest // 1_000)
        raise unreadable(path, reason)
    return raw


def decode(path: Path, raw: bytes) -> str:
    """Return bytes as text; a byte order mark before UTF-8 is dropped.

    Raises:
        BadFile: not UTF-8, or with NUL bytes in it.
    """
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise unreadable(path, _("it is saved as UTF-16; save it as UTF-8"))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise unreadable(path, _("it is not UTF-8 text; save it as UTF-8"), line) from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise unreadable(path, _("it holds a NUL byte, so it is no text; save it as UTF-8 text"), line)
    return text


def plain_files(folder: Path, ending: str) -> list[Path]:
    """Return the plain files of a folder with this ending, by name; none where it cannot be read.

    Hidden ones, folders, pipes and the like are left out, and so is whatever follows ``MOST_FOLDER_ENTRIES`` entries
    or, together with those before it, is larger than ``MOST_FOLDER_BYTES``.
    """
    try:
        names, _whole = names_in(folder)
    except OSError:
        return []
    return _together([folder / name for name in names if name.endswith(ending) and is_plain(folder / name)])


def newest_files(folder: Path, ending: str, most: int) -> tuple[list[Path], bool]:
    """Return the newest plain files of a folder with this ending, by name, and whether that is all of them."""
    files = plain_files(folder, ending)
    newest = sorted(files, key=_changed_at, reverse=True)[:most]
    return sorted(newest), len(newest) == len(files)


def names_in(folder: Path) -> tuple[list[str], bool]:
    """Return the names in a folder that are not hidden, in order, and whether that is all of them.

    Raises:
        OSError: the folder cannot be read.
    """
    with os.scandir(folder) as entries:
        seen = [entry.name for entry in islice(entries, MOST_FOLDER_ENTRIES)]
        whole = next(entries, None) is None
    return sorted(name for name in seen if not name.startswith(".")), whole


def is_plain(path: Path) -> bool:
    """Whether a path, or what it links to, is a plain file that is there."""
    try:
        return stat.S_ISREG(path.stat().st_mode)
    except (OSError, ValueError):
        return False


def _together(files: Iterable[Path]) -> list[Path]:
    found, left = [], MOST_FOLDER_BYTES
    for file in files:
        left -= size_of(file)
        if left >= 0:
            found.append(file)
    return found


def _changed_at(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0


def size_of(path: Path) -> int:
    """Return how many bytes a file has; 0 where that is unknown."""
    try:
        return path.stat().st_size
    except OSError:
        return 0


def unreadable(path: Path, reason: str, line: int | None = None) -> BadFile:
    """Return that there is no text to check, and why."""
    return BadFile([Finding(str(path), line, "", reason)], unreadable=True)


def _expect_plain(path: Path, mode: int) -> None:
    if stat.S_ISREG(mode):
        return
    if stat.S_ISDIR(mode):
        raise unreadable(path, _("this is a folder; name a file in it"))
    reason = _("it is a pipe, a socket or a device and is not opened; put a file in its place")
    raise unreadable(path, reason)
