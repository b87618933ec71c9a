"""What became of the backups of each place, kept in the store so that it can be said also while a stick is away."""

from datetime import datetime
from pathlib import Path

from pydantic import Field, ValidationError

from bayapp.files.atomic_write import write_whole
from bayapp.job.model.vehicle import FileModel

NAME = "backup-log.json"


class PlaceLog(FileModel):
    """One place.

    Attributes:
        good_at, file: when the last good backup was made, and its name.
        failed_at, why: when the last try failed, if it did, and why, with what to do.
    """

    good_at: datetime | None = None
    file: str = ""
    failed_at: datetime | None = None
    why: str = ""


class BackupLog(FileModel):
    """The places by their folders."""

    places: dict[str, PlaceLog] = Field(default_factory=dict)

    def of(self, folder: Path) -> PlaceLog:
        """Return what is known of a place."""
        return self.places.get(str(folder), PlaceLog())


def read_backup_log(store: Path) -> BackupLog:
    """Return what is known; nothing where the file cannot be read: the next backup writes it anew."""
    try:
        return BackupLog.model_validate_json((store / NAME).read_bytes())
    except (OSError, ValidationError):
        return BackupLog()


def write_backup_log(store: Path, log: BackupLog) -> None:
    """Write it atomically.

    Raises:
        OSError: it cannot be written.
    """
    write_whole(store / NAME, log.model_dump_json().encode())
