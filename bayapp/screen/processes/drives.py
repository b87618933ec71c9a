"""The sticks and disks that are plugged in."""

from pathlib import Path

from PySide6.QtCore import QStorageInfo

from bayapp.files.shop.backup_places import PLUGGED_IN

SHARED = "shared"  # the folder in a store for what comes from elsewhere and goes there
STICKS = ("/media/", "/run/media/", "/mnt/", "/Volumes/")


def drives() -> list[Path]:
    """Return the writable sticks and disks that are plugged in."""
    return [path for path in volumes() if any(path.is_relative_to(root) and str(path) != root for root in PLUGGED_IN)]


def volumes() -> list[Path]:
    """Return everything writable that is mounted."""
    return [Path(v.rootPath()) for v in QStorageInfo.mountedVolumes() if v.isReady() and not v.isReadOnly()]


def sticks() -> list[Path]:
    """Return where memory sticks and cards are mounted now, also those that may only be read."""
    found = []
    for volume in QStorageInfo.mountedVolumes():
        path = volume.rootPath()
        letter = len(path) <= 3 and path[1:2] == ":" and not path.upper().startswith("C")
        if volume.isReady() and (letter or path.startswith(STICKS)):
            found.append(Path(path))
    return found
