"""The words for people in the files that come with the program, in the shop's language."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from bayapp.paths import resource
from bayapp.text.language import _

SAID = frozenset({"title", "how", "short"})
LISTED = frozenset({"cautions"})
NAMED = frozenset({"zone"})
"""Tables whose ``name`` is what a person calls the thing; elsewhere it is what files call it."""


def comes_with_us(path: Path) -> bool:
    """Whether a file is one of those that come with the program, and not the shop's own."""
    return path.resolve().is_relative_to(resource().resolve())


def in_our_language(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a shipped file says with its words for people in the shop's language."""
    return with_words(data, _)


def with_words(data: Mapping[str, Any], say: Callable[[str], str]) -> dict[str, Any]:
    """Return what a file says with each word for people put through ``say``; a product's title is its own name."""
    product = str(data.get("format", "")).startswith("bayapp-product")
    return {key: value if product and key == "title" else _said(key, value, say) for key, value in data.items()}


def _said(key: str, value: Any, say: Callable[[str], str], inside: str = "") -> Any:
    if isinstance(value, str):
        spoken = key in SAID or inside == "set_titles" or (key == "name" and inside in NAMED)
        return say(value) if spoken and value else value
    if isinstance(value, list):
        if key in LISTED:
            return [say(entry) if isinstance(entry, str) else entry for entry in value]
        return [_said("", entry, say, inside=key) for entry in value]
    if isinstance(value, Mapping):
        return {name: _said(name, entry, say, inside=key or inside) for name, entry in value.items()}
    return value
