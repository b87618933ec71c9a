"""Every mark has words of its own, for wall, terminal and paper."""

from datetime import date

import pytest

from bayapp.job.model.mark import Damage, Mark, MarkKind
from bayapp.job.text.mark_words import (
    damage_title,
    forbidden_by_kind,
    kind_title,
    mark_text,
    mark_title,
    marks_in_brief,
)


def test_no_two_kinds_and_no_two_damages_are_called_alike():
    titles = [*map(kind_title, MarkKind), *map(damage_title, Damage)]
    assert len(set(titles)) == len(MarkKind) + len(Damage)
    assert all(forbidden_by_kind(kind) for kind in MarkKind)


@pytest.mark.parametrize(
    ("mark", "title"),
    [
        (Mark(kind=MarkKind.MATT), "matt finish"),
        (Mark(kind=MarkKind.DAMAGE, what=Damage.CHIP), "chip"),
        (Mark(kind=MarkKind.DAMAGE), "damage"),
        (Mark(kind=MarkKind.REPAINTED, date=date(2026, 11, 16)), "repainted, 16 Nov 2026"),
    ],
)
def test_a_mark_is_told_in_a_few_words(mark: Mark, title: str):
    assert mark_title(mark) == title
    assert mark_text(mark.model_copy(update={"note": "seen by the owner"})) == f"{title}: seen by the owner"


def test_marks_in_a_line_say_each_title_once():
    matt, chip = Mark(kind=MarkKind.MATT), Mark(kind=MarkKind.DAMAGE, what=Damage.CHIP)
    assert marks_in_brief([matt, chip, matt]) == "matt finish, chip"
