"""Prints a record and copies it to a stick, in a thread of its own: no clock waits for a printer or a slow stick."""

import os
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter

from bayapp.text.language import _

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

FOLDER = "bayapp-records"
DOTS_PER_INCH = 300


class PaperErrands(QObject):
    """Runs one errand at a time.

    Signals:
        ended: carries the name of the errand, and why it failed, or nothing.
    """

    ended = Signal(str, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread: Thread | None = None
        self.ended.connect(self.wait)

    @property
    def running(self) -> bool:
        """Whether an errand is under way."""
        return self._thread is not None

    def print(self, name: str, pdf: Path, printer: str) -> None:
        """Print a PDF on a printer of this machine."""
        self._run(name, lambda: print_pdf(pdf, printer_named(printer)))

    def copy(self, name: str, files: Sequence[Path], drive: Path) -> None:
        """Copy files into a folder of a stick, and have them written when it says so."""
        self._run(name, lambda: copy_to(files, drive))

    def wait(self) -> None:
        """Wait until the errand under way has ended."""
        thread, self._thread = self._thread, None
        if thread:
            thread.join()

    def _run(self, name: str, errand: Callable[[], None]) -> None:
        def run() -> None:
            why = ""
            try:
                errand()
            except CannotPrintError as wrong:
                why = str(wrong)
            except OSError as wrong:
                why = wrong.strerror or str(wrong)
            self.ended.emit(name, why)

        if self._thread is None:
            self._thread = Thread(target=run, daemon=True)
            self._thread.start()


class CannotPrintError(Exception):
    """The paper could not be printed; the text says why."""


def printers() -> list[str]:
    """Return the printers that this machine knows, the usual one first."""
    from PySide6.QtPrintSupport import QPrinterInfo  # noqa: PLC0415 (loads only where something is printed)

    usual = QPrinterInfo.defaultPrinterName()
    return sorted(QPrinterInfo.availablePrinterNames(), key=lambda name: (name != usual, name))


def printer_named(name: str) -> "QPrinter":
    """Return a printer of this machine."""
    from PySide6.QtPrintSupport import QPrinter, QPrinterInfo  # noqa: PLC0415 (see above)

    return QPrinter(QPrinterInfo.printerInfo(name), QPrinter.PrinterMode.HighResolution)


def print_pdf(pdf: Path, printer: "QPrinter") -> None:
    """Print every page of a PDF, as large as the paper in the printer allows.

    Raises:
        CannotPrintError: the file cannot be read, or the printer does not take it.
    """
    from PySide6.QtPdf import QPdfDocument  # noqa: PLC0415 (see above)

    document = QPdfDocument()
    if document.load(str(pdf)) is not QPdfDocument.Error.None_:
        raise CannotPrintError(_("{file} cannot be read").format(file=pdf.name))
    painter = QPainter()
    if not painter.begin(printer):
        raise CannotPrintError(_("the printer takes nothing now"))
    with painter:
        for number in range(document.pageCount()):
            if number and not printer.newPage():
                raise CannotPrintError(_("the printer stopped after page {n}").format(n=number))
            paper = painter.viewport()
            points = document.pagePointSize(number)
            share = DOTS_PER_INCH / 72
            image = document.render(number, QSize(round(points.width() * share), round(points.height() * share)))
            fitted = image.size().scaled(paper.size(), Qt.AspectRatioMode.KeepAspectRatio)
            painter.drawImage(QRect(0, 0, fitted.width(), fitted.height()), image)


def copy_to(files: Sequence[Path], drive: Path) -> None:
    """Copy files into a folder of a drive; when this returns, they are on it.

    Raises:
        OSError: the drive is full, gone or cannot be written.
    """
    folder = drive / FOLDER
    folder.mkdir(exist_ok=True)
    for file in files:
        with file.open("rb") as source, (folder / file.name).open("wb") as target:
            shutil.copyfileobj(source, target)
            target.flush()
            os.fsync(target.fileno())
