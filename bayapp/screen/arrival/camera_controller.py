"""Takes photos of a zone with a camera of this machine, where it has one."""

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Protocol

from PySide6.QtCore import QObject, SignalInstance

from bayapp.job.text.naming import capital
from bayapp.pages.arrival.photos import zone_text
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import ShowPhotos, TakePhoto
from bayapp.screen.arrival.camera import CameraPage
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.text.language import _


class Camera(Protocol):
    """What takes photos: the machine's camera, or one that a test plays; its signals are the machine camera's."""

    sees: SignalInstance
    taken: SignalInstance
    failed: SignalInstance

    def is_there(self) -> bool:
        """Whether there is a camera now."""

    def start(self) -> None:
        """Begin to see."""

    def shoot(self, file: Path) -> None:
        """Write what it sees into a file."""

    def stop(self) -> None:
        """See no more."""


class CameraController(QObject):
    """Shows what the camera sees, and hands each photo on; ``keep`` gets its file and where it belongs."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        choices: Choices,
        camera: Camera,
        keep: Callable[[Path, TakePhoto], None],
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._choices = selection, pages, choices
        self._camera, self._keep = camera, keep
        self._wanted: TakePhoto | None = None
        self._folder: TemporaryDirectory[str] | None = None
        self._count = 0
        self.page = CameraPage(pages.look, pages.window)
        self.page.shutter.connect(self._shoot)
        pages.add(self.page)
        pages.turned.connect(self._turned)
        camera.sees.connect(self.page.show_image)
        camera.taken.connect(self._taken)
        camera.failed.connect(self._failed)

    def open(self, wanted: TakePhoto) -> None:
        """Show what the camera sees, or say that there is none."""
        if not self._camera.is_there():
            sentence = _(
                "This machine has no camera, or another program uses it. Plug one in, then touch Camera again."
            )
            self._choices.tell(_("No camera"), "", sentence, _("A stick or a folder gives photos as well."))
            return
        self._wanted = wanted
        self._say(_("Hold still, then touch."))
        self._camera.start()
        self._pages.show(self.page)

    def close(self) -> None:
        """Let go of the camera and of what it wrote."""
        self._camera.stop()
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def _say(self, said: str) -> None:
        car = self._selection.bay.state.jobs.get(self._wanted.job) if self._wanted else None
        if car is not None and self._wanted is not None:
            self.page.show_camera(capital(zone_text(car, self._wanted.zone)), said)

    def _shoot(self) -> None:
        if self._folder is None:
            self._folder = TemporaryDirectory(prefix="bayapp-camera-")
        self._count += 1
        self._camera.shoot(Path(self._folder.name) / f"camera-{self._count}.jpg")

    def _taken(self, file: Path) -> None:
        if self._wanted is not None:
            self._keep(file, self._wanted)
            self._pages.want(ShowPhotos(self._wanted.job, self._wanted.zone))

    def _failed(self, why: str) -> None:
        if not self.page.isVisible():
            return
        self._camera.stop()
        sentence = _("The camera cannot be used: {why}. Photos that were taken are kept.").format(why=why.rstrip("."))
        self._choices.tell(_("The camera went away"), "", sentence)

    def _turned(self) -> None:
        if self._pages.standing is not self.page:
            self._camera.stop()
