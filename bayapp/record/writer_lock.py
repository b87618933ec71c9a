"""One writer per store: locks that the system releases when their holder dies.

One is on a file of its own in the folder, which also keeps a restore and a writer apart, and names its holder. Its name
can be removed, so the other one is on the database's own file: two writers never have the same one open.
"""

import os
import sys
from pathlib import Path

from bayapp.record.problems import StoreInUse, store_problems
from bayapp.text.language import _

NAME = "writer.lock"


class WriterLock:
    """Held from construction until ``release`` or the death of the process, SIGKILL and power cut included.

    A child process made by a bare fork would share it; start children with exec (subprocess, or
    multiprocessing's "spawn").

    Raises:
        StoreInUse: another program holds it.
        StoreProblem: the folder cannot be written.
    """

    def __init__(self, folder: Path) -> None:
        path = folder / NAME
        with store_problems(str(folder)):
            self._file = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        try:
            _lock(self._file)
        except OSError as taken:
            holder = os.pread(self._file, 20, 0).decode("ascii", "replace").strip() if sys.platform != "win32" else ""
            os.close(self._file)
            named = _("process {number}").format(number=holder) if holder else ""
            raise StoreInUse(str(folder), named) from taken
        os.ftruncate(self._file, 0)
        os.write(self._file, f"{os.getpid()}\n".encode("ascii"))

    def release(self) -> None:
        """Let the next writer in."""
        os.close(self._file)


class DatabaseLock:
    """Held on an SQLite file, which is made if there is none; SQLite's own locks are of another kind and stay free.

    Release it after SQLite's connections are closed: closing any descriptor of a file lets go of SQLite's locks on it.
    Windows lets nobody remove a file that is open, and so has nothing to lock here.

    Raises:
        StoreInUse: another program holds it.
        StoreProblem: the file cannot be written.
    """

    def __init__(self, file: Path) -> None:
        with store_problems(str(file.parent)):
            self._file = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
        if sys.platform == "win32":
            return
        try:
            _lock(self._file)
        except OSError as taken:
            os.close(self._file)
            raise StoreInUse(str(file.parent)) from taken

    def release(self) -> None:
        """Let the next writer in."""
        os.close(self._file)


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> None:
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
