"""A drawing that would keep the wall busy is refused with a word: too many points, a tangle, entities, a pit of groups.

Each is read in a child that dies beyond two processor seconds or 200 MB, as strictly as ``bayapp check`` reads.
"""

import math
import random
from pathlib import Path

import pytest

from bayapp.files.bounds import MOST_ELEMENTS, MOST_POINTS
from bayapp.files.drawings.drawing_bounds import TangleError, expect_plain_outlines, judge_svg
from bayapp.files.drawings.path_commands import NUMBER
from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.paths import resource
from tests.files.broken import DRAWING, VEHICLE
from tests.files.limited_child import read_with_limits

PANE = "M41 0 L90 0 L90 50 Z"
LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 9))


def star(points: int, seed: int = 1) -> str:
    """Return an outline whose every piece crosses most others."""
    chance = random.Random(seed)
    return "M" + " L".join(f"{chance.uniform(41, 90):.2f} {chance.uniform(0, 50):.2f}" for _ in range(points)) + " Z"


def comb(points: int) -> str:
    """Return a dense zigzag of long slanting pieces, none of which crosses another."""
    zigzag = ((41 + 40 * n / points + (9 if n % 2 else 0), 50 if n % 2 else 0) for n in range(points))
    return "M" + " L".join(f"{x:.3f} {y}" for x, y in zigzag) + " Z"


def in_pane(data: str) -> str:
    return DRAWING.replace(PANE, data)


def fullest() -> str:
    """Return an outline of nearly as many points as may be, that crosses itself nearly as often as it may."""
    turns = [2 * math.pi * n / 2_900 for n in range(2_900)]
    points = [f"{65 + 20 * math.cos(turn):.4f} {25 + 20 * math.sin(turn):.4f}" for turn in turns]
    for n in range(0, 2_800, 10):
        points[n], points[n + 1] = points[n + 1], points[n]
    return f"M{' L'.join(points)} Z"


MONSTERS = {
    "330,000 points": (in_pane("M0 0" + " L1 1" * 100_000 + " Z"), "has 100001 points; at most 3000"),
    "many paths of many points": (
        DRAWING.replace("</svg>", ('<path d="M0 0' + " L1 1" * 2_900 + '"/>') * 6 + "</svg>"),
        f"more than {MOST_POINTS} points together",
    ),
    "a star of 2,900 points": (in_pane(star(2_900)), "is a tangle at 'windscreen'"),
    "curves in a tangle": (in_pane(star(2_899).replace(" L", " C", 1).replace(" L", " ")), "is a tangle"),
    "a dense comb": (in_pane(comb(2_900)), "is a tangle at 'windscreen'"),
    "commands without numbers": (in_pane("M0 0 " + "Z" * 900_000), "points; at most 3000"),
    "a text that grows": (
        f'<!DOCTYPE svg [<!ENTITY l0 "aaaaaaaaaa">{LAUGHS}]>' + DRAWING.replace("</svg>", "<desc>&l8;</desc></svg>"),
        "it defines entities",
    ),
    "100,000 groups inside one another": (DRAWING.replace("</svg>", "<g>" * 100_000), "groups stand inside groups"),
    "100,000 groups": (DRAWING.replace("</svg>", "<g/>" * 100_000 + "</svg>"), f"more than {MOST_ELEMENTS} elements"),
    "two megabytes": (DRAWING + " " * 2_000_000, "larger than 1000 kB"),
    "the fullest that is read": (in_pane(fullest()), "zone 'windscreen' as a neighbour, but a gap of 5 units lies"),
    "a number without end": (in_pane("M0 0 L" + "9" * 500_000 + " 1 Z"), "numbers missing or too large"),
}


def folder_of(folder: Path, drawing: str) -> Path:
    folder.mkdir()
    (folder / "own-van.svg").write_text(drawing, encoding="utf-8")
    (folder / "own-van.toml").write_text(VEHICLE, encoding="utf-8")
    return folder / "own-van.toml"


def test_no_drawing_costs_more_than_two_seconds_and_200_mb(tmp_path: Path):
    files = [folder_of(tmp_path / str(n), drawing) for n, (drawing, _words) in enumerate(MONSTERS.values())]
    said = read_with_limits("check_drawn", files)
    for (name, (_drawing, words)), answer in zip(MONSTERS.items(), said, strict=True):
        assert words in answer, f"{name}: {answer[:300]}"


@pytest.mark.parametrize("path", sorted(resource("vehicles").glob("*.svg")), ids=lambda path: path.stem)
def test_every_shipped_drawing_is_far_inside_the_bounds(path: Path):
    text = path.read_text(encoding="utf-8")
    judge_svg(path, text)
    assert len(NUMBER.findall(text)) // 2 * 3 < MOST_POINTS


def test_outlines_that_meet_at_corners_and_edges_do_not_cross():
    squares = [
        (f"{x}-{y}", f"M{x} {y} L{x + 1} {y} L{x + 1} {y + 1} L{x} {y + 1} Z") for x in range(30) for y in range(30)
    ]
    expect_plain_outlines(squares)


def test_a_sloppy_outline_that_crosses_itself_now_and_then_is_read():
    loops = " L".join(f"{10 * n} 0 L{10 * n + 6} 8 L{10 * n + 6} 0 L{10 * n} 8" for n in range(40))
    expect_plain_outlines([("a", f"M{loops} Z")])
    with pytest.raises(TangleError, match="a"):
        expect_plain_outlines([("a", star(60))])


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("0 0 100 50", "0 0 nan 50", "the viewBox of own-van.svg"),
        ("0 0 100 50", "0 0 100 0", "the viewBox of own-van.svg"),
        ('id="bonnet"', 'id="bonnet" data-anchor="20 x 5"', "has data-anchor '20 x 5' at 'bonnet'"),
        ("</svg>", '<g id="detail"><path d="M0 0 L1 1" data-zone="boot"/></g></svg>', "detail with data-zone 'boot'"),
        ("</svg>", '<g id="detail"><path d="M0 0 L1" data-zone="bonnet"/></g></svg>', "the detail of own-van.svg"),
    ],
)
def test_what_no_page_could_paint_is_told_when_the_form_is_read(old: str, new: str, words: str, tmp_path: Path):
    assert DRAWING.count(old) >= 1
    with pytest.raises(BadFile, match=words):
        Library().load_vehicle(folder_of(tmp_path / "form", DRAWING.replace(old, new, 1)))
