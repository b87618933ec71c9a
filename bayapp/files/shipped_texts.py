"""Translates the words for people in the files that are shipped with the program."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from bayapp.paths import resource
from bayapp.text.language import _

TEXT_KEYS = frozenset({"title", "how", "short"})
LIST_KEYS = frozenset({"cautions"})
NAMED_TABLES = frozenset({"zone"})
"""Tables whose ``name`` is for people; elsewhere it is an identifier."""


def is_shipped(path: Path) -> bool:
    """Whether a file is shipped with the program, and not the shop's own."""
    return path.resolve().is_relative_to(resource().resolve())


def translated(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return the content of a shipped file with its words for people in the shop's language."""
    return map_words(data, _)


def map_words(data: Mapping[str, Any], say: Callable[[str], str]) -> dict[str, Any]:
    """Return the content of a file with each text for people passed through ``say``; a product's title is a name."""
    product = str(data.get("format", "")).startswith("bayapp-product")
    return {key: value if product and key == "title" else _mapped(key, value, say) for key, value in data.items()}


def _mapped(key: str, value: Any, say: Callable[[str], str], inside: str = "") -> Any:
    if isinstance(value, str):
        spoken = key in TEXT_KEYS or inside == "set_titles" or (key == "name" and inside in NAMED_TABLES)
        return say(value) if spoken and value else value
    if isinstance(value, list):
        if key in LIST_KEYS:
            return [say(entry) if isinstance(entry, str) else entry for entry in value]
        return [_mapped("", entry, say, inside=key) for entry in value]
    if isinstance(value, Mapping):
        return {name: _mapped(name, entry, say, inside=key or inside) for name, entry in value.items()}
    return value
