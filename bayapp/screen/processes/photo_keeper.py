"""Has photos taken into the store by a process of its own, so that no file ends or holds up the wall."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

from PySide6.QtCore import QObject, QProcess, QTimer, Signal

from bayapp.job.state.events import PhotoKind
from bayapp.screen.processes.report_runner import command
from bayapp.text.language import _

LONGEST_MS = 90_000
"""A photo takes a second of a processor, and 20 end it; by the clock a busy machine takes longer."""
CLOSING_MS = 2_000


@dataclass(frozen=True, slots=True)
class Kept:
    """A photo that lies in the store now."""

    sha256: str
    kind: PhotoKind
    size: int


class PhotoKeeper(QObject):
    """Runs ``bayapp keep-photos`` on the files that are asked for, one process at a time.

    Signals:
        kept: a photo is in the store; carries its file and the Kept.
        refused: a file is not taken; carries the file, and why, in words for people.
        idle: nothing is left to take.
    """

    kept = Signal(object, object)
    refused = Signal(object, str)
    idle = Signal()

    def __init__(self, store: Path, parent: QObject) -> None:
        super().__init__(parent)
        self._store = store
        self._waiting: list[Path] = []
        self._at_work: list[Path] = []
        self._stopped = False
        self._process = QProcess(self)
        self._process.readyReadStandardOutput.connect(self._hear)
        self._process.finished.connect(self._ended)
        self._process.errorOccurred.connect(self._not_started)
        self._limit = QTimer(self, singleShot=True, interval=LONGEST_MS)
        self._limit.timeout.connect(self._process.kill)

    @property
    def left(self) -> int:
        """How many files are still to be taken."""
        return len(self._at_work) + len(self._waiting)

    def keep(self, files: Sequence[Path]) -> None:
        """Take these files, after those that were asked for before."""
        self._waiting += files
        self._go_on()

    def stop(self) -> None:
        """End what is under way: what is half taken is cleared by the next one."""
        self._stopped = True
        self._limit.stop()
        if self._process.state() is not QProcess.ProcessState.NotRunning:
            self._process.kill()
            self._process.waitForFinished(CLOSING_MS)

    def _go_on(self) -> None:
        if self._stopped or self._at_work or self._process.state() is not QProcess.ProcessState.NotRunning:
            return
        if not self._waiting:
            self.idle.emit()
            return
        self._at_work, self._waiting = self._waiting, []
        program, *before = command()
        words = ["keep-photos", f"--store={self._store}", "--", *map(str, self._at_work)]
        self._limit.start()
        self._process.start(program, [*before, *words])

    def _hear(self) -> None:
        while self._process.canReadLine():
            line = bytes(self._process.readLine().data()).decode(errors="replace")
            self._limit.start()
            self._take(json.loads(line))

    def _take(self, said: dict[str, object]) -> None:
        """Take in one line of the process; it says one before it reads a file, and one after."""
        if "source" not in said or not self._at_work:
            return
        file = self._at_work.pop(0)
        if said.get("kind") in get_args(PhotoKind):
            self.kept.emit(file, Kept(str(said["sha256"]), said["kind"], int(str(said["size"]))))  # type: ignore[arg-type]
        else:
            self.refused.emit(file, str(said.get("why", "")))

    def _ended(self) -> None:
        """Go on with what is left; the file at which the process ended is the one that ended it."""
        self._limit.stop()
        if self._stopped:
            return
        self._hear()
        if self._at_work:
            file, *rest = self._at_work
            self._at_work, self._waiting = [], [*rest, *self._waiting]
            self.refused.emit(file, _("reading it took more time or memory than a photo may; save it smaller"))
        self._go_on()

    def _not_started(self, error: QProcess.ProcessError) -> None:
        if error is QProcess.ProcessError.FailedToStart:  # every other trouble also ends the process
            self._ended()
