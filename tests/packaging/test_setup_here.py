"""The pure parts of the start scripts, and what they say to a person without a display."""

import importlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SCRIPTS = ROOT / "packaging"


@pytest.fixture
def setup_here(monkeypatch):
    monkeypatch.syspath_prepend(str(SCRIPTS))
    return importlib.import_module("setup_here")


@pytest.fixture
def system_packages(monkeypatch):
    monkeypatch.syspath_prepend(str(SCRIPTS))
    return importlib.import_module("system_packages")


@pytest.fixture
def run_script(monkeypatch):
    monkeypatch.syspath_prepend(str(SCRIPTS))
    return importlib.import_module("run")


def test_the_folder_never_hides_the_library_of_the_same_name():
    assert not (SCRIPTS / "__init__.py").exists()


def test_the_stamp_changes_with_pyproject_and_with_the_place_of_the_checkout(setup_here):
    first = setup_here.fingerprint(b"[project]", Path("/a"))
    assert setup_here.fingerprint(b"[project]", Path("/a")) == first
    assert setup_here.fingerprint(b"[project]\n", Path("/a")) != first
    assert setup_here.fingerprint(b"[project]", Path("/b")) != first


@pytest.mark.parametrize(
    ("stamp", "tests", "current"),
    [
        ("", False, False),
        ("abc run\n", False, True),
        ("abc run\n", True, False),
        ("abc test\n", True, True),
        ("abc test\n", False, True),
        ("old test\n", False, False),
        ("abc\n", False, False),
    ],
)
def test_an_installation_is_redone_when_its_stamp_does_not_cover_what_is_wanted(setup_here, stamp, tests, current):
    assert setup_here.is_current(stamp, "abc", tests=tests) is current


def test_an_old_python_is_told_which_one_is_needed(setup_here):
    with pytest.raises(setup_here.Trouble, match=r"This is Python 3\.9; bayapp needs 3\.11 or newer"):
        setup_here.check_python((3, 9, 18))
    setup_here.check_python((3, 12, 0))


def test_a_venv_without_a_working_python_counts_as_none(setup_here, tmp_path):
    python = tmp_path / "python"
    assert not setup_here.works(python)
    python.write_text("#!/bin/sh\nexit 1\n")
    python.chmod(0o755)
    assert not setup_here.works(python)


def test_missing_libraries_are_read_from_ldd_once_each(system_packages):
    listing = (
        "a.so:\n\tlibGL.so.1 => not found\n\tlibc.so.6 => /lib/libc.so.6 (0x1)\n"
        "b.so:\n\tlibxcb-cursor.so.0 => not found\n\tlibGL.so.1 => not found\n"
    )
    assert system_packages.read_ldd(listing) == ["libGL.so.1", "libxcb-cursor.so.0"]


# Package names as in Debian 12; the names of shared-library packages follow the SONAME (Debian Policy, section 8.1).
@pytest.mark.parametrize(
    ("library", "package"),
    [
        ("libxcb-cursor.so.0", "libxcb-cursor0"),
        ("libEGL.so.1", "libegl1"),
        ("libglib-2.0.so.0", "libglib2.0-0"),
        ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
        ("libnobody-knows.so.9", None),
    ],
)
def test_a_missing_library_is_mapped_to_its_debian_package(system_packages, library, package):
    assert system_packages.package_of(library) == package


def test_a_missing_test_tool_is_mapped_to_its_debian_package(system_packages):
    assert system_packages.missing_tools(lambda program: None if program == "pactl" else "/usr/bin/x") == [
        "pulseaudio-utils"
    ]


def test_without_leave_to_install_a_person_gets_one_line_to_run(system_packages, monkeypatch):
    monkeypatch.setattr(system_packages, "apt_prefix", lambda: None)
    monkeypatch.setattr(system_packages.shutil, "which", lambda _program: "/usr/bin/apt-get")
    advice = system_packages.install_system_packages(["libegl1", "xvfb"])
    assert "sudo apt-get update && sudo apt-get install -y libegl1 xvfb" in advice


def test_a_library_of_unknown_origin_is_named_and_not_passed_over(setup_here, monkeypatch):
    monkeypatch.setattr(setup_here, "missing_libraries", lambda _python: ["libnobody-knows.so.9"])
    with pytest.raises(setup_here.Trouble, match=r"libnobody-knows\.so\.9"):
        setup_here.check_system(tests=False)


def test_an_installation_that_did_not_help_is_reported_and_not_repeated(setup_here, monkeypatch):
    asked: list[list[str]] = []

    def pretend_to_install(packages: list[str]) -> str:
        asked.append(packages)
        return ""

    monkeypatch.setattr(setup_here, "missing_libraries", lambda _python: ["libEGL.so.1"])
    monkeypatch.setattr(setup_here, "install_system_packages", pretend_to_install)
    with pytest.raises(setup_here.Trouble, match=r"libEGL\.so\.1"):
        setup_here.check_system(tests=False)
    assert asked == [["libegl1"]]


@pytest.mark.parametrize(
    ("arguments", "needs"),
    [
        ([], True),
        (["--practice"], True),
        (["--job", "green.toml"], True),
        (["--help"], False),
        (["doctor"], False),
        (["report", "--out", "x"], False),
    ],
)
def test_only_the_wall_screen_needs_a_display(run_script, arguments, needs):
    assert run_script.needs_display(arguments) is needs


@pytest.mark.parametrize("name", ["DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"])
def test_a_display_or_a_chosen_qt_platform_counts_as_a_display(run_script, name):
    assert run_script.has_display({name: "x"}, system="linux")
    assert not run_script.has_display({name: ""}, system="linux")


def test_without_a_display_run_says_what_to_do_and_answers_no():
    bare = {k: v for k, v in os.environ.items() if k not in {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}}
    done = subprocess.run(
        [sys.executable, str(SCRIPTS / "run.py"), "--practice"], env=bare, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert done.stdout == ""
    assert "needs a display" in done.stderr
    assert "xvfb-run" in done.stderr
    assert "Traceback" not in done.stderr
