"""From an empty first screen to a running board by touch alone, in the real window: touches counted, no keyboard."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

import pytest
from PySide6.QtCore import QPoint

from bayapp.job.model.ids import ZoneId
from bayapp.job.state.events import JobOpened
from bayapp.paths import resource
from bayapp.record import open_journal
from bayapp.screen.widgets.glove_button import SETTLE_MS
from tests.screen.whole_program.display import PROGRAMS_ARE_HERE, Display, display, until

pytestmark = pytest.mark.skipif(not PROGRAMS_ARE_HERE, reason="needs Xvfb and xdotool")

ROOT = Path(__file__).parents[3]
SETTINGS = 'format = "bayapp-settings/1"\npeople = ["Ash", "Bo"]\n'


class Walk:
    """A finger in front of the real window, which looks for words as a person does."""

    def __init__(self, shown: Display, map_file: Path) -> None:
        self._shown, self._map = shown, map_file
        self.touches = 0

    def seen(self) -> list[dict]:
        """Return what can be seen and touched now."""
        return json.loads(self._map.read_text(encoding="utf-8")) if self._map.exists() else []

    def find(self, words: str, which: int = 0) -> QPoint:
        """Wait until something that begins with these words, or has them below, can be touched; return where it is."""

        def look() -> QPoint | None:
            found = [b["at"] for b in self.seen() if b["says"].startswith(words) or b["below"].startswith(words)]
            return QPoint(*found[which]) if found else None

        try:
            return until(look, repr(words))
        except AssertionError as waited:
            raise AssertionError(f"{waited}; seen: {[b['says'] for b in self.seen()]}") from waited

    def touch(self, words: str, then: str = "", which: int = 0) -> None:
        """Touch what says this, again where a button took it for a bounce, until ``then`` can be seen."""
        before = self._map.read_text(encoding="utf-8") if self._map.exists() else ""
        self._shown.tap(self.find(words, which))
        self.touches += 1
        if then:
            self.find(then)
        else:
            until(lambda: self._map.read_text(encoding="utf-8") != before or None, f"a change after {words!r}")


@contextmanager
def walk(store: Path) -> Iterator[Walk]:
    """Start the program on an empty store in a real window."""
    store.mkdir()
    (store / "settings.toml").write_text(SETTINGS, encoding="utf-8")
    map_file = store.parent / "map.json"
    with display() as shown:
        command = [sys.executable, "-m", "tests.screen.whole_program.mapped_program", str(store), str(map_file)]
        environment = {**os.environ, "DISPLAY": shown.name, "QT_QPA_PLATFORM": "xcb"}
        with subprocess.Popen(command, cwd=ROOT, env=environment, stderr=subprocess.DEVNULL) as process:
            try:
                yield Walk(shown, map_file)
            finally:
                process.kill()


TWO_MINUTES = 120
AT_LEISURE_S = 1.5
"""How long a person looks before each touch; with it the whole walk must still take under two minutes."""


def type_in(person: Walk, field: str, digits: str, then: str) -> None:
    """Open a field of the sheet, type a number and record it."""
    person.touch(field, "Erase")
    for digit in digits:
        person.touch(digit, "Erase")
    person.touch("Record", then)


def test_a_car_and_a_recipe_that_are_in_no_package_stand_on_the_board_in_two_minutes(tmp_path: Path):
    """A glass coat typed from its sheet, on a hatchback whose bonnet has two colours."""
    store = tmp_path / "store"
    with walk(store) as person:
        began = perf_counter()
        person.touch("More", "Recipes")
        person.touch("Recipes", "New from a sheet")
        person.touch("New from a sheet", "what it is for")
        person.touch("what it is for", "Glass")
        person.touch("Glass", "flash, before")
        type_in(person, "flash, before", "2", "level within")
        type_in(person, "level within", "8", "buff from")
        person.touch("More", "keep dry", which=-1)
        type_in(person, "keep dry", "12", "Build the steps")
        person.touch("Build the steps", "See its ladder")
        person.touch("No car", "New car")
        person.touch("New car", "Hatchback")
        person.touch("Hatchback", "Zones")
        person.touch("Zones", "Cut across")
        person.touch("zone bonnet", "Cut across")
        person.touch("Cut across", "zone bonnet-front")
        person.touch("Done", "All glass")
        person.touch("All glass")
        person.touch("Recipes", "All glass")
        person.touch("All glass", "Glass, 1 layer")
        person.touch("Glass, 1 layer", "zone bonnet-front")
        person.touch("zone bonnet-front", "Next")
        person.touch("Next", "Begin")
        person.touch("Blue")
        person.touch("Begin", "To the car")
        person.touch("To the car", "zone windscreen")
        took = perf_counter() - began
        journal = open_journal(store, write=False)
        try:
            (opened,) = [e for e in journal.read() if isinstance(e, JobOpened)]
        finally:
            journal.close()
        job = opened.opened
        assert job.title == "Blue hatchback"
        assert "bonnet-front" in job.block_of
        assert "bonnet-rear" not in job.block_of
        recipe = job.recipe_of(ZoneId("windscreen"))
        assert (recipe.title, recipe.finish.keep_dry_hours) == ("Glass, 1 layer", 12)
        assert not resource("recipes", f"{recipe.name}.toml").exists()
        whole = took + AT_LEISURE_S * person.touches
        print(f"{person.touches} touches: {took:.1f} s, {whole:.0f} s with {AT_LEISURE_S} s before each")
        assert person.touches * (AT_LEISURE_S + SETTLE_MS / 1000) < TWO_MINUTES
