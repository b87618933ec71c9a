"""Shipped files speak the shop's language; what the shop wrote itself is left as it is."""

from pathlib import Path

import pytest

from bayapp.files import shipped_texts
from bayapp.files.library import Library
from bayapp.files.shipped_texts import is_shipped, map_words
from bayapp.paths import resource


def loud(sentence: str) -> str:
    return sentence.upper()


def test_titles_hints_names_and_cautions_are_said_and_keys_and_ids_are_not():
    said = map_words(
        {
            "format": "bayapp-vehicle/1",
            "name": "estate",
            "title": "Estate",
            "zone": [{"id": "roof", "name": "roof", "short": "roof", "neighbours": ["bonnet"]}],
            "sets": {"upper-paint": ["roof"]},
            "set_titles": {"upper-paint": "upper paint"},
        },
        loud,
    )
    assert said["name"] == "estate"
    assert said["title"] == "ESTATE"
    assert said["zone"] == [{"id": "roof", "name": "ROOF", "short": "ROOF", "neighbours": ["bonnet"]}]
    assert said["sets"] == {"upper-paint": ["roof"]}
    assert said["set_titles"] == {"upper-paint": "UPPER PAINT"}


def test_a_products_own_name_is_not_translated_but_its_cautions_are():
    said = map_words({"format": "bayapp-product/1", "name": "x", "title": "Orrelin", "cautions": ["No flame."]}, loud)
    assert said == {"format": "bayapp-product/1", "name": "x", "title": "Orrelin", "cautions": ["NO FLAME."]}


def test_a_shipped_form_is_said_in_the_shops_language(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(shipped_texts, "_", loud)
    assert Library().load_vehicle("estate").zone_named("roof").name == "ROOF"  # type: ignore[arg-type]


def test_a_translation_that_is_too_long_leaves_the_file_in_english(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(shipped_texts, "_", lambda sentence: sentence * 40)
    assert Library().load_vehicle("estate").title == "Estate"


def test_the_shops_own_copy_is_left_as_it_was_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(shipped_texts, "_", loud)
    own = tmp_path / "rim.toml"
    own.write_text(resource("recipes", "rim.toml").read_text(encoding="utf-8"), encoding="utf-8")
    assert not is_shipped(own)
    assert Library().load_recipe(own).title == "Rim"
