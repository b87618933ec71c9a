"""Cars with a vehicle form of their own: drawn on the wall and in the picture, from what the journal holds."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

from bayapp.files.library import Library
from bayapp.job import CloseJob, Job
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.events import JobOpened
from bayapp.screen.picture import Scene, paint_picture
from tests.files.broken import DRAWING
from tests.files.own_van import van_job
from tests.pages.bays import CAR, HandBay, hand_bay
from tests.screen.walls import walled

BONNET = ZoneId("bonnet")
TURNED = DRAWING.replace("M0 0 L40 0 L40 50 Z", "M0 0 L0 50 L40 50 Z")


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path / "store", cars=0) as hand:
        yield hand


def test_a_form_given_by_path_is_drawn_and_touched_on_the_wall_though_its_files_are_gone(
    empty: HandBay, tmp_path: Path
):
    job = Library().load_job(van_job(tmp_path / "jobs"))
    empty.bay.open_job(job)
    for file in (tmp_path / "jobs").iterdir():
        file.unlink()
    empty.restart()
    with walled(empty) as wall:
        wall.touch(BONNET)
        assert wall.wall.selection.zones == (BONNET,)


def test_two_forms_of_one_name_are_each_drawn_as_they_are(empty: HandBay, tmp_path: Path):
    for title, drawing in (("One", DRAWING), ("Two", TURNED)):
        empty.bay.open_job(Library().load_job(van_job(tmp_path / title, title, drawing), title))
    with walled(empty) as wall:
        first = wall.wall.car.zone_centre(BONNET)
        wall.wall.pages.show_car(JobId("Two"))
        second = wall.wall.car.zone_centre(BONNET)
        assert first.x() - second.x() > 50, "the second car is drawn as the first"
        wall.wall.pages.show_car(JobId("One"))
        assert wall.wall.car.zone_centre(BONNET) == first


def test_the_drawing_of_a_car_that_has_left_is_let_go(empty: HandBay, tmp_path: Path):
    empty.bay.open_job(Library().load_job(van_job(tmp_path / "jobs"), "van"))
    with walled(empty) as wall:
        assert wall.wall.drawings.kept == ("van",)
        assert wall.wall.request_sender.send_or_show_refusal(CloseJob(JobId("van")))
        wall.wall.selection.turn_to_first_car()
        wall.wall.refresher.refresh()
        assert not wall.wall.drawings.kept


def test_an_older_entry_without_its_drawing_is_drawn_as_the_shipped_form_of_that_name(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        job = hand.bay.state.jobs[CAR].job.model_copy(update={"id": JobId("older"), "drawing": ""})
        hand.bay.open_job(job)
        with walled(hand) as wall:
            drawn = wall.wall.car.zone_centre(ZoneId("windscreen"))
            wall.wall.pages.show_car(JobId("older"))
            assert wall.wall.car.zone_centre(ZoneId("windscreen")) == drawn


def picture_of(job: Job, out: Path) -> QImage:
    opened = JobOpened(at=job.start, job=job.id, opened=job)
    paint_picture(out, Scene(job, (opened,), job.start + timedelta(minutes=1)), "board", (1280, 720), "dark")
    return QImage(str(out))


def test_a_form_given_by_path_is_drawn_in_the_picture(tmp_path: Path, caplog: pytest.LogCaptureFixture):
    job = Library().load_job(van_job(tmp_path))
    drawn = picture_of(job, tmp_path / "drawn.png")
    assert caplog.messages == []
    bare = picture_of(job.model_copy(update={"drawing": ""}), tmp_path / "bare.png")
    assert "the car cannot be drawn" in caplog.text
    changed = sum(drawn.pixel(x, y) != bare.pixel(x, y) for x in range(0, 1280, 8) for y in range(0, 720, 8))
    assert changed > 1280 * 720 / 64 / 20, "the van covers less than a twentieth of the board"
