"""Photos are kept by touches: from a stick, a watched folder, the machine's camera; shown as it came and later."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QCoreApplication, QObject, Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtTest import QSignalSpy, QTest

from bayapp.job.model.ids import ZoneId
from bayapp.job.state.events import PhotoAdded, PhotoWithdrawn
from bayapp.pages.wanted import ShowPhotos, TakePhoto
from bayapp.record.photos import photo_file, preview_file
from bayapp.screen.arrival.camera_controller import CameraController
from bayapp.screen.arrival.photos import PhotosPage
from bayapp.screen.frame.choices import Choices
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.glove_button import GloveButton
from tests.files.photo_samples import photo, quarters, turned
from tests.pages.bays import CAR
from tests.screen.walls import Walled

DOOR = ZoneId("door-left-front")


@pytest.fixture
def photos(board: Walled) -> Iterator[Walled]:
    """The photos of a door that is washed and not polished yet, by touches."""
    board.press(board.wall.next_bar.more)
    board.choose("Arrival")
    board.choose("Photos")
    car = board.openers.photos.zones.car
    QTest.mouseClick(car, Qt.MouseButton.LeftButton, pos=car.zone_centre(DOOR).toPoint())
    yield board
    board.openers.photos.keeper.stop()


@pytest.fixture
def stick(photos: Walled, tmp_path: Path) -> Path:
    """A stick that is offered."""
    folder = tmp_path / "stick"
    folder.mkdir()
    photos.openers.photos.folders.folders = lambda: [folder]
    return folder


def page(wall: Walled) -> PhotosPage:
    return wall.openers.photos.page


def settle(wall: Walled) -> None:
    """Wait until nothing is left to take."""
    keeper = wall.openers.photos.keeper
    while keeper.left:
        assert QSignalSpy(keeper.idle).wait(30_000)
    QCoreApplication.processEvents()


def added(wall: Walled) -> list[PhotoAdded]:
    return [event for event in wall.hand.journal.read() if isinstance(event, PhotoAdded)]


def standing(wall: Walled, zone: ZoneId | None = DOOR) -> list[str]:
    return [photo.added.phase for photo in wall.hand.bay.state.jobs[CAR].photos_of(zone)]


def store(wall: Walled) -> Path:
    return wall.openers.settings.store


def hold(button: GloveButton) -> None:
    middle = button.rect().center()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(glove_button, "HOLD_MS", 1)
        held = QSignalSpy(button.held)
        QTest.mousePress(button, Qt.MouseButton.LeftButton, pos=middle)
        assert held.wait(5_000)
        QTest.mouseRelease(button, Qt.MouseButton.LeftButton, pos=middle)


def take_all(wall: Walled, folder: Path, title: str) -> None:
    wall.press(page(wall).add_button)
    wall.choose(folder.name)
    wall.choose(title)
    settle(wall)


def test_a_photo_from_a_stick_is_kept_as_it_is_and_shown_upright(photos: Walled, stick: Path):
    (stick / "IMG_1.JPG").write_bytes(turned(6))
    take_all(photos, stick, "IMG_1.JPG")
    (event,) = added(photos)
    assert (event.zone, event.kind, event.phase, event.by) == (DOOR, "jpeg", "arrival", photos.wall.selection.by)
    assert photo_file(store(photos), event.sha256, "jpeg").read_bytes() == turned(6)
    with Image.open(preview_file(store(photos), event.sha256)) as shown:
        assert shown.size == (64, 96)
    assert page(photos).isVisible()
    assert "owner" in page(photos).subtitle, "what EXIF holds is said"
    picture = page(photos).grab().toImage()
    assert any(QImage(picture).pixelColor(x, y).red() > 200 for x in range(0, 600, 5) for y in range(0, 600, 5))


@pytest.mark.slow
def test_all_of_a_cards_folder_are_taken_by_one_touch_and_each_of_them_once(photos: Walled, stick: Path):
    card = stick / "DCIM" / "100BAY"
    card.mkdir(parents=True)
    for number in range(3):
        (card / f"IMG_{number}.JPG").write_bytes(photo("jpeg", quarters(90 + number * 2, 60)))
    take_all(photos, stick, "All 3")
    assert standing(photos) == ["arrival"] * 3
    before = photos.events()
    take_all(photos, stick, "All 3")
    assert photos.events() == before
    assert page(photos).subtitle.startswith("It is kept there already.")


@pytest.mark.slow
def test_what_is_no_photo_is_said_why_and_the_others_are_taken(photos: Walled, stick: Path):
    (stick / "good.jpg").write_bytes(photo())
    (stick / "bad.jpg").write_bytes(b"no photo")
    take_all(photos, stick, "All 2")
    assert standing(photos) == ["arrival"]
    assert page(photos).subtitle == "bad.jpg: It is no photo; JPEG, PNG and WebP are taken."


@pytest.mark.slow
def test_a_stick_that_is_pulled_out_meanwhile_is_said_and_nothing_is_half_kept(photos: Walled, stick: Path):
    file = stick / "IMG_1.JPG"
    file.write_bytes(photo())
    photos.press(page(photos).add_button)
    photos.choose(stick.name)
    file.unlink()
    photos.choose("IMG_1.JPG")
    settle(photos)
    assert "was its stick pulled out?" in page(photos).subtitle
    assert added(photos) == []
    assert [path for path in (store(photos) / "photos").iterdir() if path.is_file()] == []


@pytest.mark.slow
def test_after_the_polish_a_photo_stands_beside_the_one_from_before(photos: Walled, stick: Path):
    (stick / "before.jpg").write_bytes(photo())
    take_all(photos, stick, "before.jpg")
    photos.wall.pages.want(ShowPhotos(CAR, ZoneId("windscreen")))  # its glass was polished hours ago
    (stick / "after.png").write_bytes(photo("png"))
    take_all(photos, stick, "after.png")
    assert standing(photos, ZoneId("windscreen")) == ["later"]
    assert standing(photos) == ["arrival"]


@pytest.mark.slow
def test_a_photo_of_the_wrong_phase_is_moved_over_and_both_stay_in_the_journal(photos: Walled, stick: Path):
    (stick / "IMG_1.JPG").write_bytes(photo())
    take_all(photos, stick, "IMG_1.JPG")
    photos.press(page(photos).move_over[0])
    assert standing(photos) == ["later"]
    assert [event.phase for event in added(photos)] == ["arrival", "later"]


@pytest.mark.slow
def test_a_photo_is_taken_away_by_a_hold_and_its_file_stays(photos: Walled, stick: Path):
    (stick / "IMG_1.JPG").write_bytes(photo())
    take_all(photos, stick, "IMG_1.JPG")
    photos.press(page(photos).away[0])
    assert standing(photos) == ["arrival"], "a touch is not enough"
    hold(page(photos).away[0])
    assert standing(photos) == []
    (event,) = added(photos)
    assert photo_file(store(photos), event.sha256, "jpeg").is_file()
    assert isinstance(photos.hand.journal.read()[-1], PhotoWithdrawn)


@pytest.mark.slow
def test_what_comes_into_the_watched_folder_is_taken_for_the_zone_that_is_open(photos: Walled, stick: Path):
    (stick / "old.jpg").write_bytes(photo("jpeg", quarters(80, 60)))
    photos.press(page(photos).add_button)
    photos.choose(stick.name)
    photos.choose("Watch this folder")
    assert photos.openers.settings.read().photos_from == str(stick)
    watch = photos.openers.photos.watch
    watch.look()
    whole = photo()
    (stick / "new.jpg").write_bytes(whole[:300])  # still being copied
    watch.look()
    (stick / "new.jpg").write_bytes(whole)
    watch.look()
    assert not photos.openers.photos.keeper.left, "it has only just stopped to grow"
    watch.look()
    settle(photos)
    assert [event.size for event in added(photos)] == [len(whole)], "and what lay there before is left"
    photos.press(page(photos).add_button)
    photos.choose(stick.name)
    photos.choose("Watch it no more")
    assert photos.openers.settings.read().photos_from is None


@pytest.mark.slow
def test_a_small_picture_that_is_gone_is_made_anew_and_a_photo_that_is_gone_is_said(photos: Walled, stick: Path):
    (stick / "IMG_1.JPG").write_bytes(photo())
    take_all(photos, stick, "IMG_1.JPG")
    (event,) = added(photos)
    small = preview_file(store(photos), event.sha256)
    small.unlink()
    photos.wall.pages.want(ShowPhotos(CAR, DOOR))
    settle(photos)
    assert small.is_file()
    assert len(added(photos)) == 1
    small.unlink()
    photo_file(store(photos), event.sha256, "jpeg").unlink()
    photos.wall.pages.want(ShowPhotos(CAR, DOOR))
    assert "missing from the store" in page(photos).subtitle


@pytest.mark.slow
def test_two_photos_are_turned_over_by_touches_the_newest_first(photos: Walled, stick: Path):
    for number in range(2):
        (stick / f"IMG_{number}.JPG").write_bytes(photo("jpeg", quarters(90 + 2 * number, 60)))
        take_all(photos, stick, f"IMG_{number}.JPG")
    assert page(photos).turn[0].detail == "1 of 2"
    photos.press(page(photos).turn[0])
    assert page(photos).turn[0].detail == "2 of 2"
    photos.press(page(photos).turn[0])
    assert page(photos).turn[0].detail == "1 of 2"


def test_a_machine_without_a_camera_says_so(photos: Walled):
    photos.press(page(photos).camera_button)
    assert "has no camera" in photos.sentences()


class PlayedCamera(QObject):
    """A camera that writes what it is told to, or goes away."""

    sees = Signal(QImage)
    taken = Signal(object)
    failed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.there, self.running, self.writes = True, False, photo()

    def is_there(self) -> bool:
        return self.there

    def start(self) -> None:
        self.running = True
        image = QImage()
        image.loadFromData(self.writes)
        self.sees.emit(image)

    def shoot(self, file: Path) -> None:
        file.write_bytes(self.writes)
        self.taken.emit(file)

    def stop(self) -> None:
        self.running = False


@pytest.fixture
def camera(photos: Walled) -> Iterator[tuple[PlayedCamera, CameraController]]:
    """A camera that is played, in the place of the machine's."""
    played, wall = PlayedCamera(), photos.wall
    made = CameraController(wall.selection, wall.pages, Choices(wall.pages), played, photos.openers.photos.keep_taken)
    yield played, made
    made.close()
    played.deleteLater()


Cameras = tuple[PlayedCamera, CameraController]


@pytest.mark.slow
def test_a_photo_taken_with_the_camera_is_kept_and_shown(photos: Walled, camera: Cameras):
    played, controller = camera
    controller.open(TakePhoto(CAR, DOOR))
    assert controller.page.isVisible()
    photos.press(controller.page.shutter_button)
    settle(photos)
    (event,) = added(photos)
    assert (event.zone, event.size) == (DOOR, len(played.writes))
    assert page(photos).isVisible()
    assert not played.running, "nobody is filmed on"


def test_a_camera_that_goes_away_is_said_and_the_board_goes_on(photos: Walled, camera: Cameras):
    played, controller = camera
    controller.open(TakePhoto(CAR, DOOR))
    played.failed.emit("device disconnected")
    assert "The camera cannot be used: device disconnected." in photos.sentences()
    assert not played.running
    photos.wall.pages.show_board()
    played.failed.emit("again")
    assert photos.wall.car.isVisible()


@pytest.mark.slow
def test_going_back_lets_go_of_the_camera(photos: Walled, camera: Cameras):
    played, controller = camera
    controller.open(TakePhoto(CAR, DOOR))
    assert played.running
    photos.press(controller.page.close_button)
    assert not played.running


@pytest.mark.slow
@pytest.mark.parametrize("tile", [True, False])
def test_the_tile_of_the_whole_car_and_its_button_mean_the_same_photos(tile: bool, photos: Walled, stick: Path):
    zones = photos.openers.photos.zones
    photos.press(page(photos).close_button)
    if tile:
        QTest.mouseClick(zones.car, Qt.MouseButton.LeftButton, pos=zones.car.zone_centre(ZoneId("car")).toPoint())
    else:
        photos.press(zones.whole)
    (stick / "IMG_1.JPG").write_bytes(photo())
    take_all(photos, stick, "IMG_1.JPG")
    assert [event.zone for event in added(photos)] == [None]


@pytest.mark.slow
def test_the_hub_counts_photos(photos: Walled, stick: Path):
    (stick / "IMG_1.JPG").write_bytes(photo())
    take_all(photos, stick, "IMG_1.JPG")
    photos.press(page(photos).close_button)
    photos.press(photos.openers.photos.zones.close_button)
    assert "1 photo" in photos.details()
