"""The command as a person and a program call it: real processes, real jobs, real signals."""

import json
import os
import pty
import re
import signal
import subprocess
import sys
from collections import defaultdict
from itertools import pairwise
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from bayapp.cli.plan import command
from bayapp.cli.plan.job import bay_of
from bayapp.files.library import Library
from bayapp.job.model.ids import StepId
from bayapp.paths import resource
from tests.cli.hand_planner import HandPlanner
from tests.cli.plan.small_car import SMALL
from tests.cli.run import bayapp

WHOLE = resource("jobs", "estate-whole-car.toml")
NUMBER = {"type": ["number", "null"]}
SHAPE = {
    "type": "object",
    "required": ["status", "makespan_min", "bound_min", "one_by_one_min", "steps"],
    "properties": {
        "status": {"enum": ["optimal", "feasible", "infeasible", "unknown"]},
        "makespan_min": NUMBER,
        "bound_min": NUMBER,
        "one_by_one_min": NUMBER,
        "lapse_chance": {"type": ["number", "null"], "minimum": 0, "maximum": 1},
        "clash": {"type": "array", "items": {"type": "string", "minLength": 1}},
        "steps": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["zone", "step", "person", "start_min", "end_min"],
                "properties": {
                    "zone": {"type": "string"},
                    "step": {"type": "string"},
                    "person": {"type": ["string", "null"]},
                    "start_min": {"type": "number", "minimum": 0},
                    "end_min": {"type": "number", "minimum": 0},
                },
            },
        },
    },
}


@pytest.fixture(autouse=True)
def shop_in_utc(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    file = tmp_path / "small.toml"
    file.write_text(SMALL)
    return file


def document(*words: object) -> dict[str, Any]:
    """Return the one JSON document that the command prints, which has the shape that is promised."""
    result = bayapp("plan", "--json", *words)
    answer: dict[str, Any] = json.loads(result.stdout)
    jsonschema.validate(answer, SHAPE)
    assert result.exit_code == (0 if answer["status"] in ("optimal", "feasible") else 1), result.stderr
    return answer


def test_the_soonest_order_of_a_small_car_is_the_one_worked_out_by_hand(small: Path):
    """One person wipes both panes (2 + 2 min) and must then leave the first one until its 5 minutes are over (7 min);
    both coats (3 + 3 min) end at 13 min. One after the other: twice 2 + 5 + 3 min."""
    answer = document(small)
    assert (answer["status"], answer["makespan_min"], answer["bound_min"], answer["one_by_one_min"]) == (
        "optimal",
        13,
        13,
        20,
    )
    assert sorted((s["zone"], s["step"]) for s in answer["steps"]) == [
        (zone, step) for zone in ("rear-screen", "windscreen") for step in ("coat", "wipe")
    ]
    assert answer["start"] == "2026-11-25T08:00:00.000Z"


def test_an_order_of_a_whole_car_keeps_every_wait_and_nobody_is_in_two_places():
    answer = document(WHOLE, "--seconds", "1")
    job = Library().load_job(WHOLE)
    steps = answer["steps"]
    assert {(s["zone"], s["step"]) for s in steps} == {(z, s.id) for z in job.block_of for s in job.recipe_of(z).step}
    ends = {(s["zone"], s["step"]): s["end_min"] for s in steps}
    for step in steps:
        recipe = job.recipe_of(step["zone"])
        rung = recipe.named(step["step"])
        wait, place = rung.wait, recipe.position(StepId(rung.id))
        if wait and wait.of is None and wait.after is None and rung.any_order is None and wait.min is not None:
            before = ends[step["zone"], recipe.step[place - 1].id]
            assert step["start_min"] >= before + wait.min - 0.001, step
    by_person = defaultdict(list)
    for step in steps:
        assert step["person"] in job.crew
        by_person[step["person"]].append((step["start_min"], step["end_min"]))
    for spans in by_person.values():
        spans.sort()
        assert all(begin >= end - 0.001 for (_, end), (begin, _) in pairwise(spans))
    assert answer["makespan_min"] == max(s["end_min"] for s in steps)
    proven = answer["bound_min"] or 0  # on a busy machine a second may prove nothing
    assert proven <= answer["makespan_min"] < answer["one_by_one_min"]


def test_people_read_a_table_and_its_sums(small: Path):
    result = bayapp("plan", small)
    assert (result.exit_code, result.stderr) == (0, "")
    lines = result.stdout.splitlines()
    assert lines[:2] == ["Small car, 2026-11-25", "time   minute  person  step          zones"]
    assert re.match(
        r"08:00       0  Ash     solvent wipe  (windscreen, rear screen|rear screen, windscreen)$", lines[2]
    )
    assert re.match(
        r"08:07       7  Ash     coat          (windscreen, rear screen|rear screen, windscreen)$", lines[3]
    )
    assert "Work done at 08:13 (13:00)." in lines
    assert "No order ends sooner; that is proven." in lines
    assert "Zone after zone, every wait idled away, it would be 08:20 (20:00)." in lines


def test_it_begins_when_it_is_asked_to_and_leaves_out_what_it_is_asked_to(small: Path):
    answer = document(small, "--at", "2026-11-26T10:00:00Z", "--without", "rear-screen")
    assert (answer["start"], answer["makespan_min"]) == ("2026-11-26T10:00:00.000Z", 10)
    assert {s["zone"] for s in answer["steps"]} == {"windscreen"}


def test_waits_that_cannot_all_hold_are_named_and_the_answer_is_no(tmp_path: Path):
    """Two panes with 5 minutes of wiping, each to be coated within 1 minute after it, both coats after both wipes."""
    text = SMALL.replace("minutes = 2", "minutes = 5").replace(
        "wait = { min = 5, max = 30 }", 'wait = { min = 10, max = 11, of = "block", after = "wipe" }'
    )
    file = tmp_path / "tight.toml"
    file.write_text(text)
    answer = document(file)  # the second coat can begin 3 minutes after the first at the soonest, not 1
    assert answer["status"] == "infeasible"
    assert answer["clash"]
    result = bayapp("plan", file)
    assert result.exit_code == 1
    assert "Not every wait of this job can hold." in result.stderr
    for sentence in answer["clash"]:
        assert sentence in result.stderr


def test_the_hours_and_people_of_a_store_count(small: Path, tmp_path: Path):
    store = tmp_path / "store"
    store.mkdir()
    (store / "settings.toml").write_text(SETTINGS)
    answer = document(small, "--store", store)
    assert answer["steps"][0]["start_min"] == 60  # the shop opens at nine, the job would begin at eight
    (store / "settings.toml").write_text("format = 7")
    result = bayapp("plan", small, "--store", store)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "settings.toml" in result.stderr


SETTINGS = """\
format = "bayapp-settings/1"
hours = ["09:00-17:00"]
"""


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["no-such-job.toml"], "there is no such file"),
        ([WHOLE, "--seconds", "0"], "more than 0"),
        ([WHOLE, "--seconds", "nan"], "more than 0"),
        ([WHOLE, "--seconds", "1e9"], "at most 3600"),
        ([WHOLE, "--at", "noon"], "is not a date and time"),
        ([WHOLE, "--without", "spoiler"], "nothing called 'spoiler' is worked in this job"),
        ([resource("recipes", "rim.toml")], "format"),
    ],
)
def test_what_cannot_be_planned_is_bad_input(words: list[object], complaint: str):
    result = bayapp("plan", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert complaint in result.stderr


def test_a_broken_job_is_reported_with_its_line(small: Path):
    small.write_text(SMALL.replace('"windscreen"', '"windshield"'))
    result = bayapp("plan", small)
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{small}: line 7, work 1, zones" in result.stderr


def run_by_hand(planner: HandPlanner, as_json: bool, tmp_path: Path) -> int:
    state, start = bay_of(WHOLE, None, None, ())
    return command.run(planner, state, start, tmp_path, 0.5, as_json)


def test_a_search_that_found_nothing_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    class Nothing(HandPlanner):
        def __call__(self, *words: Any, **more: Any) -> Any:
            return (
                super()
                .__call__(*words, **more)
                .model_copy(
                    update={"status": "unknown", "steps": (), "finish": None, "bound": None, "one_by_one": None}
                )
            )

    assert run_by_hand(Nothing(), False, tmp_path) == 1
    output = capsys.readouterr()
    assert output.out == ""
    assert output.err == "No order was found in 0.5 s; give it longer with --seconds.\n"


def program(*words: object, **more: Any) -> "subprocess.Popen[str]":
    return subprocess.Popen([sys.executable, "-m", "bayapp", "plan", *map(str, words)], text=True, **more)


def on_a_terminal(*words: object) -> tuple["subprocess.Popen[str]", int]:
    """Start the command with a terminal as standard error; return it, and the terminal's other end."""
    other, terminal = pty.openpty()
    child = program(*words, stdout=subprocess.PIPE, stderr=terminal)
    os.close(terminal)
    return child, other


def read_until(terminal: int, words: bytes) -> bytes:
    """Read until these words have come, or the end."""
    read = b""
    while words not in read:
        try:
            more = os.read(terminal, 1024)
        except OSError:  # Linux says so when the last writer is gone
            break
        read += more
        if not more:
            break
    return read


def test_ctrl_c_takes_the_best_so_far_and_says_so():
    child, terminal = on_a_terminal(WHOLE, "--seconds", "600")
    try:
        assert b"finish " in read_until(terminal, b"(Ctrl-C takes it)")
        child.send_signal(signal.SIGINT)
        out, _ = child.communicate(timeout=60)
        assert child.returncode == 0
        assert out.startswith("Estate, whole car, 2026-11-25\n")
        assert out.endswith("Stopped by Ctrl-C: this is the best order found until then.\n")
        assert read_until(terminal, b"never said").endswith(b" \r"), "the line was not wiped"
    finally:
        child.kill()
        os.close(terminal)


def test_ctrl_c_leaves_one_whole_json_document():
    child, terminal = on_a_terminal(WHOLE, "--seconds", "600", "--json")
    try:
        read_until(terminal, b"(Ctrl-C takes it)")
        child.send_signal(signal.SIGINT)
        out, _ = child.communicate(timeout=60)
        answer = json.loads(out)
        jsonschema.validate(answer, SHAPE)
        assert (child.returncode, answer["interrupted"]) == (0, True)
        assert b"Stopped by Ctrl-C" in read_until(terminal, b"never said")
    finally:
        child.kill()
        os.close(terminal)


def test_a_short_search_gives_an_order_and_says_nothing_beside_it():
    child = program(WHOLE, "--seconds", "0.2", "--json", stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    out, err = child.communicate(timeout=60)
    assert (child.returncode, err) == (0, "")
    assert json.loads(out)["steps"]


def test_it_loads_no_qt_and_no_database(small: Path):
    code = (
        "import sys\nfrom bayapp.cli import app\n"
        f"code = app(['plan', {str(small)!r}], standalone_mode=False)\n"
        "heavy = {'PySide6', 'sqlalchemy'} & sys.modules.keys()\n"
        "assert 'ortools' in sys.modules\n"
        "sys.exit(f'loaded: {heavy}' if heavy else code)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert (result.returncode, result.stderr) == (0, "")
