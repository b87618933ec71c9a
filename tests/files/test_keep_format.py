"""A file that people wrote is changed on a page, and what they wrote around it is still there."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bayapp.files.documents import read_document
from bayapp.files.keep_format import save_over
from bayapp.files.library import Library
from bayapp.job import Recipe
from bayapp.pages.recipes.recipe_edit import RecipeDraft
from bayapp.paths import resource
from tests.files.test_exchange import FOREIGN
from tests.pages.recipes.test_recipe_edit import EDITS, edited

NAMES = Library().names("recipe")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    path = tmp_path / "bo-glass.toml"
    path.write_text(FOREIGN, encoding="utf-8")
    return path


def draft_at(path: Path) -> RecipeDraft:
    return RecipeDraft.of(read_document(path, Recipe)[0])


def test_one_wait_changed_changes_one_line(own: Path):
    save_over(own, draft_at(own).with_edge(1, "max", 25.0).recipe())
    before, after = FOREIGN.splitlines(), own.read_text(encoding="utf-8").splitlines()
    assert [(b, a) for b, a in zip(before, after, strict=True) if a != b] == [
        ('wait = { max = 3_0, lapse = "wipe" }', 'wait = { max = 25.0, lapse = "wipe" }')
    ]


def test_nothing_changed_leaves_every_byte(own: Path):
    stood = own.stat().st_mtime_ns
    save_over(own, draft_at(own).recipe())
    assert own.read_text(encoding="utf-8") == FOREIGN
    assert own.stat().st_mtime_ns == stood


def test_steps_that_move_take_their_remarks_along(own: Path):
    draft = draft_at(own).with_edge(1, "max", None).moved(1, -1)
    save_over(own, draft.recipe())
    text = own.read_text(encoding="utf-8")
    assert read_document(own, Recipe)[0] == draft.recipe()
    for remark in ("# Bo's own, tried on three cars.   Do not lose this line.", "# as on the tin"):
        assert remark in text


def test_a_copy_of_what_ships_keeps_what_it_says_of_its_source(tmp_path: Path):
    shipped = resource("recipes", "paint-two-layers.toml")
    draft = draft_at(shipped).named("our-paint", "Ours").with_minutes(0, 9.0)
    save_over(tmp_path / "our-paint.toml", draft.recipe(), like=shipped)
    assert read_document(tmp_path / "our-paint.toml", Recipe)[0] == draft.recipe()
    first = shipped.read_text(encoding="utf-8").splitlines()[0]
    assert "Common practice, no source" in first
    assert (tmp_path / "our-paint.toml").read_text(encoding="utf-8").startswith(first)


def test_a_file_that_cannot_be_kept_is_written_whole(tmp_path: Path):
    path = tmp_path / "torn.toml"
    path.write_bytes(b"\xff\xfe no text")
    recipe = Library().load_recipe("rim").model_copy(update={"name": "torn"})
    save_over(path, recipe)
    assert read_document(path, Recipe)[0] == recipe


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(NAMES), st.lists(EDITS, max_size=8))
def test_whatever_is_changed_is_read_again_equal_and_every_remark_stays_unless_its_step_is_taken_out(
    tmp_path: Path, name: str, edits: list[tuple]
):
    path = tmp_path / f"{name}.toml"
    path.write_bytes(resource("recipes", f"{name}.toml").read_bytes())
    draft = edited(draft_at(path), edits)
    if draft.trouble():
        return
    removed = any(edit[0] == "removed" for edit in edits)
    before = path.read_text(encoding="utf-8")
    head = before.partition("[[step]]")[0] if removed else before
    save_over(path, draft.recipe())
    assert read_document(path, Recipe)[0] == draft.recipe()
    text = path.read_text(encoding="utf-8")
    assert [line for line in head.splitlines() if line.startswith("#") and line not in text] == []
