"""Writes a model as a TOML file, atomically."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from bayapp.files.atomic_write import write_whole


def save_document(path: Path, model: BaseModel) -> None:
    """Write a model so that reading the file gives an equal one; defaults are left out.

    Raises:
        OSError: the folder cannot be written; nothing was changed.
    """
    import tomlkit  # noqa: PLC0415 (only who saves pays for it, not every start)

    write_whole(path, tomlkit.dumps(plain_of(model)).encode())


def plain_of(model: BaseModel) -> dict[str, Any]:
    """Return the content of this model's file, as TOML knows it; defaults are left out."""
    written = model.model_dump(mode="python", exclude_none=True, exclude_defaults=True, by_alias=True)
    kind = type(model).model_fields["format"]
    table: dict[str, Any] = _plain({"format": getattr(model, "format", kind.default), **written})
    return table


def _plain(value: Any) -> Any:
    """Return a value as TOML knows it: enums as strings, tuples as lists, plain keys before tables."""
    if isinstance(value, Mapping):
        plain = {str(key): _plain(entry) for key, entry in value.items()}
        return dict(sorted(plain.items(), key=lambda item: _is_table(item[1])))
    if isinstance(value, list | tuple):
        return [_plain(entry) for entry in value]
    return str(value) if isinstance(value, str) else value


def _is_table(value: Any) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and bool(value) and isinstance(value[0], dict))
