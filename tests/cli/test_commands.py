import subprocess
import sys
from pathlib import Path

import pytest

from bayapp.paths import default_store
from tests.cli.run import bayapp
from tests.files.broken import JOB

COMMANDS = ["check", "replay", "plan", "report", "picture", "doctor", "backup", "restore"]


def run_alone(*words: object) -> subprocess.CompletedProcess[str]:
    """Run the program as a person does, in a process of its own."""
    command = [sys.executable, "-m", "bayapp", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_helps(command: str):
    result = bayapp(command, "--help")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith(f"Usage: bayapp {command} ")


def test_help_names_every_command_and_every_option_of_the_wall():
    text = bayapp("--help").stdout
    for word in [*COMMANDS, "--store", "--job", "--practice", "--speed", "--kiosk"]:
        assert word in text
    assert "plan-follow" not in text, "the screen's own, not for people"


@pytest.mark.parametrize("words", [["nothing"], ["check"], ["replay", "x"], ["--sped", "2"], ["report"], ["picture"]])
def test_wrong_words_are_bad_input_reported_on_standard_error(words: list[str]):
    result = bayapp(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Error: " in result.stderr


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["--speed", "4"], "add --practice"),
        (["--practice", "--speed", "0"], "more than 0"),
        (["--practice", "--speed", "nan"], "more than 0"),
        (["--store", "x", "doctor"], "write it after the command"),
    ],
)
def test_the_wall_does_not_open_with_options_that_cannot_be(words: list[str], complaint: str):
    result = bayapp(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert complaint in result.stderr


def test_the_wall_opens_with_what_the_words_say(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    from bayapp.screen.app import WallOptions

    calls: list[tuple[object, ...]] = []

    def run(*call: object) -> int:
        calls.append(call[:-1])
        return 0

    monkeypatch.setattr("bayapp.screen.start.start", run)
    (tmp_path / "job.toml").write_text(JOB)
    assert bayapp().exit_code == 0
    assert bayapp("--store", tmp_path, "--job", tmp_path / "job.toml", "--kiosk").exit_code == 0
    assert bayapp("--practice", "--speed", "60").exit_code == 0
    assert bayapp("--practice", "--store", tmp_path).exit_code == 0
    assert calls == [
        (None, WallOptions()),
        (tmp_path, WallOptions(job=tmp_path / "job.toml", kiosk=True)),
        (None, WallOptions(practice=True, speed=60.0)),
        (tmp_path, WallOptions(practice=True)),
    ]


def test_without_a_display_the_wall_says_so(monkeypatch: pytest.MonkeyPatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    result = bayapp("--practice")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "There is no display" in result.stderr


def test_a_library_that_cannot_be_loaded_is_reported_and_is_no_bug_of_ours(monkeypatch: pytest.MonkeyPatch):
    def fail(path: Path) -> None:
        raise ImportError("libEGL.so.1: cannot open shared object file", name="PySide6.QtGui")

    monkeypatch.setattr("bayapp.files.shop.settings.are_settings", fail)
    result = bayapp("check", "x.toml")
    assert result.exit_code == 1
    assert "libEGL.so.1" in result.stderr
    assert "bayapp doctor" in result.stderr
    assert not (default_store() / "errors.log").exists()


def test_the_commands_load_no_qt_no_numpy_and_no_database():
    code = (
        "import sys, bayapp.cli\n"
        "heavy = {'PySide6', 'numpy', 'sqlalchemy', 'ortools'} & sys.modules.keys()\n"
        "sys.exit(f'loaded: {heavy}' if heavy else 0)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert (result.returncode, result.stderr) == (0, "")


def test_a_check_loads_no_qt_and_no_database_either():
    code = (
        "import sys\nfrom bayapp.cli import app\nfrom bayapp.paths import resource\n"
        "app(['check', str(resource('recipes', 'rim.toml'))], standalone_mode=False)\n"
        "heavy = {'PySide6', 'numpy', 'sqlalchemy'} & sys.modules.keys()\n"
        "sys.exit(f'loaded: {heavy}' if heavy else 0)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert (result.returncode, result.stderr) == (0, "")
    assert "fine, a recipe" in result.stdout


def test_the_program_answers_from_a_process_of_its_own(tmp_path: Path):
    (tmp_path / "bad.toml").write_text('format = "bayapp-recipe/1"\nnam = "x"\n')
    result = run_alone("check", tmp_path / "bad.toml")
    assert (result.returncode, result.stdout) == (1, "")
    assert f"{tmp_path / 'bad.toml'}: line 2, nam: unknown key 'nam'; did you mean 'name'?" in result.stderr
    assert run_alone("check", tmp_path / "none.toml").returncode == 2
    assert run_alone("check", "--help").stdout.startswith("Usage: bayapp check ")


def test_a_bug_of_ours_is_logged_and_never_shown_as_a_traceback(monkeypatch: pytest.MonkeyPatch):
    def fail(path: Path) -> None:
        raise RuntimeError("the bench collapsed")

    monkeypatch.setattr("bayapp.files.shop.settings.are_settings", fail)
    result = bayapp("check", "x.toml")
    log = default_store() / "errors.log"
    assert result.exit_code == 1
    assert result.stdout == ""
    assert str(log) in result.stderr
    assert "Traceback" in log.read_text()
    assert "the bench collapsed" in log.read_text()


def test_a_bug_is_logged_elsewhere_when_the_store_may_not_be_written(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    def fail(path: Path) -> None:
        raise RuntimeError("the bench collapsed")

    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "file"))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setattr("bayapp.files.shop.settings.are_settings", fail)
    assert str(tmp_path / "errors.log") in bayapp("check", "x.toml").stderr
