"""Tells a draft that is being written from one that was left by a process that was killed."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform == "win32":

    @contextmanager
    def held(draft: Path) -> Iterator[None]:
        """Do nothing: Windows deletes no file that is open, and whoever tries meets an OSError."""
        yield
else:
    import fcntl

    @contextmanager
    def held(draft: Path) -> Iterator[None]:
        """Hold a file for this process, or raise OSError where another one does."""
        handle = os.open(draft, os.O_RDWR)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            yield
        finally:
            os.close(handle)


def clear_killed(folder: Path, pattern: str, *endings: str) -> None:
    """Delete the drafts of a folder that nobody writes any more, each with the files of its name and these endings."""
    for draft in folder.glob(pattern):
        with suppress(OSError), held(draft):
            delete(draft, *endings)


def delete(draft: Path, *endings: str) -> None:
    """Delete a draft and the files of its name and these endings."""
    for ending in ("", *endings):
        draft.with_name(draft.name + ending).unlink(missing_ok=True)
