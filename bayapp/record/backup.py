"""Safe copies of a store while it runs, and back again."""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path

from bayapp.job import fold
from bayapp.job.state.events import PhotoAdded
from bayapp.private_files import make_private_folder
from bayapp.record import draft_lock, owners, photos
from bayapp.record.bodies import UPCASTS, from_bodies, names_of
from bayapp.record.chain import NOTHING, Head
from bayapp.record.durable import sync
from bayapp.record.integrity import check
from bayapp.record.on_sqlite import RESTORING
from bayapp.record.problems import PlaceProblem, StoreProblem, damaged, place_problem, problem_of, store_problems
from bayapp.record.rows import instant_of
from bayapp.record.store import BACKUPS, Store, locate
from bayapp.record.witness import ENDING, Witness
from bayapp.record.writer_lock import DatabaseLock, WriterLock
from bayapp.text.language import _

DRAFT = ".copying-"
WITH_FILE = ("", "-wal", "-shm", ENDING)  # an SQLite file and those that belong to it
DRAFT_WITH = ("-wal", "-shm", ENDING, "-journal")


def back_up(store: Path | str, target_dir: Path, lacking_photos: Callable[[int], None] = lambda _count: None) -> Path:
    """Copy a store, also one in use, into ``target_dir``; return the one file that was made and verified.

    It is named after its last entry, so that the same content is copied only once. What a copy left that was killed is
    cleared first. The photos that it names, and the owners, lie beside it when it gets its name, except in a folder of
    the store itself, where they lie already; ``lacking_photos`` is told how many could not be had.

    Raises:
        PlaceProblem: no room there, or the disk is gone or fails; the journal is not at fault.
        StoreProblem: nothing to copy, or the journal itself is damaged.
    """
    source = _file_of(locate(store))
    try:
        make_private_folder(target_dir)
        draft_lock.clear_killed(target_dir, f"{DRAFT}*.sqlite3", *DRAFT_WITH)
        with _own_draft(target_dir / f"{DRAFT}{os.getpid()}.sqlite3") as draft:
            with closing(_open(source)) as running:
                count, last_at = _copy(running, draft)
            verify(draft, count)
            if source.parent not in target_dir.absolute().parents:
                photos.clear_killed(target_dir)
                lacking_photos(len(photos.carry(_photos_in(draft), source.parent, target_dir)))
                owners.carry(source.parent, target_dir)
            return _settle(draft, target_dir / _file_name(count, last_at))
    except (sqlite3.Error, OSError, StoreProblem) as error:
        raise _whose(error, source, target_dir) from error


def save_open(running: sqlite3.Connection, store: Path, head: Head) -> Path:
    """Copy a journal whose file was deleted from a connection that still has it open, into the store's own backups.

    Returns the copy, which was made and verified, and ends with this head.

    Raises:
        StoreProblem: what is open is not whole, or the folder cannot be written.
    """
    folder = store / BACKUPS
    try:
        make_private_folder(store)
        make_private_folder(folder)
        with _own_draft(folder / f"{DRAFT}{os.getpid()}.sqlite3") as draft:
            count, last_at = _copy(running, draft)
            verify(draft, count)
            if _head_of(draft) != head:
                raise damaged(_("its last entry is not the one that was recorded last"), str(store))
            return _settle(draft, folder / _file_name(count, last_at))
    except (sqlite3.Error, OSError) as error:
        raise problem_of(error, str(store)) from error


def _whose(error: Exception, source: Path, place: Path) -> StoreProblem:
    """Tell what is wrong: the journal that was to be copied, or else the place that it was to be copied to."""
    wrong = check(f"sqlite:///{source}")
    if wrong:
        return damaged(wrong[0].words, str(source.parent))
    if isinstance(error, StoreProblem):  # the journal is sound, its copy is not
        return PlaceProblem(
            _("The copy is not what was copied: {why}").format(why=error.what),
            str(place),
            _("Take another stick or disk: this one does not keep what is written to it."),
        )
    return place_problem(error, str(place))


@contextmanager
def _own_draft(draft: Path) -> Iterator[Path]:
    """Make a private file for a copy, known as this process's while it lives, and leave nothing of it behind."""
    os.close(os.open(draft, os.O_RDWR | os.O_CREAT, 0o600))
    with draft_lock.held(draft):
        try:
            yield draft
        finally:
            with suppress(OSError):  # the stick was pulled: what is left is cleared when it is back
                draft_lock.delete(draft, *DRAFT_WITH)


def restore(file: Path, store: Path | str) -> Path | None:
    """Put a backup in the place of a store's journal; return where the old one is kept, if there was one.

    Photos and owners that the store lacks are taken from beside the backup; what photos are lacking there too, ``bayapp
    verify`` names.

    Raises:
        StoreInUse: a wall screen runs on the store.
        StoreProblem: the backup is damaged; nothing was changed.
    """
    place = locate(store)
    verify(file)
    with _held(place):
        draft = place.file.with_name(RESTORING)
        with store_problems(place.where):
            photos.carry(_photos_in(file), file.absolute().parent, place.file.parent)
            owners.fetch(file.absolute().parent, place.file.parent)
            _draft(file, draft)
            aside = _put_aside(place.file)
            Witness(place.file).settle(_head_of(draft))
            _settle(draft, place.file)
    return aside


def put_aside(store: Path | str) -> Path | None:
    """Take a journal out of its place, so that the next start begins an empty one; return where it is kept.

    Raises:
        StoreInUse: a wall screen runs on the store.
    """
    place = locate(store)
    with _held(place), store_problems(place.where):
        place.file.with_name(RESTORING).unlink(missing_ok=True)  # of a restore that was killed: its backup is elsewhere
        return _put_aside(place.file)


def go_on_from_what_is_there(store: Path | str) -> None:
    """Lay the witness of a journal aside whose last entries are missing; the next start takes what is there for all.

    Raises:
        StoreInUse: a wall screen runs on the store.
    """
    place = locate(store)
    with _held(place), store_problems(place.where):
        witness = Witness(place.file).path
        witness.replace(_free_name(place.file, ENDING))


def _draft(source: Path, draft: Path) -> None:
    """Make a verified copy, or leave nothing behind."""
    draft.unlink(missing_ok=True)
    try:
        with closing(_open(source)) as running:
            count, _last_at = _copy(running, draft)
        verify(draft, count)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise


def _file_of(store: Store) -> Path:
    if not store.is_file:
        raise StoreProblem(
            _("This journal is on a database server, which bayapp does not copy."),
            store.where,
            _("Use the server's own backup."),
        )
    if not store.file.is_file():
        raise StoreProblem(_("There is no journal here."), store.where, _("Name the store's folder with --store."))
    return store.file


def _copy(running: sqlite3.Connection, draft: Path) -> tuple[int, datetime | None]:
    """Copy one moment of a journal that others may be writing to; return its count and last instant."""
    with closing(_open(draft)) as copy:
        running.execute("BEGIN")
        try:
            count, last = running.execute(
                "SELECT count(*), (SELECT at_ms FROM journal ORDER BY seq DESC LIMIT 1) FROM journal"
            ).fetchone()
            running.backup(copy)
        finally:
            running.rollback()
        copy.execute("PRAGMA journal_mode = DELETE")  # one file that travels alone
    return count, None if last is None else instant_of(last)


def _photos_in(file: Path) -> list[PhotoAdded]:
    """Return the photos that a journal names; one of an older version has none."""
    with closing(_open(file)) as copy:
        names = names_of([PhotoAdded], UPCASTS)
        asked = f"SELECT body FROM journal WHERE name IN ({', '.join('?' * len(names))}) ORDER BY seq"
        bodies = [body for (body,) in copy.execute(asked, names)]
    return [event for event in from_bodies(bodies) if isinstance(event, PhotoAdded)]


def _open(file: Path) -> sqlite3.Connection:
    return sqlite3.connect(file, isolation_level=None, timeout=10)


def _head_of(file: Path) -> Head:
    """Return the last entry of a copy; a copy of an older version has no checksums, nor needs its store a witness."""
    with closing(_open(file)) as copy:
        if not copy.execute("SELECT 1 FROM pragma_table_info('journal') WHERE name = 'checksum'").fetchone():
            return NOTHING
        row = copy.execute("SELECT seq, checksum FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
    return Head(*row) if row else NOTHING


def _file_name(count: int, last_at: datetime | None) -> str:
    moment = f"{last_at:%Y%m%dT%H%M%SZ}" if last_at else "empty"
    return f"bayapp-journal-{moment}-{count}.sqlite3"


def verify(file: Path, count: int | None = None) -> None:
    """Make sure that a copy is an intact journal that can be replayed, with ``count`` entries if that is known.

    Raises:
        StoreProblem: it is not; says why.
    """
    if not file.is_file():
        raise StoreProblem(_("There is no such backup."), str(file), _("Name the file that `bayapp backup` made."))
    findings = check(f"sqlite:///{file}", alone=True)
    if findings:
        raise damaged(findings[0].words, str(file))
    with closing(_open(file)) as copy:
        bodies = [body for (body,) in copy.execute("SELECT body FROM journal ORDER BY seq")]
    if count not in (None, len(bodies)):
        raise damaged(_("{found} entries instead of {count}").format(found=len(bodies), count=count), str(file))
    try:
        fold(from_bodies(bodies))
    except (LookupError, TypeError, ValueError) as error:
        raise damaged(_("its entries cannot be replayed ({error!r})").format(error=error), str(file)) from error


def _settle(draft: Path, final: Path) -> Path:
    """Give a finished copy its name, durably."""
    sync(draft)
    draft.replace(final)
    sync(final.parent)
    return final


def _put_aside(file: Path) -> Path | None:
    if not any(file.with_name(file.name + ending).exists() for ending in WITH_FILE):
        return None
    aside = _free_name(file)
    for ending in WITH_FILE:
        part = file.with_name(file.name + ending)
        if part.exists():
            part.rename(aside.with_name(aside.name + ending))
    return aside if aside.exists() else None


def _free_name(file: Path, ending: str = "") -> Path:
    """Return a name beside a journal's file that nothing has that was laid aside."""
    names = (file.with_name(f"journal-before-restore-{n}.sqlite3") for n in range(1, 10_000))
    free = next(name for name in names if not any(name.with_name(name.name + part).exists() for part in WITH_FILE))
    return free.with_name(free.name + ending)


@contextmanager
def _held(store: Store) -> Iterator[None]:
    """Keep every writer out by the lock of the folder, which does not belong to the journal being replaced."""
    if not store.is_file or store.folder is None:
        raise StoreProblem(
            _("A backup can only be restored into a folder."), store.where, _("Name a folder with --store.")
        )
    with store_problems(store.where):
        store.folder.mkdir(parents=True, exist_ok=True)
    lock = WriterLock(store.folder)
    try:
        with _held_database(store.file):
            yield
    finally:
        lock.release()


@contextmanager
def _held_database(file: Path) -> Iterator[None]:
    """Keep out also a writer whose lock of the folder was removed."""
    if not file.is_file():
        yield
        return
    lock = DatabaseLock(file)
    try:
        yield
    finally:
        lock.release()
