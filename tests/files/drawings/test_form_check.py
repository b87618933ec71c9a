"""What `check` finds in a drawing: a form of four panes drawn well, and each way to draw it badly."""

from pathlib import Path
from typing import NamedTuple

import pytest

from bayapp.files.drawings.form_check import check_form
from bayapp.files.problems import BadFile
from bayapp.paths import resource

FORM = """\
format = "bayapp-vehicle/1"
name = "panes"
title = "Panes"
drawing = "panes.svg"

[[zone]]
id = "a"
name = "upper left pane"
surface = "glass"
area_m2 = 1.0
neighbours = ["b", "c"]

[[zone]]
id = "b"
name = "upper right pane"
surface = "glass"
area_m2 = 1.0
neighbours = ["a", "d"]

[[zone]]
id = "c"
name = "lower left pane"
surface = "glass"
area_m2 = 1.0
neighbours = ["a", "d", "cab"]

[[zone]]
id = "d"
name = "lower right pane"
surface = "glass"
area_m2 = 1.0
neighbours = ["b", "c"]

[[zone]]
id = "cab"
name = "cab"
surface = "cabin"
area_m2 = 1.0
neighbours = ["c"]

[sets]
top = ["a", "b"]
"""
# Panes of 100 x 100 with 12 units between them, on a body 8 units larger; diagonal panes lie 17 apart.
DRAWING = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 600">
<g id="chassis"><path d="M92 92 L320 92 L320 320 L92 320 Z"/></g>
<g id="zones">
<path id="a" d="M100 100 L200 100 L200 200 L100 200 Z"/>
<path id="b" d="M212 100 L312 100 L312 200 L212 200 Z"/>
<path id="c" d="M100 212 L200 212 L200 312 L100 312 Z"/>
<path id="d" d="M212 212 L312 212 L312 312 L212 312 Z"/>
<path id="cab" d="M800 450 L950 450 L950 550 L800 550 Z"/>
</g></svg>
"""


class Amiss(NamedTuple):
    """One way to draw or describe it badly: replace ``old`` by ``new``; what must be said, and of which place."""

    name: str
    old: str
    new: str
    place: str
    words: str

    def __str__(self) -> str:
        return self.name.replace(" ", "-")


DRAWN_AMISS = (
    Amiss("an overlap", "M212 100 L312", "M190 100 L312", "line 6, zone 1 (a)", "lies over zone 'b' at "),
    Amiss("one zone inside another", "M212 212 L312 212 L312 312 L212 312", "M120 230 L180 230 L180 280 L120 280",
          "line 20, zone 3 (c)", "by 100 % of the smaller"),
    Amiss("a zone outside the page", "M800 450 L950", "M800 450 L1010", "line 34, zone 5 (cab)", "outside the viewBox"),
    Amiss("a path that encloses nothing", "M800 450 L950 450 L950 550 L800 550", "M800 450 L950 450",
          "line 34, zone 5 (cab)", "encloses nothing"),
    Amiss("a gap between neighbours", "M212 100 L312 100 L312 200 L212 200", "M220 100 L312 100 L312 200 L220 200",
          "line 11, zone 1 (a), neighbours", "names zone 'b' as a neighbour, but a gap of 20 units"),
    Amiss("a hole in the middle of the body", "M212 212 L312 212 L312 312 L212", "M264 212 L312 212 L312 312 L264",
          "zone", "a gap in the body at (232, 260) belongs to no zone"),
    Amiss("a corner that no zone covers", "L320 320 L92 320", "L320 380 L92 380", "zone", "belongs to no zone"),
    Amiss("a path that begins without M", 'd="M212 100', 'd="L212 100', "line 13, zone 2 (b)", "begins without M"),
    Amiss("a curve that lacks a point", "L312 200 L212 200", "C312 200 L212 200", "line 13, zone 2 (b)",
          "numbers missing"),
    Amiss("a chassis that lacks a number", "M92 92 L320", "M92 L320", "line 4, drawing", "the chassis of panes.svg"),
    Amiss("a number beyond all bounds", "M212 100 L312 100", "M212 1e308 L312 100", "line 13, zone 2 (b)", "too large"),
    Amiss("a view box without width", "0 0 1000 600", "0 0 0 600", "line 4, drawing", "the viewBox of panes.svg"),
    Amiss("a group that is moved", '<g id="zones">', '<g id="zones" transform="scale(2)">', "line 4, drawing",
          "'transform'"),
    Amiss("a view box of three numbers", "0 0 1000 600", "0 0 1000", "line 4, drawing", "the viewBox of panes.svg"),
)  # fmt: skip

NAMED_AMISS = (
    Amiss("two zones of one name", "lower left pane", "upper left pane", "line 22, zone 3 (c), name", "like zone 'a'"),
    Amiss("a neighbour one way", 'neighbours = ["a", "d"]', 'neighbours = ["d"]', "line 18, zone 2 (b), neighbours",
          "is named as a neighbour by zone 'a' but does not name it; add 'a'"),
    Amiss("a cab that is a neighbour one way", ', "cab"]', "]", "line 25, zone 3 (c), neighbours", "by zone 'cab'"),
)  # fmt: skip


def findings(folder: Path, form: str = FORM, drawing: str = DRAWING):
    (folder / "panes.toml").write_text(form)
    (folder / "panes.svg").write_text(drawing)
    with pytest.raises(BadFile) as caught:
        check_form(folder / "panes.toml")
    return caught.value.findings


def test_a_form_drawn_well_is_fine(tmp_path: Path):
    (tmp_path / "panes.toml").write_text(FORM)
    (tmp_path / "panes.svg").write_text(DRAWING)
    check_form(tmp_path / "panes.toml")


@pytest.mark.parametrize("amiss", DRAWN_AMISS, ids=str)
def test_what_is_drawn_amiss_is_reported_with_its_zone_and_what_would_be_right(amiss: Amiss, tmp_path: Path):
    assert DRAWING.count(amiss.old) == 1
    found = findings(tmp_path, drawing=DRAWING.replace(amiss.old, amiss.new))
    assert any(amiss.place in f.place and amiss.words in f.reason for f in found), "\n".join(map(str, found))
    assert all(f.file == str(tmp_path / "panes.toml") for f in found)


@pytest.mark.parametrize("amiss", NAMED_AMISS, ids=str)
def test_what_is_named_amiss_is_reported_once_with_its_zone_and_what_would_be_right(amiss: Amiss, tmp_path: Path):
    found = findings(tmp_path, form=FORM.replace(amiss.old, amiss.new, 1))
    assert [(f.place, amiss.words in f.reason) for f in found] == [(amiss.place, True)], "\n".join(map(str, found))


def test_zones_that_touch_and_are_no_neighbours_are_reported(tmp_path: Path):
    apart = FORM.replace('["b", "c"]\n\n[[zone]]\nid = "b"', '["c"]\n\n[[zone]]\nid = "b"').replace(
        '["a", "d"]', '["d"]', 1
    )
    drawn = DRAWING.replace("M212 100 L312 100 L312 200 L212 200", "M206 100 L312 100 L312 200 L206 200")
    (finding,) = findings(tmp_path, apart, drawn)
    assert (finding.place, finding.reason.partition(",")[0]) == ("line 11, zone 1 (a), neighbours", "touches zone 'b'")


def test_an_overlap_is_reported_with_where_it_lies_and_how_large_it_is(tmp_path: Path):
    drawn = DRAWING.replace("M212 100 L312 100 L312 200 L212 200", "M190 100 L290 100 L290 200 L190 200")
    finding = next(f for f in findings(tmp_path, drawing=drawn) if "lies over" in f.reason)
    assert "at (195, 150) by 10 % of the smaller" in finding.reason


def test_a_drawing_without_a_body_has_no_gaps(tmp_path: Path):
    (tmp_path / "panes.toml").write_text(FORM)
    (tmp_path / "panes.svg").write_text(DRAWING.replace('id="chassis"', 'id="ground"'))
    check_form(tmp_path / "panes.toml")


def test_everything_amiss_is_reported_at_once(tmp_path: Path):
    form = FORM.replace("lower left pane", "upper left pane", 1)
    drawn = DRAWING.replace("M212 100 L312", "M190 100 L312").replace("M800 450 L950", "M800 450 L1010")
    reasons = "\n".join(f.reason for f in findings(tmp_path, form, drawn))
    assert all(words in reasons for words in ("like zone 'a'", "lies over zone 'b'", "outside the viewBox"))


@pytest.mark.parametrize("path", sorted(resource("vehicles").glob("*.toml")), ids=lambda path: path.stem)
def test_every_shipped_form_is_drawn_well(path: Path):
    check_form(path)
