"""Every start that fails has a window with words and a way on; the real program, each fault a real one."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from bayapp.clock import BayClock
from bayapp.files.shop.backup_log import BackupLog, PlaceLog, write_backup_log
from bayapp.record import open_journal
from bayapp.record.backup import back_up
from bayapp.record.integrity import check
from tests.record.disks import small_disk
from tests.record.samples import START, bare, opened, started

ROOT = Path(__file__).parents[3]


@dataclass
class Machine:
    """What a start finds: a store, and the words and the environment of the command line."""

    store: Path
    stack: ExitStack
    words: list[str] = field(default_factory=list)
    environment: dict[str, str] = field(default_factory=dict)

    def start(self, *ways: str) -> tuple[list[dict[str, Any]], int, str]:
        """Start the wall and take these ways on; return what was seen, the exit code and what was said."""
        command = [sys.executable, "-m", "tests.screen.whole_program.failing_start", ",".join(ways)]
        ended = subprocess.run(
            [*command, "--store", str(self.store), "--kiosk", *self.words],
            cwd=ROOT,
            env={**os.environ, "QT_QPA_PLATFORM": "offscreen", **self.environment},
            capture_output=True,
            text=True,
            timeout=100,
            check=False,
        )
        return [json.loads(line) for line in ended.stdout.splitlines()], ended.returncode, ended.stderr


@pytest.fixture
def machine(tmp_path: Path):
    """A store with one car and 16 entries, and a backup of the first eleven."""
    store, stamp = tmp_path / "store", BayClock.at_wall().stamp()  # of this boot: the start asks for no time
    journal = open_journal(store)
    journal.append((opened("car"), *[started("car", minute) for minute in range(10)]), stamp)
    back_up(store, store / "backups")
    journal.append([started("car", minute) for minute in range(10, 15)], stamp)
    journal.close()
    with ExitStack() as stack:
        yield Machine(store, stack)


def spoil(statement: str) -> Callable[[Machine], None]:
    def do(machine: Machine) -> None:
        with bare(machine.store) as other:
            other.execute(statement)

    return do


def without_backups(fault: Callable[[Machine], None]) -> Callable[[Machine], None]:
    def do(machine: Machine) -> None:
        fault(machine)
        for file in (machine.store / "backups").iterdir():
            file.unlink()

    return do


def cut_end(machine: Machine) -> None:
    spoil("DELETE FROM journal WHERE seq > 14")(machine)


def half_restored(machine: Machine) -> None:
    """As a kill leaves it between laying the old journal aside and putting the new one in its place."""
    file = machine.store / "journal.sqlite3"
    for ending in ("", "-witness"):
        file.with_name(file.name + ending).rename(machine.store / f"journal-before-restore-1.sqlite3{ending}")
    (machine.store / "journal.restoring").write_bytes(b"SQLite format 3")


def no_file(machine: Machine) -> None:
    (machine.store / "journal.sqlite3").unlink()


def no_journal_at_all(machine: Machine) -> None:
    (machine.store / "journal.sqlite3").write_bytes(b"holiday pictures" * 1000)


def locked(machine: Machine) -> None:
    machine.stack.callback(open_journal(machine.store).close)


def file_in_place_of_the_folder(machine: Machine) -> None:
    machine.store = machine.store / "journal.sqlite3" / "store"


def full_disk(machine: Machine) -> None:
    machine.store = machine.stack.enter_context(small_disk(machine.store.parent / "disk", kilobytes=64)) / "store"
    with (machine.store.parent / "filler").open("wb") as filler:
        filler.write(bytes(40_000))


def read_only_disk(machine: Machine) -> None:
    machine.store = machine.stack.enter_context(small_disk(machine.store.parent / "disk"))
    open_journal(machine.store).close()
    subprocess.run(["mount", "-o", "remount,ro", str(machine.store)], check=True)


def wrong_settings(machine: Machine) -> None:
    (machine.store / "settings.toml").write_text('theme = "purple"\n', encoding="utf-8")


def wrong_car(machine: Machine) -> None:
    machine.words = ["--job", str(machine.store / "no-such-car.toml")]


def unknown_zone(machine: Machine) -> None:
    machine.environment = {"TZ": "Nowhere/Land"}


ENTRY_SPOILT = spoil("UPDATE journal SET body = 'x' WHERE seq = 12")
NEWER = spoil("UPDATE schema_version SET version = 99")
slow = pytest.mark.slow


@pytest.mark.parametrize(
    ("fault", "ways", "title", "words", "code"),
    [
        (ENTRY_SPOILT, ["Restore the backup"], "The journal is damaged", "5 entries are missing in it", None),
        pytest.param(
            wrong_settings, ["Go on without settings"], "The settings are wrong", "'purple' is not known", None,
            marks=slow,
        ),
        pytest.param(
            locked, ["Try again", "Close bayapp"], "Another bayapp is open", "Close it", 2, marks=slow
        ),
        pytest.param(
            without_backups(ENTRY_SPOILT), ["Begin an empty journal"], "The journal is damaged", "no good backup", None,
            marks=slow,
        ),
        pytest.param(
            no_journal_at_all, ["Restore the backup"], "The journal is damaged", "5 entries are missing in it", None,
            marks=slow,
        ),
        pytest.param(
            spoil("INSERT INTO schema_version VALUES (2)"), ["Restore the backup"], "The journal is damaged",
            "version stands there 2 times", None, marks=slow,
        ),
        pytest.param(
            cut_end, ["Go on from what is there"], "The end of the journal is missing", "2 entries are missing", None,
            marks=slow,
        ),
        pytest.param(
            cut_end, ["Restore the backup"], "The end of the journal is missing", "5 entries are missing in it", None,
            marks=slow,
        ),
        pytest.param(
            no_file, ["Restore the backup"], "The journal is damaged", "is missing or empty", None, marks=slow
        ),
        pytest.param(
            half_restored, ["Restore the backup"], "The journal is damaged", "A restore was interrupted", None,
            marks=slow,
        ),
        pytest.param(
            without_backups(half_restored), ["Begin an empty journal"], "The journal is damaged", "no good backup",
            None, marks=slow,
        ),
        pytest.param(NEWER, [], "The journal is of a newer bayapp", "Install the newer bayapp", 2, marks=slow),
        pytest.param(file_in_place_of_the_folder, [], "The store cannot be used", "A file stands where", 2, marks=slow),
        pytest.param(full_disk, [], "The store cannot be used", "disk is full", 2, marks=slow),
        pytest.param(read_only_disk, [], "The store cannot be used", "only be read", 2, marks=slow),
        pytest.param(wrong_car, ["Go on without this car"], "The car of the start is wrong", "no such file", None,
                     marks=slow),
        pytest.param(unknown_zone, ["Go on with UTC"], "No time zone", "timedatectl", None, marks=slow),
        pytest.param(unknown_zone, [], "No time zone", "No wait depends on it", 1, marks=slow),
    ],
)  # fmt: skip
def test_a_start_that_fails_says_why_and_has_a_way_on(
    machine: Machine, fault: Callable[[Machine], None], ways: list[str], title: str, words: str, code: int | None
):
    fault(machine)
    there = (machine.store / "journal.sqlite3").is_file()
    seen, ended, said = machine.start(*ways)
    windows = [one for one in seen if one["event"] == "window"]
    assert windows[0]["title"] == title
    assert words in " ".join(windows[0]["sentences"])
    assert windows[0]["full"], "a kiosk is filled"
    assert windows[0]["buttons"][-1].endswith("Close bayapp")
    assert said.strip(), "the terminal is told as well"
    assert "Something in bayapp itself" not in said
    assert "Traceback" not in said
    if ways == ["Restore the backup"]:
        assert not there or (machine.store / "journal-before-restore-1.sqlite3").is_file(), "what was damaged is kept"
        assert seen[-1]["cars"] == 1
        (note,) = seen[-1]["notes"]
        assert "was put back." in note
        assert "5 entries are missing since then." in note or fault is half_restored
        assert "Look at each car first" in seen[-1]["band"]
        assert "Look at each car first" in seen[-1]["page"], "in letters that are read from afar"
        assert note in seen[-1]["page"]
    if code is None:
        assert seen[-1]["event"] == "board", said
        assert ended == 0
    else:
        assert seen[-1]["event"] == "window"
        assert ended == code


@slow
@pytest.mark.parametrize("way", ["Back to the board", "Restore the backup"])
def test_a_running_wall_is_left_for_a_restore_and_comes_back(machine: Machine, way: str):
    own = machine.store / "backups"
    write_backup_log(machine.store, BackupLog(places={str(own): PlaceLog(good_at=START)}))
    (machine.store / "settings.toml").write_text('format = "bayapp-settings/1"\n', encoding="utf-8")
    seen, code, said = machine.start("Put a backup back", way)
    assert [one["event"] for one in seen] == ["window", "board"], said
    assert seen[0]["title"] == "Put a backup back"
    assert "6 entries are missing in it" in seen[0]["sentences"][-1], "the start recorded how the bay is set up"
    assert code == 0
    restored = way == "Restore the backup"
    assert (machine.store / "journal-before-restore-1.sqlite3").is_file() is restored
    assert len(seen[1]["notes"]) == restored
    assert "Traceback" not in said


@slow
def test_a_journal_that_is_deleted_under_the_wall_is_written_back_and_the_wall_goes_on_with_all(machine: Machine):
    (machine.store / "settings.toml").write_text('format = "bayapp-settings/1"\n', encoding="utf-8")
    seen, code, said = machine.start("write it back")
    assert [one["event"] for one in seen] == ["board"], said
    assert seen[0]["band"] == "The journal was written back. Nothing that was recorded is missing."
    assert (seen[0]["cars"], seen[0]["notes"], code) == (1, [], 0)
    assert check(machine.store) == ()
    assert "Traceback" not in said


@slow
def test_a_fault_of_ours_has_a_window_too_and_is_written_down(machine: Machine):
    (machine.store / "sitecustomize.py").write_text(
        "import bayapp.screen.bay_opening as opening\n"
        "def fail(*_): raise RuntimeError('the bench collapsed')\n"
        "opening.open_journal = fail\n",
        encoding="utf-8",
    )
    machine.environment = {"PYTHONPATH": f"{machine.store}{os.pathsep}{ROOT}"}
    seen, code, said = machine.start()
    assert seen[0]["title"] == "A fault of bayapp's own"
    assert str(machine.store / "errors.log") in " ".join(seen[0]["sentences"])
    assert code == 1
    assert "the bench collapsed" in (machine.store / "errors.log").read_text(encoding="utf-8")
    assert "Traceback" not in said
