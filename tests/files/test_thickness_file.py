"""Gauge readings from a CSV file: a column of zones and one of µm, and everything that can be wrong with it."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.bounds import LARGEST_THICKNESS_FILE
from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.files.thickness_file import read_thickness, thickness_files
from bayapp.job.model.vehicle import VehicleForm

ESTATE = Library().load_vehicle("estate")


def read(folder: Path, text: str | bytes, form: VehicleForm = ESTATE) -> dict[str, tuple[float, ...]]:
    path = folder / "readings.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return {str(zone): um for zone, um in read_thickness(path, form)}


@pytest.mark.parametrize(
    "text",
    [
        "zone,um\nbonnet,112\nroof,98.5\nbonnet,118\n",
        "Zone;µm\nbonnet;112\nroof;98,5\nbonnet;118",
        "zone\tum\r\nbonnet\t112\r\nroof\t98,5\r\nbonnet\t118\r\n",
        '\ufeffno,zone,date,um\n1,"bonnet",2026-11-25,112\n2,roof,2026-11-25,98.5\n\n3,Bonnet,2026-11-25,"118"\n',
    ],
    ids=["commas", "semicolons and decimal commas", "tabs", "other columns, a byte order mark and a gap"],
)
def test_the_readings_of_each_zone_come_in_the_order_of_the_file(text: str, tmp_path: Path):
    assert read(tmp_path, text) == {"bonnet": (112.0, 118.0), "roof": (98.5,)}


def test_a_zone_is_named_as_people_call_it_too(tmp_path: Path):
    assert read(tmp_path, "zone,um\nFront bumper,101\n") == {"bumper-front": (101.0,)}


@given(
    st.lists(
        st.tuples(st.sampled_from([zone.id for zone in ESTATE.zone]), st.integers(0, 50_000)), min_size=1, max_size=60
    )
)
def test_what_the_csv_module_writes_is_read_as_it_was(tmp_path_factory: pytest.TempPathFactory, rows: list):
    path = tmp_path_factory.mktemp("csv") / "written.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([["zone", "um"], *((zone, tenths / 10) for zone, tenths in rows)])
    found = {str(zone): um for zone, um in read_thickness(path, ESTATE)}
    assert {zone: [tenths / 10 for name, tenths in rows if name == zone] for zone in found} == {
        zone: list(um) for zone, um in found.items()
    }
    assert sum(map(len, found.values())) == len(rows)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "the first line must name the columns zone and um"),
        ("zone,mils\nbonnet,4\n", "it names 'zone', 'mils'"),
        ("zone,um,um\nbonnet,4,4\n", "each once"),
        ("zone,um\n", "it holds no readings"),
        ("zone,um\nbonnett,112\n", "line 2, zone: 'bonnett' is no zone of 'Estate'; did you mean 'bonnet'"),
        ("zone,um\n,112\n", "line 2, zone: no zone stands here"),
        ("zone,um\nbonnet\n", "line 2, um: '' is no number of µm"),
        ("zone,um\nbonnet,thin\n", "'thin' is no number of µm"),
        ("zone,um\nbonnet,nan\n", "'nan' is no number of µm"),
        ("zone,um\nbonnet,1e3\n", "'1e3' is no number of µm"),
        ("zone,um\nbonnet,-1\n", "'-1' µm cannot be; from 0 to 5,000 is possible"),
        ("zone,um\nbonnet,5000.1\n", "'5000.1' µm cannot be"),
        ("zone,um\nbonnet,112,5\n", "there are more columns here than the first line names"),
        ('zone,um\n"bonnet,112\n', "line 2: this is no line of CSV"),
        (b"zone,um\nbonnet,\xff\n", "it is not UTF-8 text"),
        (b"zone,um\nbonnet,1\0\n", "NUL"),
    ],
)
def test_what_is_wrong_is_said_with_its_line_and_what_would_be_right(text: str | bytes, says: str, tmp_path: Path):
    with pytest.raises(BadFile) as caught:
        read(tmp_path, text)
    assert says in str(caught.value)


def test_every_wrong_line_is_told_and_nothing_is_half_loaded(tmp_path: Path):
    with pytest.raises(BadFile) as caught:
        read(tmp_path, "zone,um\nbonnet,112\nroof,x\nspoiler,9999\n")
    assert [(finding.line, finding.where) for finding in caught.value.findings] == [(3, "um"), (4, "zone"), (4, "um")]


def test_more_lines_and_bytes_than_a_car_has_are_not_read(tmp_path: Path):
    with pytest.raises(BadFile, match="what follows was not looked at"):
        read(tmp_path, "zone,um\n" + "bonnet,112\n" * 2_500)
    with pytest.raises(BadFile, match="larger than"):
        read(tmp_path, "zone,um\n" + " " * LARGEST_THICKNESS_FILE)


def test_only_plain_csv_files_are_offered(tmp_path: Path):
    for name in ("b.csv", "A.CSV", "notes.txt", ".hidden.csv"):
        (tmp_path / name).write_text("zone,um\n")
    (tmp_path / "folder.csv").mkdir()
    assert [file.name for file in thickness_files(tmp_path)] == ["A.CSV", "b.csv"]
