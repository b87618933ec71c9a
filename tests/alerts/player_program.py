"""A program of its own around the player: obeys lines on standard input, tells what happens on standard output."""

import json
import os
import sys
import time
from typing import Any

from PySide6.QtCore import QCoreApplication, QProcess, QSocketNotifier, QThread

from bayapp.alerts.device_words import reason
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.player import SoundPlayer


def tell(**what: Any) -> None:
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


class Program:
    """One line in, one or more lines out."""

    def __init__(self) -> None:
        self.application = QCoreApplication([])
        self.player = SoundPlayer()
        self.player.started.connect(lambda kind: tell(event="started", kind=kind.value))
        self.player.finished.connect(lambda kind: tell(event="finished", kind=kind.value))
        self.player.checked.connect(lambda complete: tell(event="checked", complete=complete))
        self.player.stateChanged.connect(lambda report: tell(event="state", state=report.state, reason=reason(report)))
        self.notifier = QSocketNotifier(sys.stdin.fileno(), QSocketNotifier.Type.Read)
        self.notifier.activated.connect(self.obey)

    def obey(self) -> None:
        lines = os.read(sys.stdin.fileno(), 65_536)
        if not lines:  # whoever asked is gone
            self.notifier.setEnabled(False)
            self.quit()
        for line in lines.decode().splitlines():
            word, *rest = line.split()
            getattr(self, word)(*rest)

    def play(self, kind: str, level: str = "1", volume: str = "1", busy_ms: str = "0") -> None:
        self.player.set_volume(float(volume))
        called_at = time.perf_counter()
        self.player.play(AlertKind.named(kind), float(level))
        tell(event="played", called_at=called_at)
        QThread.msleep(int(busy_ms))  # a screen that is busy painting

    def knock(self) -> None:
        self.player.knock()

    def check(self) -> None:
        self.player.sound_check()

    def state(self) -> None:
        report = self.player.device_state()
        tell(event="is", state=report.state, reason=reason(report))

    def kill_sounder(self) -> None:
        for process in self.player.findChildren(QProcess):
            process.kill()

    def quit(self) -> None:
        self.application.quit()


if __name__ == "__main__":
    program = Program()
    program.application.exec()
    del program.notifier, program.player
