"""The two pseudo-locales, made anew from the sentences as they are now, and a wall that speaks them."""

import importlib.util
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

from bayapp.text.language import USUAL, use_language

SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"
PSEUDO = ("en-XA", "ar-XB")
"""40 % longer with accents, and right to left; the tags that Unicode CLDR keeps for pseudo-locales (from memory)."""


@cache
def catalogue_script() -> ModuleType:
    """Load the script by its place: a library of Python bears its folder's name."""
    sys.path.insert(0, str(SCRIPTS))
    try:
        spec = importlib.util.spec_from_file_location("catalogue", SCRIPTS / "catalogue.py")
        assert spec
        assert spec.loader
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(SCRIPTS))
    return module


@cache
def english() -> Any:
    """Every sentence of the program, a catalogue of Babel's; nobody may change it."""
    return catalogue_script().extracted()


@contextmanager
def speaking(tag: str, catalogues: Path) -> Iterator[None]:
    """Speak a language for a while."""
    assert use_language(tag, catalogues) == tag
    try:
        yield
    finally:
        use_language(USUAL)
