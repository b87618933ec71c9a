"""A throw-away PostgreSQL server for the contract tests, where the machine has the program."""

import importlib.util
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import pytest

FOLDERS = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
USER = "postgres"


@contextmanager
def fresh_database() -> Iterator[Callable[[], str]]:
    """Yield a maker of addresses of new, empty databases; skip the tests where there is no server program."""
    found = shutil.which("initdb", path=os.pathsep.join([*map(str, FOLDERS), os.environ.get("PATH", "")]))
    if found is None:
        pytest.skip("no PostgreSQL server program (initdb) on this machine")
    if importlib.util.find_spec("psycopg") is None:
        pytest.skip("the library psycopg is not installed")
    home = Path(tempfile.mkdtemp(prefix="bay-pg-", dir="/tmp"))  # a socket's path must be short
    try:
        with _server(Path(found).parent, home):
            numbers = count(1)
            yield lambda: _create(Path(found).parent, home, f"bay{next(numbers)}")
    finally:
        shutil.rmtree(home)


@contextmanager
def _server(programs: Path, home: Path) -> Iterator[None]:
    if os.geteuid() == 0:
        shutil.chown(home, USER, USER)
    data = home / "data"
    _run(programs / "initdb", "-D", data, "-U", USER, "-A", "trust", "-E", "UTF8", "--no-sync")
    _run(programs / "pg_ctl", "-D", data, "-w", "-l", home / "log", "-o", f"-k {home} -h ''", "start")
    try:
        yield
    finally:
        _run(programs / "pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")


def _create(programs: Path, home: Path, name: str) -> str:
    _run(programs / "createdb", "-h", home, "-U", USER, name)
    return f"postgresql+psycopg://{USER}@/{name}?host={home}"


def _run(*words: str | Path) -> None:
    """Run a server program; it refuses to run as root, so root lends it the server's own user."""
    user = USER if os.geteuid() == 0 else None
    subprocess.run([str(word) for word in words], check=True, user=user, group=user, cwd="/", stdout=subprocess.DEVNULL)
