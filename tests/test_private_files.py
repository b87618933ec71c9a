"""What the shop writes is its user's alone, whatever the mask for new files says."""

import os
import signal
import stat
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

import pytest

from bayapp.files.atomic_write import write_whole
from bayapp.private_files import close_contents_to_others, close_store_to_others
from tests.cli.run import bayapp
from tests.screen.whole_program.display import until

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights of this kind are POSIX's")


def open_to_others(folder: Path) -> dict[str, str]:
    """Return what others may do something with, and what."""
    paths = (folder, *folder.rglob("*"))
    modes = {path: stat.S_IMODE(path.lstat().st_mode) for path in paths if not path.is_symlink()}
    return {str(path): oct(mode) for path, mode in modes.items() if mode & 0o077}


@contextmanager
def mask(bits: int) -> Iterator[None]:
    before = os.umask(bits)
    try:
        yield
    finally:
        os.umask(before)


def test_the_wall_and_its_commands_leave_nothing_that_others_may_read(tmp_path: Path):
    store = tmp_path / "store"
    with mask(0):
        for file in (store / "settings.toml", store / "jobs" / "car.toml", store / "records" / "car.pdf"):
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text('format = "bayapp-settings/1"\n', encoding="utf-8")
        command = [sys.executable, "-m", "bayapp", "--store", str(store)]
        with subprocess.Popen(command, env={**os.environ, "QT_QPA_PLATFORM": "offscreen"}) as wall:
            try:
                started = perf_counter()
                until(
                    lambda: (store / "journal.sqlite3-wal").exists() or perf_counter() > started + 60 or None,
                    "a journal",
                )
                kept = open_to_others(store).keys()
                assert not [path for path in kept if Path(path).parent == store], "while it runs"
                until(lambda: open_to_others(store) == {} or None, "private papers")
                copy = [sys.executable, "-m", "bayapp", "backup", str(store / "backups"), "--store", str(store)]
                subprocess.run(copy, check=True, capture_output=True)
            finally:
                wall.send_signal(signal.SIGTERM)
    assert wall.returncode == 0
    assert list((store / "backups").iterdir())
    assert open_to_others(store) == {}


def test_a_file_that_is_written_anew_stays_private(tmp_path: Path):
    with mask(0):
        file = write_whole(tmp_path / "settings.toml", b"theme")
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        write_whole(file, b"another")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_what_lies_beside_a_stores_own_files_keeps_its_rights(tmp_path: Path):
    elsewhere = tmp_path / "elsewhere.txt"
    store = tmp_path / "shared"
    (store / "jobs").mkdir(parents=True)
    store.chmod(0o1777)  # as the system's folder for temporary files is
    for file in (elsewhere, store / "holiday.txt", store / "journal.sqlite3"):
        file.write_text("", encoding="utf-8")
        file.chmod(0o644)
    (store / "jobs" / "linked.toml").symlink_to(elsewhere)
    close_store_to_others(store)
    close_contents_to_others(store)
    assert oct(stat.S_IMODE(store.stat().st_mode)) == "0o1777"
    modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in (elsewhere, *store.glob("*.*"))}
    assert modes == {"elsewhere.txt": 0o644, "holiday.txt": 0o644, "journal.sqlite3": 0o600}


def test_a_fault_of_ours_is_written_down_in_the_store_in_use(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    def fail(*_: object) -> None:
        raise RuntimeError("the bench collapsed")

    monkeypatch.setattr("bayapp.record.backup.back_up", fail)
    (tmp_path / "store").mkdir()
    for store, log in ((tmp_path / "store", tmp_path / "store"), (tmp_path / "mistyped", None)):
        result = bayapp("backup", tmp_path / "copies", "--store", store)
        assert (str(store / "errors.log") in result.stderr) is (log is not None)
    assert "the bench collapsed" in (tmp_path / "store" / "errors.log").read_text(encoding="utf-8")
    assert not (tmp_path / "mistyped").exists()
