"""Measures paint: a zone by touch, its readings typed with gloves, on a keyboard, or by the gauge, or from a file."""

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from bayapp.files.problems import BadFile
from bayapp.files.thickness_file import read_thickness, thickness_files
from bayapp.job import ReadThickness, Request
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.events import ThicknessSource
from bayapp.job.text.naming import zones_title
from bayapp.pages.arrival.thickness import BACK, KEYS, POINT, ThicknessEntry, thickness_view, withdrawal
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import MeasurePaint
from bayapp.screen.arrival.thickness import ThicknessPage
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.processes.drives import sticks
from bayapp.screen.widgets.choice_page import Entry
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _, ngettext
from bayapp.text.readable import visible

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class ThicknessController(QObject):
    """Lets paint be measured, zone by zone.

    Attributes:
        folders: where files of readings are looked for: the shop's own folder, then sticks.
    """

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        drawings: Drawings,
        choices: Choices,
        shared: Path,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._drawings, self._choices = drawings, choices
        self._job: JobId | None = None
        self._entry = ThicknessEntry()
        self.folders = lambda: [shared, *sticks()]
        self.page = ThicknessPage(pages.look, pages.window)
        self.page.key_pressed.connect(self._press)
        self.page.zone_touched.connect(lambda zone: self._show(self._entry.choose(ZoneId(zone))))
        self.page.record_wanted.connect(self._record)
        self.page.take_back_wanted.connect(self._take_back)
        self.page.file_wanted.connect(self._choose_folder)
        pages.add(self.page)
        pages.window.installEventFilter(self)

    def open(self, wanted: MeasurePaint) -> None:
        """Show the readings of a car, and wait for more."""
        self._job = wanted.job
        self._show(ThicknessEntry(wanted.zone))
        self._pages.show(self.page)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take digits and Enter of a keyboard at the wall for this page, so that they begin no step."""
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress or not self.page.isVisible():
            return False
        if event.key() in ENTER:
            self._record()
            return True
        key = BACK if event.key() == Qt.Key.Key_Backspace else event.text().replace(",", POINT)
        if key not in KEYS:
            return False
        self._press(key)
        return True

    def heard(self, text: str) -> bool:
        """Record what a gauge typed by itself for the chosen zone; return whether it was a reading for this page."""
        entry = self._entry.from_gauge(text) if self.page.isVisible() else None
        if entry is None:
            return False
        self._show(entry)  # without a zone it stands there until one is touched
        self._record("gauge")
        return True

    def _press(self, key: str) -> None:
        self._show(self._entry.press(key))

    def _record(self, source: ThicknessSource = "keypad") -> None:
        asked = self._entry.request(self._job, self._selection.by, source) if self._job else None
        if asked is not None and self._asked(asked):
            self._show(ThicknessEntry(self._entry.zone))

    def _take_back(self) -> None:
        asked = withdrawal(self._job, self._entry, self._selection.by) if self._job else None
        if asked is not None and self._asked(asked):
            self._show(self._entry)

    def _asked(self, request: Request) -> bool:
        return self._sender.send_or_show_refusal(request)

    def _show(self, entry: ThicknessEntry) -> None:
        self._entry = entry
        state = self._selection.bay.state
        car = state.jobs.get(self._job) if self._job else None
        if car is not None:
            drawing = self._drawings.of(car.job.id, [one.job for one in state.open_jobs])
            self.page.show_thickness(drawing, thickness_view(state, car, entry))

    # From a file.

    def _choose_folder(self) -> None:
        folders = [folder for folder in self.folders() if folder.is_dir()]
        if not folders:
            sentence = _(
                "Plug the stick in with the file on it, or put the file into the folder {folder!r} of the store."
            )
            self._choices.tell(_("No stick is here"), "", sentence.format(folder="shared"))
            return
        entries = [Entry(folder, folder.name or str(folder), str(folder)) for folder in folders]
        subtitle = _("A stick shows here once the machine has it open.")
        show_paged(_("Readings: from where?"), subtitle, entries, self._choose_file, self._choices.show)

    def _choose_file(self, folder: Path) -> None:
        try:
            files = thickness_files(folder)
        except OSError as trouble:
            self._choices.tell(_("The folder cannot be read"), "", str(trouble))
            return
        if not files:
            sentence = _("There is no file of readings in {folder}: their names end in .csv.")
            self._choices.tell(_("No readings here"), "", sentence.format(folder=folder))
            return
        entries = [Entry(file, visible(file.name), glyph="paper") for file in files]
        show_paged(_("Which readings?"), str(folder), entries, self._read_file, self._choices.show)

    def _read_file(self, file: Path) -> None:
        if self._job is None:
            return
        job = self._selection.bay.state.jobs[self._job].job
        try:
            readings = read_thickness(file, job.vehicle)
        except BadFile as bad:
            self._choices.tell(_("These readings cannot be taken"), visible(file.name), str(bad))
            return
        count = sum(len(um) for _zone, um in readings)
        title = ngettext("Take {n} reading", "Take {n} readings", count).format(n=count)
        zones = zones_title(job, tuple(zone for zone, _um in readings))
        asked = ReadThickness(job.id, readings, self._selection.by, "file")
        entries = [Entry(True, title, zones, glyph="paper"), Entry(False, _("Another file"), glyph="back")]
        self._choices.show(visible(file.name), job.name, entries, lambda yes: self._take(asked, file, yes))

    def _take(self, asked: ReadThickness, file: Path, yes: bool) -> None:
        if not yes:
            self._choose_file(file.parent)
        elif self._asked(asked):
            self._show(self._entry)
            self._pages.show(self.page)
