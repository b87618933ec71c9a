"""Translates sentences into the shop's language by gettext, and knows its direction of writing."""

import gettext as _gettext
import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from bayapp.paths import resource

DOMAIN = "bayapp"
USUAL = "en"
RIGHT_TO_LEFT = frozenset({"ar", "dv", "fa", "ff", "he", "ku", "ps", "sd", "ug", "ur", "yi"})
"""Languages whose usual script runs right to left (Unicode CLDR 44, characterOrder; from memory)."""


class _Chosen:
    """The language of this process: chosen at the start, and again when somebody changes the setting."""

    def __init__(self) -> None:
        self.tag = USUAL
        self.catalogue: _gettext.NullTranslations = _gettext.NullTranslations()


_chosen = _Chosen()


def use_language(tag: str | None = None, folder: Path | None = None) -> str:
    """Use this language from now on; return the tag of the one in use.

    Args:
        tag: a language tag such as "de" or "pt-BR"; None takes the machine's (LANGUAGE, LC_ALL, LC_MESSAGES,
            LANG). English is used if there is no catalogue for it.
        folder: where the catalogues lie, by default those shipped.
    """
    where = folder or resource("locale")
    for wanted in [tag] if tag else _of_machine():
        names = _names(wanted)
        if names[-1] == USUAL and len(names) == 1:
            break
        found = _gettext.find(DOMAIN, str(where), names)
        if found:
            _chosen.tag = wanted.replace("_", "-")
            _chosen.catalogue = _gettext.translation(DOMAIN, str(where), names)
            return _chosen.tag
    _chosen.tag, _chosen.catalogue = USUAL, _gettext.NullTranslations()
    return _chosen.tag


def language() -> str:
    """Return the tag of the language in use."""
    return _chosen.tag


def languages() -> tuple[str, ...]:
    """Return the tags of the languages there are catalogues for, English first."""
    folders = sorted(p.parent.parent.name for p in resource("locale").glob(f"*/LC_MESSAGES/{DOMAIN}.mo"))
    return (USUAL, *(name.replace("_", "-") for name in folders))


def back_to_source() -> Callable[[str], str]:
    """Return a function that translates back from the language in use now, also after another one is chosen.

    Text that is no sentence of the catalogue stays as it is. Of two sentences with one translation it takes either.
    """
    catalogue: Mapping[object, str] = getattr(_chosen.catalogue, "_catalog", {})
    known = {spoken: own for own, spoken in catalogue.items() if isinstance(own, str) and own}
    return lambda spoken: known.get(spoken, spoken)


def right_to_left() -> bool:
    """Whether the language in use is written from right to left."""
    return _chosen.tag.split("-")[0] in RIGHT_TO_LEFT


def _(sentence: str) -> str:
    """Return the sentence in the shop's language."""
    return _chosen.catalogue.gettext(sentence)


def later(sentence: str) -> str:
    """Return the sentence as it is: marks sentences of a table, which ``_`` looks up only when they are shown."""
    return sentence


def ngettext(one: str, many: str, n: int) -> str:
    """Return the sentence for one or for many in the shop's language."""
    return _chosen.catalogue.ngettext(one, many, n)


def _of_machine() -> list[str]:
    """Return the languages that the machine asks for, the preferred first, as gettext reads them."""
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        tags = os.environ.get(name)
        if tags:
            return [tag.split(".")[0].split("@")[0] for tag in tags.split(":") if tag not in ("C", "POSIX")]
    return []


def _names(tag: str) -> Sequence[str]:
    """Return what a catalogue for this tag may be called, the nearest first: "pt_BR", then "pt"."""
    whole = tag.replace("-", "_")
    short = whole.split("_")[0]
    return [whole, short] if whole != short else [whole]


use_language()
