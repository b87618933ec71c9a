"""Makes sure that what was written outlives a power cut."""

import os
from pathlib import Path


def sync(path: Path) -> None:
    """Have a file, or the names in a folder, on disk when this returns; Windows writes names at once.

    Raises:
        OSError: it cannot be written.
    """
    if path.is_dir() and os.name != "posix":
        return
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
