"""Writes a day record in a separate process, so that no alert waits for a PDF."""

import sys
from datetime import date, datetime
from pathlib import Path

from PySide6.QtCore import QObject, QProcess, QTimer, Signal

from bayapp.job.model.ids import JobId
from bayapp.job.model.instant import write_instant
from bayapp.report.facts.file_name import file_name
from bayapp.text.language import _

LONGEST_MS = 120_000
CLOSING_MS = 5_000


class ReportRunner(QObject):
    """Runs ``bayapp report`` on a store that this screen may have open; one record at a time.

    Attributes:
        folder: where the papers go.

    Signals:
        written: the papers are in ``folder``.
        failed: they could not be written; carries why, in words for people.
    """

    written = Signal()
    failed = Signal(str)

    def __init__(self, store: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._store, self.folder = store, store / "records"
        self._process = QProcess(self)
        self._process.finished.connect(self._ended)
        self._process.errorOccurred.connect(self._not_started)
        self._limit = QTimer(self)
        self._limit.setSingleShot(True)
        self._limit.setInterval(LONGEST_MS)
        self._limit.timeout.connect(self._process.kill)

    @property
    def running(self) -> bool:
        """Whether a record is being written now."""
        return self._process.state() is not QProcess.ProcessState.NotRunning

    def write(self, job: JobId, day: date, at: datetime) -> None:
        """Begin to write a job's record of a day as it stands at an instant; one of the signals follows."""
        words = ["report", f"--store={self._store}", f"--job={job}", f"--day={day.isoformat()}"]
        program, *before = command()
        self._limit.start()
        self._process.start(program, [*before, *words, f"--at={write_instant(at)}", f"--out={self.folder}"])

    def paper_of(self, job: JobId, day: date) -> Path | None:
        """Return the PDF of a record that was written, or None where there is none."""
        path = self.folder / f"{file_name(job)}-{day.isoformat()}.pdf"
        return path if path.is_file() else None

    def stop(self) -> None:
        """Wait a short time for a record that is being written, then end its process."""
        if self.running and not self._process.waitForFinished(CLOSING_MS):
            self._process.kill()
            self._process.waitForFinished(CLOSING_MS)
        self._limit.stop()

    def _ended(self, code: int, status: QProcess.ExitStatus) -> None:
        in_time = self._limit.isActive()
        self._limit.stop()
        output = bytes(self._process.readAllStandardError().data()).decode(errors="replace").strip()
        if status is QProcess.ExitStatus.NormalExit and code == 0:
            self.written.emit()
        elif not in_time:
            self.failed.emit(_("it took longer than two minutes and was stopped"))
        else:
            self.failed.emit(output or _("the program that writes it ended with code {code}").format(code=code))

    def _not_started(self, error: QProcess.ProcessError) -> None:
        if error is QProcess.ProcessError.FailedToStart:  # every other trouble also ends the process
            self._limit.stop()
            self.failed.emit(self._process.errorString())


def command() -> list[str]:
    """Return the command line that starts bayapp: this Python's, or that of the frozen bundle."""
    return [sys.executable] if getattr(sys, "frozen", False) else [sys.executable, "-m", "bayapp"]
