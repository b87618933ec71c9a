"""What every test of the screen gets: our fonts, a wall with the practice car, and no leftovers."""

import gc
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
import shiboken6
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job import Job
from bayapp.screen.board import drawings
from bayapp.screen.widgets.typeset import load_fonts
from tests.pages.bays import HandBay, hand_bay
from tests.screen.languages import catalogue_script, english
from tests.screen.walls import Walled, walled


@pytest.fixture(scope="session")
def fonts(qapp: QApplication) -> None:
    load_fonts()


@pytest.fixture(scope="session", autouse=True)
def each_drawing_once() -> Iterator[None]:
    """Let all walls share the drawings of their cars, which never change: reading one is a third of a wall."""
    made: dict[tuple[str, str], FormDrawing] = {}

    class Drawn(FormDrawing):
        @classmethod
        def of_job(cls, job: Job, shipped: Path) -> FormDrawing:
            key = (job.drawing or "", job.vehicle.model_dump_json())
            if key not in made:
                made[key] = FormDrawing.of_job(job, shipped)
            return made[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(drawings, "FormDrawing", Drawn)
        yield


@pytest.fixture(scope="module", autouse=True)
def frozen() -> None:
    """Pass over what came before this module when looking for leftovers: each look goes through all objects."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def no_leftovers(qapp: QApplication, fonts: None) -> Iterator[None]:
    """Fail a test that leaves a window, a running timer or a thread behind."""
    threads = set(threading.enumerate())
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    qapp.processEvents()
    assert qapp.topLevelWidgets() == [], "a window is left"
    assert running_timers(qapp) == [], "a timer is left running"
    assert set(threading.enumerate()) - threads == set(), "a thread is left"


def running_timers(app: QObject) -> list[QTimer]:
    found = (o for o in gc.get_objects() if type(o) is QTimer)
    return [t for t in found if shiboken6.isValid(t) and t.isActive() and t.parent() is not app]


@pytest.fixture(scope="session")
def catalogues(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Both pseudo-locales, made of the sentences as they are now."""
    folder = tmp_path_factory.mktemp("locale")
    catalogue_script().write_pseudo(folder, english())
    return folder


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path / "store") as found:
        yield found


@pytest.fixture
def board(hand: HandBay) -> Iterator[Walled]:
    """The practice car on a dark 27 inch wall of 1920 by 1080, all alerts answered."""
    with walled(hand) as found:
        found.answer_all()
        yield found
