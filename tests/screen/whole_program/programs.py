"""Starts the wall program with a hand inside it, and reads what it tells."""

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[3]


class BoardProgram:
    """One life of the program; nothing is opened before ``open``."""

    def __init__(self, store: Path, job: Path, *options: str, environment: Mapping[str, str] | None = None) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.screen.whole_program.board_program", str(store), str(job), *options],
            cwd=ROOT,
            env={**(environment or os.environ), "QT_QPA_PLATFORM": "offscreen"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def __enter__(self) -> "BoardProgram":
        return self

    def __exit__(self, *trouble: object) -> None:
        """Leave nothing running, whatever the test has met."""
        self.process.kill()
        self.rest()

    def say(self, word: str) -> None:
        """Write one line to the program."""
        assert self.process.stdin is not None
        self.process.stdin.write(f"{word}\n")
        self.process.stdin.flush()

    def open(self) -> dict[str, Any]:
        """Let the program open its store; return what its first painted board showed."""
        self.say("open")
        return self.wait_for("board")

    def wait_for(self, event: str) -> dict[str, Any]:
        """Read lines up to the one of this event."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            found: dict[str, Any] = json.loads(line)
            if found["event"] == event:
                return found
        raise AssertionError(f"the program ended before it said {event!r}: {self.rest()[1]}")

    def wait_for_band(self, words: str, says: bool = True) -> str:
        """Return what the line of alerts says once it has these words, or has them no more."""
        while (words in (text := str(self.wait_for("band")["text"]))) is not says:
            pass
        return text

    def rest(self) -> tuple[list[dict[str, Any]], str]:
        """Wait for the end; return the complete lines that were still to be read, and what went wrong aloud."""
        assert self.process.stdout is not None
        assert self.process.stderr is not None
        if self.process.stdout.closed:
            return [], ""
        with self.process as ended:
            out, err = self.process.stdout.read(), self.process.stderr.read()
            ended.wait(timeout=30)
        lines = [line for line in out.splitlines(keepends=True) if line.endswith("\n")]
        return [json.loads(line) for line in lines], err
