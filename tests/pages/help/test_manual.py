"""Which topics the manual has on the wall, in which language, and what is left out of their text."""

from pathlib import Path

import pytest

from bayapp.pages.help import manual
from bayapp.pages.help.manual import Topic, topic_text, topics
from bayapp.paths import resource

ENGLISH = """# Help

The list.

- [The board](board.md): what you see
- [The air](air.md): fit to coat
"""
GERMAN = """# Hilfe

- [Die Tafel](board.md): was man sieht
"""


@pytest.fixture
def shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small manual: two topics in English, one of them and its place in the list in German."""
    pages = {
        "README.md": ENGLISH,
        "board.md": "# The board\n\nLook at it.\n",
        "air.md": "# The air\n\nBreathe.\n",
        "de/README.md": GERMAN,
        "de/board.md": "# Die Tafel\n\nSchau hin.\n",
    }
    for name, text in pages.items():
        (tmp_path / "help" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "help" / name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(manual, "resource", tmp_path.joinpath)
    return tmp_path


def speak(tag: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(manual, "language", lambda: tag)


def test_the_topics_stand_in_the_order_of_the_list(shipped: Path):
    assert topics() == (Topic("board", "The board", "what you see"), Topic("air", "The air", "fit to coat"))


def test_a_translated_topic_is_offered_and_read_in_the_shops_language(shipped: Path, monkeypatch: pytest.MonkeyPatch):
    speak("de", monkeypatch)
    assert topics()[0] == Topic("board", "Die Tafel", "was man sieht")
    assert topic_text("board") == "Schau hin."


def test_a_topic_that_is_not_translated_is_offered_and_read_in_english(shipped: Path, monkeypatch: pytest.MonkeyPatch):
    speak("de", monkeypatch)
    assert topics()[1] == Topic("air", "The air", "fit to coat")
    assert topic_text("air") == "Breathe."


def test_the_language_serves_where_the_country_has_no_manual_of_its_own(shipped: Path, monkeypatch: pytest.MonkeyPatch):
    speak("de-AT", monkeypatch)
    assert [topic.title for topic in topics()] == ["Die Tafel", "The air"]


def test_without_a_translation_everything_is_english(shipped: Path, monkeypatch: pytest.MonkeyPatch):
    speak("fr", monkeypatch)
    assert [topic.title for topic in topics()] == ["The board", "The air"]


def test_an_example_is_left_out_and_its_file_named(shipped: Path):
    file = shipped / "help" / "air.md"
    file.write_text("# The air\n\nBefore.\n\n```toml\na = 1\n\nb = 2\n```\n\nAfter.\n", encoding="utf-8")
    assert topic_text("air") == f"Before.\n\nAn example stands in the file `{file}`.\n\nAfter."


def test_no_line_ends_between_the_hyphens_of_an_option(shipped: Path):
    (shipped / "help" / "air.md").write_text("# The air\n\nWrite `--air-c 20`, well-aired.\n", encoding="utf-8")
    assert topic_text("air") == "Write `\u2011\u2011air-c 20`, well-aired."


def test_every_shipped_topic_has_a_title_a_line_and_something_to_read():
    assert len(topics()) > 15
    for topic in topics():
        assert topic.title
        assert topic.line
        text = topic_text(topic.name)
        assert len(text.split()) > 40, topic.name
        assert "```" not in text
        assert not text.startswith("# ")


def test_the_file_that_a_shipped_topic_points_at_is_there():
    assert f"`{resource('help', 'settings.md')}`" in topic_text("settings")
    assert resource("help", "settings.md").is_file()
