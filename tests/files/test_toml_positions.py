from bayapp.files.toml_positions import TomlPositions, in_words

TEXT = '''\
a = 1
b.c = """
[[not-a-table]]
d = 2
"""
e = [
  "x", # ] no end
  'y]',
]
[t]
"quoted key" = { f = 1, g = [2] }
[[row]]
id = "one"
[row.sub]
h = 1
[[row]]
id = "two"
[[row.deep]]
i = 1
[[row.deep]]
j = '''

TEXT += "'''\nk = 1\n'''\nl = 2\n"


def test_each_key_is_found_on_its_line():
    places = TomlPositions(TEXT)
    expected = {
        ("a",): 1,
        ("b",): 2,
        ("b", "c"): 2,
        ("e",): 6,
        ("t",): 10,
        ("t", "quoted key"): 11,
        ("row",): 12,
        ("row", 0, "sub", "h"): 15,
        ("row", 1): 16,
        ("row", 1, "id"): 17,
        ("row", 1, "deep", 0, "i"): 19,
        ("row", 1, "deep", 1, "j"): 21,
        ("row", 1, "deep", 1, "l"): 24,
    }
    assert {path: places.line_of(path) for path in expected} == expected


def test_what_stands_inside_a_text_of_many_lines_is_no_key():
    places = TomlPositions(TEXT)
    assert places.line_of(("not-a-table",)) is None
    assert places.line_of(("d",)) is None
    assert places.line_of(("row", 1, "deep", 1, "k")) == 20  # its table's line, not 22


def test_a_key_that_is_not_there_is_reported_at_the_nearest_table():
    places = TomlPositions(TEXT)
    assert places.line_of(("t", "quoted key", "f")) == 11
    assert places.line_of(("row", 0, "missing")) == 12
    assert places.line_of(("nowhere",)) is None


def test_a_word_is_found_by_id_then_key_then_quotes():
    places = TomlPositions('id = "b"\n[[z]]\nid = "a"\nn = ["c", "b"]\n[[z]]\nid = "a"\nb = 1\n')
    assert places.line_naming((), "a") == 6
    assert places.line_naming(("z",), "b") == 7
    assert places.line_naming((), "c") == 4
    assert places.line_naming(("z", 0), "x") == 2


def test_a_path_is_said_as_a_person_counts():
    data = {"step": [{"id": "wipe"}, {"wait": {"max": 1}}], "work": [{"zones": ["a", "b"]}]}
    assert in_words(("step", 0, "kind"), data) == "step 1 (wipe), kind"
    assert in_words(("step", 1, "wait", "max"), data) == "step 2, wait.max"
    assert in_words(("work", 0, "zones", 1), data) == "work 1, zones 2"
    assert in_words((), data) == ""
