"""Backups by touch: where they go, the last good one of each place, how many are kept, and making one now."""

from enum import Enum, auto
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from bayapp.files.shop.backup_log import read_backup_log
from bayapp.files.shop.backup_places import mark_place
from bayapp.pages.selection import Selection
from bayapp.pages.settings.backups import ON_A_DRIVE, last_good, next_kept, place_line, places
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.processes.backup_runner import BackupRunner
from bayapp.screen.processes.drives import drives
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

MOST_DRIVES = 2


class _Touch(Enum):
    NOW = auto()
    KEPT = auto()
    ONLY_HERE = auto()
    PUT_BACK = auto()


class BackupController(QObject):
    """Shows the page of backups; a copy is made in a process of its own.

    Signals:
        restore_wanted: a backup is to be put back, for which the wall must close first.
    """

    restore_wanted = Signal()

    def __init__(
        self, selection: Selection, pages: PageStack, settings: ShopSettings, show: Show, runner: BackupRunner
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._settings, self._show = selection, pages, settings, show
        self._runner = runner
        self._result, self._shown = "", -1
        runner.done.connect(self._done)

    def last_text(self) -> str:
        """Return in a few words when the last backup was made."""
        folders = places(self._settings.store, self._settings.read())
        return last_good(read_backup_log(self._settings.store), folders, self._selection.bay.now(), self._selection.tz)

    def open(self) -> None:
        """Show where backups go, and the last good one of each place."""
        settings, store = self._settings.read(), self._settings.store
        folders, log = places(store, settings), read_backup_log(store)
        now = _("Copying …") if self._runner.running else _("Back up now")
        kept = _("Keep the last {n}").format(n=settings.backups_kept)
        entries: list[Entry[Path | _Touch]] = [
            Entry(_Touch.NOW, now, self._result, glyph="paper"),
            Entry(_Touch.KEPT, kept, _("in each place; older ones are deleted")),
        ]
        if len(folders) > 1:
            entries.append(Entry(_Touch.ONLY_HERE, _("Only on this machine"), _("no second place")))
        entries += [
            Entry(drive, _("Also on {drive}").format(drive=drive.name), str(drive))
            for drive in drives()
            if drive / ON_A_DRIVE not in folders
        ][:MOST_DRIVES]
        if self._runner.begun and any(log.of(folder).good_at for folder in folders):
            entries.append(Entry(_Touch.PUT_BACK, _("Put a backup back"), _("shows which, and asks first"), hold=True))
        lines = [
            place_line(folder, folder == folders[0], log, self._selection.bay.now(), self._selection.tz)
            for folder in folders
        ]
        sentences = [words for line in lines for words in (line.said, line.wrong) if words]
        if len(folders) == 1:
            sentences.append(_("A copy on the same disk dies with it: plug in a stick and touch it here."))
        made = _("Made by themselves after each car and every night, and proved.")
        self._show(_("Backup"), self._settings.trouble or made, entries, self._chosen, tuple(sentences))
        self._shown = self._pages.choices.showing

    def _chosen(self, touched: Path | _Touch) -> None:
        self._result = ""
        if isinstance(touched, Path):
            self._keep_on(touched / ON_A_DRIVE)
        elif touched is _Touch.NOW:
            self._runner.run()
        elif touched is _Touch.PUT_BACK:
            self.restore_wanted.emit()
            return
        elif touched is _Touch.KEPT:
            self._settings.change(lambda now: now.model_copy(update={"backups_kept": next_kept(now.backups_kept)}))
        else:
            self._settings.change(lambda now: now.model_copy(update={"backups": None, "backups_mark": None}))
        self.open()

    def _keep_on(self, folder: Path) -> None:
        try:
            mark = mark_place(folder)
        except OSError as wrong:
            self._result = _("{folder} cannot be written: {why}").format(folder=folder, why=wrong.strerror)
            return
        self._settings.change(lambda now: now.model_copy(update={"backups": str(folder), "backups_mark": mark}))
        self._runner.run()

    def _done(self) -> None:
        folders, log = places(self._settings.store, self._settings.read()), read_backup_log(self._settings.store)
        failed = any(log.of(folder).why for folder in folders)
        self._result = _("it failed, see above") if failed else _("done and proved")
        choices = self._pages.choices
        if choices.isVisible() and choices.showing == self._shown:
            self.open()
