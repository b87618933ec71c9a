"""Files from outside come in whole and go out whole, comments and all; a bad one is reported by line and reason."""

from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bayapp.files.exchange import export_recipes, import_document, offered, read_shared
from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.files.save_document import save_document
from bayapp.paths import resource

FOREIGN = """# Bo's own, tried on three cars.   Do not lose this line.
format = "bayapp-recipe/1"
name = "bo-glass"   # as on the tin
title = 'Bo: glass'
surfaces = [ "glass", ]

[[step]]
kind = "wipe"
id = "wipe"

\t[[step]]   # one thin layer
id = "coat"
kind = "coat"
product = "bo-coat"
wait = { max = 3_0, lapse = "wipe" }
"""
PRODUCT = """format = "bayapp-product/1"
name = "bo-coat"
cautions = ["The product's own safety sheet comes first, then local rules."]   # kept
"""


@pytest.fixture
def places(tmp_path: Path) -> tuple[Path, Path]:
    """A shop and a stick."""
    shop, stick = tmp_path / "shop", tmp_path / "stick"
    shop.mkdir()
    stick.mkdir()
    (stick / "anything.toml").write_bytes(FOREIGN.replace("\n", "\r\n").encode())
    (stick / "tin.toml").write_text(PRODUCT, encoding="utf-8")
    return shop, stick


def test_a_foreign_file_comes_in_byte_for_byte_under_its_own_name(places: tuple[Path, Path]):
    shop, stick = places
    where = import_document(stick / "anything.toml", shop)
    assert where == shop / "recipes" / "bo-glass.toml"
    assert where.read_bytes() == FOREIGN.replace("\n", "\r\n").encode()
    assert import_document(stick / "tin.toml", shop).read_bytes() == (stick / "tin.toml").read_bytes()
    assert Library(shop, resource()).load_recipe("bo-glass").step[1].wait


def test_taking_it_in_twice_makes_no_second_one(places: tuple[Path, Path]):
    shop, stick = places
    assert import_document(stick / "anything.toml", shop) == import_document(stick / "anything.toml", shop)
    assert [f.name for f in (shop / "recipes").iterdir()] == ["bo-glass.toml"]


def test_another_recipe_of_the_same_name_comes_in_beside_it_and_only_its_name_is_changed(places: tuple[Path, Path]):
    shop, stick = places
    import_document(stick / "anything.toml", shop)
    (stick / "other.toml").write_text(FOREIGN.replace("3_0", "2_5"), encoding="utf-8")
    where = import_document(stick / "other.toml", shop)
    assert where.name == "bo-glass-2.toml"
    assert where.read_text(encoding="utf-8") == FOREIGN.replace("3_0", "2_5").replace('"bo-glass"', '"bo-glass-2"')
    assert Library(shop, resource()).load_recipe("bo-glass-2").name == "bo-glass-2"


def test_a_shipped_recipe_is_never_put_aside_by_one_from_outside(places: tuple[Path, Path]):
    shop, stick = places
    (stick / "other.toml").write_text(FOREIGN.replace("bo-glass", "glass-one-layer"), encoding="utf-8")
    assert import_document(stick / "other.toml", shop).name == "glass-one-layer-2.toml"
    assert Library(shop, resource()).load_recipe("glass-one-layer") == Library().load_recipe("glass-one-layer")


def test_another_product_of_the_same_name_is_refused_since_recipes_mean_it_by_its_name(places: tuple[Path, Path]):
    shop, stick = places
    import_document(stick / "tin.toml", shop)
    (stick / "tin.toml").write_text(PRODUCT + "coverage_ml_per_m2 = 8\n", encoding="utf-8")
    with pytest.raises(BadFile, match="another product called 'bo-coat'"):
        import_document(stick / "tin.toml", shop)
    assert (shop / "products" / "bo-coat.toml").read_text(encoding="utf-8") == PRODUCT


def test_what_is_wrong_with_a_bad_file_is_reported_by_file_line_and_reason_and_it_stands_last(
    places: tuple[Path, Path],
):
    shop, stick = places
    (stick / "a-bad.toml").write_text(FOREIGN.replace("max = 3_0", "min = 9, max = 3"), encoding="utf-8")
    (stick / "a-form.toml").write_bytes(resource("vehicles", "estate.toml").read_bytes())
    (stick / "a-torn.toml").write_text(FOREIGN[:-20], encoding="utf-8")
    (stick / "readme.txt").write_text("no recipe", encoding="utf-8")
    found = offered(stick)
    assert [(o.path.name, o.kind) for o in found] == [
        *(("anything.toml", "recipe"), ("tin.toml", "product")),
        *(("a-bad.toml", ""), ("a-form.toml", ""), ("a-torn.toml", "")),
    ]
    assert "a-bad.toml: line 15" in found[2].trouble
    assert "no moment would be right" in found[2].trouble
    assert "only recipes and products" in found[3].trouble
    assert "line 15" in found[4].trouble
    for bad in found[2:]:
        with pytest.raises(BadFile):
            import_document(bad.path, shop)
    assert list(shop.iterdir()) == []


def test_a_recipe_goes_out_with_the_products_it_names_byte_for_byte_and_comes_in_elsewhere(
    places: tuple[Path, Path], tmp_path: Path
):
    shop, stick = places
    import_document(stick / "anything.toml", shop)
    import_document(stick / "tin.toml", shop)
    out = tmp_path / "out"
    written = export_recipes(["bo-glass"], shop, out)
    assert sorted(p.name for p in written) == ["bo-coat.toml", "bo-glass.toml"]
    other = tmp_path / "other-shop"
    for one in offered(out):
        import_document(one.path, other)
    for kind, name in (("recipes", "bo-glass"), ("products", "bo-coat")):
        assert (other / kind / f"{name}.toml").read_bytes() == (shop / kind / f"{name}.toml").read_bytes()


def test_what_lies_on_the_stick_already_is_not_written_over(places: tuple[Path, Path]):
    shop, stick = places
    (stick / "rim.toml").write_text("mine", encoding="utf-8")
    written = export_recipes(["rim"], shop, stick)
    assert (stick / "rim.toml").read_text(encoding="utf-8") == "mine"
    assert "rim-2.toml" in [p.name for p in written]
    assert export_recipes(["rim"], shop, stick) == written
    assert (stick / "rim-2.toml").read_bytes() == resource("recipes", "rim.toml").read_bytes()


def test_a_full_or_broken_stick_leaves_nothing_half_written(places: tuple[Path, Path]):
    shop, stick = places
    (shop / "recipes").write_text("a file where the folder should be", encoding="utf-8")
    with pytest.raises(OSError, match="recipes"):
        import_document(stick / "anything.toml", shop)
    assert sorted(p.name for p in shop.iterdir()) == ["recipes"]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from(Library().names("recipe")),
    st.lists(
        st.tuples(
            st.integers(0, 200),
            st.text(st.characters(blacklist_categories=("Cs", "Cc"), blacklist_characters="\x7f"), max_size=20),
        ),
        max_size=6,
    ),
    st.sampled_from(["\n", "\r\n"]),
)
def test_remarks_anywhere_in_a_file_from_outside_survive_being_taken_in_and_renamed(
    tmp_path_factory: pytest.TempPathFactory, name: str, remarks: list[tuple[int, str]], ends: str
):
    tmp_path = tmp_path_factory.mktemp("stick")
    lines = resource("recipes", f"{name}.toml").read_text(encoding="utf-8").splitlines()
    for at, words in remarks:
        lines.insert(at % (len(lines) + 1), f"# {words}")
    path = tmp_path / "from-outside.toml"
    contents = (ends.join(lines) + ends).encode()
    path.write_bytes(contents)
    shared = read_shared(path)
    shop = tmp_path / "shop"
    where = import_document(path, shop)
    if where.is_relative_to(resource()):  # it is the shipped file itself, to the byte
        assert where.read_bytes() == contents
        return
    assert where.name == f"{name}-2.toml"
    assert where.read_bytes().replace(f'"{name}-2"'.encode(), f'"{name}"'.encode(), 1) == contents
    assert read_shared(where) == shared.model_copy(update={"name": f"{name}-2"})


@pytest.mark.parametrize("name", ["paint-two-layers", "glass-one-layer"])
def test_what_a_page_saved_is_toml_for_another_reader_too(tmp_path: Path, name: str):
    """tomlkit wrote it; tomllib, another parser, reads the same."""
    import tomllib

    path = tmp_path / f"{name}.toml"
    save_document(path, Library().load_recipe(name))
    text = path.read_text(encoding="utf-8")
    assert tomllib.loads(text) == tomlkit.parse(text).unwrap()
