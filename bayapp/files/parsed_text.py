"""The text that a finding points into: a TOML file or one line of events."""

import json
from dataclasses import dataclass

from bayapp.files.problems import Finding
from bayapp.files.toml_positions import KeyPath, TomlPositions, in_words


@dataclass(frozen=True, slots=True)
class ParsedText:
    """A parsed text, and where in it each key is.

    Attributes:
        positions: the lines of a TOML text; None for a line of JSON, which ``line`` then numbers.
    """

    file: str
    data: dict[str, object]
    positions: TomlPositions | None = None
    line: int | None = None

    def finding(self, path: KeyPath, reason: str, naming: str | None = None) -> Finding:
        """Return a finding at a key; ``naming`` is a quoted word on the line to point at."""
        line = self.line
        if self.positions:
            line = self.positions.line_naming(path, naming) if naming else self.positions.line_of(path)
        return Finding(self.file, line, in_words(path, self.data), reason)

    def example(self, key: str, value: object) -> str:
        """Return ``key`` with a value as it would be written here."""
        if not self.positions:
            return f"{json.dumps(key)}: {json.dumps(value)}"
        instant = isinstance(value, str) and value.endswith("Z") and value[:2] == "20"
        return f"{key} = {value if instant else json.dumps(value)}"
