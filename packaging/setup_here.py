"""Makes this checkout ready to run: .venv, bayapp in it, system libraries.

Used by run.py and test.py. Only the standard library is at hand here, and perhaps an old Python,
so what is wrong is said in plain words: every problem that a person can solve is a `Trouble`.
"""

from __future__ import annotations  # so that an old Python gets as far as the message that it is too old

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from system_packages import install_system_packages, missing_libraries, missing_tools, package_of

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "bayapp-installed"
OLDEST_PYTHON = (3, 11)


class Trouble(Exception):  # noqa: N818 - the word shown to a person
    """Something the person at the keyboard can put right; the text says how."""


def say(line: str) -> None:
    """Print one line of progress at once, also into a pipe."""
    print(line, flush=True)


def check_python(version: Sequence[int] = sys.version_info[:2]) -> None:
    """Raise `Trouble` when this Python is older than bayapp can use."""
    if tuple(version[:2]) < OLDEST_PYTHON:
        have, want = (".".join(map(str, v[:2])) for v in (version, OLDEST_PYTHON))
        raise Trouble(f"This is Python {have}; bayapp needs {want} or newer. Start this script with a newer python3.")


def venv_python(venv: Path = VENV) -> Path:
    """Return the interpreter inside the virtual environment, whether it exists yet or not."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def fingerprint(pyproject: bytes, root: Path = ROOT) -> str:
    """Return what the installation depends on as one hash: pyproject, Python's version, the checkout's place."""
    parts = [pyproject, str(sys.version_info[:2]).encode(), str(root).encode()]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def is_current(stamp: str, wanted: str, *, tests: bool) -> bool:
    """Say whether the stamp left by the last installation still covers what is wanted now.

    A stamp is the fingerprint and the word ``run`` or ``test``; an installation for tests also serves to run.
    """
    print_, _, level = stamp.strip().partition(" ")
    return print_ == wanted and (level == "test" or (level == "run" and not tests))


def works(python: Path) -> bool:
    """Say whether the interpreter is there, starts, and has pip; a half-made or outdated .venv has not."""
    if not python.exists():
        return False
    probe = [str(python), "-c", "import pip"]
    return subprocess.run(probe, capture_output=True, stdin=subprocess.DEVNULL, check=False).returncode == 0


def make_venv() -> None:
    """Make .venv, or make it anew when it no longer works."""
    if works(venv_python()):
        return
    if importlib.util.find_spec("ensurepip") is None:
        # Debian cuts ensurepip out of Python and ships it in a package of its own.
        version = f"python{sys.version_info[0]}.{sys.version_info[1]}"
        provide([f"{version}-venv"], "to make a virtual environment")
    say("Making .venv …")
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(VENV)],
        capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False,
    )  # fmt: skip
    if made.returncode:
        raise Trouble(f"Making {VENV} failed:\n{tail(made.stdout + made.stderr)}")


def tail(text: str, lines: int = 8) -> str:
    """Return the last non-empty lines of a program's output, indented."""
    return "\n".join("    " + line for line in [each for each in text.splitlines() if each.strip()][-lines:])


def lock_of(*, tests: bool) -> Path:
    """Return the list of every library with its version and hashes, written by lock.py."""
    return ROOT / "packaging" / ("lock-test.txt" if tests else "lock-run.txt")


def wanted_stamp() -> str:
    """Return the fingerprint that an up-to-date installation of this checkout bears."""
    named = (ROOT / "pyproject.toml", lock_of(tests=False), lock_of(tests=True))
    return fingerprint(b"\0".join(file.read_bytes() for file in named if file.exists()))


def is_installed(*, tests: bool) -> bool:
    """Say whether .venv holds what this checkout's pyproject asks for."""
    if not STAMP.exists() or not venv_python().exists():
        return False
    return is_current(STAMP.read_text(), wanted_stamp(), tests=tests)


def install(*, tests: bool) -> None:
    """Install bayapp editable into .venv and leave the stamp: from the lock, or as pyproject allows where that fails.

    A lock knows the wheels of the systems that it was written for; another Python or processor may need others.
    """
    say("Installing bayapp and its libraries into .venv (a few minutes the first time) …")
    done = install_locked(tests=tests)
    if done.returncode:
        say(f"The locked versions cannot be had here, so the newest that fit are taken. Why:\n{tail(done.stderr, 3)}")
        done = pip_install("--editable", f"{ROOT}[test]" if tests else str(ROOT))
    if done.returncode:
        raise Trouble(
            f"pip could not install bayapp's libraries:\n{tail(done.stderr or done.stdout)}\n"
            "Check the network (or proxy) and the free disk space (2 GB), then start this script again.\n"
            f"To begin afresh, delete {VENV} first."
        )
    STAMP.write_text(f"{wanted_stamp()} {'test' if tests else 'run'}\n")


def install_locked(*, tests: bool) -> subprocess.CompletedProcess[str]:
    """Install exactly what the lock names, each file checked by its hash, and then bayapp itself."""
    done = pip_install("--require-hashes", "--requirement", str(lock_of(tests=tests)))
    if done.returncode:
        return done
    return pip_install("--no-deps", "--no-build-isolation", "--editable", str(ROOT))


def pip_install(*words: str) -> subprocess.CompletedProcess[str]:
    """Run pip install in .venv and return how it ended. No cache: nothing is left outside .venv."""
    command = [str(venv_python()), "-m", "pip", "install", "--quiet", "--no-input", "--no-cache-dir",
               "--disable-pip-version-check", "--root-user-action=ignore", *words]  # fmt: skip
    return subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)


def provide(packages: Sequence[str], purpose: str) -> None:
    """Install system packages where that is allowed, or raise `Trouble` with the one line to run."""
    say(f"System packages needed {purpose}: {' '.join(packages)}")
    trouble = install_system_packages(packages)
    if trouble:
        raise Trouble(trouble)


def check_system(*, tests: bool) -> None:
    """See that Qt finds its system libraries, and the tests their tools; install what lacks where allowed."""
    if not sys.platform.startswith("linux"):
        return  # the wheels for other systems bring everything
    for attempt in ("first", "after installing"):
        libraries = missing_libraries(venv_python())
        unknown = [name for name in libraries if package_of(name) is None]
        if unknown or (libraries and attempt != "first"):
            raise Trouble(
                f"Qt lacks these system libraries: {' '.join(libraries)}. Install the packages that hold them."
            )
        packages = sorted({package for name in libraries if (package := package_of(name))})
        packages += missing_tools(shutil.which) if tests else []
        if not packages:
            return
        provide(packages, "by Qt and the tests" if tests else "by Qt")


def prepare(*, tests: bool) -> Path:
    """Do all of it and return .venv's interpreter."""
    check_python()
    if not is_installed(tests=tests):
        make_venv()
        install(tests=tests)
    check_system(tests=tests)
    return venv_python()
