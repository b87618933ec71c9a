import json
from pathlib import Path

import pytest

from bayapp.paths import resource
from tests.cli.run import bayapp, json_lines
from tests.files.broken import BROKEN_EVENTS, BROKEN_JOBS, EVENTS, JOB, Broken

KEYS = ["line", "verdict", "code", "opens_at", "lapses_at", "why"]
SIDES = """\
format = "bayapp-job/1"
title = "Sides"
vehicle = "estate"
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["side-glass-left"]
recipe = "own"
[recipe.own]
air = "refuse"
[[recipe.own.step]]
id = "wipe"
kind = "wipe"
[[recipe.own.step]]
id = "coat"
kind = "coat"
wait = { min = 1, max = 10 }
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "job.toml").write_text(JOB)
    (tmp_path / "events.jsonl").write_text(EVENTS)
    return tmp_path


def replay(folder: Path, *events: dict) -> list[dict]:
    (folder / "events.jsonl").write_text("".join(json.dumps(event) + "\n" for event in events))
    return json_lines(bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json").stdout)


def at(time: str, act: str, zone: str = "", step: str = "", **more: object) -> dict:
    named = {key: value for key, value in (("zone", zone), ("step", step)) if value}
    return {"at": f"2026-11-25T{time}Z", "act": act, **named, **more}


def test_every_line_gets_one_line_of_json_with_all_keys(folder: Path):
    result = bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json")
    lines = json_lines(result.stdout)
    assert [list(line) for line in lines] == [KEYS] * 6
    assert [line["line"] for line in lines] == [1, 2, 3, 4, 5, 6]
    assert result.exit_code == 0
    assert result.stderr == ""


def test_a_set_closed_early_tells_the_window_and_a_cover_lets_others_make_water(tmp_path: Path):
    job = SIDES.replace('["side-glass-left"]', '["windscreen", "rear-screen"]').replace('"refuse"', '"ask"')
    buff = '[[recipe.own.step]]\nid = "buff"\nkind = "buff"\nwait = { of = "all-glass", min = 15, max = 60 }\n'
    wash = '[[recipe.wash.step]]\nid = "wash"\nkind = "decontaminate"\n[[work]]\nzones = ["bonnet"]\nrecipe = "wash"\n'
    (tmp_path / "job.toml").write_text(job + buff + wash)
    lines = replay(
        tmp_path,
        at("08:00:00", "done", "windscreen", "wipe"),
        at("08:05:00", "done", "windscreen", "coat"),
        at("08:06:00", "start", "bonnet", "wash"),
        at("08:07:00", "close-set", "windscreen"),
        at("08:08:00", "cover", "windscreen"),
        at("08:09:00", "start", "bonnet", "wash"),
        at("08:10:00", "uncover", "windscreen"),
        at("08:11:00", "done", "bonnet", "wash"),
        at("08:12:00", "uncover", "windscreen"),
        at("08:20:00", "done", "windscreen", "buff"),
    )
    assert [line["code"] for line in lines] == [None, None, "bay", None, None, None, "bay", None, None, None]
    assert (lines[3]["opens_at"], lines[3]["lapses_at"]) == ("2026-11-25T08:20:00.000Z", "2026-11-25T09:05:00.000Z")


def test_a_done_tells_the_window_of_the_step_that_comes_next(folder: Path):
    lines = json_lines(bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json").stdout)
    assert lines[2]["opens_at"] == "2026-11-25T08:04:00.000Z"
    assert lines[2]["lapses_at"] == "2026-11-25T08:33:00.000Z"


def test_a_refused_line_makes_the_answer_no_and_the_rest_is_still_judged(folder: Path):
    lines = replay(
        folder,
        at("08:00:00", "start", "windscreen", "coat-1"),
        at("08:00:00", "start", "bonnet", "wipe"),
        at("08:00:00", "done", "windscreen", "wipe"),
    )
    assert [line["code"] for line in lines] == ["order", "unknown", None]
    assert [line["verdict"] for line in lines] == ["refused", "refused", "accepted"]
    assert bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json").exit_code == 1


def test_a_corrected_reading_moves_the_wait_that_a_later_line_is_judged_by(folder: Path):
    plain = (folder / "job.toml").read_text()
    ripening = plain.replace("min = 1, max = 30", "min_by_c = [[10, 8], [20, 5]], max = 30")
    assert ripening != plain
    (folder / "job.toml").write_text(ripening)
    read = {"corrects": "2026-11-25T08:00:00Z"}
    lines = replay(
        folder,
        at("08:00:00", "air", air_c=20, rh_percent=50),
        at("08:00:00", "done", "windscreen", "wipe"),
        at("08:01:00", "air-corrected", **read, air_c=10, rh_percent=50),
        at("08:05:00", "start", "windscreen", "coat-1"),
        at("08:06:00", "air-corrected", **read, withdrawn=True),
        at("08:08:00", "start", "windscreen", "coat-1"),
        at("08:09:00", "air-corrected", corrects="2026-11-25T08:00:01Z", withdrawn=True),
    )
    assert [line["code"] for line in lines] == [None, None, None, "early", None, "air", "unknown"]
    assert (lines[1]["opens_at"], lines[3]["opens_at"]) == ("2026-11-25T08:05:00.000Z", "2026-11-25T08:08:00.000Z")


def test_for_people_a_line_says_verdict_window_and_why(folder: Path):
    replay(folder, at("08:00:00", "done", "windscreen", "wipe"), at("08:00:30", "start", "windscreen", "coat-1"))
    accepted, refused = bayapp("replay", folder / "job.toml", folder / "events.jsonl").stdout.splitlines()
    assert "accepted" in accepted
    assert "opens 2026-11-25T08:01:00.000Z  lapses 2026-11-25T08:30:00.000Z" in accepted
    assert "refused (early)" in refused
    assert "too early" in refused


def test_a_deviation_is_accepted_and_says_what_it_was_carried_through(folder: Path):
    replay(folder, at("08:00:00", "done", "windscreen", "wipe"))
    (_, line) = replay(
        folder,
        at("08:00:00", "done", "windscreen", "wipe"),
        at("08:00:30", "start", "windscreen", "coat-1", deviation="the lamp is warm"),
    )
    assert (line["verdict"], line["code"]) == ("accepted", None)
    assert "too early" in line["why"]
    assert "deviation" in bayapp("replay", folder / "job.toml", folder / "events.jsonl").stdout.splitlines()[1]


def test_a_set_is_judged_as_one_and_listed_with_its_last_opening_and_first_lapse(tmp_path: Path):
    (tmp_path / "job.toml").write_text(SIDES)
    form = resource("vehicles", "estate.toml").read_text()
    zones = [
        line.split('"')[1]
        for line in form.splitlines()
        if line.startswith("id =") and "glass" in line and "left" in line
    ]
    assert len(zones) >= 2
    done = [at(f"08:0{n}:00", "done", zone, "wipe") for n, zone in enumerate(zones)]
    last = len(zones) - 1
    lines = replay(
        tmp_path,
        *done,
        at(f"08:0{last}:30", "start", "side-glass-left", "coat"),
        at(f"08:0{last}:40", "air", air_c=20, rh_percent=50),
        at(f"08:0{last + 1}:00", "start", "side-glass-left", "coat"),
        at(f"08:0{last + 3}:00", "done", "side-glass-left", "coat"),
    )
    early, _, begun, ended = lines[len(zones) :]
    assert early["code"] == "early"
    for line in (early, begun):
        assert line["opens_at"] == f"2026-11-25T08:0{last + 1}:00.000Z"
        assert line["lapses_at"] == "2026-11-25T08:10:00.000Z"
    assert begun["verdict"] == ended["verdict"] == "accepted"
    assert (ended["opens_at"], ended["lapses_at"]) == (None, None)


def test_a_coat_without_a_reading_is_refused_where_the_recipe_says_so(tmp_path: Path):
    (tmp_path / "job.toml").write_text(SIDES)
    lines = replay(
        tmp_path,
        at("08:00:00", "done", "side-glass-left", "wipe"),
        at("08:02:00", "start", "side-glass-left", "coat"),
        at("08:02:00", "air", air_c=10, rh_percent=95),
        at("08:02:00", "start", "side-glass-left", "coat"),
    )
    assert [line["code"] for line in lines] == [None, "air", None, "air"]
    assert "dew point" in lines[3]["why"]


def test_the_first_event_may_come_before_the_start_of_the_job(folder: Path):
    (line,) = replay(folder, at("07:30:00", "done", "windscreen", "wipe"))
    assert line["verdict"] == "accepted"


def test_time_that_runs_back_is_refused(folder: Path):
    lines = replay(folder, at("08:10:00", "done", "windscreen", "wipe"), at("08:09:59.999", "note", text="late"))
    assert [line["code"] for line in lines] == [None, "clock"]


def test_an_undo_tells_the_window_that_holds_again(folder: Path):
    lines = replay(
        folder,
        at("08:00:00", "done", "windscreen", "wipe"),
        at("08:02:00", "start", "windscreen", "coat-1"),
        at("08:02:30", "undo", "windscreen"),
        at("08:02:30", "undo", "bonnet"),
    )
    assert lines[2]["opens_at"] == "2026-11-25T08:01:00.000Z"
    assert lines[3]["code"] == "unknown"


@pytest.mark.parametrize("broken", BROKEN_EVENTS, ids=str)
def test_broken_events_are_bad_input_and_nothing_is_printed(broken: Broken, folder: Path):
    (folder / "events.jsonl").write_text(broken.text(EVENTS))
    result = bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"events.jsonl: {broken.place}: " in result.stderr
    assert broken.words in result.stderr
    assert sorted(path.name for path in folder.iterdir()) == ["events.jsonl", "job.toml"]


@pytest.mark.parametrize("broken", BROKEN_JOBS, ids=str)
def test_a_broken_job_is_bad_input_and_nothing_is_printed(broken: Broken, folder: Path):
    (folder / "job.toml").write_text(broken.text(JOB))
    result = bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert str(folder / "job.toml") in result.stderr


@pytest.mark.parametrize("missing", ["job.toml", "events.jsonl"])
def test_a_file_that_is_not_there_is_bad_input(missing: str, folder: Path):
    (folder / missing).unlink()
    result = bayapp("replay", folder / "job.toml", folder / "events.jsonl")
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{missing}: there is no such file" in result.stderr


def test_no_events_are_no_trouble(folder: Path):
    (folder / "events.jsonl").write_text("")
    result = bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json")
    assert (result.exit_code, result.stdout) == (0, "")


LONG_AFTER = """format = "bayapp-job/1"
title = "Edges"
vehicle = "estate"
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["windscreen"]
recipe = "own"
[recipe.own]
step = [{ id = "wipe", kind = "wipe" }, { id = "coat", kind = "coat", product = "dry", wait = { max = 30 } }]
[product.dry]
air_c = [25, 30]
rh_percent = [30, 70]
"""


@pytest.mark.parametrize(
    "at",
    ["9999-12-31T23:59:59.999Z", "9999-12-31T23:30:00Z", "9900-01-01T00:00:00Z", "1899-12-31T23:59:59Z"],
)
def test_an_instant_from_which_no_wait_can_be_counted_is_refused_in_words(tmp_path, at):
    job, events = tmp_path / "job.toml", tmp_path / "events.jsonl"
    job.write_text(LONG_AFTER)
    events.write_text(f'{{"at": "{at}", "act": "done", "zone": "windscreen", "step": "wipe"}}\n')
    ran = bayapp("replay", str(job), str(events), "--json")
    (line,) = json_lines(ran.stdout)
    assert (line["verdict"], line["code"]) == ("refused", "clock")
    assert line["why"] == f"The year given is {at[:4]}; work is recorded from 1900 to 9899. Check the clock."


def test_a_job_that_begins_beyond_the_calendar_is_no_job(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text(LONG_AFTER.replace("2026-11-25T08:00:00Z", "9999-12-31T08:00:00Z"))
    ran = bayapp("check", str(job))
    assert ran.exit_code == 1
    assert "the year is 9999; work is recorded from 1900 to 9899" in ran.output


def test_the_least_humidity_that_a_number_can_say_is_judged_in_words(tmp_path):
    job, events = tmp_path / "job.toml", tmp_path / "events.jsonl"
    job.write_text(LONG_AFTER)
    at = '{"at": "2026-11-25T08:00:00Z", '
    events.write_text(
        at + '"act": "air", "air_c": 20, "rh_percent": 5e-324}\n'
        + at + '"act": "done", "zone": "windscreen", "step": "wipe"}\n'
        + at + '"act": "done", "zone": "windscreen", "step": "coat"}\n'
    )  # fmt: skip
    ran = bayapp("replay", str(job), str(events), "--json")
    assert [line["code"] for line in json_lines(ran.stdout)] == [None, None, "air"]
