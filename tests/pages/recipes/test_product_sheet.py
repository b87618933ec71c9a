"""From the answers of a product sheet to steps and a product: what is refused, what is built, that it comes back."""

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bayapp.air import dew_point
from bayapp.files.documents import read_document
from bayapp.files.save_document import save_document
from bayapp.job import Product, Recipe
from bayapp.job.model.ids import Motion, StepId, StepKind
from bayapp.job.model.job import JobFile, resolve
from bayapp.job.model.wait_tables import By
from bayapp.job.state.requests import ReadAir
from bayapp.job.text.naming import span_text
from bayapp.pages.recipes.product_sheet import MOST_LAYERS, SURFACES, Row, Sheet, cautions
from tests.recipes.shipped import CAR, MS, START, Car, minutes, vehicle_named

DAY = date(2026, 11, 25)

# Typical of such sheets, from memory; common practice, no source.
PAINT = Sheet(
    surface="paint",
    layers=2,
    motions=(Motion.HORIZONTAL, Motion.VERTICAL),
    polish=True,
    wipe_holds_min=20.0,
    flash_min=1.0,
    level_within_min=8.0,
    recoat_min=60.0,
    recoat_max=240.0,
    buff_min=10.0,
    buff_max=60.0,
    dry_hours=12.0,
    drive_hours=1.0,
    months=24,
    air_c=(10.0, 30.0),
    surface_c=(10.0, 30.0),
    rh=(30.0, 75.0),
    coverage=5.0,
    opened_days=90,
)


def changed(**said) -> Sheet:
    return replace(PAINT, **said)


def test_the_sheet_becomes_the_ladder_that_a_person_would_write():
    recipe = PAINT.recipe("own-paint")
    assert [s.id for s in recipe.step] == [
        *("decontaminate", "polish", "wipe", "coat-1", "level-1", "coat-2", "level-2", "buff"),
    ]
    assert recipe.title == "Paint, 2 layers"
    assert recipe.surfaces == ("paint",)
    coat = recipe.named(StepId("coat-2"))
    assert coat.wait
    assert (coat.wait.after, coat.wait.min, coat.wait.max) == ("coat-1", 60.0, 240.0)
    level = recipe.named(StepId("level-1"))
    assert level.wait
    assert (level.wait.min, level.wait.max, level.wait.max_from) == (1.0, 8.0, "start")
    assert [s.motion for s in recipe.step if s.kind is StepKind.COAT] == [Motion.HORIZONTAL, Motion.VERTICAL]
    assert recipe.finish.keep_dry_hours == 12.0


def test_every_coat_is_laid_from_the_product_of_the_sheet():
    recipe, product = PAINT.recipe("own-paint"), PAINT.product("own-paint", DAY)
    assert {s.product for s in recipe.step if s.kind is StepKind.COAT} == {product.name}
    assert product.air_c == (10.0, 30.0)
    assert product.rh_percent == (30.0, 75.0)
    assert product.coverage_ml_per_m2 == 5.0
    assert product.opened_life_days == 90


def test_the_safety_sheet_comes_first_and_the_day_of_typing_second():
    product = PAINT.product("own-paint", DAY)
    assert "safety sheet comes first" in product.cautions[0]
    assert product.cautions[1] == "Made from the sheet as typed on 25 Nov 2026; compare with the sheet."


@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("solvent", [True, False])
def test_no_product_is_without_the_usual_cautions(surface, solvent):
    said = " ".join(cautions(surface, solvent, DAY))
    wanted = ["gloves", "glasses", "metal can", *(["no flame", "air the bay"] if solvent else [])]
    wanted += {"tip": ["cold metal"], "caliper": ["cold metal"], "cabin": ["air bags"], "tyre": ["tread"]}.get(
        surface, []
    )
    assert [word for word in wanted if word not in said] == []


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"surface": None}, "what the product is for"),
        ({"recoat_min": None}, "next layer may be laid"),
        ({"recoat_max": 30.0}, "before the earliest"),
        ({"buff_max": 5.0}, "before the earliest"),
        ({"level_within_min": 3.5}, "cannot be levelled within 3.5 min"),
        ({"level_within_min": 0.5, "level_from_last": True}, "within 0.5 min of its last stroke"),
        ({"rows": {"flash": (Row(10.0, 2.0, 6.0), Row(20.0, 1.0, 4.0))}}, "stands twice"),
        ({"air_c": (30.0, 10.0)}, "lowest is above"),
        ({"rows": {"recoat": (Row(20.0, 60.0, 240.0),)}}, "no table"),
        ({"rows": {"recoat": (Row(20.0, 60.0, 240.0), Row(20.0, 50.0, 240.0))}}, "two rows for 20 °C"),
        ({"rows": {"recoat": (Row(10.0, 120.0, 90.0), Row(20.0, 60.0, 240.0))}}, "before the earliest"),
        ({"rows": {"buff": (Row(10.0, 20.0, 90.0), Row(20.0, 10.0))}}, "fill them all"),
        (
            {"rows": {"buff": (Row(40.0, 20.0, by=By.HUMIDITY), Row(40.0, 10.0, by=By.HUMIDITY))}},
            "two rows for 40 %",
        ),
        ({"rows": {"buff": (Row(10.0, 20.0), Row(40.0, 10.0, by=By.HUMIDITY))}}, "temperature or on humidity"),
        ({"rows": {"buff": (Row(40.0, 9.0, by=By.HUMIDITY), Row(140.0, 5.0, by=By.HUMIDITY))}}, "cannot be so"),
        ({"coat_min": 2_000.0, "level_within_min": 9_000.0}, "cannot be so"),
        ({"air_c": (-200.0, 10.0)}, "cannot be so"),
    ],
)
def test_what_is_missing_or_cannot_be_is_said_in_plain_words_and_nothing_is_built(said, words):
    sheet = changed(**said)
    assert words in sheet.trouble()
    with pytest.raises(ValueError, match=re.escape(sheet.trouble())):
        sheet.recipe("own")
    with pytest.raises(ValueError, match=re.escape(sheet.trouble())):
        sheet.product("own", DAY)


def test_an_empty_sheet_asks_for_what_it_needs_first():
    assert Sheet().trouble() == "Say what the product is for."
    assert Sheet(surface="tyre", dry_hours=1.0).trouble() == ""


def test_what_a_sheet_does_not_say_stays_unsaid_and_one_end_of_a_limit_is_enough():
    silent = changed(dry_hours=None, drive_hours=None, rh=(None, 75.0), air_c=(5.0, None))
    assert silent.trouble() == ""
    assert silent.recipe("own").finish.duration == timedelta()
    product = silent.product("own", DAY)
    assert (product.rh_percent, product.air_c) == ((0.1, 75.0), (5.0, 90.0))
    assert span_text(By.HUMIDITY, 0.1, 75.0) == "at most 75 %"
    assert span_text(By.TEMPERATURE, 5.0, 90.0) == "at least 5 °C"


def test_levelling_may_count_from_the_last_stroke_or_have_no_latest_moment():
    ladder = changed(level_within_min=4.0, level_from_last=True).recipe("own")
    wait = ladder.named(StepId("level-1")).wait
    assert wait
    assert (wait.max, wait.max_from) == (4.0, "end")
    open_ended = changed(level_within_min=None).recipe("own").named(StepId("level-1")).wait
    assert open_ended
    assert (open_ended.min, open_ended.max) == (PAINT.flash_min, None)


def test_the_upper_values_of_a_flash_are_kept_and_count_from_the_last_stroke():
    rows = (Row(10.0, 2.0, 6.0), Row(20.0, 1.0, 4.0))
    wait = changed(level_within_min=None, rows={"flash": rows}).recipe("own").named(StepId("level-1")).wait
    assert wait
    assert (wait.min_by_c, wait.max_by_c) == (((10.0, 2.0), (20.0, 1.0)), ((10.0, 6.0), (20.0, 4.0)))
    assert wait.max_from == "end"


def test_rows_of_temperature_become_the_wait_and_its_base_is_the_row_nearest_to_twenty():
    rows = (Row(10.0, 120.0, 480.0), Row(20.0, 60.0, 240.0), Row(30.0, 30.0, 120.0))
    sheet = Sheet(surface="paint", layers=2, dry_hours=12.0).with_rows("recoat", reversed(rows))
    wait = sheet.recipe("own").named(StepId("coat-2")).wait
    assert wait
    assert wait.min_by_c == ((10.0, 120.0), (20.0, 60.0), (30.0, 30.0))
    assert wait.max_by_c == ((10.0, 480.0), (20.0, 240.0), (30.0, 120.0))
    assert (wait.min, wait.max) == (60.0, 240.0)
    assert sheet.with_rows("recoat", ()).rows == {}


def test_rows_of_humidity_become_the_wait_and_its_base_is_the_row_nearest_to_fifty():
    rows = tuple(Row(at, least, most, By.HUMIDITY) for at, least, most in ((30.0, 90.0, 300.0), (50.0, 60.0, 240.0)))
    sheet = Sheet(surface="paint", layers=2, dry_hours=12.0).with_rows("recoat", reversed(rows))
    wait = sheet.recipe("own").named(StepId("coat-2")).wait
    assert wait
    assert wait.min_by_rh == ((30.0, 90.0), (50.0, 60.0))
    assert wait.max_by_rh == ((30.0, 300.0), (50.0, 240.0))
    assert (wait.min, wait.max, wait.min_by_c) == (60.0, 240.0, None)


def car_by_the_sheet() -> Car:
    recipe, product = PAINT.recipe("own"), PAINT.product("own", DAY)
    work = [{"zones": ["bonnet"], "recipe": "own"}]
    written = JobFile.model_validate(
        {"format": "bayapp-job/1", "title": "Test car", "vehicle": "estate", "start": START, "work": work}
    )
    return Car(resolve(written, CAR, vehicle_named("estate"), lambda name: recipe, lambda name: product))


def test_a_car_worked_by_a_typed_sheet_opens_and_lapses_when_the_sheet_says():
    """Played through the gate at both edges of what was typed."""
    car = car_by_the_sheet()
    car.upto("bonnet", "coat-1")
    car.do("bonnet", "coat-1")
    laid = car.now
    first_stroke = laid - minutes(3)
    assert not car.may_start("bonnet", "level-1", laid + minutes(1) - MS).accepted
    assert car.may_start("bonnet", "level-1", laid + minutes(1)).accepted
    assert car.may_start("bonnet", "level-1", first_stroke + minutes(8)).accepted
    assert not car.may_start("bonnet", "level-1", first_stroke + minutes(8) + MS).accepted
    car.do("bonnet", "level-1")
    for moment in (60, 240):
        car.now = laid + minutes(moment - 1)  # a reading stays fresh for half an hour
        car.read_air()
        assert car.may_start("bonnet", "coat-2", laid + minutes(moment)).accepted
        beyond = -MS if moment == 60 else MS
        assert not car.may_start("bonnet", "coat-2", laid + minutes(moment) + beyond).accepted


@pytest.mark.parametrize(("air_c", "fit"), [(9.5, False), (10.0, True), (30.0, True), (30.5, False)])
def test_a_coat_is_held_to_the_air_that_was_typed(air_c, fit):
    """At 50 % the dew point lies more than 9 K below: only the sheet's own 10 to 30 °C can stand against it."""
    assert dew_point(air_c, 50.0) < air_c - 9
    car = car_by_the_sheet()
    car.upto("bonnet", "coat-1")
    car.put(ReadAir(air_c, 50.0, air_c))
    assert car.may_start("bonnet", "coat-1", car.now).accepted is fit


AMOUNT = st.one_of(st.none(), st.integers(0, 600).map(float), st.integers(0, 99).map(lambda n: n / 10))
PAIR = st.one_of(
    st.just((None, None)),
    st.tuples(st.integers(1, 40).map(float), st.integers(41, 90).map(float)),
    st.tuples(AMOUNT, AMOUNT),
)
ROWS = st.sampled_from(By).flatmap(
    lambda by: st.lists(
        st.builds(Row, st.integers(-5, 40).map(float), st.integers(0, 300).map(float), AMOUNT, st.just(by)), max_size=4
    ).map(tuple)
)
SHEETS = st.builds(
    Sheet,
    surface=st.one_of(st.none(), st.sampled_from(SURFACES)),
    layers=st.integers(1, MOST_LAYERS),
    motions=st.lists(st.sampled_from(Motion), max_size=MOST_LAYERS).map(tuple),
    coat_min=st.integers(1, 60).map(float),
    polish=st.booleans(),
    wipe=st.booleans(),
    wipe_holds_min=AMOUNT,
    flash_min=AMOUNT,
    level_within_min=AMOUNT,
    recoat_min=AMOUNT,
    recoat_max=AMOUNT,
    buff_min=AMOUNT,
    buff_max=AMOUNT,
    dry_hours=AMOUNT,
    drive_hours=AMOUNT,
    months=st.one_of(st.none(), st.integers(1, 300)),
    air_c=PAIR,
    surface_c=PAIR,
    rh=PAIR,
    coverage=AMOUNT,
    opened_days=st.one_of(st.none(), st.integers(1, 5_000)),
    solvent=st.booleans(),
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(SHEETS, st.dictionaries(st.sampled_from(["flash", "recoat", "buff"]), ROWS, max_size=2))
def test_any_sheet_is_either_called_wrong_or_built_saved_and_loaded_equal(tmp_path: Path, sheet: Sheet, rows):
    for wait, its in rows.items():
        sheet = sheet.with_rows(wait, its)
    if sheet.trouble():
        with pytest.raises(ValueError, match=re.escape(sheet.trouble())):
            sheet.recipe("typed")
        return
    recipe, product = sheet.recipe("typed"), sheet.product("typed", DAY)
    for name, model, kind in (("r", recipe, Recipe), ("p", product, Product)):
        path = tmp_path / f"{name}.toml"
        save_document(path, model)
        assert read_document(path, kind)[0] == model
    assert sheet.draft("typed").trouble() == ""


RIGHT = st.builds(
    Sheet,
    surface=st.sampled_from(SURFACES),
    layers=st.integers(1, MOST_LAYERS),
    motions=st.lists(st.sampled_from(Motion), max_size=MOST_LAYERS).map(tuple),
    coat_min=st.integers(1, 10).map(float),
    polish=st.booleans(),
    flash_min=st.one_of(st.none(), st.integers(0, 5).map(float)),
    level_within_min=st.integers(16, 60).map(float),
    recoat_min=st.integers(0, 60).map(float),
    recoat_max=st.one_of(st.none(), st.integers(60, 600).map(float)),
    buff_min=st.integers(0, 60).map(float),
    buff_max=st.one_of(st.none(), st.integers(60, 600).map(float)),
    dry_hours=st.integers(0, 72).map(float),
)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(RIGHT)
def test_a_sheet_of_sensible_figures_is_always_built_and_comes_back(tmp_path: Path, sheet: Sheet):
    assert sheet.trouble() == ""
    recipe = sheet.recipe("typed")
    assert recipe.layers == sheet.layers
    save_document(tmp_path / "r.toml", recipe)
    assert read_document(tmp_path / "r.toml", Recipe)[0] == recipe
