"""What can go wrong with a store, in words that a person can act on."""

import errno
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from bayapp.text.language import _

FULL_BYTES = 100_000
"""With less than this no page and no log of a journal grows."""
NO_FOLDER = "NO_FOLDER"  # a file stands where the folder should be
GONE = "GONE"  # beside SQLite's names: the disk, or the folder on it, is not there any more


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


class DamagedStore(StoreProblem):
    """What is in the journal is not what was written; only a backup brings it back."""


class CutStore(DamagedStore):
    """The last entries are missing; those that are there are whole, and it may go on from them."""


class NewerStore(StoreProblem):
    """A newer bayapp wrote this journal, or an entry of it; the newer one reads it."""


class PlaceProblem(StoreProblem):
    """A place for backups failed; the journal itself is not touched by it."""


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


class StoreLost(StoreProblem):
    """The store that was opened is not the one that lies there now; nothing is recorded until it is there again.

    Attributes:
        gone: nothing lies in its place, so that it can be written back from the file that is still open.
    """

    def __init__(self, what: str, where: str, remedy: str, gone: bool = False) -> None:
        super().__init__(what, where, remedy)
        self.gone = gone


class AppendConflict(StoreProblem):
    """Another writer appended first, or took away what was there; nothing was recorded.

    Attributes:
        expected: the sequence number that the caller took to be the last.
        found: the last one in the journal, or None when it isn't known.
    """

    def __init__(self, expected: int | None, found: int | None, where: str = "") -> None:
        super().__init__(
            _("Another program has written to this journal: its last entry is no longer {expected}.").format(
                expected=expected
            ),
            where,
            _("Close the other program, then close this wall and start it again, so that it knows what is new."),
        )
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
    name = _sqlite_name(error)
    if name.startswith("SQLITE_IOERR") and _is_full(where):
        name = "SQLITE_FULL"  # as SQLite calls a log that no longer fits
    if name.startswith(_DAMAGE):
        return DamagedStore(*_said(name, _plain(), where))
    if name.startswith(tuple(_plain())):
        return StoreProblem(*_said(name, _plain(), where))
    if type(error).__module__.startswith("psycopg") and getattr(error, "sqlstate", None) is None:
        return StoreProblem(
            _("The database server gives no answer: {error}.").format(error=_one_line(error)),
            where,
            _("Start the server, look at the network between, then try again."),
        )
    return StoreProblem(
        _("The store cannot be used: {error}.").format(error=_one_line(error)),
        where,
        _("Look whether the folder or the server can be reached, then try again; `bayapp doctor` says more."),
    )


def place_problem(error: BaseException, where: str) -> PlaceProblem:
    """Return what is wrong with a place for backups, in plain words: the journal is not at fault."""
    name = _sqlite_name(error)
    if name.startswith(tuple(_of_place())):
        return PlaceProblem(*_said(name, _of_place(), where))
    return PlaceProblem(
        _("No backup can be made there: {error}.").format(error=_one_line(error)),
        where,
        _("Look at the stick or disk, or choose another place under Settings, Backup."),
    )


def _is_full(where: str) -> bool:
    try:
        return shutil.disk_usage(where).free < FULL_BYTES
    except (OSError, ValueError):
        return False


def _sqlite_name(error: BaseException) -> str:
    """Return SQLite's name of what happened, also of what the system says by a number."""
    if isinstance(error, sqlite3.OperationalError) and "decode to UTF-8" in str(error):
        return "SQLITE_CORRUPT"  # the library reads text that is none
    name = getattr(error, "sqlite_errorname", None) or _AS_SQLITE.get(getattr(error, "errno", None), "")
    return str(name)


def _said(name: str, table: dict[str, tuple[str, str]], where: str) -> tuple[str, str, str]:
    what, remedy = next(words for prefix, words in table.items() if name.startswith(prefix))
    return what, where, remedy


def _one_line(error: BaseException) -> str:
    return " ".join(str(error).split()).rstrip(".")


_DAMAGE = ("SQLITE_CORRUPT", "SQLITE_NOTADB")
_AS_SQLITE: dict[int | None, str] = {
    errno.ENOSPC: "SQLITE_FULL",
    errno.EDQUOT: "SQLITE_FULL",
    errno.ENODEV: GONE,
    errno.ENXIO: GONE,
    errno.ESTALE: GONE,
    errno.ENOTCONN: GONE,
    errno.ENOENT: GONE,
    errno.ENOTDIR: NO_FOLDER,
    errno.EEXIST: NO_FOLDER,
    errno.EROFS: "SQLITE_READONLY",
    errno.EACCES: "SQLITE_PERM",
    errno.EPERM: "SQLITE_PERM",
    errno.EIO: "SQLITE_IOERR",
}


def damaged(detail: str, where: str) -> DamagedStore:
    """Return the problem of a journal whose content is not what was written; the detail may be a sentence."""
    plain, detail = _("The journal is damaged."), detail.rstrip(".")
    return DamagedStore(
        plain if detail == plain.rstrip(".") else _("The journal is damaged: {detail}.").format(detail=detail),
        where,
        _("Write nothing more to it. Keep a copy of the folder and restore the latest backup."),
    )


def unreadable(seq: int, why: str, newer: bool, where: str) -> StoreProblem:
    """Return the problem of an entry that this program cannot read; ``newer``: a newer one wrote it."""
    if not newer:
        return damaged(_("entry {seq} is no event ({why})").format(seq=seq, why=why), where)
    return NewerStore(
        _("A newer bayapp wrote entry {seq}: {why}.").format(seq=seq, why=why),
        where,
        _("Install the newer bayapp again; nothing here was changed."),
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
        GONE: (
            _("The store is not there any more: its disk was pulled out, or its folder was moved."),
            _("Plug the disk in again or put the folder back, then do it again."),
        ),
        NO_FOLDER: (
            _("A file stands where the folder of the store should be."),
            _("Name another folder with --store, or take the file away."),
        ),
    }


def _of_place() -> dict[str, tuple[str, str]]:
    """Return what SQLite's result codes mean for a place that backups go to."""
    not_allowed = _("Give this user the right to write there, or choose another place under Settings, Backup.")
    cannot_write = _("Backups may not be written there.")
    return {
        "SQLITE_FULL": (
            _("There is no room left for a backup."),
            _("Free some space there, or choose another place under Settings, Backup."),
        ),
        "SQLITE_READONLY": (cannot_write, not_allowed),
        "SQLITE_PERM": (cannot_write, not_allowed),
        "SQLITE_CANTOPEN": (cannot_write, not_allowed),
        "SQLITE_IOERR": (
            _("The disk for backups failed, or it was pulled out while a backup was being made."),
            _("Plug it in again. If this goes on, take another stick or disk."),
        ),
        GONE: (
            _("The disk for backups is not there: it was pulled out, or is not mounted."),
            _("Plug it in again, or choose another place under Settings, Backup."),
        ),
        NO_FOLDER: (
            _("A file stands where the folder for backups should be."),
            _("Choose another place under Settings, Backup."),
        ),
    }
