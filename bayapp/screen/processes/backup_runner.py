"""Makes backups in a process of its own: after each car, every night, and by touch; the board waits for none."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QProcess, QTimer, Signal

from bayapp.bay import Bay
from bayapp.bay.told import Told
from bayapp.files.shop.backup_log import read_backup_log
from bayapp.files.shop.settings import Settings
from bayapp.job.model.instant import write_instant
from bayapp.pages.selection import Selection
from bayapp.pages.settings.backups import failed_sentence, is_due, places
from bayapp.screen.processes.report_runner import command

LOOK_MS = 60_000
AFTER_CAR_MS = 5_000
LONGEST_MS = 600_000
CLOSING_MS = 3_000


class BackupRunner(QObject):
    """Runs ``bayapp backup-places`` on the store; one at a time.

    ``settings`` returns the shop's settings as they are now. ``begin`` it once the board stands.

    Signals:
        done: a backup has ended, well or not; the log in the store says how.
    """

    done = Signal()

    def __init__(self, store: Path, selection: Selection, settings: Callable[[], Settings], parent: QObject) -> None:
        super().__init__(parent)
        self._store, self._selection, self._settings = store, selection, settings
        self._told, self._stopped = "", False
        self._inside = set[str]()
        self._process = QProcess(self)
        self._process.finished.connect(self._ended)
        self._process.errorOccurred.connect(self._not_started)
        self._limit = QTimer(self, singleShot=True, interval=LONGEST_MS)
        self._limit.timeout.connect(self._process.kill)
        self._look = QTimer(self, interval=LOOK_MS)
        self._look.timeout.connect(self.look)
        self._after_car = QTimer(self, singleShot=True, interval=AFTER_CAR_MS)
        self._after_car.timeout.connect(self.run)

    @property
    def running(self) -> bool:
        """Whether a backup is being made now."""
        return self._process.state() is not QProcess.ProcessState.NotRunning

    @property
    def begun(self) -> bool:
        """Whether backups are made by themselves; they are not in practice."""
        return self._look.isActive()

    @property
    def _bay(self) -> Bay:
        return self._selection.bay

    def begin(self) -> None:
        """Make backups by themselves from now on."""
        self._inside = self._cars()
        self._bay.subscribe(self._watch_cars)
        self._look.start()

    def run(self) -> None:
        """Begin a backup to every place, unless one is being made."""
        if self.running:
            return
        self._limit.start()
        program, *before = command()
        at = write_instant(self._bay.now())
        words = ["backup-places", "--in-background", f"--store={self._store}", f"--at={at}"]
        self._process.start(program, [*before, *words])

    def look(self) -> None:
        """Begin a backup if the one of the night is due."""
        folders = places(self._store, self._settings())
        if is_due(read_backup_log(self._store), folders, self._bay.now(), self._selection.tz):
            self.run()

    def stop(self) -> None:
        """End what is being made: nothing is lost by it, and the next one clears what is left."""
        self._look.stop()
        self._after_car.stop()
        self._limit.stop()
        self._stopped = True
        if self.running:
            self._process.kill()
            self._process.waitForFinished(CLOSING_MS)

    def _watch_cars(self) -> None:
        before, self._inside = self._inside, self._cars()
        if before - self._inside:
            self._after_car.start()

    def _cars(self) -> set[str]:
        return {state.job.id for state in self._bay.state.open_jobs}

    def _ended(self, code: int = 0) -> None:
        self._limit.stop()
        if self._stopped:
            return
        folders = places(self._store, self._settings())
        output = bytes(self._process.readAllStandardError().data()).decode(errors="replace").strip()
        said = failed_sentence(read_backup_log(self._store), folders, output if code else "")
        if said and said != self._told:
            self._bay.told = Told(self._bay.now(), said)
            self._bay.tell()
        self._told = said
        self.done.emit()

    def _not_started(self, error: QProcess.ProcessError) -> None:
        if error is QProcess.ProcessError.FailedToStart:  # every other trouble also ends the process
            self._ended(1)
