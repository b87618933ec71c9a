"""The row of bays on the settings: one more, a name, a curtain, a sensor, one less."""

from bayapp.job import SetUpPlaces
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.pages.settings.named_bays import (
    Curtain,
    OneBay,
    bays_text,
    curtain_moved,
    one_less,
    one_more,
    renamed,
    row_of_bays,
    sensor_moved,
)
from tests.job.builders import Shop
from tests.job.gate.places import BAY_1, BAY_2, BAYS, CAR, DIVIDED, moved, two_cars


def asked(shop: Shop, request: SetUpPlaces) -> tuple[Bay, ...]:
    shop.must(request, 10)
    return shop.state.places.bays


def test_bays_are_added_one_by_one_under_the_first_free_number():
    shop = two_cars()
    assert bays_text(shop.state.places) == "one, without a name"
    for count in (1, 2, 3):
        bays = asked(shop, one_more(shop.state.places))
        assert [bay.name for bay in bays] == [f"Bay {n}" for n in range(1, count + 1)]
    asked(shop, one_less(shop.state.places, BAY_1))
    assert [(bay.id, bay.name) for bay in asked(shop, one_more(shop.state.places))] == [
        ("bay-2", "Bay 2"),
        ("bay-3", "Bay 3"),
        ("bay-4", "Bay 1"),
    ], "a number is free again, an id never"


def test_the_row_tells_what_stands_in_a_bay_and_what_hangs_between_two():
    shop = moved(CAR, BAY_1, BAYS)
    assert row_of_bays(shop.state) == (
        OneBay(BAY_1, "Front bay", "Red car"),
        Curtain(BAY_1, "Front bay – Back bay", "no curtain: one air", hangs=False),
        OneBay(BAY_2, "Back bay", "free"),
    )
    assert bays_text(shop.state.places) == "Front bay – Back bay"
    assert asked(shop, curtain_moved(shop.state.places, BAY_1)) == DIVIDED
    assert row_of_bays(shop.state)[1] == Curtain(
        BAY_1, "Front bay | Back bay", "curtain: no dust or water passes", hangs=True
    )
    assert bays_text(shop.state.places) == "Front bay | Back bay"
    assert asked(shop, curtain_moved(shop.state.places, BAY_1)) == BAYS


def test_a_name_typed_in_capitals_is_written_as_names_are():
    shop = moved(CAR, BAY_1)
    assert [bay.name for bay in asked(shop, renamed(shop.state.places, BAY_1, "WASH BAY "))] == ["Wash bay", "Back bay"]
    assert [bay.name for bay in asked(shop, renamed(shop.state.places, BAY_1, "Wash-Bay"))] == ["Wash-Bay", "Back bay"]


def test_a_sensor_stands_in_one_bay_or_in_none():
    shop = moved(CAR, BAY_1)
    for bay, stands in ((BAY_1, {"wall": BAY_1}), (BAY_2, {"wall": BAY_2}), (BAY_2, {})):
        shop.must(sensor_moved(shop.state.places, "wall", bay), 10)
        assert shop.state.places.sensors == stands


def test_a_bay_that_goes_leaves_the_curtain_between_those_that_remain():
    shop = moved(CAR, BAY_1)
    third = one_more(shop.state.places)
    shop.must(third, 3)
    shop.must(curtain_moved(shop.state.places, BAY_2), 4)
    first, last = asked(shop, one_less(shop.state.places, BAY_2))
    assert (first.id, first.curtain, last.id) == (BAY_1, True, "bay-3")
    assert not shop.state.places.same_air(first.id, last.id)
    assert not shop.state.places.same_air(first.id, OUTSIDE)
