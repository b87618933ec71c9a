import json
import struct
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from bayapp.job.model.instant import parse_instant
from bayapp.job.state.events import JobOpened, StepFinished, StepStarted
from bayapp.screen.picture import Scene, paint_picture
from tests.cli.run import bayapp
from tests.files.broken import EVENTS, JOB


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Any, ...]]:
    """Return what the screen is asked to paint, without painting it."""
    calls: list[tuple[Any, ...]] = []
    monkeypatch.setattr("bayapp.screen.picture.paint_picture", lambda *call: calls.append(call))
    return calls


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "job.toml").write_text(JOB)
    (tmp_path / "events.jsonl").write_text(EVENTS)
    return tmp_path


def words(folder: Path, *more: object) -> list[object]:
    files = ["--job", folder / "job.toml", "--events", folder / "events.jsonl"]
    return ["picture", "--out", folder / "wall.png", *files, *more]


def test_the_practice_car_is_painted_into_a_png_of_the_size_asked(tmp_path: Path):
    result = bayapp("picture", "--out", tmp_path / "wall.png", "--size", "960x540")
    assert (result.exit_code, result.stdout.strip()) == (0, str(tmp_path / "wall.png"))
    raw = (tmp_path / "wall.png").read_bytes()
    # PNG specification (W3C, third edition), 5.2 and 11.2.1: signature, then IHDR with width and height.
    assert raw[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">4sII", raw[12:24]) == (b"IHDR", 960, 540)
    assert len(raw) > 10_000, "an empty board would be smaller"


def test_what_has_happened_up_to_the_instant_is_handed_to_the_screen(folder: Path, asked: list[tuple[Any, ...]]):
    result = bayapp(*words(folder, "--at", "2026-11-25T08:03:05Z", "--page", "ladder", "--zone", "windscreen"))
    assert result.exit_code == 0, result.stderr
    ((out, scene, page, size, theme, zone),) = asked
    assert (out, scene.job.title, page, size, theme) == (
        folder / "wall.png",
        "Green estate",
        "ladder",
        (1920, 1080),
        "dark",
    )
    assert (scene.at, zone) == (parse_instant("2026-11-25T08:03:05Z"), "windscreen")
    assert isinstance(scene.events[0], JobOpened)
    assert [type(event) for event in scene.events[2:]] == [StepStarted, StepFinished]


def test_without_an_instant_it_is_that_of_the_last_event(folder: Path, asked: list[tuple[Any, ...]]):
    bayapp(*words(folder))
    at: datetime = asked[0][1].at
    assert at == parse_instant("2026-11-25T08:03:30Z")


def test_a_refused_event_is_left_out_and_named(folder: Path, asked: list[tuple[Any, ...]]):
    line = {"at": "2026-11-25T08:00:00Z", "act": "start", "zone": "roof", "step": "wipe"}
    (folder / "events.jsonl").write_text(json.dumps(line))
    result = bayapp(*words(folder))
    assert "line 1: left out" in result.stderr
    assert len(asked[0][1].events) == 1


@pytest.mark.parametrize(
    ("more", "complaint"),
    [
        (["--size", "1920"], "is no size"),
        (["--size", "1x1"], "is no size"),
        (["--size", "99999x99999"], "is no size"),
        (["--at", "noon"], "is not a date and time"),
        (["--page", "kitchen"], "is none of board"),
        (["--theme", "pink"], "is none of dark, light"),
        (["--zone", "moon"], "is not worked in this job"),
        (["--out", "wall.jpg"], "is no PNG"),
        (["--out", "no/such/folder/wall.png"], "there is no folder"),
        (["--job", "none.toml"], "there is no such file"),
    ],
)
def test_what_cannot_be_painted_is_bad_input(
    more: list[str], complaint: str, folder: Path, asked: list[tuple[Any, ...]], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("COLUMNS", "200")
    result = bayapp(*words(folder, *more))
    assert (result.exit_code, result.stdout) == (2, "")
    assert complaint in result.stderr
    assert asked == []


def test_events_need_their_job(folder: Path):
    result = bayapp("picture", "--out", folder / "wall.png", "--events", folder / "events.jsonl")
    assert result.exit_code == 2
    assert "add --job" in result.stderr


def test_a_page_with_nothing_to_show_is_no_fault_of_the_program_and_says_what_to_do(folder: Path):
    result = bayapp(*words(folder, "--page", "bottle"))
    assert result.exit_code == 2
    assert "there is no bottle on the shelf to show; show the practice car, or the page shelf" in result.stderr
    assert not (folder / "wall.png").exists()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert QApplication.topLevelWidgets() == [], "no window is left, with clocks that run on"


def test_a_picture_leaves_nothing_behind_but_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """The page of a new car keeps what is chosen: in a store of its own, not where the command is run."""
    monkeypatch.chdir(tmp_path)
    paint_picture(tmp_path / "x.png", Scene(), "begin", (1280, 800))
    assert [path.name for path in tmp_path.iterdir()] == ["x.png"]
