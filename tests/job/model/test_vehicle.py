import pytest
from pydantic import ValidationError

from bayapp.job.model.vehicle import VehicleForm
from tests.job.builders import form

ZONES = ("a", "b", "c")


def refused(**changes):
    data = form(ZONES, {}).model_dump() | changes
    with pytest.raises(ValidationError) as error:
        VehicleForm.model_validate(data)
    return str(error.value)


def zone(name, **more):
    return {"id": name, "name": name, "surface": "paint", "area_m2": 1, **more}


def test_sets_stand_for_zones_by_way_of_other_sets_each_zone_once_in_order():
    made = form(ZONES, {"pair": ("b", "a"), "all": ("pair", "c", "a")})
    assert made.zones_of(["all"]) == ("b", "a", "c")
    assert made.zones_of(["c", "pair", "b"]) == ("c", "b", "a")


def test_a_name_the_form_lacks_is_a_key_error_that_names_it():
    with pytest.raises(KeyError, match="roof"):
        form(ZONES, {}).zones_of(["a", "roof"])
    with pytest.raises(KeyError, match="roof"):
        form(ZONES, {}).zone_named("roof")  # type: ignore[arg-type]
    assert form(ZONES, {}).zone_named("b").name == "b"  # type: ignore[arg-type]


def test_a_zone_stands_once():
    assert "zone id 'a' stands twice" in refused(zone=[zone("a"), zone("a")])


def test_a_name_is_a_zone_or_a_set_and_not_both():
    assert "both a zone and a set" in refused(sets={"a": ("b",)})


def test_a_set_names_only_what_the_form_has():
    assert "neither a zone nor a set" in refused(sets={"pair": ("a", "roof")})


@pytest.mark.parametrize("sets", [{"x": ("x",)}, {"x": ("y",), "y": ("x",)}])
def test_a_set_does_not_contain_itself(sets):
    assert "contains itself" in refused(sets=sets)


def test_a_set_is_not_empty():
    assert "is empty" in refused(sets={"none": ()})


def test_neighbours_and_titles_name_what_the_form_has():
    assert "neighbour 'roof'" in refused(zone=[zone("a", neighbours=("roof",))])
    assert "no set of this form" in refused(set_titles={"pair": "the pair"})


@pytest.mark.parametrize(
    "changes", [{"wheels": 4}, {"format": "bayapp-vehicle/2"}, {"zone": []}, {"drawing": "../x.svg"}]
)
def test_what_the_format_does_not_know_is_refused(changes):
    assert next(iter(changes)) in refused(**changes)


@pytest.mark.parametrize("bad", ["Roof", "left door", "-a", "a--b", ""])
def test_ids_are_small_words_joined_by_hyphens(bad):
    assert "id" in refused(zone=[zone(bad)])


def test_the_car_itself_has_the_id_that_waits_name_it_by():
    assert "must have the id 'car'" in refused(zone=[{**zone("whole"), "surface": "car"}])
