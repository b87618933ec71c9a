"""Backups by touch: where they go, the size and age of the last one, and making one now."""

from datetime import UTC, datetime
from pathlib import Path
from threading import Thread

from PySide6.QtCore import QObject, Signal

from bayapp.pages.selection import Selection
from bayapp.record import StoreProblem
from bayapp.record.backup import back_up
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.processes.drives import drives
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.figures import day_and_time, size_text
from bayapp.text.language import _

MOST_DRIVES = 2


class BackupController(QObject):
    """Shows the page of backups; a copy is made in the background.

    Signals:
        made: a copy has ended; carries its file, or None and why it failed.
    """

    made = Signal(object, str)

    def __init__(self, selection: Selection, pages: PageStack, settings: ShopSettings, show: Show) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._settings, self._show = selection, pages, settings, show
        self._thread: Thread | None = None
        self._result, self._shown = "", -1
        self.made.connect(self._made)

    @property
    def folder(self) -> Path:
        """The folder that backups go to."""
        named = self._settings.read().backups
        return Path(named).expanduser() if named else self._settings.store.absolute() / "backups"

    def last(self) -> Path | None:
        """Return the newest copy in the folder."""
        try:
            return max(self.folder.glob("bayapp-journal-*.sqlite3"), key=lambda f: f.stat().st_mtime, default=None)
        except OSError:
            return None

    def last_text(self) -> str:
        """Return in a few words when the last backup was made."""
        last = self.last()
        return _("last {time}").format(time=self._time(last)) if last else _("none yet")

    def _time(self, file: Path) -> str:
        return day_and_time(datetime.fromtimestamp(file.stat().st_mtime, UTC), self._selection.tz)

    def open(self) -> None:
        """Show where backups go, and the last one."""
        folder, last = self.folder, self.last()
        running = self._thread is not None
        now = _("Copying …") if running else _("Back up now")
        entries: list[Entry[Path | None]] = [Entry(None, now, self._result, glyph="paper")]
        entries += [
            Entry(drive, _("Keep them on {drive}").format(drive=drive.name), str(drive))
            for drive in drives()
            if drive / "bayapp-backups" != folder
        ][:MOST_DRIVES]
        sentences = [_("Backups go to {folder}").format(folder=folder)]
        if folder.is_relative_to(self._settings.store.absolute()):
            sentences.append(_("That is the same disk: a stick or another machine also outlives this one."))
        if last:
            size = size_text(last.stat().st_size)
            sentences.append(
                _("The last: {name}, {size}, {time}").format(name=last.name, size=size, time=self._time(last))
            )
        data = _("The bay's data: {folder}").format(folder=self._settings.store.absolute())
        self._show(_("Backup"), self._settings.trouble or data, entries, self._chosen, tuple(sentences))
        self._shown = self._pages.choices.showing

    def _chosen(self, drive: Path | None) -> None:
        if drive:
            folder = str(drive / "bayapp-backups")
            self._settings.change(lambda now: now.model_copy(update={"backups": folder}))
            self.open()
        elif self._thread is None:
            self._thread = Thread(target=self._copy, args=(self._settings.store, self.folder), daemon=True)
            self._thread.start()
            self._result = ""
            self.open()

    def _copy(self, store: Path, folder: Path) -> None:
        try:
            file = back_up(store, folder)
        except StoreProblem as problem:
            self.made.emit(None, f"{problem.what} {problem.remedy}")
        except OSError as wrong:
            self.made.emit(None, _("{file} cannot be written.").format(file=wrong.filename or folder))
        else:
            self.made.emit(file, "")

    def _made(self, file: Path | None, why: str) -> None:
        self.wait()
        self._result = _("Done and proved: {size}").format(size=size_text(file.stat().st_size)) if file else why
        choices = self._pages.choices
        if choices.isVisible() and choices.showing == self._shown:
            self.open()

    def wait(self) -> None:
        """Wait until a copy that is being made has ended."""
        thread, self._thread = self._thread, None
        if thread:
            thread.join()
