"""What can go wrong with a store, in words that a person can act on."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from bayapp.text.language import _


class StoreProblem(Exception):  # noqa: N818 - a person is shown a problem
    """The store failed. Show it, keep what is on the screen, and try again.

    Attributes:
        what: what happened, one sentence.
        where: the folder, file or server.
        remedy: what a person can do.
    """

    def __init__(self, what: str, where: str, remedy: str) -> None:
        super().__init__(f"{what} ({where}) {remedy}")
        self.what = what
        self.where = where
        self.remedy = remedy


class BackgroundWriteFailed(StoreProblem):
    """The store failed at a write that nobody touched for: no touch is lost, and the write is tried again by itself."""


class StoreInUse(StoreProblem):
    """Another program writes to this store; close it or give this one another folder."""

    def __init__(self, where: str, holder: str = "") -> None:
        super().__init__(
            _("Another wall screen is writing to this store{holder}.").format(holder=f", {holder}" if holder else ""),
            where,
            _("Close it, or start this one with another --store folder."),
        )


class AppendConflict(Exception):  # noqa: N818 - nothing failed, another writer was quicker
    """Another writer appended first. Read what is new, judge the request again, then append.

    Attributes:
        expected: the sequence number that the caller took to be the last.
        found: the last one in the journal, or None when it isn't known.
    """

    def __init__(self, expected: int | None, found: int | None) -> None:
        super().__init__(f"the journal has gone on to {found} where {expected} was taken for the last entry")
        self.expected = expected
        self.found = found


@contextmanager
def store_problems(where: str) -> Iterator[None]:
    """Turn the library's errors into a StoreProblem about ``where``."""
    try:
        yield
    except DBAPIError as error:
        raise problem_of(error.orig or error, where) from error
    except (sqlite3.Error, OSError) as error:
        raise problem_of(error, where) from error


def problem_of(error: BaseException, where: str) -> StoreProblem:
    """Return the library's error in plain words."""
    name = getattr(error, "sqlite_errorname", None) or _AS_SQLITE.get(getattr(error, "errno", None), "")
    for prefix, (what, remedy) in _plain().items():
        if name.startswith(prefix):
            return StoreProblem(what, where, remedy)
    return StoreProblem(
        _("The store cannot be used: {error}.").format(error=str(error).strip().rstrip(".")),
        where,
        _("Look whether the folder or the server can be reached, then try again; `bayapp doctor` says more."),
    )


_AS_SQLITE: dict[int | None, str] = {
    errno.ENOSPC: "SQLITE_FULL",
    errno.EROFS: "SQLITE_READONLY",
    errno.EACCES: "SQLITE_PERM",
    errno.EPERM: "SQLITE_PERM",
    errno.EIO: "SQLITE_IOERR",
}


def damaged(detail: str, where: str) -> StoreProblem:
    """Return the problem of a journal whose content is not what was written; the detail may be a sentence."""
    plain, detail = _("The journal is damaged."), detail.rstrip(".")
    return StoreProblem(
        plain if detail == plain.rstrip(".") else _("The journal is damaged: {detail}.").format(detail=detail),
        where,
        _("Write nothing more to it. Keep a copy of the folder and restore the latest backup."),
    )


def _plain() -> dict[str, tuple[str, str]]:
    """Return what SQLite's result codes mean for a person (https://www.sqlite.org/rescode.html)."""
    damaged_remedy = _("Write nothing more to it. Keep a copy of the folder and restore the latest backup.")
    not_allowed = _("Give this user the right to write to the folder, or choose another with --store.")
    return {
        "SQLITE_FULL": (
            _("The disk is full; nothing was recorded."),
            _("Free some space on this disk, then do it again."),
        ),
        "SQLITE_READONLY": (_("The store may only be read, not written."), not_allowed),
        "SQLITE_PERM": (_("The store may only be read, not written."), not_allowed),
        "SQLITE_CANTOPEN": (_("The journal cannot be opened."), not_allowed),
        "SQLITE_BUSY": (
            _("Another program holds the journal; nothing was recorded."),
            _("Do it again; if this goes on, close the other program."),
        ),
        "SQLITE_CORRUPT": (_("The journal is damaged."), damaged_remedy),
        "SQLITE_NOTADB": (_("The file is no journal of bayapp, or it is damaged."), damaged_remedy),
        "SQLITE_IOERR": (
            _("The disk failed while reading or writing; nothing was recorded."),
            _("Look after the disk and its cable, make a backup now, then do it again."),
        ),
    }
