"""The one function that finds the resources, in each way that bayapp can be installed."""

import importlib.util
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import bayapp
from bayapp import paths

ROOT = Path(__file__).resolve().parents[1]


def copy_of_paths(folder: Path):
    """Load a copy of bayapp/paths.py as though bayapp were installed in that folder."""
    package = folder / "bayapp"
    package.mkdir(parents=True)
    copy = package / "paths.py"
    copy.write_bytes((ROOT / "bayapp" / "paths.py").read_bytes())
    spec = importlib.util.spec_from_file_location("paths_elsewhere", copy)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_in_a_checkout_resources_lie_beside_the_package():
    assert paths.resource() == ROOT / "resources"
    assert paths.resource("fonts", "B612-Bold.otf").is_file()


def test_an_editable_install_runs_the_checkout_from_any_folder(tmp_path):
    if Path(bayapp.__file__).parent != ROOT / "bayapp":
        pytest.fail("the tests do not run the checkout's own bayapp")
    code = "from bayapp.paths import resource; print(resource('fonts'))"
    # -P keeps the working folder off the path, so only the editable install can answer.
    done = subprocess.run(
        [sys.executable, "-P", "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True, env=clean_env()
    )
    assert done.stdout.strip() == str(ROOT / "resources" / "fonts")


def clean_env() -> dict[str, str]:
    return {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}


def test_an_installed_wheel_finds_its_packed_resources(tmp_path):
    module = copy_of_paths(tmp_path)
    (tmp_path / "bayapp" / "_resources" / "fonts").mkdir(parents=True)
    assert module.resource("fonts") == tmp_path / "bayapp" / "_resources" / "fonts"


def test_packed_resources_win_over_a_folder_that_happens_to_lie_beside_the_package(tmp_path):
    module = copy_of_paths(tmp_path)
    (tmp_path / "bayapp" / "_resources").mkdir()
    (tmp_path / "resources").mkdir()
    assert module.resource() == tmp_path / "bayapp" / "_resources"


def test_a_frozen_bundle_has_its_own_resources_first(tmp_path, monkeypatch):
    (tmp_path / "resources").mkdir()
    monkeypatch.setattr(sys, "_MEIPASS", str(tmp_path), raising=False)
    assert paths.resource("vehicles") == tmp_path / "resources" / "vehicles"


def test_a_broken_installation_says_where_it_looked(tmp_path):
    module = copy_of_paths(tmp_path)
    with pytest.raises(FileNotFoundError, match=r"_resources"):
        module.resource("fonts")


def test_the_shop_data_goes_to_the_users_data_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert paths.default_store() == tmp_path / "bayapp"


def test_the_wheel_carries_the_resources_inside_the_package(tmp_path):
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*build, "--wheel-dir", str(tmp_path), str(ROOT)], check=True, stdin=subprocess.DEVNULL)
    (wheel,) = tmp_path.glob("bayapp-*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    shipped = {
        f"bayapp/_resources/{file.relative_to(ROOT / 'resources').as_posix()}"
        for file in (ROOT / "resources").rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }
    assert len(shipped) > 5
    assert shipped <= set(names)
    assert "bayapp/paths.py" in names
    assert not [name for name in names if name.startswith(("tests/", "packaging/", "resources/"))]
    licences = {name.partition("licenses/")[2] for name in names if "licenses/" in name}
    assert licences == {"LICENSE", "packaging/THIRD-PARTY.md"}
