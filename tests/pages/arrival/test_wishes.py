"""Wishes of the owner: usual ones and own words."""

from bayapp.job.model.identity import MOST_WISHES, Identity
from bayapp.pages.arrival.wishes import is_full, usual_wishes, wish_choices, with_wish, without_wish

FIRST, SECOND = usual_wishes()[:2]


def test_own_words_stand_before_the_usual_wishes_and_what_is_wished_is_marked():
    choices = wish_choices(Identity(wishes=(SECOND, "mind the aerial")))
    assert [one.wish for one in choices] == ["mind the aerial", *usual_wishes()]
    assert [one.wish for one in choices if one.chosen] == ["mind the aerial", SECOND]


def test_a_wish_comes_after_the_others_and_only_once():
    assert with_wish(Identity(wishes=(SECOND,)), FIRST) == (SECOND, FIRST)
    assert with_wish(Identity(wishes=(SECOND,)), SECOND) == (SECOND,)
    assert without_wish(Identity(wishes=(SECOND, FIRST)), SECOND) == (FIRST,)


def test_a_car_with_as_many_wishes_as_are_kept_is_full():
    assert is_full(Identity(wishes=tuple(f"wish {n}" for n in range(MOST_WISHES))))
    assert not is_full(Identity(wishes=tuple(f"wish {n}" for n in range(MOST_WISHES - 1))))
