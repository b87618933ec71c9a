"""One writer per store: a lock file that the system releases when its holder dies."""

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


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> None:
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
