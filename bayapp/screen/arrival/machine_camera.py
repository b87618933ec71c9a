"""A camera of this machine, by Qt Multimedia; it loads only once a photo is to be taken."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage
from PySide6.QtMultimedia import (
    QCamera,
    QImageCapture,
    QMediaCaptureSession,
    QMediaDevices,
    QVideoFrame,
    QVideoSink,
)


class MachineCamera(QObject):
    """The first camera of this machine.

    Signals:
        sees: what it sees now; carries the image.
        taken: a photo was written; carries its file.
        failed: it cannot be used, or went away; carries why.
    """

    sees = Signal(QImage)
    taken = Signal(object)
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._session: QMediaCaptureSession | None = None
        self._camera: QCamera | None = None
        self._capture: QImageCapture | None = None
        self._sink: QVideoSink | None = None

    def is_there(self) -> bool:
        """Whether the machine has a camera now."""
        return bool(QMediaDevices.videoInputs())

    def start(self) -> None:
        """Begin to see."""
        self.stop()
        self._session, self._sink = QMediaCaptureSession(self), QVideoSink(self)
        self._camera, self._capture = QCamera(QMediaDevices.defaultVideoInput(), self), QImageCapture(self)
        self._camera.errorOccurred.connect(lambda _error, words: self.failed.emit(words))
        self._capture.errorOccurred.connect(lambda _id, _error, words: self.failed.emit(words))
        self._capture.imageSaved.connect(lambda _id, file: self.taken.emit(Path(file)))
        self._sink.videoFrameChanged.connect(self._frame)
        self._session.setCamera(self._camera)
        self._session.setImageCapture(self._capture)
        self._session.setVideoOutput(self._sink)
        self._camera.start()

    def shoot(self, file: Path) -> None:
        """Write what it sees into a file; ``taken`` or ``failed`` follows."""
        if self._capture is not None:
            self._capture.captureToFile(str(file))

    def stop(self) -> None:
        """See no more."""
        if self._camera is not None:
            self._camera.stop()
        for part in (self._capture, self._camera, self._sink, self._session):
            if part is not None:
                part.deleteLater()
        self._session = self._camera = self._capture = self._sink = None

    def _frame(self, frame: QVideoFrame) -> None:
        image = frame.toImage()
        if not image.isNull():
            self.sees.emit(image)
