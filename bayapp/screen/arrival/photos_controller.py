"""Keeps photos of zones: from a stick, a folder, a watched folder, or the machine's camera; shows them side by side."""

from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QObject

from bayapp.job import AddPhoto, JobState, WithdrawPhoto, why_not
from bayapp.job.grounds import Why
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.events import Phase, PhotoAdded
from bayapp.job.text.naming import capital
from bayapp.pages.arrival.photos import Turned, moved, of_phase, photos_view
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import ChoosePhotoZone, ShowPhotos, TakePhoto
from bayapp.record.photos import photo_file, preview_file
from bayapp.screen.arrival.photo_folders import PhotoFolders
from bayapp.screen.arrival.photo_watch import PhotoWatch
from bayapp.screen.arrival.photo_zones import PhotoZonesPage
from bayapp.screen.arrival.photos import PhotosPage
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.processes.photo_keeper import Kept, PhotoKeeper
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.text.language import _, ngettext
from bayapp.text.readable import visible

TOLD = 2
"""Sentences of what went wrong that the page has room for."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A photo that is to be added: where to."""

    job: JobId
    zone: ZoneId | None


class PhotosController(QObject):
    """Shows the photos of a zone, and takes more.

    Attributes:
        folders: asks which photos are to be taken in.
        keeper: takes files into the store.
        watch: tells of what comes into the watched folder.
        page, zones: the photos of a zone, and the car on which one is touched.
    """

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        drawings: Drawings,
        choices: Choices,
        settings: ShopSettings,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._drawings = drawings
        store = self._store = settings.store
        self._at: Wish | None = None
        self._turned = Turned()
        self._wishes: dict[Path, Wish] = {}
        self._to_record: list[AddPhoto] = []
        self._said: list[str] = []
        self.folders = PhotoFolders(selection, choices, settings, self._take, self._watch_other)
        self.watch = PhotoWatch(self.folders.watched, self)
        self.watch.came.connect(self._came)
        self.keeper = PhotoKeeper(store, self)
        self.keeper.kept.connect(self._kept)
        self.keeper.refused.connect(self._refused)
        self.keeper.idle.connect(self._show)
        self.page = PhotosPage(pages.look, lambda sha: preview_file(store, sha), pages.window)
        self.page.next_wanted.connect(self._next)
        self.page.move_wanted.connect(self._move)
        self.page.away_wanted.connect(self._take_away)
        self.page.add_wanted.connect(self.folders.ask)
        self.page.camera_wanted.connect(self._camera)
        self.zones = PhotoZonesPage(pages.look, pages.window)
        self.zones.zone_wanted.connect(self._zone_touched)
        for page in (self.page, self.zones):
            pages.add(page)
        sender.accepted.connect(lambda _verdict: self._record())

    # What is shown.

    def choose_zone(self, wanted: ChoosePhotoZone) -> None:
        """Show the car, to touch the zone of which photos are to be seen or kept."""
        car = self._selection.bay.state.jobs.get(wanted.job)
        if car is not None:
            self._at = Wish(wanted.job, None)
            self.zones.show_zones(car, self._drawings.of(wanted.job, [car.job]))
            self._pages.show(self.zones)

    def open(self, wanted: ShowPhotos) -> None:
        """Show the photos of a zone, or of the whole car."""
        self._at, self._turned, self._said = Wish(wanted.job, wanted.zone), Turned(), []
        self.watch.begin()
        self._make_previews()
        self._show()
        self._pages.show(self.page)

    def keep(self, files: list[Path], wish: Wish) -> None:
        """Take files for a zone."""
        self._said = []
        self._wishes |= dict.fromkeys(files, wish)
        self.keeper.keep(files)
        self._show()

    def keep_taken(self, file: Path, wanted: TakePhoto) -> None:
        """Take what the camera wrote."""
        self.keep([file], Wish(wanted.job, wanted.zone))

    def _zone_touched(self, zone: ZoneId | None) -> None:
        car = self._car()
        if car is None:
            return
        whole = zone is None or car.job.vehicle.zone_named(zone).surface == "car"
        self._pages.want_below(ShowPhotos(car.job.id, None if whole else zone))

    def _car(self) -> JobState | None:
        return self._selection.bay.state.jobs.get(self._at.job) if self._at else None

    def _show(self) -> None:
        car = self._car()
        if car is None or self._at is None:
            return
        now, left = self._selection.bay.now(), self.keeper.left
        under_way = ngettext("Taking {n} photo in …", "Taking {n} photos in …", left).format(n=left) if left else ""
        said = [under_way] if under_way else self._said[-TOLD:]
        self.page.show_photos(photos_view(car, self._at.zone, self._turned, now, self._selection.tz, said))

    def _next(self, phase: Phase) -> None:
        self._turned = self._turned.next(phase)
        self._make_previews()
        self._show()

    def _shown(self, phase: str) -> PhotoAdded | None:
        car = self._car()
        photos = of_phase(car, self._at.zone, "later" if phase == "later" else "arrival") if car and self._at else []
        return photos[self._turned.of("later" if phase == "later" else "arrival") % len(photos)] if photos else None

    def _move(self, phase: str) -> None:
        photo = self._shown(phase)
        if photo is None or self._at is None:
            return
        away, again = moved(photo, self._at.job, self._selection.by)
        if self._sender.send_or_show_refusal(away) and self._sender.send_or_show_refusal(again):
            self._turned = Turned()
            self._show()

    def _take_away(self, phase: str) -> None:
        photo = self._shown(phase)
        if photo is None or self._at is None:
            return
        if self._sender.send_or_show_refusal(WithdrawPhoto(self._at.job, photo.zone, photo.sha256, self._selection.by)):
            self._turned = Turned()
            self._show()

    # What comes in.

    def _kept(self, file: Path, kept: Kept) -> None:
        wish = self._wishes.pop(file, None)
        if wish is not None:
            added = AddPhoto(wish.job, wish.zone, kept.sha256, kept.kind, kept.size, None, self._selection.by)
            self._to_record.append(added)
            self._record()
        self._show()

    def _record(self) -> None:
        """Record what lies in the store by now; where nobody has said who stands here, that is asked first."""
        while self._to_record:
            request = replace(self._to_record[0], by=self._selection.by)
            if self._sender.asks_who(request):
                return
            del self._to_record[0]
            verdict = self._sender.send(request)
            if verdict.refusal and verdict.refusal.why is not Why.PHOTO_KNOWN:
                self._said.append(why_not(verdict.refusal, self._selection.bay.state, self._selection.tz))
            elif verdict.refusal:
                self._said.append(_("It is kept there already."))
        self._show()

    def _refused(self, file: Path, why: str) -> None:
        self._wishes.pop(file, None)
        self._said.append(_("{file}: {why}.").format(file=visible(file.name), why=capital(why).rstrip(".")))
        self._show()

    def _make_previews(self) -> None:
        """Have small pictures made that are not there: the photos came back with a backup, or one was killed."""
        for phase in ("arrival", "later"):
            photo = self._shown(phase)
            if photo and not preview_file(self._store, photo.sha256).is_file():
                original = photo_file(self._store, photo.sha256, photo.kind)
                if original.is_file():
                    self.keeper.keep([original])
                else:
                    self._said.append(_("A photo is missing from the store; a backup on a stick may hold it."))

    # The watched folder.

    def _came(self, files: list[Path]) -> None:
        if self.page.isVisible() and self._at is not None:
            self.keep(files, self._at)

    def _take(self, files: list[Path]) -> None:
        """Take what was chosen for the zone whose photos are open."""
        if self._at is not None:
            self.keep(files, self._at)
        self._pages.show(self.page)

    def _watch_other(self) -> None:
        self.watch.begin()
        self._pages.show(self.page)

    def _camera(self) -> None:
        if self._at is not None:
            self._pages.want_below(TakePhoto(self._at.job, self._at.zone))
