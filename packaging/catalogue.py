#!/usr/bin/env python3
"""The catalogue of sentences: extracts it, checks translations, makes two pseudo-locales. Run it with .venv's Python.

``extract`` writes bayapp.pot for translators; ``pseudo`` writes en-XA (longer, accented) and ar-XB (right to left)
into resources/locale, where the wall finds them like any language; ``check`` looks over what lies there; ``compile``
turns every bayapp.po there into what the program reads.
"""

from __future__ import annotations

import argparse
import re
import sys
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from typer.main import get_command

from bayapp.cli.app import app
from bayapp.cli.trouble import help_texts
from bayapp.files.shipped_texts import map_words
from setup_here import ROOT

LOCALE = ROOT / "resources" / "locale"
DOMAIN = "bayapp"
FUNCTIONS = {"_": None, "later": None, "ngettext": (1, 2)}
"""The calls that mark a sentence; ``later`` marks it for a look-up that happens only when it is shown."""
LONGER = 0.4
"""How much longer a translation may be than English: 40 per cent."""
PLACEHOLDER = re.compile(r"(\{\{|\}\}|\{[^{}]*\}|%\([^)]*\)[a-z]|\s+)")
ACCENTED = str.maketrans("aceinosuyzACEINOSUYZ", "àçéîñöšüýžÀÇÉÎÑÖŠÜÝŽ")
FILLING = "ôñé ţwö thrèe föür fîve sîx"
RIGHT_TO_LEFT, POP = "\u202e", "\u202c"


def extracted() -> Catalog:
    """Return every sentence of the program, with where it stands."""
    catalogue = Catalog(project="bayapp", domain=DOMAIN, fuzzy=False)
    found = extract_from_dir(
        str(ROOT / "bayapp"), method_map=[("**.py", "python")], keywords=FUNCTIONS, comment_tags=["Translators:"]
    )
    for file, line, message, comments, context in found:
        catalogue.add(message, "", [(f"bayapp/{file}", line)], auto_comments=comments, context=context)
    for path in sorted((ROOT / "resources").rglob("*.toml")):
        shipped = path.relative_to(ROOT).as_posix()
        map_words(tomllib.loads(path.read_text(encoding="utf-8")), partial(_found_in, catalogue, shipped))
    for command in _commands():
        for _owner, text in help_texts(command):
            catalogue.add(text, "", [("bayapp/cli/app.py", 1)])
    return _braces_only(catalogue)


def _commands() -> list[Any]:
    """Return the program's commands as they are joined: their help stands in docstrings, where no call marks it."""
    joined: Any = get_command(app)
    return [joined, *joined.commands.values()]


def _found_in(catalogue: Catalog, file: str, sentence: str) -> str:
    catalogue.add(sentence, "", [(file, 1)])
    return sentence


def _braces_only(catalogue: Catalog) -> Catalog:
    """Babel takes "12 % sooner" for a placeholder of the % kind; this program fills in braces only."""
    for message in catalogue:
        message.flags.discard("python-format")
    return catalogue


def accented(sentence: str) -> str:
    """Return an English sentence with accents and 40 per cent longer; what is filled in later stays as it is."""
    text = "".join(
        part if PLACEHOLDER.fullmatch(part) else part.translate(ACCENTED) for part in PLACEHOLDER.split(sentence)
    )
    more = round(len(PLACEHOLDER.sub("", sentence)) * LONGER)
    filling = (FILLING * (more // len(FILLING) + 1))[:more]
    return f"{text} {filling.strip()}" if filling.strip() else text


def turned(sentence: str) -> str:
    """Return an English sentence that reads right to left, word by word, so that it may be broken into lines."""
    parts = PLACEHOLDER.split(sentence)
    return "".join(part if not part or PLACEHOLDER.fullmatch(part) else f"{RIGHT_TO_LEFT}{part}{POP}" for part in parts)


PSEUDO: dict[str, Callable[[str], str]] = {"en_XA": accented, "ar_XB": turned}


def pseudo(tag: str, english: Catalog) -> Catalog:
    """Return the catalogue of a pseudo-locale, made of the extracted sentences."""
    say, made = PSEUDO[tag], Catalog(project="bayapp", domain=DOMAIN, fuzzy=False)
    made.locale = "en"  # two plural forms, as the English they are made of
    for message in english:
        if message.id:
            made.add(message.id, tuple(map(say, message.id)) if isinstance(message.id, tuple) else say(str(message.id)))
    return _braces_only(made)


def write_pseudo(folder: Path, english: Catalog) -> None:
    """Write both pseudo-locales where the program looks for catalogues."""
    for tag in PSEUDO:
        _write_mo(pseudo(tag, english), folder / tag / "LC_MESSAGES")


def wrong(catalogue: Catalog, english: Catalog) -> Iterator[str]:
    """Yield what is wrong with a translation: a placeholder that was lost or made up, what Babel finds, a gap."""
    for message in catalogue:
        if not message.id or message.id not in english:
            continue
        for form in _forms(message.string):
            if form and not _same_placeholders(message, form):
                yield f"{message.id!r}: the translation {form!r} has other placeholders"
        yield from (f"{message.id!r}: {problem}" for problem in message.check())
    missing = sum(1 for message in english if message.id and not _is_translated(catalogue, message))
    if missing:
        yield f"{missing} sentences have no translation; they will be shown in English"


def _is_translated(catalogue: Catalog, message: Message) -> bool:
    known = catalogue.get(message.id)
    return known is not None and all(_forms(known.string))


def _forms(sentence: object) -> tuple[str, ...]:
    return tuple(sentence) if isinstance(sentence, (tuple, list)) else (str(sentence or ""),)


def _same_placeholders(message: Message, translation: str) -> bool:
    placeholders = re.compile(r"\{[^{}]*\}")
    allowed = [set(placeholders.findall(form)) for form in _forms(message.id)]
    return set(placeholders.findall(translation)) in allowed


def _write_mo(catalogue: Catalog, folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / f"{DOMAIN}.mo").open("wb") as file:
        write_mo(file, catalogue)


def _translations() -> Iterator[tuple[Path, Catalog]]:
    for path in sorted(LOCALE.glob(f"*/LC_MESSAGES/{DOMAIN}.po")):
        with path.open("rb") as file:
            yield path, read_po(file, locale=path.parent.parent.name, domain=DOMAIN)


def main(words: list[str]) -> int:
    """Do what the word says; return the exit code."""
    parser = argparse.ArgumentParser(prog="packaging/catalogue.py", description=__doc__)
    parser.add_argument("what", choices=["extract", "pseudo", "check", "compile"])
    what = parser.parse_args(words).what
    english = extracted()
    if what == "extract":
        LOCALE.mkdir(exist_ok=True)
        with (LOCALE / f"{DOMAIN}.pot").open("wb") as file:
            write_po(file, english, sort_by_file=True, width=120)
        print(f"{LOCALE / DOMAIN}.pot holds {len(english)} sentences.")
        return 0
    if what == "pseudo":
        write_pseudo(LOCALE, english)
        print(f"{', '.join(PSEUDO)} lie in {LOCALE}; git ignores them.")
        return 0
    faults = 0
    for path, catalogue in _translations():
        for problem in wrong(catalogue, english):
            print(f"{path}: {problem}")
            faults += 1
        if what == "compile":
            _write_mo(catalogue, path.parent)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
