import json
from pathlib import Path

import pytest

from bayapp.paths import resource
from tests.cli.run import bayapp
from tests.files.broken import (
    BROKEN_JOBS,
    BROKEN_PRODUCTS,
    BROKEN_RECIPES,
    BROKEN_VEHICLES,
    DRAWING,
    JOB,
    PRODUCT,
    RECIPE,
    VEHICLE,
    Broken,
)

GOOD = {"job": JOB, "recipe": RECIPE, "product": PRODUCT, "vehicle": VEHICLE}
BROKEN = {"job": BROKEN_JOBS, "recipe": BROKEN_RECIPES, "product": BROKEN_PRODUCTS, "vehicle": BROKEN_VEHICLES}
SHIPPED = sorted(path for path in resource().rglob("*.toml"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "own-van.svg").write_text(DRAWING)
    for kind, text in GOOD.items():
        (tmp_path / f"{kind}.toml").write_text(text)
    return tmp_path


def test_good_files_are_fine(folder: Path):
    result = bayapp("check", *(folder / f"{kind}.toml" for kind in GOOD))
    assert (result.exit_code, result.stderr) == (0, "")
    assert [line.rpartition(" ")[2] for line in result.stdout.splitlines()] == list(GOOD)


def test_every_shipped_file_is_fine():
    assert len(SHIPPED) > 20
    result = bayapp("check", *SHIPPED)
    assert (result.exit_code, result.stderr) == (0, "")


def test_settings_are_checked_too(tmp_path: Path):
    path = tmp_path / "settings.toml"
    path.write_text('format = "bayapp-settings/1"\nbay_m3 = 120\n')
    result = bayapp("check", path)
    assert (result.exit_code, result.stdout) == (0, f"{path}: fine, the settings of a screen\n")
    path.write_text('format = "bayapp-settings/1"\nbay_m3 = 1\n')
    result = bayapp("check", path)
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.startswith(f"{path}: line 2, bay_m3: 1 is too small")


@pytest.mark.parametrize(("kind", "broken"), [(k, b) for k, all_ in BROKEN.items() for b in all_], ids=str)
def test_a_broken_file_makes_the_answer_no_with_file_place_and_reason(kind: str, broken: Broken, folder: Path):
    path = folder / f"{kind}.toml"
    path.write_text(broken.text(GOOD[kind]))
    before = {p: p.read_bytes() for p in folder.iterdir()}
    result = bayapp("check", path)
    assert (result.exit_code, result.stdout) == (1, "")
    place = f"{path}: {broken.place}: " if broken.place else f"{path}: "
    assert any(line.startswith(place) and broken.words in line for line in result.stderr.splitlines()), result.stderr
    assert {p: p.read_bytes() for p in folder.iterdir()} == before


def test_as_json_it_is_one_document_with_every_finding(folder: Path):
    (folder / "recipe.toml").write_text(RECIPE.replace("minutes = 3", 'minutes = "3 min"').replace("layer", "layr"))
    result = bayapp("check", "--json", folder / "product.toml", folder / "recipe.toml")
    assert result.exit_code == 1
    answer = json.loads(result.stdout)
    assert answer["ok"] is False
    assert [(file["kind"], file["ok"]) for file in answer["files"]] == [("product", True), (None, False)]
    assert {(f["line"], f["key"]) for f in answer["files"][1]["findings"]} == {
        (12, "step 2 (coat-1), layr"),
        (20, "step 3 (buff), minutes"),
    }
    assert all(f["file"].endswith("recipe.toml") and f["reason"] for f in answer["files"][1]["findings"])


def test_as_json_good_files_are_listed_with_their_kind(folder: Path):
    result = bayapp("check", "--json", folder / "job.toml")
    assert (result.exit_code, result.stderr) == (0, "")
    entry = {"file": str(folder / "job.toml"), "kind": "job", "ok": True, "findings": []}
    assert json.loads(result.stdout) == {"ok": True, "files": [entry]}


@pytest.mark.parametrize("raw", [None, b"\xff\xfe\x00", b"\x80", b"a\0b"])
def test_a_file_that_cannot_be_read_is_bad_input(raw: bytes | None, folder: Path):
    path = folder / "x.toml"
    if raw is not None:
        path.write_bytes(raw)
    result = bayapp("check", folder / "job.toml", path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert str(path) in result.stderr


def test_check_needs_a_file():
    assert bayapp("check").exit_code == 2


FOR_EVER = """format = "bayapp-recipe/1"
name = "for-ever"
step = [
  { id = "dress", kind = "dress" },
  { id = "wipe", kind = "wipe" },
  { id = "coat", kind = "coat", wait = { max = 6, after = "dress", lapse = "wipe" } },
]
"""
OF_ANOTHER_FILE = """format = "bayapp-job/1"
title = "Car"
vehicle = "estate"
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["windscreen"]
recipe = "for-ever.toml"
"""


def test_a_recipe_that_could_never_heal_is_refused_with_why_alone_and_in_a_job(tmp_path):
    (tmp_path / "for-ever.toml").write_text(FOR_EVER)
    (tmp_path / "job.toml").write_text(OF_ANOTHER_FILE)
    steps = FOR_EVER.partition("step = ")[2]
    inside = OF_ANOTHER_FILE.replace("for-ever.toml", "own") + "[recipe.own]\nstep = " + steps
    (tmp_path / "inside.toml").write_text(inside)
    for name in ("for-ever.toml", "job.toml", "inside.toml"):
        ran = bayapp("check", str(tmp_path / name))
        assert ran.exit_code == 1, name
        assert "it would be missed for ever" in ran.output
