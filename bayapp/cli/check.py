"""``check``: are the files that people wrote right?"""

import json
from pathlib import Path
from typing import Annotated, Any

import typer

from bayapp.cli.options import JsonOption
from bayapp.cli.trouble import BAD_INPUT, NO, complain
from bayapp.files.problems import BadFile, Finding
from bayapp.text.language import _


def check(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Job, recipe, product, vehicle or settings files.")
    ],
    as_json: JsonOption = False,
) -> None:
    """Check job, recipe, product, vehicle and settings files, with all that they refer to.

    Exit 0: all are right. 1: something is wrong, told with file, line, key and what would be right.
    2: a file cannot be read at all.
    """
    answers = [_check(path) for path in files]
    code = max(code for code, _rest in answers)
    if as_json:
        typer.echo(
            json.dumps({"ok": code == 0, "files": [answer for _code, answer in answers]}, indent=1, ensure_ascii=False)
        )
    elif code == 0:
        for _code, answer in answers:
            typer.echo(_fine(answer["kind"]).format(file=answer["file"]))
    raise typer.Exit(code)


def _fine(kind: str) -> str:
    return {
        "job": _("{file}: fine, a job"),
        "recipe": _("{file}: fine, a recipe"),
        "product": _("{file}: fine, a product"),
        "vehicle": _("{file}: fine, a vehicle"),
        "settings": _("{file}: fine, the settings of a screen"),
    }[kind]


def _check(path: Path) -> tuple[int, dict[str, Any]]:
    from bayapp.files.library import Library
    from bayapp.files.shop.settings import are_settings

    try:
        kind = "settings" if are_settings(path) else Library().check(path)
        if kind == "vehicle":
            from bayapp.files.drawings.form_check import check_form

            check_form(path)
    except BadFile as bad:
        complain(str(bad))
        findings = [_as_json(finding) for finding in bad.findings]
        code = BAD_INPUT if bad.unreadable else NO
        return code, {"file": str(path), "kind": None, "ok": False, "findings": findings}
    return 0, {"file": str(path), "kind": kind, "ok": True, "findings": []}


def _as_json(finding: Finding) -> dict[str, Any]:
    return {
        "file": finding.file,
        "line": finding.line,
        "column": finding.column,
        "key": finding.where or None,
        "reason": finding.reason,
    }
