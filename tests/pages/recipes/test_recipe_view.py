"""What the pages of recipes and sheets offer, and in which words."""

import pytest

from bayapp.files.library import Library
from bayapp.job.model.ids import Motion
from bayapp.job.model.wait_tables import By
from bayapp.pages.recipes.product_sheet import Row, Sheet
from bayapp.pages.recipes.product_sheet_view import against, answered, question, row_text, sheet_view, switched
from bayapp.pages.recipes.recipe_edit import RecipeDraft
from bayapp.pages.recipes.recipe_rungs import wait_words
from bayapp.pages.recipes.recipe_view import edited_recipe, shown_recipe
from bayapp.text.figures import TemperatureUnit, Units, use_units

LIBRARY = Library()


@pytest.fixture
def fahrenheit():
    use_units(Units(temperature=TemperatureUnit.FAHRENHEIT))
    yield
    use_units(Units())


def draft_of(name: str) -> RecipeDraft:
    return RecipeDraft.of(LIBRARY.load_recipe(name))


def keys(view) -> list[str]:
    return [field.key for field in view.fields]


def test_only_what_is_our_own_is_offered_another_name():
    draft = draft_of("paint-two-layers")
    assert "rename" in keys(shown_recipe(draft, ours=True))
    shipped = shown_recipe(draft, ours=False)
    assert "rename" not in keys(shipped)
    assert "stays" in shipped.note


def test_a_recipe_to_look_at_tells_its_work_its_cure_and_its_cautions():
    draft, coat = draft_of("paint-two-layers"), LIBRARY.load_product("paint-coat")
    view = shown_recipe(draft, ours=True, products=[coat])
    work = sum(step.minutes for step in LIBRARY.load_recipe("paint-two-layers").step)
    assert f"{work:g} min of work" in view.notes[0]
    assert "keep it dry" in view.notes[1]
    assert "safety sheet comes first" in view.notes[3]


@pytest.mark.parametrize("name", LIBRARY.names("recipe"))
def test_every_step_of_every_recipe_can_be_opened_and_offers_what_it_has(name: str):
    draft = draft_of(name)
    for place, step in enumerate(LIBRARY.load_recipe(name).step):
        view = edited_recipe(draft, place, "x")
        assert view.trouble == ""
        assert len(set(keys(view))) == len(view.fields)
        assert ("motion" in keys(view)) == (step.kind == "coat")
        assert ("lapse" in keys(view)) == bool(step.wait and step.wait.max is not None)
        assert ("max" in keys(view)) == bool(place or step.wait)


@pytest.mark.parametrize(
    ("wait", "words"),
    [
        ({"min": 5.0}, "not before 5 min"),
        ({"max": 30.0}, "within 30 min"),
        ({"min": 5.0, "max": 120.0}, "5 min to 2 h later"),
        ({"min": 1.0, "max": 8.0, "max_from": "start"}, "after 1 min, 8 min from first stroke"),
        ({"of": "all-glass", "min": 15.0}, "not before 15 min, after all glass"),
        ({"of": "trim", "also": ["car"], "after": "mask"}, "at once, after trim and car"),
        ({"of": "block"}, "at once, all zones done"),
    ],
)
def test_a_wait_is_said_in_few_words(wait, words):
    draft = draft_of("glass-one-layer")
    step = {**draft.steps[-1], "wait": wait}
    found = wait_words(RecipeDraft(draft.head, (*draft.steps[:-1], step)), len(draft.steps) - 1)
    assert found == words


def test_the_sheet_asks_for_the_next_layer_only_where_there_is_one():
    assert "recoat_min" not in keys(sheet_view(Sheet()))
    assert "recoat_min" in keys(sheet_view(Sheet(layers=2)))


def test_an_answer_is_held_against_what_was_said_before_and_not_against_what_is_still_missing():
    sheet = Sheet(buff_min=15.0)
    assert sheet.trouble()
    assert "before the earliest" in against(sheet, "buff_max", 5.0)
    assert against(sheet, "buff_max", 50.0) == ""
    assert against(sheet, "buff_max", None) == ""
    assert "cannot be levelled" in against(sheet, "level_within_min", 2.0)
    assert "lowest is above" in against(answered(sheet, "rh", 60.0, 0), "rh", 30.0, 1)


def test_what_the_sheet_does_not_say_is_left_empty_and_the_time_of_a_coat_is_always_known():
    sheet = answered(Sheet(), "dry_hours", 12.0)
    assert answered(sheet, "dry_hours", None).dry_hours is None
    assert answered(sheet, "coat_min", None).coat_min == Sheet().coat_min
    assert answered(sheet, "opened_days", 90.0).opened_days == 90
    assert switched(sheet, "polish").polish
    assert switched(switched(sheet, "polish"), "polish") == sheet


def test_temperatures_are_asked_and_kept_as_the_shop_reads_them(fahrenheit):
    """32 °F are 0 °C and 212 °F are 100 °C by definition; 50 °F are 10 °C, 86 °F are 30 °C."""
    sheet = answered(answered(Sheet(), "air_c", 50.0, 0), "air_c", 86.0, 1)
    assert sheet.air_c == pytest.approx((10.0, 30.0))
    assert question(sheet, "air_c", 1).now == pytest.approx(86.0)
    assert question(sheet, "air_c").unit == "°F"
    assert row_text(Row(10.0, 20.0, 120.0)) == "50 °F: 20 min to 2 h"
    assert row_text(Row(40.0, 20.0, by=By.HUMIDITY)) == "40 %: from 20 min"


def test_the_strokes_of_every_layer_are_shown():
    sheet = Sheet(layers=3, motions=(Motion.VERTICAL, Motion.HORIZONTAL))
    (motions,) = [f.title for f in sheet_view(sheet).fields if f.key == "motions"]
    assert motions == "up and down, across, as one likes"
