"""A file that is larger or deeper than anybody writes is refused with a word, before it costs time or memory.

Each is read in a child that dies beyond two processor seconds or 200 MB: the words alone would not show that.
"""

import os
import socket
from pathlib import Path

import pytest

from bayapp.files.bounds import LARGEST_TOML, MOST_ENTRIES, MOST_FINDINGS, MOST_FOLDER_ENTRIES, MOST_SHARED_FILES
from bayapp.files.exchange import offered
from bayapp.files.library import Library
from bayapp.files.plain_file import newest_files, plain_files
from bayapp.files.problems import BadFile
from bayapp.files.toml_bounds import TooMuch, judge_text
from bayapp.paths import resource
from tests.files.broken import JOB, PRODUCT, RECIPE, VEHICLE
from tests.files.limited_child import read_with_limits

FIRST = 'format = "bayapp-recipe/1"\nname = "r"\n'
FORM = 'format = "bayapp-vehicle/1"\nname = "v"\ntitle = "v"\ndrawing = "v.svg"\n'
ZONE = '[[zone]]\nid = "z"\nname = "z"\nsurface = "glass"\narea_m2 = 1.0\n'
DEEP = ".".join("a" * 400)
MONSTERS = {
    "one key of 100,000 names": (FIRST + ".".join("a" * 100_000) + " = 1", "line 3: this line has 200003 characters"),
    "a table of 100,000 names": (FIRST + "[" + ".".join("a" * 100_000) + "]", "line 3: this line has"),
    "220 keys of 400 names": (
        FIRST + "\n".join(f"k{n}.{DEEP} = 1" for n in range(220)),
        "line 3: a key has more than 6 names",
    ),
    "names in quotes": (FIRST + '"a" . ' * 400 + "b = 1", "line 3: a key has more than 6 names"),
    "lists in lists": (FIRST + "\n".join(["x = ", *"[" * 2_000]), "lists stand inside lists too deep"),
    "tables in braces": (FIRST + "x = " + "{a=" * 2_000, "keys stand on this line; write at most 60"),
    "too many keys": (
        FIRST + "".join(f"k{n}={{a=1, b=1, c=1}}\n" for n in range(4_000)),
        "16002 keys and tables stand in it",
    ),
    "2,900 tables, each wrong": (FIRST + "[[step]]\n" * 2_900, "step: 2900 entries stand in it; at most 500"),
    "a number of 30,000 bits": (FIRST.replace('"r"', "0x" + "f" * 7_000), "this number is out of all range"),
    "a text without an end": (FIRST + 'x = """' + "\\\n" * 4_000, "a text is not closed"),
    "quotes and nothing else": (FIRST + "x = " + '"' * 7_900, "put text in double quotes"),
    "100,000 blank lines": (FIRST + "\n" * 100_000, "100003 lines stand in it; at most 5000"),
    "a megabyte": (FIRST + "# \n" * 400_000, "it is larger than 250 kB"),
    "490 steps, each wrong": (FIRST + "[[step]]\n" * 490, f"and {2 * 490 - MOST_FINDINGS} more things are wrong"),
    "sets that double 30 times": (
        FORM + ZONE + "[sets]\n" + "".join(f's{n} = ["s{n + 1}", "s{n + 1}"]\n' for n in range(30)) + 's30 = ["z"]\n',
        "there is no drawing 'v.svg'",
    ),
}


def test_no_file_costs_more_than_two_seconds_and_200_mb(tmp_path: Path):
    files = []
    for number, (text, _words) in enumerate(MONSTERS.values()):
        files.append(tmp_path / f"{number}.toml")
        files[-1].write_text(text, encoding="utf-8")
    said = read_with_limits("check", files)
    for (name, (_text, words)), answer in zip(MONSTERS.items(), said, strict=True):
        assert words in answer, f"{name}: {answer[:300]}"
        assert answer.count("\n") <= MOST_FINDINGS, name


def test_every_shipped_file_is_far_inside_the_bounds():
    for path in resource().rglob("*.toml"):
        text = path.read_text(encoding="utf-8")
        judge_text(text)
        assert len(text) * 5 < LARGEST_TOML, path


@pytest.mark.parametrize("text", [JOB, RECIPE, PRODUCT, VEHICLE], ids=["job", "recipe", "product", "vehicle"])
def test_dots_brackets_and_equals_signs_in_texts_and_remarks_are_no_keys(text: str):
    noise = "=".join("[" * 100) + "a.b.c.d.e.f.g.h.i.j"
    judge_text(f'# {noise}\n{text}\nx = "{noise}"\ny = \'\'\'{noise}\n{noise}\'\'\'\nz = """{noise}\\""""\n')


@pytest.mark.parametrize(
    ("text", "line"),
    [("x = 1\na.b.c.d.e.f.g = 1", 2), ('"""\n"""\nx = [\n' + "[" * 11, 4), ("\n\nx" + "=" * 61, 3)],
)
def test_what_is_too_much_is_told_by_its_line(text: str, line: int):
    with pytest.raises(TooMuch) as caught:
        judge_text(text)
    assert caught.value.line == line


@pytest.fixture
def odd_folder(tmp_path: Path) -> Path:
    """A shop's folder of recipes in which one thing is a recipe, and all the others are no plain files."""
    folder = tmp_path / "recipes"
    folder.mkdir()
    (folder / "own-glass.toml").write_text(RECIPE, encoding="utf-8")
    (folder / "folder.toml").mkdir()
    os.mkfifo(folder / "pipe.toml")
    (folder / "device.toml").symlink_to("/dev/zero")
    (folder / "loop.toml").symlink_to("loop.toml")
    (folder / "nowhere.toml").symlink_to("not-there")
    with socket.socket(socket.AF_UNIX) as bound:
        bound.bind(str(folder / "socket.toml"))
    return folder


def test_only_the_plain_files_of_a_folder_are_opened(odd_folder: Path):
    assert [p.name for p in plain_files(odd_folder, ".toml")] == ["own-glass.toml"]
    assert Library(odd_folder.parent).names("recipe") == ["own-glass"]
    assert [(one.name, one.trouble) for one in offered(odd_folder.parent)] == [("own-glass", "")]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("folder.toml", "this is a folder"),
        ("pipe.toml", "a pipe, a socket or a device"),
        ("device.toml", "a pipe, a socket or a device"),
        ("socket.toml", "a pipe, a socket or a device"),
        ("loop.toml", "symbolic links"),
        ("nowhere.toml", "there is no such file"),
    ],
)
def test_what_is_no_plain_file_is_refused_with_a_word_and_never_waited_for(name: str, words: str, odd_folder: Path):
    with pytest.raises(BadFile, match=words) as caught:
        Library().check(odd_folder / name)
    assert caught.value.unreadable


def test_a_folder_of_more_files_than_are_shown_says_so(tmp_path: Path):
    for number in range(MOST_SHARED_FILES + 5):
        (tmp_path / f"{number:03}.toml").write_text("x", encoding="utf-8")
    found = offered(tmp_path)
    assert len(found) == MOST_SHARED_FILES + 1
    assert [one.trouble for one in found if one.path == tmp_path] == [
        "more lies in this folder than is shown; put what you want to import in a folder of its own"
    ]


def test_a_folder_without_end_is_looked_at_up_to_a_bound(tmp_path: Path):
    for number in range(MOST_FOLDER_ENTRIES + 10):
        (tmp_path / f"{number}.toml").touch()
    assert len(plain_files(tmp_path, ".toml")) == MOST_FOLDER_ENTRIES


def test_large_files_beside_each_other_are_not_all_read(tmp_path: Path):
    for number in range(7):
        (tmp_path / f"{number}.toml").write_text(RECIPE + f"# {'a' * 4_000}\n" * 50, encoding="utf-8")
    unread = [one.path.name for one in offered(tmp_path) if "was not read" in one.trouble]
    assert unread == ["4.toml", "5.toml", "6.toml"]


def test_of_many_job_files_the_newest_are_read(tmp_path: Path):
    for changed_at, name in enumerate(["c", "a", "e", "b", "d"]):
        (tmp_path / f"{name}.toml").touch()
        os.utime(tmp_path / f"{name}.toml", (changed_at, changed_at))
    newest, whole = newest_files(tmp_path, ".toml", 3)
    assert ([path.stem for path in newest], whole) == (["b", "d", "e"], False)
    assert newest_files(tmp_path, ".toml", 5)[1]


def test_a_folder_of_large_files_is_read_up_to_a_bound(tmp_path: Path):
    for number in range(7):
        (tmp_path / f"{number}.toml").write_bytes(b"#" * 240_000)
    assert [path.stem for path in plain_files(tmp_path, ".toml")] == ["0", "1", "2", "3"]


def test_a_list_of_as_many_entries_as_are_read_is_read(tmp_path: Path):
    path = tmp_path / "r.toml"
    path.write_text(FIRST + "[[step]]\n" * (MOST_ENTRIES + 1), encoding="utf-8")
    with pytest.raises(BadFile, match="501 entries stand in it; at most 500 are read"):
        Library().check(path)
    path.write_text(FIRST + "[[step]]\n" * MOST_ENTRIES, encoding="utf-8")
    with pytest.raises(BadFile, match="key 'id' is missing"):
        Library().check(path)


def test_a_file_that_speaks_to_the_terminal_is_told_without_its_control_characters(tmp_path: Path):
    path = tmp_path / "own\x1b[2J.toml"
    path.write_text(RECIPE.replace('id = "wipe"', 'id = "wi\\u001bpe"'), encoding="utf-8")
    with pytest.raises(BadFile) as caught:
        Library().check(path)
    assert "\x1b" not in str(caught.value)
    assert "own[U+001B][2J.toml: line 5" in str(caught.value)


def test_how_a_step_is_done_may_be_told_on_several_lines(tmp_path: Path):
    path = tmp_path / "r.toml"
    path.write_text(RECIPE.replace('kind = "wipe"', 'kind = "wipe"\nhow = """Cold.\nThen dry."""', 1), encoding="utf-8")
    assert Library().check(path) == "recipe"
