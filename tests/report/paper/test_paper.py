"""How text breaks and pieces fill pages, measured with an ink whose letters are all one millimetre wide."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from bayapp.report.paper.paper import Piece, Type, broken, paged, space

PLAIN = Type(8)


class Ruler:
    """An ink that only measures."""

    def width(self, text, how):
        return float(len(text))


def piece(height, name="", keep=False, head=None):
    def paint(ink: Any, top: float) -> None:
        ink.append((name, top))

    return Piece(height, paint, keep, head)


def painted(page):
    marks: Any = []
    for top, one in page:
        one.paint(marks, top)
    return marks


def test_text_breaks_between_words():
    assert broken(Ruler(), "the rear quarter glass", PLAIN, 12) == ["the rear", "quarter", "glass"]


def test_a_word_that_is_too_long_breaks_inside():
    assert broken(Ruler(), "a windscreenwiper", PLAIN, 6) == ["a", "windsc", "reenwi", "per"]


@given(st.text(st.characters(codec="ascii", categories=["L", "P", "Zs"]), max_size=80), st.integers(1, 30))
def test_no_letter_is_lost_and_no_line_is_too_wide(text, width):
    lines = broken(Ruler(), text, PLAIN, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(len(line) <= width for line in lines)


def test_pieces_fill_a_page_and_go_on_on_the_next():
    pages = paged([piece(4, "a"), piece(4, "b"), piece(4, "c")], 10)
    assert [painted(page) for page in pages] == [[("a", 0), ("b", 4)], [("c", 0)]]


def test_a_heading_moves_on_with_what_follows_it():
    pages = paged([piece(4, "a"), piece(4, "head", keep=True), piece(4, "b")], 10)
    assert [painted(page) for page in pages] == [[("a", 0)], [("head", 0), ("b", 4)]]


def test_a_table_repeats_its_head_on_the_next_page():
    head = piece(2, "head", keep=True)
    pages = paged([head, piece(7, "a", head=head), piece(7, "b", head=head)], 10)
    assert [painted(page) for page in pages] == [[("head", 0), ("a", 2)], [("head", 0), ("b", 2)]]


def test_no_page_begins_with_an_empty_space():
    pages = paged([piece(9, "a"), space(3), piece(4, "b")], 10)
    assert [painted(page) for page in pages] == [[("a", 0)], [("b", 0)]]


heights = st.lists(st.tuples(st.floats(0.5, 20), st.booleans()), min_size=1, max_size=40)


@given(heights)
def test_nothing_is_lost_and_nothing_hangs_over_the_edge(sizes):
    pages = paged([piece(h, str(n), keep) for n, (h, keep) in enumerate(sizes)], 20)
    assert [name for page in pages for name, _ in painted(page)] == [str(n) for n in range(len(sizes))]
    assert all(top + one.height <= 20 + 1e-9 for page in pages for top, one in page)
