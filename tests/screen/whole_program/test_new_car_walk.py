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

from bayapp.job.events import JobOpened
from bayapp.record import open_journal
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

    def find(self, words: str) -> QPoint:
        """Wait until something that begins with these words can be touched; return where it is."""

        def look() -> QPoint | None:
            found = [b["at"] for b in self.seen() if b["says"].startswith(words)]
            return QPoint(*found[0]) if found else None

        try:
            return until(look, repr(words))
        except AssertionError as waited:
            raise AssertionError(f"{waited}; seen: {[b['says'] for b in self.seen()]}") from waited

    def touch(self, words: str, then: str = "") -> None:
        """Touch what says this, again where a button took it for a bounce, until ``then`` can be seen."""
        before = self._map.read_text(encoding="utf-8") if self._map.exists() else ""
        self._shown.tap(self.find(words))
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


def test_a_car_that_is_in_no_package_stands_on_the_board_after_few_touches(tmp_path: Path):
    """A hatchback with a bonnet of two colours."""
    store = tmp_path / "store"
    with walk(store) as person:
        began = perf_counter()
        person.touch("New car", "Hatchback")
        person.touch("Hatchback", "Zones")
        person.touch("Zones", "Cut across")
        person.touch("zone bonnet", "Cut across")
        person.touch("Cut across", "zone bonnet-front")
        person.touch("Done", "All glass")
        person.touch("All glass")
        person.touch("All rims")
        person.touch("zone bonnet-front", "Bonnet, front part")
        person.touch("Bonnet, front part", "Next")
        person.touch("Next", "Begin")
        person.touch("Blue")
        person.touch("Begin", "zone windscreen")
        took = perf_counter() - began
        journal = open_journal(store, write=False)
        try:
            (opened,) = [e for e in journal.read() if isinstance(e, JobOpened)]
        finally:
            journal.close()
        assert opened.opened.title == "Blue hatchback"
        assert "bonnet-front" in opened.opened.block_of
        assert "bonnet-rear" not in opened.opened.block_of
        print(f"{person.touches} touches, {took:.1f} s without a person's pauses")
        assert person.touches <= 40
