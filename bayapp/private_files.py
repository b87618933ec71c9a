"""Keeps what the shop writes to its own user, whatever the machine's mask for new files says.

On Windows a folder below the user's profile is the user's alone by its inherited rights, and nothing is changed here.
"""

import os
import stat
from contextlib import suppress
from pathlib import Path

OURS = (
    "journal*",
    "settings.toml",
    "new-car.json",
    "owners*.json",
    "backup-log.json",
    "passwords.json",
    "writer.lock",
    "*.log",
    "*.log.[0-9]",
)
"""The files of a store, by their names."""
FOLDERS = ("jobs", "records", "backups", "recipes", "products", "vehicles", "shared", "photos")
"""The folders of a store, each with all that lies in it."""
OTHERS = stat.S_IRWXG | stat.S_IRWXO


def keep_new_files_private() -> None:
    """From now on, give every file and folder that this process and its children make to its user alone."""
    if os.name == "posix":
        os.umask(OTHERS)


def make_private_folder(folder: Path) -> None:
    """Make a folder that is its user's alone; one that is there stays as it is."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=stat.S_IRWXU, exist_ok=True)


def close_store_to_others(store: Path) -> None:
    """Take from everybody but its owner all rights to a store, as an older version or another mask may have left them.

    Its folders are closed, not what lies in them: nobody comes past a closed folder, and papers of ten years take a
    third of a start to go through. What belongs to somebody else, and what lies beside a store's own files, stays as
    it is; so does a folder that many share, such as the system's for temporary files.
    """
    if store.is_dir() and not store.stat().st_mode & stat.S_ISVTX and not store.is_mount():
        _close(store)
    for pattern in OURS:
        for path in store.glob(pattern):
            if path.is_file():
                _close(path)
    for folder in _folders(store):
        _close(folder)


def close_contents_to_others(store: Path) -> None:
    """Do the same for all that lies in a store's folders."""
    for folder in _folders(store):
        for path in folder.rglob("*"):
            _close(path)


def _folders(store: Path) -> list[Path]:
    return [store / name for name in FOLDERS if (store / name).is_dir() and not (store / name).is_symlink()]


def _close(path: Path) -> None:
    if os.name != "posix":
        return
    with suppress(OSError):  # it went meanwhile, or its file system knows no rights
        found = path.lstat()
        if found.st_uid == os.geteuid() and found.st_mode & OTHERS and not stat.S_ISLNK(found.st_mode):
            path.chmod(stat.S_IMODE(found.st_mode) & ~OTHERS)
