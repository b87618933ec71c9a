"""Where backups go: a folder in the store, and a second place that may be pulled out."""

import secrets
from pathlib import Path

from bayapp.private_files import make_private_folder
from bayapp.text.language import _

MARK = "bayapp-place.txt"
"""A file that tells this place from an empty folder where its disk should be mounted, and from another disk."""
PLUGGED_IN = ("/media", "/run/media", "/mnt", "/Volumes")
"""Where systems mount what is plugged in."""


def mark_place(folder: Path) -> str:
    """Make a folder a place for backups; return the mark by which it is known again.

    Raises:
        OSError: it cannot be written.
    """
    make_private_folder(folder)
    mark = _mark_of(folder)
    if not mark:
        mark = secrets.token_hex(8)
        (folder / MARK).write_text(f"{mark}\n", encoding="ascii")
    return mark


def why_missing(folder: Path, mark: str | None) -> str:
    """Return why nothing may be copied to a place just now, or nothing where it is there.

    ``mark`` is the one that it had when it was chosen; None for a folder that was written into the settings by hand.
    """
    plug_in = _("Plug it in again, or choose another place under Settings, Backup.")
    if mark is not None:
        found = _mark_of(folder)
        if found == mark:
            return ""
        if found:
            what = _("Another stick or disk is plugged in where {folder} should be.").format(folder=folder)
        else:
            what = _("The stick or disk of {folder} is not plugged in.").format(folder=folder)
        return f"{what} {plug_in}"
    if _is_pluggable(folder) and not any(path.is_mount() for path in (folder, *folder.parents) if _is_pluggable(path)):
        return f"{_('The stick or disk of {folder} is not plugged in.').format(folder=folder)} {plug_in}"
    return ""


def _is_pluggable(path: Path) -> bool:
    return any(path.is_relative_to(root) and str(path) != root for root in PLUGGED_IN)


def _mark_of(folder: Path) -> str:
    try:
        return (folder / MARK).read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""
