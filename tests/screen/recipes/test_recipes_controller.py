"""Recipes seen, made from a sheet, changed, taken in and given out by touches alone."""

from pathlib import Path

import pytest

from bayapp.files.documents import read_document
from bayapp.files.library import Library
from bayapp.job import Product, Recipe
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.wait_tables import By
from bayapp.pages.wanted import Page, ShowRecipe
from bayapp.paths import resource
from bayapp.screen.frame.choices import Choices
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.recipes.recipe_view import RecipePage
from bayapp.screen.recipes.recipes_controller import RecipesController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.screen.widgets.glove_button import GloveButton
from tests.pages.bays import CAR, hand_bay
from tests.screen.test_glove_audit import failings, overlaps
from tests.screen.walls import Walled, walled


@pytest.fixture
def board(tmp_path: Path):
    with hand_bay(tmp_path) as hand, walled(hand) as wall:
        wall.answer_all()
        yield wall


def controller(wall: Walled) -> RecipesController:
    found = wall.openers.recipes
    found.folders = lambda: [wall.hand.store / "stick"]
    return found


def page(wall: Walled) -> RecipePage:
    (shown,) = [p for p in wall.wall.findChildren(RecipePage) if p.isVisible()]
    return shown


def field(wall: Walled, key: str) -> GloveButton:
    """Return the button of a field, turned to where it stands on another page of them."""
    shown = page(wall)
    for _turn in range(4):
        if button := shown.button_of(key):
            return button
        wall.press(shown.fields[-1])
    raise AssertionError(key)


def typed(wall: Walled, text: str) -> TypingPage:
    (typing,) = wall.wall.findChildren(TypingPage)
    assert typing.isVisible()
    while typing.field.text:
        wall.press(typing.erase)
    for key in text:
        wall.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
    return typing


def type_in(wall: Walled, text: str) -> None:
    wall.press(typed(wall, text).record_button)


def answer(wall: Walled, key: str, text: str) -> None:
    wall.press(field(wall, key))
    type_in(wall, text)


def to_recipe(wall: Walled, surface: str, title: str) -> None:
    wall.wall.pages.want(Page.MORE)
    wall.choose("Recipes")
    wall.choose(surface)
    wall.choose(title)


def own(wall: Walled, kind: str = "recipes") -> list[str]:
    folder = wall.hand.store / kind
    return sorted(f.name for f in folder.iterdir()) if folder.is_dir() else []


def test_a_recipe_made_from_a_sheet_lies_in_the_shop_and_is_offered_first(board: Walled):
    board.wall.pages.want(Page.MORE)
    board.choose("Recipes")
    board.choose("New from a sheet")
    board.press(field(board, "surface"))
    board.choose("Paint")
    board.press(field(board, "layers"))
    board.choose("2 layers")
    board.press(field(board, "motions"))
    board.choose("Across")
    board.choose("Up and down")
    for key, text in (("flash_min", "1"), ("level_within_min", "8"), ("recoat_min", "60"), ("recoat_max", "240")):
        answer(board, key, text)
    for key, text in (("dry_hours", "12"), ("drive_hours", "1"), ("coverage", "5.5")):
        answer(board, key, text)
    board.press(field(board, "air_c"))
    type_in(board, "10")
    type_in(board, "30")
    board.press(page(board).main)
    assert own(board) == own(board, "products") == ["paint-2-layers.toml"]
    recipe = read_document(board.hand.store / "recipes" / "paint-2-layers.toml", Recipe)[0]
    product = read_document(board.hand.store / "products" / "paint-2-layers.toml", Product)[0]
    assert recipe.title == "Paint, 2 layers"
    assert [s.id for s in recipe.step][-4:] == ["coat-1", "level-1", "coat-2", "level-2"]
    assert recipe.step[4].wait
    assert recipe.step[4].wait.min == 60
    assert product.air_c == (10, 30)
    assert product.coverage_ml_per_m2 == 5.5
    assert "as typed on 2 Mar 2026" in product.cautions[1]
    board.choose("All recipes")
    board.choose("Paint")
    assert board.choices()[0] == "Paint, 2 layers"


def test_an_impossible_answer_is_refused_while_it_is_typed(board: Walled):
    board.wall.pages.want(Page.SHEET)
    answer(board, "buff_min", "15")
    board.press(field(board, "buff_max"))
    typing = typed(board, "5")
    assert "before the earliest" in typing.record_button.detail
    board.press(typing.record_button)
    assert typing.isVisible()
    type_in(board, "50")
    assert field(board, "buff_max").title == "50 min"


def test_rows_of_temperature_are_typed_one_by_one(board: Walled):
    board.wall.pages.want(Page.SHEET)
    board.press(field(board, "rows"))
    board.choose("Buffing")
    for row, add in ((("20", "10", "60"), "Add a row of temperature"), (("10", "20", "120"), "Add a row")):
        board.choose(add)
        for number in row:
            type_in(board, number)
    board.choose("Done")
    rows = controller(board).sheets.sheet.rows["buff"]
    assert [(r.at, r.least, r.most) for r in rows] == [(10, 20, 120), (20, 10, 60)]
    assert "by the air" in [r.detail for r in page(board).sketch.ladder.rungs][-1]  # type: ignore[union-attr]


def test_rows_of_humidity_are_typed_one_by_one_and_only_humidity_that_there_is(board: Walled):
    board.wall.pages.want(Page.SHEET)
    board.press(field(board, "rows"))
    board.choose("Buffing")
    board.choose("Add a row of humidity")
    assert "at most 100 %" in typed(board, "101").record_button.detail
    for number in ("60", "10", "60"):
        type_in(board, number)
    assert board.choices() == ["Add a row", "Done", "60 %: 10 min to 60 min"], "one wait hangs on one of the two"
    board.choose("Add a row")
    assert "humidity already" in typed(board, "60").record_button.detail
    for number in ("40", "20", "120"):
        type_in(board, number)
    board.choose("Done")
    rows = controller(board).sheets.sheet.rows["buff"]
    assert [(r.by, r.at, r.least, r.most) for r in rows] == [(By.HUMIDITY, 40, 20, 120), (By.HUMIDITY, 60, 10, 60)]


def test_rows_of_temperature_of_a_recipe_give_way_to_rows_of_humidity_by_touch(board: Walled):
    board.wall.pages.want(ShowRecipe("paint-one-layer"))
    board.press(page(board).main)
    page(board).rung_touched.emit(5)
    board.press(field(board, "rows"))
    for at in ("10 °C", "20 °C", "30 °C"):
        board.choose(at)
    for row, add in ((("40", "8", "90"), "Add a row of humidity"), (("60", "12", "60"), "Add a row")):
        board.choose(add)
        for number in row:
            type_in(board, number)
    board.choose("Done")
    assert field(board, "rows").detail == "rows of humidity"
    assert field(board, "min").title == "8 min"
    board.press(page(board).main)
    wait = Library(board.hand.store, resource()).load_recipe("our-paint-one-layer").step[5].wait
    assert wait
    assert (wait.min_by_rh, wait.max_by_rh) == (((40, 8), (60, 12)), ((40, 90), (60, 60)))
    assert wait.min_by_c is None


def test_a_wait_that_cannot_be_is_refused_while_it_is_typed_and_the_way_back_loses_nothing(board: Walled):
    board.wall.pages.want(ShowRecipe("glass-three-layers"))
    board.press(page(board).main)
    shown = page(board)
    shown.rung_touched.emit(4)
    board.press(field(board, "max"))
    typing = typed(board, "3")
    assert "no moment would be right" in typing.record_button.detail
    board.press(typing.record_button)
    assert typing.isVisible()
    board.press(typing.close_button)
    assert page(board) is shown
    answer(board, "min", "7.5")
    assert field(board, "min").title == "7.5 min"


def test_what_comes_with_the_program_is_changed_as_a_copy_and_stays(board: Walled):
    before = resource("recipes", "paint-two-layers.toml").read_bytes()
    to_recipe(board, "Paint", "Paint, two layers")
    board.press(page(board).main)
    answer(board, "minutes", "9")
    board.press(page(board).main)
    assert own(board) == ["our-paint-two-layers.toml"]
    made = Library(board.hand.store, resource()).load_recipe("our-paint-two-layers")
    shipped = Library().load_recipe("paint-two-layers")
    assert made.step[0].minutes == 9
    assert made.step[1:] == shipped.step[1:]
    assert made.title != shipped.title
    assert resource("recipes", "paint-two-layers.toml").read_bytes() == before


def test_a_changed_recipe_changes_no_car_in_the_bay(board: Walled):
    job = board.hand.bay.state.jobs[CAR].job
    events = board.events()
    test_what_comes_with_the_program_is_changed_as_a_copy_and_stays(board)
    assert "Cars in the bay keep the recipe" in board.sentences()
    board.choose("See its ladder")
    board.press(page(board).main)
    answer(board, "minutes", "11")
    board.press(page(board).main)
    assert own(board) == ["our-paint-two-layers.toml"]
    assert board.hand.bay.state.jobs[CAR].job == job
    assert board.events() == events


def test_steps_are_moved_added_and_removed_and_a_broken_ladder_cannot_be_saved(board: Walled):
    board.wall.pages.want(ShowRecipe("paint-two-layers"))
    board.press(page(board).main)
    board.press(field(board, "insert"))
    board.choose("More")
    board.choose("Inspect")
    assert [r.title for r in page(board).sketch.ladder.rungs][1] == "Inspect"  # type: ignore[union-attr]
    board.press(field(board, "remove"))
    page(board).rung_touched.emit(3)
    answer(board, "max", "20")
    for _n in range(3):
        board.press(field(board, "up"))
    assert "first step" in page(board).main.detail
    board.press(page(board).main)
    assert own(board) == []
    for _n in range(3):
        board.press(field(board, "down"))
    board.press(page(board).main)
    assert own(board) == ["our-paint-two-layers.toml"]


def test_leaving_what_is_not_saved_is_asked_and_has_to_be_held(board: Walled):
    board.wall.pages.want(ShowRecipe("rim"))
    board.press(page(board).main)
    answer(board, "minutes", "9")
    board.press(page(board).close_button)
    assert board.choices()[0] == "Go on changing it"
    board.choose("Go on changing it")
    assert field(board, "minutes").title == "9 min"
    board.press(page(board).close_button)
    board.hold_choice("Hold for 2 s: leave it unsaved")
    assert own(board) == []
    assert page(board).view.main == "Change"  # type: ignore[union-attr]


def test_another_name_is_chosen_from_words(board: Walled):
    test_what_comes_with_the_program_is_changed_as_a_copy_and_stays(board)
    board.choose("See its ladder")
    board.press(field(board, "rename"))
    board.choose("Paint, 2 layers, winter")
    assert Library(board.hand.store, resource()).load_recipe("our-paint-two-layers").title == "Paint, 2 layers, winter"


def test_a_recipe_goes_to_a_stick_and_comes_in_at_another_wall(board: Walled, tmp_path: Path):
    controller(board)
    board.wall.pages.want(ShowRecipe("glass-one-layer"))
    board.press(field(board, "export"))
    board.choose("stick")
    stick = board.hand.store / "stick"
    assert (stick / "glass-one-layer.toml").read_bytes() == resource("recipes", "glass-one-layer.toml").read_bytes()
    assert (stick / "glass-coat.toml").is_file()
    (stick / "glass-one-layer.toml").write_bytes(
        b"# mine\n" + resource("recipes", "glass-one-layer.toml").read_bytes().replace(b'"glass-one-layer"', b'"mine"')
    )
    (stick / "bad.toml").write_text('format = "bayapp-recipe/1"\nname = "bad"\nsteps = 3\n', encoding="utf-8")
    board.wall.pages.want(Page.RECIPES)
    board.choose("Import")
    board.choose("stick")
    board.choose("Glass, one layer")
    assert own(board) == ["mine.toml"]
    assert (board.hand.store / "recipes" / "mine.toml").read_bytes().startswith(b"# mine\n")


def test_what_is_wrong_with_a_file_on_the_stick_is_said_with_its_line(board: Walled):
    controller(board)
    stick = board.hand.store / "stick"
    stick.mkdir()
    (stick / "bad.toml").write_text('format = "bayapp-recipe/1"\nname = "bad"\nsteps = 3\n', encoding="utf-8")
    board.wall.pages.want(Page.RECIPES)
    board.choose("Import")
    board.choose("stick")
    board.choose("bad.toml")
    assert "line 3" in board.sentences()
    assert "unknown key 'steps'" in board.sentences()
    assert own(board) == []


def test_an_empty_folder_and_one_that_is_not_there_say_so(board: Walled):
    controller(board)
    for there in (False, True):
        if there:
            (board.hand.store / "stick").mkdir()
        board.wall.pages.want(Page.RECIPES)
        board.choose("Import")
        board.choose("stick")
        assert "stick" in board.sentences()
        assert not board.choices()


@pytest.mark.parametrize("inch", [24.0, 27.0])
def test_sixteen_choices_still_fit_gloves(tmp_path: Path, inch: float):
    with hand_bay(tmp_path) as hand, walled(hand, inch=inch) as wall:
        wall.answer_all()
        entries = [Entry(n, f"Choice {n}") for n in range(16)]
        Choices(wall.wall.pages).show("Many", "of them", entries, lambda key: None)
        assert len(wall.choices()) == 16
        assert failings(wall) + overlaps(wall.wall) == []


def test_a_new_car_is_offered_what_was_made_here(board: Walled):
    test_what_comes_with_the_program_is_changed_as_a_copy_and_stays(board)
    new_job = board.openers.new_job
    board.wall.pages.want(Page.NEW_CAR)
    board.press(next(b for b in new_job.forms.buttons if b.title.startswith("Estate")))
    offered = new_job.draft.recipes_for(ZoneId("bonnet"))
    assert "our-paint-two-layers" in [recipe.name for recipe in offered]


def test_a_file_of_the_shop_that_somebody_broke_is_named_and_the_others_are_still_there(board: Walled):
    folder = board.hand.store / "recipes"
    folder.mkdir()
    (folder / "torn.toml").write_text('format = "bayapp-recipe/1"\nname = "torn"\n', encoding="utf-8")
    board.wall.pages.want(Page.RECIPES)
    board.choose("1 file cannot be used")
    assert "torn.toml" in board.sentences()
    assert "[[step]]" in board.sentences()
    board.wall.pages.want(Page.RECIPES)
    board.choose("Glass")
    assert len(board.choices()) == 2


def test_rows_of_temperature_of_a_recipe_are_changed_by_touch(board: Walled):
    board.wall.pages.want(ShowRecipe("paint-one-layer"))
    board.press(page(board).main)
    page(board).rung_touched.emit(5)
    board.press(field(board, "rows"))
    board.choose("10 °C")
    board.choose("Add a row")
    assert "already" in typed(board, "20").record_button.detail
    type_in(board, "15")
    type_in(board, "14")
    type_in(board, "80")
    board.choose("Done")
    board.press(page(board).main)
    wait = Library(board.hand.store, resource()).load_recipe("our-paint-one-layer").step[5].wait
    assert wait
    assert wait.min_by_c == ((15, 14), (20, 10), (30, 5))
    assert wait.max_by_c == ((15, 80), (20, 60), (30, 30))


def test_another_name_is_typed_letter_by_letter_without_a_keyboard(board: Walled):
    test_what_comes_with_the_program_is_changed_as_a_copy_and_stays(board)
    board.choose("See its ladder")
    board.press(field(board, "rename"))
    board.choose("Another word")
    type_in(board, "BO")
    title = Library(board.hand.store, resource()).load_recipe("our-paint-two-layers").title
    assert title == "Paint, 2 layers, Bo"


def test_what_was_half_changed_when_a_clock_called_is_still_there(board: Walled):
    board.wall.pages.want(ShowRecipe("rim"))
    board.press(page(board).main)
    answer(board, "minutes", "9")
    board.touch("windscreen")
    board.wall.pages.show_board()
    board.wall.pages.want(Page.RECIPES)
    assert field(board, "minutes").title == "9 min"
    board.press(page(board).main)
    board.choose("All recipes")
    assert "New from a sheet" in board.choices()
    assert own(board) == ["our-rim.toml"]


def test_changes_that_could_not_be_saved_are_still_there_and_can_be_saved_later(board: Walled):
    board.wall.pages.want(ShowRecipe("rim"))
    board.press(page(board).main)
    answer(board, "minutes", "9")
    (board.hand.store / "recipes").write_text("a file where the folder should be", encoding="utf-8")
    board.press(page(board).main)
    assert board.wall.pages.choices.title == "Not saved"
    (board.hand.store / "recipes").unlink()
    board.wall.pages.want(Page.RECIPES)
    assert field(board, "minutes").title == "9 min"
    board.press(page(board).main)
    assert own(board) == ["our-rim.toml"]
    assert Library(board.hand.store, resource()).load_recipe("our-rim").step[0].minutes == 9
