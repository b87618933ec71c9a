"""Writes a file atomically: whole or not at all."""

import os
import tempfile
from pathlib import Path


def write_whole(target: Path, contents: bytes) -> Path:
    """Write a file atomically in place of an older one, flushed to disk, for its user alone; return its path.

    Raises:
        OSError: it cannot be written; nothing was changed.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(contents)
            file.flush()
            os.fsync(file.fileno())
        part.replace(target)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return target
