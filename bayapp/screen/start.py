"""Starts the wall, and where that fails shows a window with the ways on: no wall stays dark."""

from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, tzinfo
from pathlib import Path
from threading import Thread

from PySide6.QtCore import QObject, Signal

from bayapp.bay.told import Told
from bayapp.clock import BayClock
from bayapp.files.problems import BadFile
from bayapp.files.shop.settings import Settings, load_settings
from bayapp.pages.settings.backups import ON_A_DRIVE, places
from bayapp.pages.starting.start_trouble import (
    WITHOUT,
    Backup,
    Looking,
    StartTrouble,
    Way,
    look_first,
    mended_note,
    restore_asked_for,
    sentences,
    told_again,
    trouble_of,
    way_buttons,
    written_back,
)
from bayapp.pages.wanted import StoreFound
from bayapp.paths import default_store
from bayapp.record import StoreProblem
from bayapp.record.backup import go_on_from_what_is_there, put_aside, restore
from bayapp.record.kept_backups import KeptBackup, entries_in, newest_good
from bayapp.screen import app
from bayapp.screen.processes.drives import drives
from bayapp.screen.window.owed_notes import OwedNotes
from bayapp.screen.window.start_window import AGAIN_S, StartWindow, fill_screen
from bayapp.screen.window.wall import Wall
from bayapp.time_zone import UnknownZoneError, local_zone

Tell = Callable[[Exception], tuple[str, int]]
"""Says on standard error why a start failed; returns the sentence, and the exit code if it is left at that."""


def start(store: Path | None, options: app.WallOptions, tell: Tell) -> int:
    """Open the wall screen and stay until it is closed; return the exit code.

    Where it cannot start, a window says why and offers ways on, until it starts or somebody leaves.

    Raises:
        NoDisplayError: there is no display to open any window on.
    """
    attempts = _Attempts(store or default_store(), options.kiosk, tell)
    while True:
        try:
            code = app.run(store, options, frozenset(attempts.without), attempts.stand)
        except app.NoDisplayError:
            raise
        except Exception as failed:
            if attempts.stood:
                raise
            left = attempts.ask(failed)
        else:
            if code != app.RESTORE_ASKED_FOR:
                return code
            left = attempts.write_back() if attempts.saved else attempts.ask_for_restore()
        if left is not None:
            return left


class _Attempts:
    """What was tried so far to start the wall."""

    def __init__(self, store: Path, kiosk: bool, tell: Tell) -> None:
        self._store, self._kiosk, self._tell = store, kiosk, tell
        self._window: StartWindow | None = None
        self._last = ""
        self._code = 0
        self._said = self._note = ""
        self.saved: Path | None = None
        self._written_back = False
        self.without: set[Way] = set()
        self.stood = False

    def stand(self, window: Wall) -> None:
        """Close the window of the failed start, and write down with every car what was lost: the wall stands."""
        self.stood = True
        bay = window.selection.bay
        window.store_look.saved.connect(self._take_saved)
        if self._written_back:
            bay.told = Told(bay.now(), written_back())
            bay.tell()
            self._written_back = False
        if self._note:
            owed = OwedNotes(bay, self._note, window)
            window.closing.connect(owed.stop)
            bay.told = Told(bay.now(), look_first())
            bay.tell()
            window.pages.want(StoreFound((look_first(), self._note)))  # in letters that are read from afar
            self._note = ""
        if self._window:
            self._window.hide()
            self._window.deleteLater()
            self._window = None

    def ask(self, failed: Exception) -> int | None:
        """Show why it failed and do what is chosen; return the exit code when it is to leave, None to try again."""
        if str(failed) != self._last:  # said once, not every few seconds
            self._last = str(failed)
            self._said, self._code = self._tell(failed)
        what = failed.what if isinstance(failed, StoreProblem) else ""
        return self._go_on(trouble_of(failed, self._said, self._store), what)

    def write_back(self) -> int | None:
        """Put the journal in its place that was copied from a deleted file; return as ``ask`` does."""
        self.stood, self._code = False, 0
        copy, self.saved = self.saved, None
        try:
            self._replace(Way.RESTORE, copy)
        except StoreProblem as problem:
            self._last = ""
            return self.ask(problem)
        self._written_back = True
        return None

    def _take_saved(self, copy: Path) -> None:
        self.saved = copy

    def ask_for_restore(self) -> int | None:
        """Offer the newest good backup to somebody who asked for it; return as ``ask`` does."""
        self.stood, self._code = False, 0
        return self._go_on(restore_asked_for(), "")

    def _go_on(self, trouble: StartTrouble, what: str) -> int | None:
        question = _Question(self._shown(), trouble, self._store)
        way, backup, entries = question.ask()
        if way is Way.LEAVE:
            return self._code
        if way in WITHOUT:
            self.without.add(way)
        try:
            self._replace(way, backup.file if backup else None)
        except StoreProblem as problem:
            self._last = ""
            return self.ask(problem)
        self._note = mended_note(what, way, backup, entries, _zone()) or self._note
        return None

    def _replace(self, way: Way, backup: Path | None) -> None:
        if way is Way.RESTORE and backup:
            restore(backup, self._store)
        elif way is Way.EMPTY:
            put_aside(self._store)
        elif way is Way.CUT:
            go_on_from_what_is_there(self._store)

    def _shown(self) -> StartWindow:
        if self._window is None:
            app.application()
            self._window = StartWindow()
            fill_screen(self._window, self._kiosk)
        return self._window


class _Question(QObject):
    """Asks once which way to go on, and looks for a backup meanwhile where one would help."""

    looked = Signal(object, object)

    def __init__(self, window: StartWindow, trouble: StartTrouble, store: Path) -> None:
        super().__init__()  # its thread may outlive the window
        self._window, self._trouble, self._store = window, trouble, store
        self._backup: Backup = Looking.LOOKING if trouble.needs_backup else None
        self._entries: int | None = None
        self.looked.connect(self._found)

    def ask(self) -> tuple[Way, KeptBackup | None, int | None]:
        """Return the way that was chosen, the backup that was offered, and how many entries were recorded."""
        self._show()
        if self._trouble.needs_backup:
            Thread(target=self._look, args=(_places(self._store),), daemon=True).start()
        way = self._window.wait_for_answer()
        self.looked.disconnect(self._found)
        return way, self._backup if isinstance(self._backup, KeptBackup) else None, self._entries

    def _look(self, folders: list[Path]) -> None:
        self.looked.emit(newest_good(self._store, folders), entries_in(self._store))

    def _found(self, backup: KeptBackup | None, entries: int | None) -> None:
        self._backup, self._entries = backup, entries
        self._show()

    def _show(self) -> None:
        trouble, backup, now = self._trouble, self._backup, BayClock.at_wall().now()
        self._window.show_ways(
            trouble.title,
            told_again(trouble, backup, AGAIN_S),
            sentences(trouble, backup, self._entries, now, _zone()),
            way_buttons(trouble, backup),
            trouble.mends_itself,
        )


def _places(store: Path) -> list[Path]:
    """Return every folder that a backup may lie in."""
    settings = Settings()
    with suppress(BadFile, OSError):
        settings = load_settings(store)
    return list(dict.fromkeys([*places(store, settings), *(drive / ON_A_DRIVE for drive in drives())]))


def _zone() -> tzinfo:
    try:
        return local_zone()
    except UnknownZoneError:
        return UTC
