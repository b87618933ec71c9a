"""``plan --events``: a day that has begun, planned from where it stands. The sums are worked out by hand."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.plan.small_car import SMALL
from tests.cli.run import bayapp


@pytest.fixture(autouse=True)
def shop_in_utc(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    file = tmp_path / "small.toml"
    file.write_text(SMALL)
    return file


def happened(folder: Path, *lines: tuple[str, str, str, str]) -> Path:
    file = folder / "day.jsonl"
    rows = [
        {"at": f"2026-11-25T{at}Z", "act": act, "zone": zone, "step": step, "by": "Ash"}
        for at, act, zone, step in lines
    ]
    file.write_text("".join(json.dumps(row) + "\n" for row in rows))
    return file


WIPED = (("08:00:00", "start", "windscreen", "wipe"), ("08:02:00", "done", "windscreen", "wipe"))


def answer(*words: object, code: int = 0) -> dict[str, Any]:
    result = bayapp("plan", "--json", *words)
    assert result.exit_code == code, (result.stdout, result.stderr)
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_a_day_is_planned_on_from_its_last_event(small: Path, tmp_path: Path):
    """At 08:02 the rear screen is wiped (2 min); the windscreen is coated 08:07 to 08:10, the other until 08:13."""
    found = answer(small, "--events", happened(tmp_path, *WIPED))
    assert (found["start"], found["makespan_min"]) == ("2026-11-25T08:02:00.000Z", 11)
    assert [(s["zone"], s["step"], s["start_min"]) for s in found["steps"]] == [
        ("rear-screen", "wipe", 0),
        ("windscreen", "coat", 5),
        ("rear-screen", "coat", 8),
    ]
    assert (found["losses"], found["clash"], found["left_out"]) == ([], [], [])


def test_what_comes_after_the_instant_of_planning_has_not_happened(small: Path, tmp_path: Path):
    """At 08:01 the wipe is under way for another minute: 13 min in all, as from the beginning."""
    found = answer(small, "--events", happened(tmp_path, *WIPED), "--at", "2026-11-25T08:01:00Z")
    first, *others = found["steps"]
    assert (first["zone"], first["step"], first["start_min"], first["running"]) == ("windscreen", "wipe", -1, True)
    assert found["makespan_min"] == 12
    assert not any(step["running"] for step in others)


def test_before_the_first_event_nothing_has_happened(small: Path, tmp_path: Path):
    found = answer(small, "--events", happened(tmp_path, *WIPED), "--at", "2026-11-25T07:00:00Z")
    assert (found["start"], found["makespan_min"]) == ("2026-11-25T07:00:00.000Z", 13)


def test_what_is_under_way_is_called_so(small: Path, tmp_path: Path):
    result = bayapp("plan", small, "--events", happened(tmp_path, WIPED[0]))
    assert "windscreen (under way)" in result.stdout
    assert result.stdout.count("under way") == 1


def test_events_that_the_gate_refuses_are_left_out_and_named(small: Path, tmp_path: Path):
    events = happened(tmp_path, *WIPED, ("08:03:00", "start", "windscreen", "coat"))
    result = bayapp("plan", small, "--events", events)
    assert result.exit_code == 0
    assert f"{events}: line 3: left out: " in result.stderr
    assert "08:03" not in result.stdout.splitlines()[2]


def test_a_window_that_has_lapsed_is_planned_anew_from_the_rung_that_it_costs(small: Path, tmp_path: Path):
    """At 09:00 the windscreen must be wiped again, as if nothing had been done: 13 min."""
    found = answer(small, "--events", happened(tmp_path, *WIPED), "--at", "2026-11-25T09:00:00Z")
    assert found["makespan_min"] == 13
    assert sum(s["step"] == "wipe" for s in found["steps"]) == 2


def test_a_window_that_can_no_longer_be_kept_is_a_loss_and_the_answer_is_no(small: Path, tmp_path: Path):
    """The windscreen must be coated by 08:32; Ash alone is at the rear screen from 08:10 on, for an hour."""
    small.write_text(SMALL.replace("minutes = 2", "minutes = 60"))
    events = happened(tmp_path, *WIPED, ("08:10:00", "start", "rear-screen", "wipe"))
    found = answer(small, "--events", events, code=1)
    assert found["losses"] == [{"zone": "windscreen", "step": "coat", "lapses_min": 22}]
    assert found["clash"]
    result = bayapp("plan", small, "--events", events)
    assert "Cannot be kept: windscreen, coat, at the latest at 08:32" in result.stdout
    assert "Not every wait of this job can hold." in result.stderr


def test_a_zone_left_out_is_set_aside_and_what_lies_on_it_still_counts(small: Path, tmp_path: Path):
    found = answer(small, "--events", happened(tmp_path, *WIPED), "--without", "windscreen")
    assert {s["zone"] for s in found["steps"]} == {"rear-screen"}
    result = bayapp("plan", small, "--events", happened(tmp_path, WIPED[0]), "--without", "windscreen")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "--without: Windscreen is being worked on" in result.stderr


def test_a_step_that_nobody_can_do_is_named_and_the_answer_is_no(small: Path, tmp_path: Path):
    (tmp_path / "settings.toml").write_text('format = "bayapp-settings/1"\n[cannot]\nAsh = ["coat"]\n')
    words = (small, "--events", happened(tmp_path, *WIPED), "--store", tmp_path)
    found = answer(*words, code=1)
    assert found["left_out"] == [{"zone": zone, "step": "coat"} for zone in ("windscreen", "rear-screen")]
    result = bayapp("plan", *words)
    assert "Not planned: coat (windscreen, rear screen)." in result.stdout
    assert "Not all that is left could be planned." in result.stderr


def test_events_that_are_none_are_bad_input(small: Path, tmp_path: Path):
    events = tmp_path / "day.jsonl"
    events.write_text('{"at": "2026-11-25T08:00:00Z", "act": "sing"}\n')
    result = bayapp("plan", small, "--events", events)
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{events}: line 1" in result.stderr
