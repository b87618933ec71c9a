"""What a page saves is read again as the same thing."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from bayapp.files.documents import read_document
from bayapp.files.drawings.division import CannotDivideError, split
from bayapp.files.drawings.zone_cutting import Direction
from bayapp.files.library import Library
from bayapp.files.save_document import save_document
from bayapp.job import JobFile, Product, Recipe, VehicleForm
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import WorkEntry
from bayapp.text.readable import fault_in

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


FORM = LIBRARY.load_vehicle("estate")
NAMES = st.lists(st.sampled_from([*FORM.sets, *(zone.id for zone in FORM.zone)]), min_size=1, max_size=6, unique=True)
LETTERS = st.characters(codec="utf-8", exclude_categories=("Cs", "Cc"))
TITLES = st.text(LETTERS, min_size=1, max_size=60).filter(lambda text: not fault_in(text))
DAY_ONE = datetime(2000, 1, 1, tzinfo=UTC)
MOMENTS = st.integers(0, 3_000_000_000_000).map(lambda ms: DAY_ONE + timedelta(milliseconds=ms))


@settings(max_examples=60, deadline=None)
@given(TITLES, NAMES, MOMENTS, st.none() | MOMENTS, st.lists(TITLES.map(str.strip), max_size=3))
def test_any_job_that_a_page_could_make_comes_back_as_it_was(
    tmp_path_factory: pytest.TempPathFactory,
    title: str,
    zones: list[str],
    start: datetime,
    promised: datetime | None,
    crew: list[str],
):
    try:
        job = JobFile(
            format="bayapp-job/1",
            title=title,
            vehicle="estate",
            start=start,
            promised=promised,
            crew=tuple(crew),
            work=(WorkEntry(zones=tuple(zones), recipe="rim"),),
        )
    except ValidationError:
        return
    path = tmp_path_factory.mktemp("jobs") / "any.toml"
    save_document(path, job)
    assert read_document(path, JobFile)[0] == job


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([zone.id for zone in FORM.zone]), st.sampled_from(("across", "along")), st.floats(0.3, 0.7))
def test_any_divided_form_comes_back_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, zone: str, direction: Direction, share: float
):
    try:
        division = split(*LIBRARY.load_drawn_vehicle("estate"), ZoneId(zone), direction, share)
    except CannotDivideError:
        return
    divided, drawing = division.form, division.drawing
    folder = tmp_path_factory.mktemp("vehicles")
    (folder / divided.drawing).write_text(drawing, encoding="utf-8")
    save_document(folder / f"{divided.name}.toml", divided)
    assert LIBRARY.load_drawn_vehicle(folder / f"{divided.name}.toml") == (divided, drawing)
