import json
import re
from datetime import date
from pathlib import Path

import pytest

from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.job.model.mark import Mark
from bayapp.job.state.events import JobOpened
from bayapp.record.bodies import from_bodies, to_body
from tests.files.broken import (
    BROKEN_DRAWINGS,
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
from tests.files.own_van import van_job

GOOD = {"recipe": RECIPE, "product": PRODUCT, "vehicle": VEHICLE, "job": JOB}
BROKEN = {
    "recipe": BROKEN_RECIPES,
    "product": BROKEN_PRODUCTS,
    "vehicle": BROKEN_VEHICLES,
    "job": BROKEN_JOBS,
}
# Words of the libraries beneath that no person should have to read.
LIBRARY_WORDS = re.compile(r"pydantic|extra inputs|should be|valid|literal|datetime\.|Input |NoneType|Traceback", re.I)


@pytest.fixture
def own_van(tmp_path: Path) -> Path:
    (tmp_path / "own-van.svg").write_text(DRAWING)
    return tmp_path


def findings(path: Path):
    with pytest.raises(BadFile) as caught:
        Library().check(path)
    return caught.value.findings


@pytest.mark.parametrize("kind", GOOD)
def test_a_good_file_of_each_kind_is_fine(kind: str, own_van: Path):
    path = own_van / "own.toml"
    path.write_text(GOOD[kind])
    assert Library().check(path) == kind


@pytest.mark.parametrize(("kind", "broken"), [(k, b) for k, all_ in BROKEN.items() for b in all_], ids=str)
def test_a_broken_file_is_reported_with_file_place_and_what_would_be_right(kind: str, broken: Broken, own_van: Path):
    path = own_van / "own.toml"
    path.write_text(broken.text(GOOD[kind]))
    found = findings(path)
    assert any(f.place == broken.place and broken.words in f.reason for f in found), "\n".join(map(str, found))
    assert all(f.file == str(path) for f in found)
    assert not LIBRARY_WORDS.search("\n".join(f.reason for f in found))
    assert len(found) <= 3, "one mistake makes a flood of findings"


@pytest.mark.parametrize("broken", BROKEN_DRAWINGS, ids=str)
def test_a_broken_drawing_is_reported_where_it_is_broken(broken: Broken, own_van: Path):
    (own_van / "own.toml").write_text(VEHICLE)
    (own_van / "own-van.svg").write_text(broken.text(DRAWING))
    found = findings(own_van / "own.toml")
    assert any(f.place.startswith(broken.place) and broken.words in f.reason for f in found), "\n".join(map(str, found))


def test_each_kind_is_broken_in_at_least_twenty_ways():
    assert {kind: len(all_) for kind, all_ in BROKEN.items() if len({b.name for b in all_}) < 20} == {}


def test_everything_wrong_in_a_job_and_its_files_is_reported_at_once(tmp_path: Path):
    (tmp_path / "bad.toml").write_text(RECIPE.replace("minutes = 3", "minutes = 0"))
    job = JOB.replace('"estate"', '"estat"').replace('"rim"', '"bad.toml"').replace('"rear-screen"', '"rear"')
    (tmp_path / "job.toml").write_text(job)
    places = {(Path(f.file).name, f.place) for f in findings(tmp_path / "job.toml")}
    assert places == {("job.toml", "line 3, vehicle"), ("bad.toml", "line 20, step 3 (buff), minutes")}


def test_a_job_holds_its_marks_zone_by_zone_worked_or_not(tmp_path: Path):
    (tmp_path / "job.toml").write_text(JOB)
    marks = Library().load_job(tmp_path / "job.toml").marks
    assert marks.keys() == {"bonnet", *(f"rim-{end}-{side}" for end in ("front", "rear") for side in ("left", "right"))}
    assert {mark for found in marks.values() for mark in found} == {
        Mark(kind="repainted", date=date(2026, 11, 16), note="by the owner's word")
    }


def test_a_path_is_taken_from_the_file_that_names_it(own_van: Path):
    (own_van / "forms").mkdir()
    (own_van / "own-van.svg").rename(own_van / "forms" / "own-van.svg")
    (own_van / "forms" / "van.toml").write_text(VEHICLE)
    (own_van / "glass.toml").write_text(RECIPE)
    (own_van / "jobs").mkdir()
    job = own_van / "jobs" / "job.toml"
    job.write_text(
        'format = "bayapp-job/1"\ntitle = "Ähre & Söhne"\nvehicle = "../forms/van.toml"\n'
        "start = 2026-11-25T23:30:00-02:00\n[[work]]\nzones = ['front']\nrecipe = '../glass.toml'\n"
    )
    loaded = Library().load_job(job)
    assert loaded.vehicle.name == "own-van"
    assert loaded.blocks[0].recipe.name == "own-glass"
    assert loaded.blocks[0].zones == ("bonnet", "windscreen")
    assert loaded.id == "ahre-sohne-2026-11-26"


def test_a_job_carries_the_drawing_of_its_form_whatever_becomes_of_the_file(tmp_path: Path):
    path = van_job(tmp_path)
    job = Library().load_job(path)
    (tmp_path / "own-van.svg").unlink()
    assert job.drawing == DRAWING
    assert "<svg" not in repr(job), "a log line would carry the whole drawing"
    again = from_bodies([to_body(JobOpened(at=job.start, job=job.id, opened=job))])
    assert isinstance(again[0], JobOpened)
    assert again[0].opened == job
    assert again[0].opened.drawing is job.drawing, "each entry holds a copy of its own in memory"


def test_an_entry_from_before_jobs_carried_drawings_still_loads(tmp_path: Path):
    job = Library().load_job(van_job(tmp_path))
    body = json.loads(to_body(JobOpened(at=job.start, job=job.id, opened=job)))
    del body["opened"]["drawing"]
    (old,) = from_bodies([json.dumps(body)])
    assert isinstance(old, JobOpened)
    assert old.opened == job.model_copy(update={"drawing": ""})


def test_a_name_is_looked_for_beside_the_job_before_the_shipped_ones(tmp_path: Path):
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "rim.toml").write_text(RECIPE.replace('"own-glass"', '"rim"'))
    (tmp_path / "job.toml").write_text(JOB)
    job = Library().load_job(tmp_path / "job.toml", "mine")
    assert [step.id for step in job.blocks[1].recipe.step] == ["wipe", "coat-1", "buff"]
    assert job.id == "mine"


def test_a_file_found_by_name_must_bear_that_name(tmp_path: Path):
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "rim.toml").write_text(RECIPE)
    (tmp_path / "job.toml").write_text(JOB)
    (found,) = findings(tmp_path / "job.toml")
    assert found.place == "line 2, name"
    assert "the file is called rim.toml" in found.reason


def test_a_product_without_a_sheet_is_laid_by_the_general_rules(tmp_path: Path):
    (tmp_path / "job.toml").write_text(JOB.replace("[product.own-coat]\nair_c = [10, 28]\n", ""))
    assert "own-coat" not in Library().load_job(tmp_path / "job.toml").products


def test_a_product_written_in_the_job_goes_before_a_shipped_one(tmp_path: Path):
    (tmp_path / "job.toml").write_text(JOB.replace("own-coat", "glass-coat"))
    assert Library().load_job(tmp_path / "job.toml").products["glass-coat"].air_c == (10, 28)


def test_two_jobs_that_wait_for_each_other_are_a_circle(tmp_path: Path):
    text = JOB.replace('recipe = "rim"', 'recipe = "other"').replace("{ min", '{ of = "rims", min')
    text += '[[recipe.other.step]]\nid = "lay"\nkind = "coat"\nwait = { of = "all-glass", min = 1 }\n'
    (tmp_path / "job.toml").write_text(text)
    (found,) = findings(tmp_path / "job.toml")
    assert "round in a circle" in found.reason
    assert "'lay' of zone" in found.reason
    assert "'coat-1' of zone" in found.reason


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"\xff\xfe" + RECIPE.encode("utf-16-le"), "saved as UTF-16"),
        (RECIPE.replace("wipe", "Öl").encode("latin-1"), "not UTF-8"),
        (RECIPE.encode() + b"\0", "NUL byte"),
        (b"# " + b"x" * 250_001, "larger than 250 kB"),
    ],
)
def test_a_file_that_is_no_text_is_unreadable(raw: bytes, words: str, tmp_path: Path):
    (tmp_path / "own.toml").write_bytes(raw)
    with pytest.raises(BadFile, match=words) as caught:
        Library().check(tmp_path / "own.toml")
    assert caught.value.unreadable


@pytest.mark.parametrize("ref", ["", "no-such.toml"])
def test_a_file_that_is_not_there_is_unreadable(ref: str, tmp_path: Path):
    with pytest.raises(BadFile) as caught:
        Library().check(tmp_path / ref)
    assert caught.value.unreadable


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path: Path):
    broken = RECIPE.replace("minutes = 3", "minutes = 0").replace("\n", "\r\n")
    (tmp_path / "own.toml").write_bytes(b"\xef\xbb\xbf" + broken.encode())
    (found,) = findings(tmp_path / "own.toml")
    assert found.place == "line 20, step 3 (buff), minutes"


def test_an_unknown_name_asked_of_the_library_is_reported_with_the_nearest():
    with pytest.raises(BadFile, match="there is no recipe of this name; did you mean 'glass-one-layer'"):
        Library().load_recipe("glass-one-layers")
