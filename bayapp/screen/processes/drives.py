"""The sticks and disks that are plugged in."""

from pathlib import Path

from PySide6.QtCore import QStorageInfo

from bayapp.files.shop.backup_places import PLUGGED_IN


def drives() -> list[Path]:
    """Return the writable sticks and disks that are plugged in."""
    return [path for path in volumes() if any(path.is_relative_to(root) and str(path) != root for root in PLUGGED_IN)]


def volumes() -> list[Path]:
    """Return everything writable that is mounted."""
    return [Path(v.rootPath()) for v in QStorageInfo.mountedVolumes() if v.isReady() and not v.isReadOnly()]
