"""The program that plays tones on the sound device, in a process of its own.

It is separate because Qt ends its whole program when it is asked to play after the sound server has died
(seen in Qt 6.11 and 6.12: an assertion in libpulse's ``pa_context_get_state``), and because it never finds a server
that was not there when it began. ``bayapp.alerts.player`` starts it anew in both cases. Lines of JSON go in
(``play``, ``knock``, ``stop``) and come out (``state``, ``started``, ``finished``, ``refused``, and every second
``alive``).
"""

from __future__ import annotations

import json
import os
import signal
import sys
from typing import Any

import numpy as np
from PySide6.QtCore import (
    QBuffer,
    QByteArray,
    QCoreApplication,
    QIODevice,
    QLoggingCategory,
    QObject,
    QSocketNotifier,
    Qt,
    QTimer,
    Signal,
)

from bayapp.alerts.device import NOWHERE, Cause, DeviceReport, DeviceState
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.pcm import Layout, SampleKind, encode
from bayapp.alerts.pulse_watch import PulseWatch
from bayapp.alerts.pulseaudio import server_answers, server_left
from bayapp.alerts.tones import Samples, duration_s, render, render_knock

try:
    from PySide6 import QtMultimedia
except ImportError as trouble:  # Qt's library is linked to PulseAudio's client, which a bare system lacks
    _MISSING = str(trouble)
else:
    _MISSING = ""

# A stream may lose its first milliseconds (3.5 seen in a null sink) and, when stopped as soon as the device asks for
# no more, what the sound server still holds (LEFT_WITH_SERVER_MS): better of silence.
LEAD_IN_S = 0.010
LEAD_OUT_S = 0.500
# Of itself Qt keeps a millisecond of sound with PulseAudio: on a busy machine half of the tones broke up.
LEFT_WITH_SERVER_MS = 250
# A device that has not played a tone by then takes no sound: it hangs.
PATIENCE_MS = 2_000
LOOK_AGAIN_MS = 2_000
BEAT_MS = 1_000


class Sounder(QObject):
    """Plays one tone at a time from memory; a new one cuts the old one short.

    The stream is opened for each tone: that costs a millisecond or two, and the device may sleep between calls.

    Signals:
        reported(DeviceReport): the state of the device, whenever that changes.
        started(AlertKind), finished(AlertKind): a tone was handed over; a tone was played to its end.
        refused(): the device took no tone.
        useless(): only a new process can find the sound server or play again.
    """

    reported = Signal(object)
    started = Signal(object)
    finished = Signal(object)
    refused = Signal()
    useless = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._report: DeviceReport | None = None
        self._playing: AlertKind | None = None
        self._sink: QtMultimedia.QAudioSink | None = None
        self._device_id = QByteArray()
        self._source = QBuffer(self)
        self._silenced: Cause | None = None
        self._stalled = False
        self._server_was_there = server_answers(os.environ)
        self._watch = PulseWatch(self)
        self._watch.silenced.connect(self._follow_silence, Qt.ConnectionType.QueuedConnection)
        self._watch.gone.connect(self._follow_server, Qt.ConnectionType.QueuedConnection)
        self._watch.stalled.connect(self._follow_stall)
        self._patience = QTimer(self, singleShot=True)
        self._patience.timeout.connect(self._give_up)
        self._look_again = QTimer(self, interval=LOOK_AGAIN_MS)
        self._look_again.timeout.connect(self._look_for_server)
        if not _MISSING:
            self._devices = QtMultimedia.QMediaDevices(self)
            self._devices.audioOutputsChanged.connect(self._follow_devices)

    def begin(self) -> None:
        """Report the state of the device, and prepare the tones."""
        self._tell(self._state())
        if self._server_was_there:
            self._watch.begin()
        else:
            self._look_again.start()
        for kind in AlertKind:
            render(kind)

    def play(self, kind: AlertKind, level: float, volume: float) -> None:
        """Start a tone now, at a level (see ``tones.render``) under a master volume from 0 to 1."""
        if self._stalled:  # whatever is asked of such a server hangs
            self.refused.emit()
            return
        self.stop()
        if self._server_was_there and not server_answers(os.environ):
            self._fail(Cause.NO_SERVER)
            return
        sink = self._sink or self._open()
        if sink is not None:
            self._start(sink, kind, level, volume)

    def knock(self, volume: float) -> None:
        """Knock once under a master volume from 0 to 1; a tone that sounds goes on, and a knock that cannot is left."""
        if self._stalled or self._playing is not None:
            return
        if not self._server_was_there or not server_answers(os.environ):
            return
        self.stop()
        sink = self._sink or self._open()
        if sink is not None:
            layout = _layout_of(sink.format())
            self._sound(sink, _padded(render_knock(layout.rate), volume, layout))

    def end(self) -> None:
        """Fall silent, and listen to the sound server no more."""
        self.stop()
        self._watch.stop()

    def stop(self) -> None:
        """Fall silent at once."""
        self._playing = None
        self._patience.stop()
        if self._sink is not None:
            self._sink.stop()
        self._source.close()

    def _start(self, sink: QtMultimedia.QAudioSink, kind: AlertKind, level: float, volume: float) -> None:
        tone = _written(kind, level, volume, _layout_of(sink.format()))
        self._playing = kind
        self._patience.start(round(duration_s(kind) * 1000) + PATIENCE_MS)
        self._sound(sink, tone)
        if sink.state() is QtMultimedia.QtAudio.State.StoppedState:
            self._fail(_cause(sink.error()))
            return
        self.started.emit(kind)
        self._tell(self._state())

    def _sound(self, sink: QtMultimedia.QAudioSink, tone: bytes) -> None:
        self._source.setData(QByteArray(tone))
        self._source.open(QIODevice.OpenModeFlag.ReadOnly)
        sink.setBufferSize(len(tone))
        sink.start(self._source)

    def _open(self) -> QtMultimedia.QAudioSink | None:
        """Make a sink for the device in use, or report why there is none."""
        report = _look()
        if report.state is not DeviceState.WORKING:
            self._tell(report)
            self.refused.emit()
            return None
        device = QtMultimedia.QMediaDevices.defaultAudioOutput()
        sink = QtMultimedia.QAudioSink(device, _format_for(device), self)
        sink.stateChanged.connect(self._follow_sink)
        self._sink, self._device_id = sink, device.id()
        return sink

    def _drop_sink(self) -> None:
        self.stop()
        if self._sink is not None:
            self._sink.stateChanged.disconnect(self._follow_sink)
            self._sink.deleteLater()
            self._sink = None

    def _follow_sink(self) -> None:
        """Notice when the device has played a tone or a knock to its end, or broken a tone off."""
        if self._sink is None:
            return
        state, kind = self._sink.state(), self._playing
        if state is QtMultimedia.QtAudio.State.IdleState and self._source.isOpen() and self._source.atEnd():
            self.stop()
            if kind is not None:
                self.finished.emit(kind)
        elif state is QtMultimedia.QtAudio.State.StoppedState and kind is not None:
            self._fail(_cause(self._sink.error()))

    def _give_up(self) -> None:
        self._fail(Cause.HANGS)

    def _fail(self, cause: Cause) -> None:
        """Give up on this process: Qt's connection to the sound server may be broken for good; a new one is quick."""
        self._tell(DeviceReport(DeviceState.FAILED, cause))
        self.refused.emit()
        self._drop_sink()  # on a server that stands still this hangs, and the player ends this process
        self.useless.emit()

    def _follow_devices(self) -> None:
        """Move to the device now in use: the next tone goes there."""
        if _MISSING or QtMultimedia.QMediaDevices.defaultAudioOutput().id() != self._device_id:
            self._drop_sink()
        self._tell(self._state())

    def _follow_silence(self, cause: Cause | None) -> None:
        """Tell that a loudspeaker is muted or turned down; it is played to all the same."""
        self._silenced = cause
        self._tell(self._state())

    def _follow_stall(self, stalled: bool) -> None:
        """Tell that the server answers nothing, or how it stands now that it answers again."""
        self._stalled = stalled
        self._tell(self._state())

    def _follow_server(self) -> None:
        """Say that the server is gone without asking it: a dying one answers for a moment after it let go of us.

        Where another has taken its place already, the new process finds that one.
        """
        self._fail(Cause.NO_SERVER)

    def _state(self) -> DeviceReport:
        if self._stalled:
            return DeviceReport(DeviceState.FAILED, Cause.SERVER_HANGS)
        report = _look()
        if report.state is DeviceState.WORKING and self._silenced:
            return DeviceReport(DeviceState.FAILED, self._silenced, report.named)
        return report

    def _look_for_server(self) -> None:
        if server_answers(os.environ) and _look().state is DeviceState.NONE and not _MISSING:
            self.useless.emit()

    def _tell(self, report: DeviceReport) -> None:
        if report != self._report:
            self._report = report
            self.reported.emit(report)


def _look() -> DeviceReport:
    if _MISSING:
        return DeviceReport(DeviceState.NONE, Cause.NO_LIBRARY, _MISSING)
    device = QtMultimedia.QMediaDevices.defaultAudioOutput()
    if device.isNull():
        return DeviceReport(DeviceState.NONE, Cause.NO_SERVER if server_left(os.environ) else Cause.NO_DEVICE)
    if device.id().data() in NOWHERE:
        return DeviceReport(DeviceState.NONE, Cause.NOWHERE)
    return DeviceReport(DeviceState.WORKING, Cause.IN_USE, device.description())


def _written(kind: AlertKind, level: float, volume: float, layout: Layout) -> bytes:
    return _padded(render(kind, level, layout.rate), volume, layout)


def _padded(samples: Samples, volume: float, layout: Layout) -> bytes:
    silences = (round(LEAD_IN_S * layout.rate), round(LEAD_OUT_S * layout.rate))
    return encode(np.pad(samples * np.float32(volume), silences), layout)


def _format_for(device: QtMultimedia.QAudioDevice) -> QtMultimedia.QAudioFormat:
    """Return our own format where the device takes it, else the one it prefers."""
    ours = QtMultimedia.QAudioFormat()
    ours.setSampleRate(Layout().rate)
    ours.setChannelCount(Layout().channels)
    ours.setSampleFormat(QtMultimedia.QAudioFormat.SampleFormat.Int16)
    return ours if device.isFormatSupported(ours) else device.preferredFormat()


def _layout_of(form: QtMultimedia.QAudioFormat) -> Layout:
    samples = QtMultimedia.QAudioFormat.SampleFormat
    kinds = {
        samples.UInt8: SampleKind.UINT8,
        samples.Int32: SampleKind.INT32,
        samples.Float: SampleKind.FLOAT,
    }
    return Layout(form.sampleRate(), form.channelCount(), kinds.get(form.sampleFormat(), SampleKind.INT16))


def _cause(error: QtMultimedia.QtAudio.Error) -> Cause:
    return Cause.NOT_OPENED if error is QtMultimedia.QtAudio.Error.OpenError else Cause.BROKE_OFF


class Lines:
    """Carries lines between the standard streams and a sounder; ends the program when nobody writes any more."""

    def __init__(self, sounder: Sounder, application: QCoreApplication) -> None:
        self._sounder = sounder
        self._application = application
        self._unread = b""
        self._notifier = QSocketNotifier(sys.stdin.fileno(), QSocketNotifier.Type.Read)
        self._notifier.activated.connect(self._read)
        sounder.reported.connect(_send_report)
        sounder.started.connect(lambda kind: _send(event="started", kind=kind))
        sounder.finished.connect(lambda kind: _send(event="finished", kind=kind))
        sounder.refused.connect(lambda: _send(event="refused"))
        sounder.useless.connect(application.quit)
        self._beat = QTimer(sounder, interval=BEAT_MS)
        self._beat.timeout.connect(lambda: _send(event="alive"))
        self._beat.start()

    def _read(self) -> None:
        piece = os.read(sys.stdin.fileno(), 65_536)
        if not piece:
            self._notifier.setEnabled(False)
            self._application.quit()
        *lines, self._unread = (self._unread + piece).split(b"\n")
        for line in lines:
            self._obey(json.loads(line))

    def _obey(self, order: dict[str, Any]) -> None:
        if order["do"] == "play":
            self._sounder.play(AlertKind.named(order["kind"]), order["level"], order["volume"])
        elif order["do"] == "knock":
            self._sounder.knock(order["volume"])
        else:
            self._sounder.stop()


def _send_report(report: DeviceReport) -> None:
    _send(event="state", state=report.state, cause=report.cause, named=report.named)


def _send(**line: str) -> None:
    """Write a line to the screen; if that has died nobody reads it, and the closed input ends this program next."""
    try:
        sys.stdout.write(json.dumps(line) + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115 (or Python complains at its end)


def main() -> None:
    """Play what standard input asks for until it is closed."""
    os.environ.setdefault("PULSE_LATENCY_MSEC", str(LEFT_WITH_SERVER_MS))
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the screen, which then closes our input
    application = QCoreApplication([])
    # What plays tones is built into Qt's library, as it says itself then; its plugin for films is 13 MB for nothing.
    application.setLibraryPaths([])
    QLoggingCategory.setFilterRules("default.warning=false")  # else it warns on the terminal that it plays no films
    sounder = Sounder()
    QLoggingCategory.setFilterRules("")
    lines = Lines(sounder, application)
    QTimer.singleShot(0, sounder.begin)
    application.exec()
    sounder.end()
    del lines, sounder  # before the application, which they need to the end


if __name__ == "__main__":
    main()
