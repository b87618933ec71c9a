"""Reads a TOML file as the model that its format line names."""

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from bayapp.files.parsed_text import ParsedText
from bayapp.files.problems import BadFile
from bayapp.files.shipped_texts import is_shipped, translated
from bayapp.files.toml_file import read_toml
from bayapp.files.validation_messages import did_you_mean, findings_of, shown
from bayapp.job import JobFile, Product, Recipe, VehicleForm
from bayapp.job.model.vehicle import FileModel
from bayapp.text.language import _

M = TypeVar("M", bound=FileModel)

KINDS: Mapping[str, type[FileModel]] = {"job": JobFile, "recipe": Recipe, "product": Product, "vehicle": VehicleForm}
FORMATS: Mapping[type[FileModel], str] = {model: f"bayapp-{kind}/1" for kind, model in KINDS.items()}


def kind_of(source: ParsedText) -> str:
    """Return the kind of a file, by its format line.

    Raises:
        BadFile: the format line is missing or names no format that this version reads.
    """
    given = source.data.get("format")
    for kind, model in KINDS.items():
        if given == FORMATS[model]:
            return kind
    first = ", ".join(f'format = "{name}"' for name in FORMATS.values())
    if given is None:
        reason = _("key 'format' is missing; the first line is one of {first}").format(first=first)
        raise BadFile([source.finding(("format",), reason)])
    reason = _("{told} is no format that this version reads{hint}").format(
        told=shown(given), hint=did_you_mean(given, FORMATS.values())
    )
    raise BadFile([source.finding(("format",), reason)])


def read_document(path: Path, model: type[M]) -> tuple[M, ParsedText]:
    """Return a file as its model, with its source to point into.

    Raises:
        BadFile: with everything that is wrong in this file.
    """
    source = read_toml(path)
    model_as_written = parse(source, model)
    if is_shipped(path):
        with suppress(ValidationError):  # a translation longer than its place leaves the file in English
            return model.model_validate(translated(source.data)), source
    return model_as_written, source


def parse(source: ParsedText, model: type[M]) -> M:
    """Return a source as a model.

    Raises:
        BadFile: with everything that is wrong in this source.
    """
    _expect_format(source, FORMATS[model])
    try:
        return model.model_validate(source.data)
    except ValidationError as error:
        raise BadFile(findings_of(error, model, source)) from error


def _expect_format(source: ParsedText, expected: str) -> None:
    given = source.data.get("format")
    if given == expected:
        return
    if given is None:
        reason = _("key 'format' is missing; the first line is format = \"{expected}\"").format(expected=expected)
    else:
        reason = _('format is {told}; expected here: format = "{expected}"').format(
            told=shown(given), expected=expected
        )
    raise BadFile([source.finding(("format",), reason)])
