"""Checks the whole journal once the board stands, in a process of its own, so that no touch waits for it."""

from contextlib import suppress
from pathlib import Path

from pydantic import BaseModel, ValidationError
from PySide6.QtCore import QObject, QProcess, QTimer, Signal

from bayapp.bay import Bay
from bayapp.pages.board.store_notice import found_sentences
from bayapp.pages.wanted import StoreFound
from bayapp.record import StoreProblem
from bayapp.record.findings import FileDamaged, Finding, IndexRebuilt, Unusable
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.processes.report_runner import command

BEGINS_AFTER_MS = 3_000
CLOSING_MS = 5_000


class _Answer(BaseModel):
    ok: bool
    findings: list[dict[str, object]] = []


class JournalCheck(QObject):
    """Runs ``bayapp verify`` behind everything else; where only the file around the entries is damaged, mends it once.

    Signals:
        ended: the journal has been checked; carries whether it is whole.
    """

    ended = Signal(bool)

    def __init__(self, store: Path, bay: Bay, pages: PageStack) -> None:
        super().__init__(pages)
        self._store, self._bay, self._pages = store, bay, pages
        self._mended = False
        self._process = QProcess(self)
        self._process.finished.connect(self._answered)
        self._first = QTimer(self)
        self._first.setSingleShot(True)
        self._first.setInterval(BEGINS_AFTER_MS)
        self._first.timeout.connect(self._run)

    def begin(self) -> None:
        """Check once the start has settled; show what was found when the journal was opened."""
        self._tell()
        self._first.start()

    def stop(self) -> None:
        """End the process, if it still runs."""
        self._first.stop()
        if self._process.state() is not QProcess.ProcessState.NotRunning:
            self._process.finished.disconnect(self._answered)
            self._process.kill()
            self._process.waitForFinished(CLOSING_MS)

    def _run(self) -> None:
        program, *before = command()
        self._process.start(program, [*before, "verify", "--json", "--in-background", f"--store={self._store}"])

    def _answered(self, code: int, _status: QProcess.ExitStatus) -> None:
        try:
            answer = _Answer.model_validate_json(bytes(self._process.readAllStandardOutput().data()))
        except ValidationError:
            return  # it was ended before it had an answer: the next start asks again
        kinds = {str(found.get("kind")) for found in answer.findings}
        if kinds == {FileDamaged.__name__} and not self._mended:
            self._mend()
            return
        if self._mended and answer.ok:
            self._bay.store_watch.take_found([IndexRebuilt()])
            self._tell()
        if not answer.ok:
            self._bay.store_watch.take_found([_finding(found) for found in answer.findings])
            self._bay.tell()
            self._tell()
        self.ended.emit(answer.ok)

    def _mend(self) -> None:
        """Make the indexes anew, and check again whether that was all."""
        self._mended = True
        with suppress(StoreProblem):  # the second check says what is damaged
            self._bay.store_watch.rebuild_indexes()
        self._run()

    def _tell(self) -> None:
        sentences = found_sentences(self._bay.store_watch.found)
        if sentences:
            self._pages.want(StoreFound(sentences))


def _finding(said: dict[str, object]) -> Finding:
    """Return a finding with the same words; its kind matters only where just the file around the entries is damaged."""
    if said.get("kind") == FileDamaged.__name__:
        return FileDamaged(str(said.get("detail")))
    return Unusable(str(said.get("words")))
