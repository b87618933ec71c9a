"""What is wrong in a file that a person wrote is said in one whole sentence; numbers are taken to their very bounds."""

from typing import Any

import pytest
from pydantic import ValidationError

from bayapp.job.model.job import JobFile
from bayapp.job.model.misfit import KeyMisfitError
from bayapp.job.model.product import Product, Solvent
from bayapp.job.model.recipe import Aftercare, Step, Wait
from bayapp.job.model.vehicle import VehicleForm, Zone
from bayapp.job.state.events import BottleShelved
from tests.job.builders import form, recipe, step

BY_C, BY_RH, MAX_BY_C = [[10, 8.0], [20, 5.0], [30, 3.0]], [[30, 12], [60, 8]], [[10, 60.0], [30, 20.0]]


def the_error(made: Any, *values: Any, **more: Any) -> Any:
    with pytest.raises(ValidationError) as refused:
        made(*values, **more)
    return refused.value.errors()[0]


def sentence(error: Any) -> str:
    said: str = error["msg"]
    return said.removeprefix("Value error, ")


NO_AIR = (
    "min_by_c is for {least} and max_by_c for {most}: in no air do both hold; "
    "give both the rows that the sheet has for the same air"
)
NO_ROW = (
    "{edge} is 6 min, but no row of {table} has that; with a table {edge} only names the row shown as the base, "
    "so leave it out or take a row's minutes"
)


@pytest.mark.parametrize(
    ("wait", "key", "says"),
    [
        ({"min": 5, "max": 4}, "max", "max (4 min) is less than min (5 min); no moment would be right"),
        (
            {"min": 1, "lapse": "wipe"},
            "lapse",
            "lapse says what a missed latest moment costs, but there is no max; give max as well",
        ),
        (
            {"min": 1, "max_from": "start"},
            "max_from",
            'max_from = "start" says how max counts, but there is no max; give max as well',
        ),
        (
            {"min_by_c": BY_C, "min_by_rh": BY_RH},
            "min_by_c",
            "min_by_c and min_by_rh both say how long; no sheet says how they go together, so give one",
        ),
        (
            {"max_by_c": MAX_BY_C, "max_by_rh": BY_RH},
            "max_by_c",
            "max_by_c and max_by_rh both say how long; no sheet says how they go together, so give one",
        ),
        ({"min": 6, "min_by_c": BY_C}, "min", NO_ROW.format(edge="min", table="min_by_c")),
        ({"max": 6, "max_by_rh": BY_RH}, "max", NO_ROW.format(edge="max", table="max_by_rh")),
        (
            {"min_by_c": BY_C, "max_by_c": [[31, 60], [40, 50]]},
            "min_by_c",
            NO_AIR.format(least="10 to 30", most="31 to 40"),
        ),
        (
            {"min_by_c": BY_C, "max_by_c": [[0, 80], [9.9, 60]]},
            "min_by_c",
            NO_AIR.format(least="10 to 30", most="0 to 9.9"),
        ),
        (
            {"min_by_c": BY_C, "max_by_c": [[10, 7], [30, 20]]},
            "max",
            "max (7 min) is less than min (8 min) in some air; no moment would be right",
        ),
        (
            {"min": 30, "max_by_c": MAX_BY_C},
            "max",
            "max (20 min) is less than min (30 min) in some air; no moment would be right",
        ),
        (
            {"min_by_c": BY_C, "max": 7},
            "max",
            "max (7 min) is less than min (8 min) in some air; no moment would be right",
        ),
        (
            {"min_by_c": BY_C, "max_by_rh": [[30, 12], [60, 7.5]]},
            "max",
            "max (7.5 min) is less than min (8 min) in some air; no moment would be right",
        ),
    ],
)
def test_a_wait_that_cannot_be_names_the_key_to_look_at(wait: dict[str, Any], key: str, says: str):
    error = the_error(Wait.model_validate, wait)
    misfit = error["ctx"]["error"]
    assert isinstance(misfit, KeyMisfitError)
    assert (misfit.key, sentence(error)) == (key, says)


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ([[10, 8]], "a table has at least two rows, e.g. [[10, 8], [20, 5]]; for one value write min or max"),
        ([[10, 8], [10, 5]], "the row of 10 comes after the row of 10; write each once, the lowest first"),
        ([[60.5, 8], [30, 12]], "the row of 30 comes after the row of 60.5; write each once, the lowest first"),
    ],
)
@pytest.mark.parametrize("key", ["min_by_c", "max_by_rh"])
def test_a_table_that_does_not_rise_is_reported(key: str, table: list[list[float]], says: str):
    error = the_error(Wait.model_validate, {key: table})
    assert (error["loc"], sentence(error)) == ((key,), says)


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        (
            [step("wipe", layer=1)],
            "step 'wipe' has a layer or a motion, but its kind is wipe; only a coat has",
        ),
        (
            [step("polish", motion="vertical")],
            "step 'polish' has a layer or a motion, but its kind is polish; only a coat has",
        ),
        ([step("wipe"), step("wipe")], "step id 'wipe' stands twice; give each step an id of its own"),
        (
            [step("coat-a", any_order="x"), step("wipe"), step("coat-b", any_order="x")],
            "steps of any_order 'x' do not stand side by side",
        ),
        (
            [step("coat", wait={"min": 1})],
            "the first step 'coat' has a wait, but there is no step before it to wait for",
        ),
        (
            [step("wipe"), step("coat", wait={"after": "level"}), step("level")],
            "the wait of step 'coat' counts after 'level', which comes no earlier: a cycle",
        ),
        (
            [step("wipe"), step("coat", wait={"after": "polish"})],
            "the wait of step 'coat' counts after 'polish', which is no step of this recipe",
        ),
    ],
)
def test_a_recipe_that_cannot_be_climbed_says_which_step_is_wrong(steps: list[dict[str, Any]], says: str):
    assert sentence(the_error(recipe, *steps)) == says


def zone(name: str, **more: Any) -> dict[str, Any]:
    return {"id": name, "name": name, "surface": "paint", "area_m2": 1, **more}


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"zone": [zone("a"), zone("a")]}, "zone id 'a' stands twice; give each zone an id of its own"),
        ({"sets": {"a": ("b",)}}, "'a' is both a zone and a set; rename one of them"),
        (
            {"sets": {"pair": ("a", "roof")}},
            "set 'pair' names 'roof', which is neither a zone nor a set of this form",
        ),
        ({"sets": {"x": ("y",), "y": ("x",)}}, "set 'x' contains itself by way of x -> y"),
        ({"sets": {"none": ()}}, "set 'none' is empty; name at least one zone or leave the set out"),
        (
            {"zone": [zone("a", neighbours=("roof",))]},
            "zone 'a' names a neighbour 'roof' that is no zone of this form",
        ),
        ({"set_titles": {"pair": "the pair"}}, "set_titles names 'pair', which is no set of this form"),
    ],
)
def test_a_form_whose_names_do_not_go_together_says_which(changes: dict[str, Any], says: str):
    data = form(("a", "b"), {}).model_dump() | changes
    assert sentence(the_error(VehicleForm.model_validate, data)) == says


@pytest.mark.parametrize(
    ("product", "says"),
    [
        ({"air_c": (30, 10)}, "air_c goes from 30 to 10; write the lower limit first"),
        ({"surface_c": (30, 10.5)}, "surface_c goes from 30 to 10.5; write the lower limit first"),
        ({"rh_percent": (75, 30)}, "rh_percent goes from 75 to 30; write the lower limit first"),
        (
            {"temperature_rule": "halves-per-10-c"},
            "temperature_rule needs temperature_rule_at_c: the °C for which the sheet gives its minutes, e.g. 20",
        ),
        (
            {"temperature_rule_at_c": 20},
            'temperature_rule_at_c does nothing alone; write temperature_rule = "halves-per-10-c" as well',
        ),
    ],
)
def test_a_product_whose_keys_do_not_go_together_says_what_to_write(product: dict[str, Any], says: str):
    assert sentence(the_error(Product.model_validate, {"name": "pane", **product})) == says


@pytest.mark.parametrize(
    ("key", "lowest", "highest"), [("air_c", -40, 90), ("surface_c", -40, 90), ("rh_percent", 0.001, 100)]
)
def test_limits_are_numbers_that_a_reading_may_say(key: str, lowest: float, highest: float):
    assert getattr(Product.model_validate({"name": "pane", key: (lowest, highest)}), key) == (lowest, highest)
    for low, high, place in ((lowest - 0.001, 50, 0), (50, highest + 0.001, 1), ("20", 50, 0), (20, float("nan"), 1)):
        assert the_error(Product.model_validate, {"name": "pane", key: (low, high)})["loc"] == (key, place)


def test_limits_of_one_value_are_taken():
    assert Product.model_validate({"name": "pane", "air_c": (20, 20)}).air_c == (20, 20)


def wrong_keys(model: Any, data: dict[str, Any]) -> set[object]:
    try:
        model.model_validate(data)
    except ValidationError as refused:
        return {error["loc"][0] for error in refused.errors()}
    return set()


SOLVENT = {
    "name": "spirit",
    "share": 1.0,
    "molar_mass_g": 60.1,
    "density_g_per_ml": 0.785,
    "day_ppm": 200.0,
    "short_ppm": 400.0,
}
STEP, ZONE, PRODUCT = step("coat"), zone("a"), {"name": "pane"}
JOB = {
    "format": "bayapp-job/1",
    "title": "Green car",
    "vehicle": "test-car",
    "start": "2026-11-25T08:00:00Z",
    "work": [{"zones": ["roof"], "recipe": "panel"}],
}
A_YEAR_H = 366 * 24
# model, what else it needs, key, the least and the greatest value that is taken; None: everything above nothing.
BOUNDS: list[tuple[Any, dict[str, Any], str, float | None, float]] = [
    (Aftercare, {}, "dust_free_minutes", 0, A_YEAR_H * 60),
    (Aftercare, {}, "keep_dry_hours", 0, A_YEAR_H),
    (Aftercare, {}, "no_drive_hours", 0, A_YEAR_H),
    (Aftercare, {}, "protects_months", 1, 240),
    (Aftercare, {}, "full_cure_days", 1, 365),
    (Wait, {}, "min", 0, A_YEAR_H * 60),
    (Wait, {}, "max", 0, A_YEAR_H * 60),
    (Step, STEP, "minutes", None, 24 * 60),
    (Step, STEP, "layer", 1, 20),
    (Zone, ZONE, "area_m2", None, 20),
    (Product, PRODUCT, "dew_margin_c", 0, 20),
    (Product, PRODUCT, "coverage_ml_per_m2", None, 2_000),
    (Product, PRODUCT, "opened_life_days", 1, 3_660),
    (Product, PRODUCT, "low_ml", 0, 25_000),
    (Product, PRODUCT, "density_g_per_ml", 0.5, 3),
    (Product, PRODUCT, "empty_bottle_g", 0, 5_000),
    (Solvent, SOLVENT, "share", None, 1),
    (Solvent, SOLVENT, "molar_mass_g", 10, 1_000),
    (Solvent, SOLVENT, "density_g_per_ml", 0.4, 2),
    (Solvent, SOLVENT, "day_ppm", None, 10_000),
    (Solvent, SOLVENT, "short_ppm", None, 10_000),
    (Solvent, SOLVENT, "flash_point_c", -60, 300),
    (Solvent, SOLVENT, "lower_explosive_percent", None, 50),
]


@pytest.mark.parametrize(
    ("model", "rest", "key", "least", "most"), BOUNDS, ids=lambda value: getattr(value, "__name__", None)
)
def test_a_number_is_taken_to_its_very_bounds_and_not_beyond(
    model: Any, rest: dict[str, Any], key: str, least: float | None, most: float
):
    def taken(value: object) -> bool:
        wrong = wrong_keys(model, {**rest, key: value})
        assert wrong in (set(), {key})
        return not wrong

    whole = key in ("protects_months", "full_cure_days", "layer", "opened_life_days")
    little = 1 if whole else 0.001
    assert taken(most)
    assert not taken(most + little)
    if least is None:
        assert taken(little)
        assert not taken(0)
    else:
        assert taken(least)
        assert not taken(least - little)
    assert not taken(str(most)), "text is no number"
    assert not taken(float("nan"))
    if whole:
        assert not taken(2.5)


@pytest.mark.parametrize(
    ("model", "rest", "key", "longest"),
    [
        (Step, STEP, "title", 60),
        (Step, STEP, "how", 180),
        (Product, PRODUCT, "title", 60),
        (Solvent, SOLVENT, "name", 60),
    ],
)
def test_a_text_is_taken_to_its_full_length_and_not_beyond(model: Any, rest: dict[str, Any], key: str, longest: int):
    assert getattr(model.model_validate({**rest, key: "x" * longest}), key) == "x" * longest
    assert the_error(model.model_validate, {**rest, key: "x" * (longest + 1)})["loc"] == (key,)


def test_a_person_has_a_name_of_at_most_forty_letters():
    assert JobFile.model_validate({**JOB, "crew": ["x" * 40]}).crew == ("x" * 40,)
    assert the_error(JobFile.model_validate, {**JOB, "crew": ["x" * 41]})["loc"] == ("crew", 0)
    assert the_error(JobFile.model_validate, {**JOB, "crew": [" "]})["loc"] == ("crew", 0)


@pytest.mark.parametrize("size", ["50", 0, 25_000.1, float("inf"), float("nan")])
def test_a_bottle_that_stands_in_the_journal_has_a_size_that_can_be(size: object):
    shelved = {"at": "2026-11-25T08:00:00Z", "bottle": "bottle-1", "product": PRODUCT}
    assert BottleShelved.model_validate({**shelved, "size_ml": 25_000}).size_ml == 25_000
    assert the_error(BottleShelved.model_validate, {**shelved, "size_ml": size})["loc"] == ("size_ml",)


def test_a_latest_moment_right_at_the_earliest_is_a_right_moment():
    assert Wait.model_validate({"min": 20, "max_by_c": MAX_BY_C}).by_table
    assert Wait.model_validate({"min_by_c": BY_C, "max": 8}).by_table


def test_what_is_not_said_of_a_product_or_a_step_is_nothing():
    product, made = Product.model_validate(PRODUCT), Step.model_validate(STEP)
    unsaid = product.model_dump(exclude={"format", "name"})
    assert unsaid == {**dict.fromkeys(unsaid), "title": "", "needs_bottle": False, "cautions": ()}
    assert (made.minutes, made.how, made.title, made.tool, made.product) == (5, None, None, None, None)
    assert (made.wet, made.dusty, made.any_order, made.wait, made.layer, made.motion) == (None,) * 6
    assert Aftercare().model_dump() == {
        "dust_free_minutes": 0,
        "keep_dry_hours": 0,
        "no_drive_hours": 0,
        "protects_months": None,
        "full_cure_days": None,
    }


def test_a_job_file_needs_no_more_than_a_car_and_work():
    found = JobFile.model_validate(JOB)
    assert (found.crew, found.recipe, found.product, found.promised) == ((), {}, {}, None)
