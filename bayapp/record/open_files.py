"""The files of an open store, watched: they must stay the ones that were opened, under their names."""

from dataclasses import dataclass
from pathlib import Path

from bayapp.record.problems import StoreLost
from bayapp.text.language import _

ENDINGS = ("", "-wal", "-shm")


@dataclass(frozen=True, slots=True)
class _Seen:
    """A file as it was seen last; what another process only reads leaves all of this as it is."""

    device: int
    inode: int
    size: int
    changed_ns: int

    def is_same_file(self, other: "_Seen") -> bool:
        return (self.device, self.inode) == (other.device, other.inode)


class OpenFiles:
    """An SQLite file, its log and its index of the log, as a writer has them open."""

    def __init__(self, file: Path) -> None:
        self._paths = [file.with_name(file.name + ending) for ending in ENDINGS]
        self._seen: list[_Seen | None] = [None] * len(self._paths)

    def learn(self) -> None:
        """Take the files as they are now for right: they were opened or written just now by this process."""
        self._seen = [_look(path) for path in self._paths]

    def require_same(self) -> None:
        """Make sure that what is written now goes into files that others can open.

        Raises:
            StoreLost: one is gone, or another lies in its place.
        """
        for path, seen in zip(self._paths, self._seen, strict=True):
            if seen is None:
                continue
            now = _look(path)
            if now is None:
                raise _gone(path)
            if not now.is_same_file(seen):
                raise _replaced(path)

    def written_by_others(self) -> bool:
        """Whether the journal's file or its log was written since ``learn``, which only this process may do."""
        pairs = zip(self._paths[:2], self._seen[:2], strict=True)
        return any(seen is not None and _look(path) != seen for path, seen in pairs)


def _look(path: Path) -> _Seen | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return _Seen(found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)


def _gone(path: Path) -> StoreLost:
    return StoreLost(
        _("{name} is not in its folder any more.").format(name=path.name),
        str(path.parent),
        _(
            "Put it back as it was, by its old name, and the wall goes on by itself. "
            "Else close the wall and restore the latest backup."
        ),
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
