"""What a page saves is read again as the same thing."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from bayapp.files.documents import read_document
from bayapp.files.library import Library
from bayapp.files.saved import save_document
from bayapp.job import JobFile, Product, Recipe, VehicleForm
from bayapp.job.job import WorkEntry

LIBRARY = Library()


@pytest.mark.parametrize("name", LIBRARY.names("recipe"))
def test_every_shipped_recipe_comes_back_as_it_was(tmp_path: Path, name: str):
    recipe = LIBRARY.load_recipe(name)
    save_document(tmp_path / f"{name}.toml", recipe)
    assert read_document(tmp_path / f"{name}.toml", Recipe)[0] == recipe


@pytest.mark.parametrize("name", LIBRARY.names("product"))
def test_every_shipped_product_comes_back_as_it_was(tmp_path: Path, name: str):
    product = LIBRARY.load_product(name)
    save_document(tmp_path / f"{name}.toml", product)
    assert read_document(tmp_path / f"{name}.toml", Product)[0] == product


@pytest.mark.parametrize("name", LIBRARY.names("vehicle"))
def test_every_shipped_form_comes_back_as_it_was(tmp_path: Path, name: str):
    form = LIBRARY.load_vehicle(name)
    save_document(tmp_path / f"{name}.toml", form)
    assert read_document(tmp_path / f"{name}.toml", VehicleForm)[0] == form


def test_a_job_comes_back_as_it_was_and_loads(tmp_path: Path):
    job = JobFile(
        format="bayapp-job/1",
        title="Green estate",
        vehicle="estate",
        start=datetime(2026, 11, 25, 8, tzinfo=UTC),
        work=(WorkEntry(zones=("all-glass",), recipe="glass-one-layer"), WorkEntry(zones=("rims",), recipe="own")),
        recipe={"own": LIBRARY.load_recipe("rim").model_copy(update={"name": "own"})},
    )
    path = tmp_path / "jobs" / "green.toml"
    save_document(path, job)
    assert read_document(path, JobFile)[0] == job
    assert len(Library().load_job(path).block_of) > 8


def test_nothing_half_written_is_left_where_the_folder_cannot_be_made(tmp_path: Path):
    (tmp_path / "jobs").write_text("a file", encoding="utf-8")
    with pytest.raises(OSError, match="jobs"):
        save_document(tmp_path / "jobs" / "x.toml", LIBRARY.load_recipe("rim"))
    assert [p.name for p in tmp_path.iterdir()] == ["jobs"]
