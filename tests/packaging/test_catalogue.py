"""The catalogue of sentences: what is extracted, what a translation may not lose, and what the pseudo-locales do."""

import ast
import gettext
import re
from pathlib import Path
from types import ModuleType

import pytest
from babel.messages.catalog import Catalog

from bayapp.text.language import USUAL, _, language, ngettext, right_to_left, use_language
from tests.screen.languages import catalogue_script, english, speaking


@pytest.fixture(scope="module")
def script() -> ModuleType:
    return catalogue_script()


@pytest.fixture(scope="module")
def folder(script: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("locale")
    script.write_pseudo(made, english())
    return Path(made)


def one(sentence: str | tuple[str, str], translation: str | tuple[str, str]) -> Catalog:
    catalogue = Catalog(locale="de")
    catalogue.add(sentence, translation)
    return catalogue


def test_sentences_of_screen_terminal_and_paper_are_extracted_with_their_plurals():
    found = english()
    assert "solvent wipe" in found
    assert found.get("{n} more clock").id == ("{n} more clock", "{n} more clocks")
    assert any("screen" in file for file, _line in found.get("Check the sound").locations)


def test_no_sentence_is_put_together_before_it_is_looked_up(script: ModuleType):
    """An f-string inside ``_()`` would never be found in a catalogue; the extractor would silently leave it out."""
    sources = Path(script.ROOT, "bayapp").rglob("*.py")
    put_together = re.compile(r"""(?<!\w)(_|ngettext)\(\s*f["']""")
    assert [str(p) for p in sources if put_together.search(p.read_text(encoding="utf-8"))] == []


def test_no_sentence_is_looked_up_when_its_module_is_loaded(script: ModuleType):
    """The language is chosen later, and may be changed; what was looked up before would stay as it was."""
    early = [f"{p}:{line}" for p in Path(script.ROOT, "bayapp").rglob("*.py") for line in looked_up_at_once(p)]
    assert early == []


def looked_up_at_once(source: Path) -> list[int]:
    """Return the lines outside of any function that look up a sentence."""
    found = []

    def visit(node: ast.AST) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if isinstance(child, ast.Call) and getattr(child.func, "id", "") in ("_", "ngettext"):
                found.append(child.lineno)
            visit(child)

    visit(ast.parse(source.read_text(encoding="utf-8")))
    return found


def test_a_pseudo_sentence_is_forty_per_cent_longer_and_keeps_what_is_filled_in(script: ModuleType):
    accented = script.accented("{zone} opens at {time}, in five minutes from now")
    assert "{zone}" in accented
    assert "{time}" in accented
    bare = len("opens at , in five minutes from now")
    assert len(accented) - len("{zone} opens at {time}, in five minutes from now") == pytest.approx(0.4 * bare, abs=3)


def test_every_extracted_sentence_has_the_same_placeholders_in_both_pseudo_locales(script: ModuleType):
    for tag in script.PSEUDO:
        assert list(script.wrong(script.pseudo(tag, english()), english())) == []


def test_the_check_finds_a_lost_placeholder_a_made_up_one_and_gaps(script: ModuleType):
    lost = list(script.wrong(one("{clocks}: touch to see them", "beruehren"), english()))
    assert any("other placeholders" in line for line in lost)
    made_up = list(script.wrong(one("Check the sound", "Den {ton} pruefen"), english()))
    assert any("other placeholders" in line for line in made_up)
    assert any("have no translation" in line for line in made_up)


def test_the_program_speaks_a_catalogue_and_english_where_there_is_none(folder: Path):
    with speaking("en-XA", folder):
        assert language() == "en-XA"
        assert _("solvent wipe").startswith("šölvéñt wîpé")
        assert ngettext("{n} more clock", "{n} more clocks", 2).startswith("{n} möré çlöçkš")
        assert not right_to_left()
    with speaking("ar-XB", folder):
        assert right_to_left()
    assert use_language("xx", folder) == USUAL
    assert _("solvent wipe") == "solvent wipe"


def test_a_region_falls_back_to_its_language(folder: Path):
    (folder / "de" / "LC_MESSAGES").mkdir(parents=True)
    (folder / "de" / "LC_MESSAGES" / "bayapp.mo").write_bytes(
        (folder / "en_XA" / "LC_MESSAGES" / "bayapp.mo").read_bytes()
    )
    try:
        assert use_language("de-AT", folder) == "de-AT"
        assert _("solvent wipe") != "solvent wipe"
    finally:
        use_language(USUAL)


@pytest.mark.parametrize(
    ("name", "value", "tag"),
    [("LANGUAGE", "xx:en_XA", "en-XA"), ("LC_ALL", "ar_XB.UTF-8", "ar-XB"), ("LANG", "C", USUAL)],
)
def test_the_machines_language_counts_where_none_is_set(
    folder: Path, monkeypatch: pytest.MonkeyPatch, name: str, value: str, tag: str
):
    """LANGUAGE, LC_ALL, LC_MESSAGES, LANG in this order, as GNU gettext reads them (gettext manual, 2.3)."""
    for known in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(known, raising=False)
    monkeypatch.setenv(name, value)
    try:
        assert use_language(None, folder) == tag
    finally:
        use_language(USUAL)


def test_what_is_written_is_what_the_standard_library_reads(folder: Path):
    translation = gettext.translation("bayapp", str(folder), ["en_XA"])
    assert translation.gettext("Check the sound").startswith("Çhéçk thé šöüñd")
