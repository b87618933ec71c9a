"""What the Arrival page says is known of a car."""

import pytest

from bayapp.job import GiveIdentity
from bayapp.job.model.identity import Identity, Mileage
from bayapp.pages.arrival.arrival import Fact, FactView, arrival_view, mileage_text, wishes_text
from tests.pages.bays import CAR, HandBay

PARTS = (Fact.PLATE, Fact.KEY_HOOK, Fact.MILEAGE, Fact.WISHES)


def shown(hand: HandBay) -> dict[Fact, FactView]:
    return {one.fact: one for one in arrival_view(hand.bay.state.jobs[CAR], PARTS)}


def test_of_a_car_of_which_nothing_was_told_each_part_says_what_it_is_for(hand: HandBay):
    views = shown(hand)
    assert tuple(views) == PARTS
    assert not any(one.told for one in views.values())
    assert views[Fact.KEY_HOOK].known == "where the key hangs"


def test_what_was_told_stands_on_its_part(hand: HandBay):
    told = Identity(plate="BY 7", mileage=Mileage(figure=88_001, unit="mi"), wishes=("gloss", "no scent", "call"))
    assert hand.bay.request(GiveIdentity(CAR, told)).accepted
    views = shown(hand)
    assert (views[Fact.PLATE].known, views[Fact.PLATE].told) == ("BY 7", True)
    assert views[Fact.MILEAGE].known == "88,001 miles"
    assert views[Fact.WISHES].known == "gloss, and 2 more"
    assert not views[Fact.KEY_HOOK].told


def test_only_what_can_be_opened_is_offered(hand: HandBay):
    offered = arrival_view(hand.bay.state.jobs[CAR], (Fact.WISHES,))
    assert [one.fact for one in offered] == [Fact.WISHES]


def test_kilometres_are_told_from_miles():
    assert mileage_text(Mileage(figure=1_250)) == "1,250 km"


@pytest.mark.parametrize(("wishes", "text"), [((), ""), (("gloss",), "gloss"), (("a", "b"), "a, and 1 more")])
def test_wishes_in_a_line(wishes: tuple[str, ...], text: str):
    assert wishes_text(wishes) == text
