"""The files of an open store, watched: they must stay the ones that were opened, under their names."""

import errno
import os
from pathlib import Path
from typing import NamedTuple

from bayapp.record.problems import StoreLost, problem_of
from bayapp.text.language import _

ENDINGS = ("", "-wal", "-shm")
WRITTEN = (0, 1)
"""The places of those that change only by a write; readers write to the third."""


class _Seen(NamedTuple):
    """A file as it was seen last; what another process only reads leaves all of this as it is."""

    device: int
    inode: int
    size: int
    changed_ns: int

    def is_same_file(self, other: "_Seen") -> bool:
        return self.inode == other.inode and self.device == other.device


class OpenFiles:
    """An SQLite file, its log and its index of the log, as a writer has them open."""

    def __init__(self, file: Path) -> None:
        self._paths = [str(file.with_name(file.name + ending)) for ending in ENDINGS]
        self._seen: list[_Seen | None] = [None] * len(self._paths)

    def require_disk(self) -> None:
        """Make sure that what is written into the folder, or into a new one of its name, lies on the same disk.

        Raises:
            StoreProblem: the disk was pulled, and a folder of the disk below lies there now.
        """
        folder = next(place for place in Path(self._paths[0]).parents if place.is_dir())
        seen = self._seen[0]
        if seen is None or folder.stat().st_dev != seen.device:
            raise problem_of(OSError(errno.ENODEV, "the disk is gone"), str(Path(self._paths[0]).parent))

    def learn(self) -> None:
        """Take the files as they are now for right: they were opened or written just now by this process.

        Another file that came into the place of one meanwhile is not: it is found the next time.
        """
        for place, path in enumerate(self._paths):
            seen, now = self._seen[place], _look(path)
            if seen is None or (now and now.is_same_file(seen)):
                self._seen[place] = now

    def require_same(self) -> None:
        """Make sure that what is written now goes into files that others can open.

        Raises:
            StoreLost: one is gone, or another lies in its place.
        """
        self.written_by_others()

    def written_by_others(self) -> bool:
        """Whether the journal's file or its log was written since ``learn``, which only this process may do.

        Raises:
            StoreLost: what is written now would not go into files that others can open.
        """
        written = False
        for place, (path, seen) in enumerate(zip(self._paths, self._seen, strict=True)):
            if seen is None:
                continue
            now = _look(path)
            if now is None:
                raise _gone(Path(path))
            if not now.is_same_file(seen):
                raise _replaced(Path(path))
            written = written or (place in WRITTEN and now != seen)
        return written


def _look(path: str) -> _Seen | None:
    try:
        found = os.stat(path)  # noqa: PTH116 - on every touch: a Path takes three times as long
    except OSError:
        return None
    return _Seen(found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)


def _gone(path: Path) -> StoreLost:
    return StoreLost(
        _("{name} is not in its folder any more.").format(name=path.name),
        str(path.parent),
        _(
            "Put it back as it was, by its old name, and the wall goes on by itself. "
            "Else have it written back from what the wall still has, or restore the latest backup."
        ),
        gone=True,
    )


def _replaced(path: Path) -> StoreLost:
    return StoreLost(
        _("Another file lies in the place of {name}.").format(name=path.name),
        str(path.parent),
        _(
            "Put the right one back, and the wall goes on by itself. "
            "Or close the wall and start it again, and it takes the one that lies there."
        ),
    )
