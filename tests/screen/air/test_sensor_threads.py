"""The sensors' own threads beside a real wall: what they hear is on disk, what they lose is said, and they end."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.job.state.events import AirRead
from bayapp.pages.wanted import Page
from bayapp.screen.air import sensors_controller
from bayapp.screen.air.sensors_controller import SensorsController
from bayapp.sensing import mqtt
from tests.screen.walls import Walled
from tests.sensing.brokers import broker
from tests.sensing.sysfs import Device

PATIENCE_MS = 20_000

Begin = Callable[[SensorSettings], SensorsController]


@pytest.fixture
def begin(board: Walled, monkeypatch: pytest.MonkeyPatch) -> Iterator[Begin]:
    monkeypatch.setattr(sensors_controller, "POLL_MS", 20)
    monkeypatch.setattr(mqtt, "LONGEST_PAUSE_S", 1)
    controllers: list[SensorsController] = []

    def listen(settings: SensorSettings) -> SensorsController:
        controller = SensorsController(board.wall.selection, [settings], board.wall)
        controller.changed.connect(board.wall.refresher.refresh)
        board.openers.add_sensors(controller.open)
        controllers.append(controller)
        controller.begin()
        return controller

    yield listen
    for controller in controllers:
        controller.stop()


def heard(board: Walled) -> list[AirRead]:
    return [e for e in board.hand.journal.read() if isinstance(e, AirRead) and e.source]


def test_a_device_is_recorded_pulled_out_reported_and_heard_again(
    tmp_path: Path, qtbot: QtBot, board: Walled, begin: Begin
):
    device = Device(tmp_path / "iio")
    device.air(20.5, 47)
    board.wait(60)
    begin(device.settings(every_seconds=0.05))
    qtbot.waitUntil(lambda: bool(heard(board)), timeout=PATIENCE_MS)
    assert (heard(board)[-1].air_c, heard(board)[-1].source) == (20.5, "door")
    device.unplug()
    board.wait(1)
    qtbot.waitUntil(lambda: _advanced(board) and bool(board.hand.bay.sensors.troubles), timeout=PATIENCE_MS)
    (trouble,) = board.hand.bay.sensors.troubles
    assert "air sensor by the door has said nothing since" in trouble.label
    board.wall.refresher.refresh()
    assert any(a.condition.label == trouble.label for a in board.hand.bay.alerts.unanswered())
    board.hand.bay.alerts.acknowledge([a.condition.subject for a in board.hand.bay.alerts.unanswered()])
    board.wall.refresher.refresh()
    assert "look to sensor" in board.wall.strip.air.detail
    device.plug_in()
    device.air(19.0, 50)
    qtbot.waitUntil(lambda: _advanced(board) and heard(board)[-1].air_c == 19.0, timeout=PATIENCE_MS)
    assert board.hand.bay.sensors.troubles == ()
    board.wall.refresher.refresh()
    assert "look to sensor" not in board.wall.strip.air.detail


def _advanced(board: Walled) -> bool:
    """Let a little of the bay's time pass with each look; true, so that a condition may follow it."""
    board.hand.wait(20)
    return True


def test_a_broker_that_dies_in_the_midst_is_reported_and_its_next_number_is_recorded(
    tmp_path: Path, qtbot: QtBot, board: Walled, begin: Begin
):
    topic = {"topic": "hall/+", "gives": "air_c", "key": "t"}
    damp = {"topic": "hall/+", "gives": "rh_percent", "key": "rh"}
    with broker(tmp_path) as hub:
        entry = {"id": "hall", "name": "hall sensor", "kind": "mqtt", "host": "127.0.0.1", "port": hub.port}
        begin(SensorSettings.model_validate({**entry, "topic": [topic, damp]}))
        hub.start()
        board.hand.wait(60)

        def said(air_c: float) -> bool:
            hub.publish("hall/air", f'{{"t": {air_c}, "rh": 48}}')
            board.hand.wait(20)
            return bool(heard(board)) and heard(board)[-1].air_c == air_c

        qtbot.waitUntil(lambda: said(20.5), timeout=PATIENCE_MS)
        hub.kill()
        qtbot.waitUntil(lambda: _advanced(board) and bool(board.hand.bay.sensors.troubles), timeout=PATIENCE_MS)
        assert "hall sensor has said nothing since" in board.hand.bay.sensors.troubles[0].label
        before = len(heard(board))
        hub.start()
        qtbot.waitUntil(lambda: said(18.0), timeout=PATIENCE_MS)
        assert board.hand.bay.sensors.troubles == ()
        assert len(heard(board)) > before


def test_a_sensor_is_taken_out_of_use_and_into_it_by_touch_and_a_restart_keeps_to_it(
    tmp_path: Path, qtbot: QtBot, board: Walled, begin: Begin
):
    device = Device(tmp_path / "iio")
    device.air(20.5, 47)
    board.wait(60)
    begin(device.settings(every_seconds=0.05))
    qtbot.waitUntil(lambda: bool(heard(board)), timeout=PATIENCE_MS)
    board.wall.pages.want(Page.SENSORS)
    board.choose("Air sensor by the door")
    now = board.hand.bay.now()
    assert board.hand.bay.sensors.unused(now) == {"door"}
    assert "not used today" in " ".join(b.detail for b in board.wall.pages.choices.buttons if b.isVisible())
    board.choose("Air sensor by the door")
    board.hand.wait(1)
    assert board.hand.bay.sensors.unused(board.hand.bay.now()) == frozenset()
    board.choose("Air sensor by the door")
    assert board.hand.restart().sensors.unused(board.hand.bay.now()) == {"door"}


def test_a_touch_on_a_sensor_that_is_out_of_use_puts_it_in_use_also_after_midnight(
    tmp_path: Path, qtbot: QtBot, board: Walled, begin: Begin
):
    """Out of use ends at midnight by itself: "not used today", painted before it, must not begin another day."""
    device = Device(tmp_path / "iio")
    device.air(20.5, 47)
    board.wait(60)
    begin(device.settings(every_seconds=0.05))
    qtbot.waitUntil(lambda: bool(heard(board)), timeout=PATIENCE_MS)
    board.wall.pages.want(Page.SENSORS)
    board.choose("Air sensor by the door")
    board.hand.wait(24 * 3600)
    board.choose("Air sensor by the door")
    assert board.hand.bay.sensors.unused(board.hand.bay.now()) == frozenset()
