import json
import re
import subprocess
import sys
import tomllib
from datetime import timedelta
from importlib.util import find_spec
from pathlib import Path

import pytest

from bayapp.cli import doctor_checks
from bayapp.clock import MachineReadings, Stamp, from_wall, to_ms
from bayapp.job.state.events import JobOpened
from bayapp.record import open_journal
from tests.cli.run import bayapp
from tests.record.samples import job

PARTS = ["store", "clock", "sound", "screen", "libraries", "sensors", "planner"]
ROOT = Path(__file__).parents[2]


@pytest.fixture
def quiet_shop(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the machine's display and sound out: whether they are there is not the test's to know."""
    monkeypatch.setattr("bayapp.cli.doctor.in_child", lambda part: (True, f"{part} is there"))


def fill(store: Path, ahead: timedelta, boot: str | None = None) -> None:
    """Record one job in a store; with ``boot``, before a restart and by a wall clock that was ahead of today's."""
    now = MachineReadings().stamp()
    opened = job("one")
    journal = open_journal(store)
    stamp = now if boot is None else Stamp(boot, 0, now.wall_ms + to_ms(ahead))
    journal.append((JobOpened(at=from_wall(now) + ahead, job=opened.id, opened=opened),), stamp)
    journal.close()


def test_as_json_every_part_is_fine_or_says_what_to_do(tmp_path: Path, quiet_shop: None):
    result = bayapp("doctor", "--json", "--store", tmp_path / "store")
    answer = json.loads(result.stdout)
    assert [part["part"] for part in answer["parts"]] == PARTS
    assert all(part["says"] for part in answer["parts"])
    assert answer["ok"] is True
    assert result.exit_code == 0
    assert not (tmp_path / "store").exists(), "looking makes nothing"


def test_for_people_each_part_is_one_line(tmp_path: Path, quiet_shop: None):
    lines = bayapp("doctor", "--store", tmp_path).stdout.splitlines()
    assert [line.split()[0] for line in lines] == PARTS
    assert all(" fine  " in line for line in lines)


def test_one_part_that_is_not_fine_makes_the_answer_no(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("bayapp.cli.doctor.in_child", lambda part: (part != "sound", "plug it in"))
    result = bayapp("doctor", "--store", tmp_path)
    assert result.exit_code == 1
    assert "sound      NOT FINE  plug it in" in result.stdout
    assert json.loads(bayapp("doctor", "--json", "--store", tmp_path).stdout)["ok"] is False


@pytest.mark.parametrize(
    ("environment", "words"),
    [
        ({}, "There is no display"),
        ({"QT_QPA_PLATFORM": "offscreen"}, "paints where nobody sees it"),
        ({"QT_QPA_PLATFORM": "xcb", "DISPLAY": ":4711"}, "could not connect to display :4711"),
    ],
)
def test_no_display_is_reported_and_ends_no_process_but_its_own(
    environment: dict[str, str], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    result = bayapp("doctor", "--json", "--store", tmp_path)
    screen = json.loads(result.stdout)["parts"][3]
    assert (screen["part"], screen["ok"], result.exit_code) == ("screen", False, 1)
    assert words in screen["says"]


def test_an_unknown_part_is_bad_input():
    assert bayapp("doctor", "--only", "coffee").exit_code == 2


def test_a_sound_journal_is_fine(tmp_path: Path):
    fill(tmp_path, timedelta(0))
    ok, says = doctor_checks.check_store(tmp_path)
    assert ok, says
    assert "the journal is sound" in says


def test_a_damaged_journal_is_not_fine(tmp_path: Path):
    fill(tmp_path, timedelta(0))
    file = next(tmp_path.glob("*.sqlite3"))
    file.write_bytes(b"x" * file.stat().st_size)
    ok, says = doctor_checks.check_store(tmp_path)
    assert not ok
    assert "restore the latest backup" in says


def test_a_store_that_is_a_file_is_not_fine(tmp_path: Path):
    (tmp_path / "store").write_text("")
    ok, says = doctor_checks.check_store(tmp_path / "store")
    assert not ok
    assert "not a folder" in says


def test_a_full_disk_is_not_fine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(doctor_checks, "FREE_AT_LEAST_MB", 10**12)
    ok, says = doctor_checks.check_store(tmp_path)
    assert not ok
    assert "make room" in says


def test_a_clock_before_the_last_entry_of_another_boot_is_not_fine(tmp_path: Path):
    fill(tmp_path, timedelta(hours=1), boot="yesterday")
    ok, says = doctor_checks.check_clock(tmp_path)
    assert not ok
    assert "The wall will ask how long it was off" in says


def test_a_clock_after_the_last_entry_is_fine(tmp_path: Path):
    fill(tmp_path, timedelta(0))
    ok, says = doctor_checks.check_clock(tmp_path)
    assert ok, says


def test_a_missing_library_is_named_with_how_to_install_it(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(doctor_checks.LIBRARIES, "no_such_library", "No-Such-Library")
    ok, says = doctor_checks.check_libraries()
    assert not ok
    assert says.endswith("-m pip install No-Such-Library")


def test_every_library_that_bayapp_requires_is_looked_for():
    required = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    assert {re.split(r"[<>=\[ ]", line)[0] for line in required} == set(doctor_checks.LIBRARIES.values())


def test_libraries_are_looked_for_and_not_loaded():
    code = (
        "import sys\nfrom bayapp.cli.doctor_checks import check_libraries\n"
        "ok, says = check_libraries()\n"
        "assert ok and ', ortools 9' in says, says\n"
        "heavy = {'ortools', 'pyqtgraph', 'tomlkit', 'numpy', 'sqlalchemy'} & sys.modules.keys()\n"
        "sys.exit(f'loaded: {heavy}' if heavy else 0)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert (result.returncode, result.stderr) == (0, "")


def test_a_planner_that_starts_is_fine_with_the_version_of_its_solver():
    ok, says = doctor_checks.check_planner([sys.executable, "-m", "bayapp"])
    assert ok, says
    assert re.fullmatch(r"Its process starts; the solver is OR-Tools \d+\.\d+\.\d+\.", says)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("raise ImportError('no such module')", "ImportError: no such module); install bayapp anew"),
        ("raise SystemExit(7)", "it ended with code 7); install bayapp anew"),
    ],
)
def test_a_planner_that_does_not_start_is_reported_with_what_to_do(code: str, words: str):
    ok, says = doctor_checks.check_planner([sys.executable, "-c", code])
    assert not ok
    assert says.startswith("The board works, but without a plan: ")
    assert words in says


def test_a_planner_that_hangs_is_reported(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(doctor_checks, "PLANNER_TAKES_AT_MOST_S", 0.2)
    ok, says = doctor_checks.check_planner([sys.executable, "-c", "import time; time.sleep(60)"])
    assert not ok
    assert "timed out" in says
    assert "start the machine anew" in says


def test_a_planner_program_that_is_not_there_is_reported(tmp_path: Path):
    ok, says = doctor_checks.check_planner([str(tmp_path / "bayapp")])
    assert not ok
    assert "No such file" in says


def test_a_planner_without_its_solver_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(doctor_checks, "find_spec", lambda module: None if module == "ortools" else find_spec(module))
    ok, says = doctor_checks.check_planner([sys.executable, "-m", "bayapp"])
    assert not ok
    assert says.endswith("-m pip install ortools")
