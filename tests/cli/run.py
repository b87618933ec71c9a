"""Runs commands in this process and reads what they answer."""

import json
from typing import Any

from typer.testing import CliRunner

from bayapp.cli import app


def bayapp(*words: object) -> Any:
    """Run ``bayapp`` with these words; the result has ``exit_code``, ``stdout`` and ``stderr``."""
    result = CliRunner().invoke(app, [str(word) for word in words], prog_name="bayapp")
    assert "Traceback" not in result.output
    return result


def json_lines(text: str) -> list[dict[str, Any]]:
    """Return each line of JSON."""
    return [json.loads(line) for line in text.splitlines()]
