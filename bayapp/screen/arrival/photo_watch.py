"""Watches a folder for photos that come into it, from a telephone's or a camera's program, and tells of each once."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from bayapp.files.photo_files import PhotoFile, photo_files

LOOK_MS = 2_000


class PhotoWatch(QObject):
    """Looks into a folder every two seconds; ``folder`` returns which, or None, each time.

    Signals:
        came: photos have come whole into the folder since the watch began; carries their files.
    """

    came = Signal(list)

    def __init__(self, folder: Callable[[], Path | None], parent: QObject) -> None:
        super().__init__(parent)
        self._folder = folder
        self._sizes: dict[Path, int | None] = {}  # as at the last look; None once it is known or told
        self._timer = QTimer(self, interval=LOOK_MS)
        self._timer.timeout.connect(self.look)

    def begin(self) -> None:
        """Take what lies there by now for known, and watch for more, where there is a folder to watch."""
        self._sizes = dict.fromkeys((file.path for file in self._files()), None)
        if self._folder():
            self._timer.start()
        else:
            self._timer.stop()

    def stop(self) -> None:
        """Watch no more."""
        self._timer.stop()

    def look(self) -> None:
        """Tell what has come, once a second look finds it as large as the first."""
        whole = []
        for file in self._files():
            before = self._sizes.get(file.path, -1)
            if before == file.size and file.size:
                self._sizes[file.path] = None
                whole.append(file.path)
            elif before is not None:
                self._sizes[file.path] = file.size
        if whole:
            self.came.emit(whole)

    def _files(self) -> list[PhotoFile]:
        folder = self._folder()
        try:
            return photo_files(folder) if folder else []
        except OSError:  # pulled out; it is looked for again
            return []
