from datetime import date

import pytest

from bayapp.job.model.mark import Damage, MarkKind
from bayapp.job.text.mark_words import damage_title, kind_title, mark_lines
from tests.job.builders import Shop, at, job, mark, recipe, step

PANEL = recipe(step("wipe"), step("coat"), name="panel")


def lines(minutes=0, zones="roof", **marks):
    shop = Shop(job((["roof", "bonnet"], PANEL)))
    for kind, note in marks.items():
        day = date(2026, 11, 16) if kind == "repainted" else None
        shop.must(mark(kind, "roof bonnet", date=day, note=note), 0)
    return mark_lines(shop.state.jobs["car"], zones.split(), at(minutes))


def test_every_kind_of_mark_and_damage_has_a_word_of_its_own():
    assert len({kind_title(kind) for kind in MarkKind}) == len(MarkKind)
    assert len({damage_title(what) for what in Damage}) == len(Damage)


@pytest.mark.parametrize(
    ("kind", "line"),
    [
        ("matt", "Matt finish: no polish."),
        ("film", "Film or wrap: only recipes made for film."),
        ("repainted", "Repainted, 16 Nov 2026: no coat before 16 Dec 2026."),
        ("sensor", "Sensor or radar cover: no coat."),
        ("leave", "Leave alone: nothing is done to it."),
        ("damage", "Damage."),
    ],
)
def test_a_mark_is_told_with_what_it_forbids_and_what_was_noted(kind, line):
    assert lines(**{kind: ""}) == (line,)
    assert lines(**{kind: "see the photo."}) == (f"{line} Noted: see the photo.",)


def test_a_repaint_that_has_hardened_says_since_when():
    assert lines(minutes=(20 * 24 + 16) * 60, repainted="") == (
        "Repainted, 16 Nov 2026: takes a coat since 16 Dec 2026.",
    )


def test_what_several_zones_have_alike_is_said_once_and_every_mark_of_a_zone():
    assert lines(zones="roof bonnet", matt="", film="") == (
        "Matt finish: no polish.",
        "Film or wrap: only recipes made for film.",
    )
