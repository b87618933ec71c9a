"""Saves a changed model over a TOML file that people wrote: comments, order and spelling stay.

If the old text cannot be parsed, the whole file is written anew.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from bayapp.files.atomic_write import write_whole
from bayapp.files.bounds import LARGEST_TOML
from bayapp.files.plain_file import decode, read_bytes
from bayapp.files.problems import BadFile
from bayapp.files.save_document import plain_of, save_document
from bayapp.files.toml_bounds import TooMuch, judge_text
from bayapp.job.model.vehicle import FileModel

M = TypeVar("M", bound=FileModel)


def save_over(path: Path, model: FileModel, like: Path | None = None) -> None:
    """Write a model so that reading the file gives an equal one, changing only what differs.

    Args:
        like: the file whose text is kept, by default the one at ``path``; for a copy, the original.

    Raises:
        OSError: the folder cannot be written; nothing was changed.
    """
    text = _text_of(like or path)
    kept = _changed(text, model) if text is not None else None
    if kept is None:
        save_document(path, model)
    elif kept != _text_of(path):
        write_whole(path, kept.encode())


def _text_of(path: Path) -> str | None:
    """Return the text of a file; None where there is none, or more than people write."""
    try:
        text = decode(path, read_bytes(path, LARGEST_TOML))
        judge_text(text)
    except (BadFile, TooMuch):
        return None
    return text


def _changed(text: str, model: M) -> str | None:
    """Return the old text, changed as little as possible to mean this model; None if that fails."""
    import tomlkit  # noqa: PLC0415 (only who saves pays for it)
    from tomlkit.exceptions import TOMLKitError  # noqa: PLC0415 (see above)

    kind = type(model)
    try:
        document = tomlkit.parse(text)
        before = kind.model_validate(document.unwrap())
        if before == model:
            return text
        _merge(document, plain_of(before), plain_of(model))
        after = tomlkit.dumps(document)
        again = kind.model_validate(tomlkit.parse(after).unwrap())
    except (TOMLKitError, ValidationError, ValueError, KeyError, TypeError, AttributeError):
        return None  # it is written whole instead: what it says comes before how it is written
    return after if again == model else None


def _merge(written: Any, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """Change a TOML table from its old values to the new ones."""
    for key in [key for key in before if key not in after and key in written]:
        del written[key]
    for key, value in after.items():
        old = before.get(key)
        if key in written and old == value:
            continue
        if isinstance(value, dict) and isinstance(old, dict) and key in written:
            _merge(written[key], old, value)
        elif isinstance(old, list) and _are_steps(value) and _are_steps(old) and key in written:
            _merge_steps(written, key, old, value)
        else:
            written[key] = value


def _are_steps(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) and "id" in one for one in value)


def _merge_steps(written: Any, key: str, before: list[dict[str, Any]], after: list[dict[str, Any]]) -> None:
    """Change a list of tables with ids: those that stay keep their text, wherever they move."""
    import tomlkit  # noqa: PLC0415 (see above)
    from tomlkit.items import AoT  # noqa: PLC0415 (see above)

    tables = {str(table["id"]): table for table in written[key]}
    known = {step["id"]: step for step in before}
    for step in after:
        if step["id"] in tables:
            _merge(tables[step["id"]], known[step["id"]], step)
    if [step["id"] for step in before] == [step["id"] for step in after]:
        return
    if not isinstance(written[key], AoT):
        written[key] = after
        return
    moved = tomlkit.aot()
    for step in after:
        moved.append(tables.get(step["id"]) or tomlkit.item(step))
    written[key] = moved
