"""Rules of the house that no linter knows."""

import re
import tomllib
from pathlib import Path

from tests.conftest import LONGEST_FIRST

ROOT = Path(__file__).resolve().parents[1]


def test_every_library_that_bayapp_requires_is_listed_with_its_licence():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    names = {re.split(r"[<>=\[ ]", requirement)[0] for requirement in project["dependencies"]}
    rows = re.findall(
        r"^\| (\S+) \| \S+ \| (.+?) \|", (ROOT / "packaging" / "THIRD-PARTY.md").read_text(), flags=re.MULTILINE
    )
    assert names - {name for name, licence in rows if licence.strip()} == set()


def test_the_version_is_the_same_in_the_package_and_in_pyproject():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert f'__version__ = "{project["version"]}"' in (ROOT / "bayapp" / "__init__.py").read_text()


def test_the_files_that_are_begun_first_are_there():
    assert set(LONGEST_FIRST) <= {file.name for file in (ROOT / "tests").rglob("test_*.py")}
