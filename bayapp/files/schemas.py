"""Generates the JSON Schemas of all files that people write from the models.

``python -m bayapp.files.schemas [FOLDER]`` writes them again.
"""

import json
import sys
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from bayapp.files.documents import KINDS
from bayapp.files.event_lines import AnyLine
from bayapp.paths import resource

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schemas() -> dict[str, dict[str, Any]]:
    """Return each kind's JSON Schema by its file name."""
    made = {kind: model.model_json_schema() for kind, model in KINDS.items()}
    for schema in made.values():
        schema["required"] = sorted({"format", *schema.get("required", [])})
    for table in ("Recipe", "Product"):
        # The key of [recipe.NAME] and [product.NAME] in a job is the name.
        embedded = made["job"]["$defs"][table]
        embedded["required"] = [key for key in embedded["required"] if key != "name"]
    made["event-line"] = TypeAdapter(AnyLine).json_schema()
    return {f"{kind}.json": {"$schema": DIALECT, **schema} for kind, schema in made.items()}


def as_text(schema: dict[str, Any]) -> str:
    """Return a schema as it is shipped."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def write_schemas(folder: Path) -> list[Path]:
    """Write all schemas into a folder; return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, schema in schemas().items():
        written.append(folder / name)
        written[-1].write_text(as_text(schema), encoding="utf-8")
    return written


if __name__ == "__main__":
    write_schemas(Path(sys.argv[1]) if len(sys.argv) > 1 else resource("schema"))
