"""The manual: which topics there are, in the shop's language where they are translated, and their text for the wall."""

import re
from dataclasses import dataclass
from pathlib import Path

from bayapp.paths import resource
from bayapp.text.language import _, language

INDEX = "README"
UNBROKEN = "\u2011\u2011"
"""The two hyphens of an option, which no line ends between."""
_LISTED = re.compile(r"^- \[(?P<title>[^]]+)]\((?P<name>[^)]+)\.md\): (?P<line>.+)$", re.MULTILINE)
_HEADING = re.compile(r"\A# .*\n+")
_OPTION = re.compile(r"--(?=\w)")
_EXAMPLE = re.compile(r"^```\w*\n.*?^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Topic:
    """One page of the manual: the name of its file, its title, and a line that says what it is about."""

    name: str
    title: str
    line: str


def topics() -> tuple[Topic, ...]:
    """Return every topic in the order of the English list; one that is not translated has its English title."""
    spoken = {topic.name: topic for topic in _listed(_file(INDEX))}
    return tuple(spoken.get(topic.name, topic) for topic in _listed(resource("help", f"{INDEX}.md")))


def topic_text(name: str) -> str:
    """Return the Markdown of a topic without its heading.

    An example for a file is replaced by the file's name: it is copied at a keyboard, and nobody reads it on a wall.
    """
    file = _file(name)
    pointer = _("An example stands in the file {file}.").format(file=f"`{file}`")
    text = _EXAMPLE.sub(lambda _found: pointer, _HEADING.sub("", file.read_text(encoding="utf-8")))
    return _OPTION.sub(UNBROKEN, text).strip()


def _listed(index: Path) -> list[Topic]:
    return [Topic(f["name"], f["title"], f["line"]) for f in _LISTED.finditer(index.read_text(encoding="utf-8"))]


def _file(name: str) -> Path:
    """Return the file of a page in the language that is spoken, else in English."""
    tag = language()
    folders = [resource("help", tag), resource("help", tag.split("-")[0]), resource("help")]
    return next(folder / f"{name}.md" for folder in folders if (folder / f"{name}.md").is_file())
