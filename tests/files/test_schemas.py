import json
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from bayapp.files.schemas import schemas, write_schemas
from bayapp.paths import resource
from tests.files.broken import EVENTS, JOB, PRODUCT, RECIPE, VEHICLE

GOOD = {"job": JOB, "recipe": RECIPE, "product": PRODUCT, "vehicle": VEHICLE}


def validator(kind: str) -> Draft202012Validator:
    """Return the reference validator of JSON Schema draft 2020-12, the ``jsonschema`` library, on a shipped schema."""
    schema = json.loads(resource("schema", f"{kind}.json").read_text())
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def as_json(text: str) -> Any:
    return json.loads(json.dumps(tomllib.loads(text), default=lambda moment: moment.isoformat()))


def test_the_shipped_schemas_are_those_of_the_models(tmp_path: Path):
    written = {path.name: path.read_text() for path in write_schemas(tmp_path)}
    assert written.keys() == schemas().keys()
    assert written == {path.name: path.read_text() for path in resource("schema").glob("*.json")}


def test_the_script_door_writes_them(tmp_path: Path):
    subprocess.run([sys.executable, "-m", "bayapp.files.schemas", str(tmp_path)], check=True, timeout=60)
    assert {path.name for path in tmp_path.iterdir()} == schemas().keys()


@pytest.mark.parametrize("kind", GOOD)
def test_a_good_file_agrees_with_its_schema(kind: str):
    assert list(validator(kind).iter_errors(as_json(GOOD[kind]))) == []


@pytest.mark.parametrize("folder", ["vehicles", "recipes", "products"])
def test_every_shipped_file_agrees_with_its_schema(folder: str):
    paths = list(resource(folder).glob("*.toml"))
    assert paths
    for path in paths:
        assert list(validator(folder[:-1]).iter_errors(as_json(path.read_text()))) == [], path


@pytest.mark.parametrize("kind", GOOD)
@pytest.mark.parametrize(("old", "new"), [("format =", "formt ="), ("/1", "/2")])
def test_a_file_with_a_wrong_format_line_disagrees_with_its_schema(kind: str, old: str, new: str):
    assert not validator(kind).is_valid(as_json(GOOD[kind].replace(old, new, 1)))


def test_event_lines_agree_with_their_schema_and_a_broken_one_does_not():
    lines = [json.loads(line) for line in EVENTS.splitlines()]
    assert all(validator("event-line").is_valid(line) for line in lines)
    assert not any(validator("event-line").is_valid({**line, "more": 1}) for line in lines)
