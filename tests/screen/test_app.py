"""What the start of the wall screen makes of the car that the command line names, and of the shop's settings."""

import gc
from datetime import UTC
from math import hypot
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.files.shop.settings import Settings, save_settings
from bayapp.job import CloseJob
from bayapp.job.model.ids import JobId
from bayapp.pages.settings.settings import Setting
from bayapp.pages.wanted import Page
from bayapp.record import StoreProblem
from bayapp.screen import app, wiring
from bayapp.screen.bay_opening import take_in
from bayapp.screen.widgets.cells_page import CellsPage
from bayapp.screen.widgets.choice_page import ChoicePage
from bayapp.screen.window.wall import Wall
from tests.pages.bays import CAR, HandBay


def test_a_car_that_has_left_is_not_taken_in_again_and_the_person_is_told(hand: HandBay):
    job = hand.bay.state.jobs[CAR].job
    assert hand.bay.request(CloseJob(CAR)).accepted
    hand.restart()
    with pytest.raises(BadFile, match=r"estate\.toml: title: this car has been in the bay and has left"):
        take_in(hand.bay, job, "estate.toml")
    assert CAR not in {j.job.id for j in hand.bay.state.open_jobs}


def test_the_start_says_so_too_and_does_not_open_the_board_of_a_car_that_has_left(
    hand: HandBay, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    """A car that left today is known again, for the solvent that it left in the air."""
    job = hand.bay.state.jobs[CAR].job
    assert hand.bay.request(CloseJob(CAR)).accepted
    hand.restart()
    assert hand.bay.recall_left()
    ended: list[bool] = []
    monkeypatch.setattr(app, "open_bay", lambda *_arguments: (hand.bay, lambda: ended.append(True)))
    monkeypatch.setattr(app, "log_faults", lambda _store: None)
    monkeypatch.setattr(Library, "load_job", lambda _self, _path: job)
    with pytest.raises(BadFile, match="has left"):
        app.run_on(tmp_path / "store", Settings(), app.WallOptions(Path("estate.toml")))
    assert ended == [True]


def test_once_the_board_stands_the_cars_that_left_are_read(
    hand: HandBay, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
):
    assert hand.bay.request(CloseJob(CAR)).accepted
    hand.restart()
    for name in ("add_sound", "add_planner"):
        monkeypatch.setattr(wiring, name, lambda *_arguments: None)
    monkeypatch.setattr(gc, "freeze", lambda: None)
    wall = wiring.make_window(hand.bay, hand.store, Settings(), UTC)
    try:
        assert hand.bay.state.jobs == {}
        wiring.finish_start(wall, hand.store, Settings(), practice=False)
        qtbot.waitUntil(lambda: hand.bay.knows_left)
        assert list(hand.bay.state.jobs) == [CAR]
    finally:
        wall.close()
        wall.deleteLater()


def test_a_car_that_left_and_cannot_be_read_is_reported_once(hand: HandBay, qtbot: QtBot):
    assert hand.bay.request(CloseJob(CAR)).accepted
    hand.restart()
    wall = wiring.make_window(hand.bay, hand.store, Settings(), UTC)
    trouble = StoreProblem("entry 1 is no event", "the store", "restore a backup")
    asked = list[int]()

    def fails() -> bool:
        asked.append(1)
        raise trouble

    try:
        with pytest.MonkeyPatch.context() as patch, qtbot.captureExceptions() as raised:
            patch.setattr(hand.bay, "recall_left", fails)
            wiring.recall_left(wall)
            qtbot.waitUntil(lambda: bool(asked))
            for _ in range(5):
                QApplication.processEvents()
        assert [error for _kind, error, _trace in raised] == [trouble]
        assert asked == [1]
    finally:
        wall.close()
        wall.deleteLater()


def test_a_new_car_is_taken_in(hand: HandBay):
    job = hand.bay.state.jobs[CAR].job.model_copy(update={"id": JobId("another")})
    take_in(hand.bay, job, "another.toml")
    assert JobId("another") in hand.bay.state.jobs


@pytest.mark.parametrize("named", [True, False])
def test_practice_hangs_on_the_shops_wall_and_takes_its_settings_but_never_writes_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, named: bool
):
    shop = tmp_path / "shop"
    shop.mkdir()
    save_settings(shop, Settings(screen_diagonal_inch=43, theme="light", volume=0.4))
    before = {p: p.read_bytes() for p in shop.iterdir()}
    monkeypatch.setattr(app, "default_store", lambda: tmp_path / "nowhere" if named else shop)
    monkeypatch.setattr(app, "application", QApplication.instance)
    monkeypatch.setattr(app, "log_faults", lambda store: None)
    looks = list[tuple[str, int]]()

    def swap_theme(*_: object) -> int:
        (wall,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, Wall))
        looks.append((wall.look.palette.name, round(wall.real.px_per_mm * 1e6)))
        wall.pages.want(Page.SETTINGS)
        (page, *_hours) = wall.findChildren(CellsPage)
        page.buttons[Setting.THEME, 0].click()
        looks.append((wall.look.palette.name, round(wall.real.px_per_mm * 1e6)))
        return 0

    monkeypatch.setattr(QApplication, "exec", swap_theme)
    assert app.run(shop if named else None, app.WallOptions(practice=True)) == 0
    pixels = QApplication.primaryScreen().size()
    px_per_km = round(hypot(pixels.width(), pixels.height()) / (43 * 25.4) * 1e6)
    assert looks == [("light", px_per_km), ("dark", px_per_km)]
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("kiosk", [True, False])
def test_a_kiosk_fills_the_screen_and_stays_in_front(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, kiosk: bool):
    monkeypatch.setattr(app, "application", QApplication.instance)
    monkeypatch.setattr(app, "log_faults", lambda store: None)
    windows = list[tuple[bool, bool]]()

    def look(*_: object) -> int:
        (wall,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, Wall))
        windows.append((wall.isFullScreen(), bool(wall.windowFlags() & Qt.WindowType.WindowStaysOnTopHint)))
        return 0

    monkeypatch.setattr(QApplication, "exec", look)
    assert app.run(tmp_path, app.WallOptions(kiosk=kiosk)) == 0
    assert windows == [(kiosk, kiosk)]


@pytest.mark.parametrize(
    ("settings", "page"),
    [("", CellsPage), ('first_start = "asking"\n', CellsPage), ('format = "bayapp-settings/1"\n', ChoicePage)],
)
def test_an_empty_bay_asks_a_new_shop_its_questions_and_an_old_one_for_a_car(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, settings: str, page: type
):
    monkeypatch.setattr(app, "application", QApplication.instance)
    monkeypatch.setattr(app, "log_faults", lambda store: None)
    if settings:
        (tmp_path / "settings.toml").write_text(settings, encoding="utf-8")
    shown = list[type]()

    def look(*_: object) -> int:
        (wall,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, Wall))
        shown.append(type(wall.pages.standing))
        return 0

    monkeypatch.setattr(QApplication, "exec", look)
    assert app.run(tmp_path, app.WallOptions(kiosk=True)) == 0
    assert shown == [page]


def test_another_theme_is_saved_beside_what_was_written_in_the_meantime(hand: HandBay):
    written = hand.store / "settings.toml"
    wall = wiring.make_window(hand.bay, hand.store, Settings(), UTC)
    try:
        for text, saved, swapped in (
            ('# ours\nhours = ["08:00-12:00"]\n', '# ours\nhours = ["08:00-12:00"]\nformat', True),
            ('hours = ["08:00', 'hours = ["08:00', False),  # somebody is in the midst of writing it
        ):
            written.write_text(text, encoding="utf-8")
            wall.pages.want(Page.SETTINGS)
            before = wall.look.palette.name
            (page, *_hours) = wall.findChildren(CellsPage)
            page.buttons[Setting.THEME, 0].click()
            assert (wall.look.palette.name != before) is swapped
            assert written.read_text(encoding="utf-8").startswith(saved)
    finally:
        wall.close()
        wall.deleteLater()
