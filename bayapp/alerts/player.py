"""Plays tones through a sound process, and restarts it when it ends."""

from __future__ import annotations

import json
import os
import sys
from collections import deque
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEventLoop, QObject, QProcess, QProcessEnvironment, QTimer, Signal

from bayapp.alerts.device import Cause, DeviceReport, DeviceState
from bayapp.alerts.device_words import reason
from bayapp.alerts.kinds import AlertKind

ROOT = Path(__file__).resolve().parents[2]
SOUNDER = (sys.executable, "-m", "bayapp.alerts.sounder")
# A tone that a new process has not taken up by then is given up: its alert repeats anyway.
OWED_MS = 10_000
PAUSE_IN_CHECK_MS = 250
START_AGAIN_MS = 100
LONGEST_PAUSE_MS = 30_000
# Written at once, not when the screen has painted; it takes this long only if the sound process hangs.
LONGEST_WRITE_MS = 50
LONGEST_REPORT_MS = 10_000
LOOK_MS = 1_500
MOST_SILENT_LOOKS = 3
"""A process says a word every second; one that has not for so many looks was stopped, or hangs."""
START_LOOKS = 10


class SoundPlayer(QObject):
    """Plays one tone at a time; a new one cuts the old one short. Needs a running Qt event loop.

    The tones sound from a process of their own (see ``bayapp.alerts.sounder``), so that neither a busy screen nor a
    dying sound server stops the other. When that process ends, or is ended because it says nothing any more, it is
    started again, and a tone it still owed is played once more. Nothing here waits or raises: ``device_state`` says
    what is wrong.

    Signals:
        stateChanged(DeviceReport): the device came, went, failed or works again.
        started(AlertKind): a tone was handed to the device.
        finished(AlertKind): a tone was played to its end.
        checked(bool): the sound check ended; True if every tone was played to its end.
    """

    stateChanged = Signal(object)  # noqa: N815 (Qt's way of writing signals)
    started = Signal(object)
    finished = Signal(object)
    checked = Signal(bool)

    def __init__(self, parent: QObject | None = None, command: Sequence[str] = SOUNDER) -> None:
        super().__init__(parent)
        self._command = command
        self._volume = 1.0
        self._report = DeviceReport(DeviceState.NONE, Cause.STARTING)
        self._owed: dict[str, object] | None = None
        self._to_check: deque[AlertKind] | None = None
        self._check_level = 1.0
        self._pause_ms = START_AGAIN_MS
        self._closed = False
        self._between = _single_shot(self, self._check_next)
        self._again = _single_shot(self, self._start)
        self._forget = _single_shot(self, self._forget_owed)
        self._silent_looks = 0
        self._look = QTimer(self)
        self._look.timeout.connect(self._count)
        self._process = self._new_process()
        if (application := QCoreApplication.instance()) is not None:
            application.aboutToQuit.connect(self.close)
        self._start()

    def device_state(self) -> DeviceReport:
        """Return whether calls can be heard, as far as is known."""
        return self._report

    @property
    def pause_ms(self) -> int:
        """How long the sound process will be left alone the next time it ends, in milliseconds."""
        return self._pause_ms

    def set_volume(self, volume: float) -> None:
        """Set the master volume, 0 (silent) to 1, for the tones that follow."""
        self._volume = min(max(volume, 0.0), 1.0)

    def play(self, kind: AlertKind, level: float = 1.0) -> None:
        """Start a tone now. Ends a sound check."""
        self._end_check(False)
        self._ask(kind, level)

    def knock(self) -> None:
        """Knock once, quietly; a tone that sounds is not cut short, and a knock that cannot sound is not owed."""
        self._write({"do": "knock", "volume": self._volume})

    def stop(self) -> None:
        """Fall silent at once."""
        self._end_check(False)
        self._forget_owed()
        self._write({"do": "stop"})

    def sound_check(self, level: float = 1.0) -> None:
        """Play each kind's tone once, in order; ``checked`` tells when and how it ended."""
        self._end_check(False)
        self._check_level = level
        self._to_check = deque(AlertKind)
        self._check_next()

    def close(self) -> None:
        """End the sound process; done by itself when the application is about to quit."""
        self._closed = True
        self._again.stop()
        self._look.stop()
        self._process.closeWriteChannel()
        if not self._process.waitForFinished(1_000):
            self._process.kill()
            self._process.waitForFinished(1_000)

    def _check_next(self) -> None:
        if self._to_check:
            self._ask(self._to_check.popleft(), self._check_level)
        else:
            self._end_check(True)

    def _end_check(self, complete: bool) -> None:
        self._between.stop()
        if self._to_check is not None:
            self._to_check = None
            self.checked.emit(complete)

    def _ask(self, kind: AlertKind, level: float) -> None:
        self._owed = {"do": "play", "kind": kind.value, "level": level, "volume": self._volume}
        self._forget.start(OWED_MS)
        self._write(self._owed)

    def _write(self, order: dict[str, object]) -> None:
        if self._process.state() is QProcess.ProcessState.Running:
            self._process.write(json.dumps(order).encode() + b"\n")
            self._process.waitForBytesWritten(LONGEST_WRITE_MS)

    def _pay(self) -> None:
        if self._owed is not None:
            self._write(self._owed)

    def _forget_owed(self) -> None:
        self._owed = None
        self._forget.stop()

    def _count(self) -> None:
        """Look for words of the process; a board that was stopped itself finds only one look due when it wakes."""
        self._silent_looks += 1
        if self._silent_looks > MOST_SILENT_LOOKS:
            self._look.stop()
            self._tell(DeviceReport(DeviceState.FAILED, Cause.PROCESS_ENDED))
            self._process.kill()

    def _read(self) -> None:
        while self._process.canReadLine():
            self._silent_looks = 0
            line = json.loads(bytes(self._process.readLine().data()))
            match line["event"]:
                case "state":
                    self._tell(DeviceReport(DeviceState(line["state"]), Cause(line["cause"]), line["named"]))
                case "started":
                    self.started.emit(AlertKind.named(line["kind"]))
                case "finished":
                    self._follow_tone(AlertKind.named(line["kind"]))
                case "refused":
                    self._end_check(False)

    def _follow_tone(self, kind: AlertKind) -> None:
        self._forget_owed()
        self._pause_ms = START_AGAIN_MS
        if self._to_check is not None:
            self._between.start(PAUSE_IN_CHECK_MS)
        self.finished.emit(kind)

    def _new_process(self) -> QProcess:
        process = QProcess(self)
        environment = QProcessEnvironment.systemEnvironment()
        environment.insert(
            "PYTHONPATH", os.pathsep.join([str(ROOT), environment.value("PYTHONPATH")]).rstrip(os.pathsep)
        )
        process.setProcessEnvironment(environment)
        process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
        process.readyReadStandardOutput.connect(self._read)
        process.started.connect(self._pay)
        process.finished.connect(self._start_again)
        process.errorOccurred.connect(self._follow_error)
        return process

    def _start(self) -> None:
        self._silent_looks = MOST_SILENT_LOOKS - START_LOOKS
        self._look.start(LOOK_MS)
        self._process.start(self._command[0], list(self._command[1:]))

    def _start_again(self) -> None:
        """Bring the sound process back, waiting twice as long each time until a tone is played to its end."""
        self._look.stop()
        if self._closed:
            return
        if self._report.state is DeviceState.WORKING or self._report.cause is Cause.STARTING:
            self._tell(DeviceReport(DeviceState.FAILED, Cause.PROCESS_ENDED))
        self._again.start(self._pause_ms)
        self._pause_ms = min(2 * self._pause_ms, LONGEST_PAUSE_MS)

    def _follow_error(self, error: QProcess.ProcessError) -> None:
        if error is QProcess.ProcessError.FailedToStart:
            self._tell(DeviceReport(DeviceState.FAILED, Cause.NO_PROCESS))
            self._start_again()

    def _tell(self, report: DeviceReport) -> None:
        if report.state is not DeviceState.WORKING:
            self._end_check(False)
        if report.cause is Cause.NO_DEVICE and self._report.cause is Cause.NO_SERVER:
            return  # the new process finds nothing because the server is still gone
        if report != self._report:
            self._report = report
            self.stateChanged.emit(report)


def sound_report() -> tuple[bool, str]:
    """Try the sound device with half a second of silence; return whether it took it, and a sentence about it.

    Makes a Qt application where there is none, and waits for at most 10 seconds.
    """
    application = QCoreApplication.instance() or QCoreApplication([])
    waiting = QEventLoop()
    player = SoundPlayer()
    player.set_volume(0.0)
    player.finished.connect(waiting.quit)
    player.stateChanged.connect(lambda report: _quit_unless_working(waiting, report))
    QTimer.singleShot(LONGEST_REPORT_MS, waiting.quit)
    player.play(AlertKind.ATTENTION)
    waiting.exec()
    report = player.device_state()
    player.close()
    player.deleteLater()
    del application
    return report.state is DeviceState.WORKING, reason(report)


def _quit_unless_working(waiting: QEventLoop, report: DeviceReport) -> None:
    if report.state is not DeviceState.WORKING:
        waiting.quit()


def _single_shot(player: SoundPlayer, then: object) -> QTimer:
    timer = QTimer(player)
    timer.setSingleShot(True)
    timer.timeout.connect(then)
    return timer
