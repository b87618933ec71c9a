"""Bays, moves and readings of one place in a file of events, through the command."""

import json
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from bayapp.cli.app import app
from bayapp.paths import resource

LINES: tuple[dict[str, Any], ...] = (
    {"act": "bays", "bays": [{"id": "bay-1", "name": "Front", "curtain": True}, {"id": "bay-2", "name": "Back"}]},
    {"act": "move", "to": "bay-1", "by": "Ash"},
    {"act": "air", "air_c": 20, "rh_percent": 50, "place": "bay-1"},
    {"act": "move", "to": "bay-9"},
    {"act": "move", "to": "outside"},
    {"act": "move-undone"},
    {"act": "move", "to": "bay-1"},
    {"act": "start", "zone": "rim-front-left", "step": "decontaminate"},
    {"act": "move", "to": "outside", "deviation": "in the way"},
)


def test_a_car_is_moved_and_what_cannot_be_is_told(tmp_path: Path) -> None:
    day = tmp_path / "day.jsonl"
    lines = [{"at": f"2026-11-25T08:{n:02d}:00Z", **line} for n, line in enumerate(LINES)]
    day.write_text("\n".join(map(json.dumps, lines)), encoding="utf-8")
    job = resource("jobs") / "estate-glass-and-rims.toml"
    result = CliRunner().invoke(app, ["replay", str(job), str(day), "--json"])
    told = [json.loads(line) for line in result.stdout.splitlines()]
    assert [one["code"] for one in told] == [None, None, None, "unknown", None, None, "done", None, "busy"]
    assert told[3]["why"] == "There is no place 'bay-9'; the settings name the bays."
    assert told[8]["why"].endswith("Finish or undo that first, then move the car.")
    assert result.exit_code == 1


CURED: tuple[dict[str, Any], ...] = (
    {"act": "done", "zone": "windscreen", "step": "decontaminate"},
    {"act": "move", "to": "outside", "curing": True, "spot": "the carport", "by": "Ash"},
    {"act": "start", "zone": "windscreen", "step": "polish"},
    {"act": "got-wet", "zones": ["windscreen"], "wet_at": "2026-11-25T08:02:00Z", "by": "Ash"},
    {"act": "got-wet", "zone": "windscreen", "wet_at": "2026-11-25T09:00:00Z"},
    {"act": "seen-good", "zone": "windscreen", "by": "Ash"},
    {"act": "seen-good", "zone": "windscreen"},
)


PANE = """
format = "bayapp-job/1"
title = "Green estate"
vehicle = "estate"
crew = ["Ash"]
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["windscreen"]
recipe = "glass-one-layer"
"""


def test_a_car_that_cures_elsewhere_is_not_worked_and_gets_wet(tmp_path: Path) -> None:
    day = tmp_path / "day.jsonl"
    lines = [{"at": f"2026-11-25T08:{n:02d}:00Z", **line} for n, line in enumerate(CURED)]
    day.write_text("\n".join(map(json.dumps, lines)), encoding="utf-8")
    job = tmp_path / "job.toml"
    job.write_text(PANE, encoding="utf-8")
    result = CliRunner().invoke(app, ["replay", str(job), str(day), "--json"])
    told = [json.loads(line) for line in result.stdout.splitlines()]
    assert [one["code"] for one in told] == [None, None, "bay", None, "clock", None, "done"]
    assert "nobody works on it there" in told[2]["why"]
