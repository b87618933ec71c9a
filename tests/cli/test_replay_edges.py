"""Every kind of wait at its two edges, to the millisecond. The windows are worked out by hand beside each case."""

import json
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.cli.run import bayapp, json_lines

WIPE = '[[recipe.own.step]]\nid = "wipe"\nkind = "wipe"\n'
BUFF = '[[recipe.own.step]]\nid = "buff"\nkind = "buff"\n'
LAY = '[recipe.lay]\n[[recipe.lay.step]]\nid = "one"\nkind = "coat"\n[[recipe.lay.step]]\nid = "two"\nkind = "coat"\n'
COAT = '[[recipe.own.step]]\nid = "coat"\nkind = "coat"\n'


def job(zones: list[str], steps: str, other: str = "") -> str:
    return (
        'format = "bayapp-job/1"\ntitle = "Edges"\nvehicle = "estate"\nstart = 2026-11-25T08:00:00Z\n'
        f'[[work]]\nzones = {json.dumps(zones)}\nrecipe = "own"\n{other}\n[recipe.own]\n{steps}'
    )


class Case(NamedTuple):
    """A step asked of a zone after a prelude, with the hand-made window of its wait."""

    name: str
    job: str
    prelude: list[tuple[str, str, str, str]]
    zone: str
    step: str
    opens: str
    lapses: str | None

    def __str__(self) -> str:
        return self.name.replace(" ", "-")


CASES = (
    Case(
        "a minimum and a maximum after the step before",
        job(["windscreen"], WIPE + COAT + "wait = { min = 1, max = 30 }\n"),
        [("08:00:00.000", "start", "windscreen", "wipe"), ("08:02:00.500", "done", "windscreen", "wipe")],
        "windscreen",
        "coat",
        "08:03:00.500",  # 08:02:00.500 + 1 min
        "08:32:00.500",  # 08:02:00.500 + 30 min
    ),
    Case(
        "minutes with decimals",
        job(["windscreen"], WIPE + COAT + "wait = { min = 0.0125, max = 1.5 }\n"),
        [("08:00:00.000", "done", "windscreen", "wipe")],
        "windscreen",
        "coat",
        "08:00:00.750",  # 0.0125 min = 750 ms
        "08:01:30.000",  # 1.5 min
    ),
    Case(
        "a wipe that holds only for its own window",
        job(["windscreen"], WIPE + COAT + 'wait = { max = 10, lapse = "wipe" }\n'),
        [("08:00:00.000", "done", "windscreen", "wipe")],
        "windscreen",
        "coat",
        "08:00:00.000",  # no minimum: at once
        "08:10:00.000",
    ),
    Case(
        "a wait that counts after an earlier step",
        job(
            ["windscreen"],
            WIPE
            + COAT
            + '[[recipe.own.step]]\nid = "buff"\nkind = "buff"\nwait = { after = "wipe", min = 20, max = 25 }\n',
        ),
        [
            ("08:00:00.000", "done", "windscreen", "wipe"),
            ("08:01:00.000", "start", "windscreen", "coat"),
            ("08:04:00.000", "done", "windscreen", "coat"),
        ],
        "windscreen",
        "buff",
        "08:20:00.000",  # after the wipe of 08:00, not the coat of 08:04
        "08:25:00.000",
    ),
    Case(
        "a latest moment that counts from the first stroke",
        job(
            ["windscreen"],
            COAT
            + '[[recipe.own.step]]\nid = "level"\nkind = "level"\nwait = { min = 1, max = 5, max_from = "start" }\n',
        ),
        [("08:00:00.000", "start", "windscreen", "coat"), ("08:02:00.000", "done", "windscreen", "coat")],
        "windscreen",
        "level",
        "08:03:00.000",  # the end, 08:02, + 1 min
        "08:05:00.000",  # the first stroke, 08:00, + 5 min
    ),
    Case(
        "a wait for the last zone of the work block",
        job(["windscreen", "rear-screen"], WIPE + COAT + 'wait = { of = "block", min = 2, max = 10 }\n'),
        [("08:00:00.000", "done", "windscreen", "wipe"), ("08:05:00.000", "done", "rear-screen", "wipe")],
        "windscreen",
        "coat",
        "08:07:00.000",  # the rear screen's 08:05 + 2 min
        "08:15:00.000",
    ),
    Case(
        "a wait for the last coat of a set in other blocks",
        job(
            ["bonnet"],
            BUFF + 'wait = { of = "all-glass", min = 3, max = 9 }\n',
            '[[work]]\nzones = ["windscreen"]\nrecipe = "lay"\n[[work]]\nzones = ["rear-screen"]\nrecipe = "lay"\n'
            + LAY,
        ),
        [
            ("08:00:00.000", "done", "windscreen", "one"),
            ("08:01:00.000", "done", "rear-screen", "one"),
            ("08:02:00.000", "done", "rear-screen", "two"),
            ("08:06:00.000", "done", "windscreen", "two"),
        ],
        "bonnet",
        "buff",
        "08:09:00.000",  # the windscreen's last coat, 08:06, + 3 min
        "08:15:00.000",
    ),
    Case(
        "a wait for a named step of a set",
        job(
            ["bonnet"],
            BUFF + 'wait = { of = "rear-glass", after = "one", min = 6, max = 12 }\n',
            '[[work]]\nzones = ["rear-screen"]\nrecipe = "lay"\n' + LAY,
        ),
        [("08:01:00.000", "done", "rear-screen", "one"), ("08:06:00.000", "done", "rear-screen", "two")],
        "bonnet",
        "buff",
        "08:07:00.000",  # after "one" of 08:01, not the last coat of 08:06
        "08:13:00.000",
    ),
    Case(
        "a second layer's wait that belongs to the turn",
        job(
            ["windscreen"],
            '[[recipe.own.step]]\nid = "a"\nkind = "coat"\nany_order = "both"\n'
            '[[recipe.own.step]]\nid = "b"\nkind = "coat"\nany_order = "both"\nwait = { min = 5, max = 60 }\n',
        ),
        [("08:00:00.000", "done", "windscreen", "b")],
        "windscreen",
        "a",
        "08:05:00.000",  # "a" comes second, so it keeps the second's wait
        "09:00:00.000",
    ),
    Case(
        "a minimum alone",
        job(["windscreen"], WIPE + COAT + "wait = { min = 600 }\n"),
        [("08:00:00.000", "done", "windscreen", "wipe")],
        "windscreen",
        "coat",
        "18:00:00.000",
        None,
    ),
)


def instant(time: str) -> str:
    return f"2026-11-25T{time}Z"


def beside(time: str, ms: int) -> str:
    """Return the time of day some milliseconds away."""
    h, m, s = time.split(":")
    total = round((int(h) * 3600 + int(m) * 60 + float(s)) * 1000) + ms
    return f"{total // 3_600_000:02d}:{total // 60_000 % 60:02d}:{total // 1000 % 60:02d}.{total % 1000:03d}"


def ask_at(case: Case, time: str, folder: Path) -> dict:
    """Return the answer to the case's step asked at a time of day, after its prelude has been accepted."""
    (folder / "job.toml").write_text(case.job)
    lines = [{"at": instant(t), "act": act, "zone": zone, "step": step} for t, act, zone, step in case.prelude]
    lines.append({"at": instant(time), "act": "start", "zone": case.zone, "step": case.step})
    (folder / "events.jsonl").write_text("".join(json.dumps(line) + "\n" for line in lines))
    result = bayapp("replay", folder / "job.toml", folder / "events.jsonl", "--json")
    *before, asked = json_lines(result.stdout)
    assert [line["verdict"] for line in before] == ["accepted"] * len(case.prelude), result.stdout
    assert result.exit_code == (0 if asked["verdict"] == "accepted" else 1)
    return asked


@pytest.mark.parametrize("case", CASES, ids=str)
def test_at_the_earliest_moment_it_is_accepted(case: Case, tmp_path: Path):
    asked = ask_at(case, case.opens, tmp_path)
    assert (asked["verdict"], asked["code"], asked["why"]) == ("accepted", None, None)
    assert asked["opens_at"] == instant(case.opens)
    assert asked["lapses_at"] == (case.lapses and instant(case.lapses))


@pytest.mark.parametrize("case", [c for c in CASES if c.opens != c.prelude[-1][0]], ids=str)
def test_a_millisecond_before_it_is_early(case: Case, tmp_path: Path):
    asked = ask_at(case, beside(case.opens, -1), tmp_path)
    assert (asked["verdict"], asked["code"]) == ("refused", "early")
    assert asked["opens_at"] == instant(case.opens)
    assert asked["lapses_at"] == (case.lapses and instant(case.lapses))
    assert case.opens[:8] in asked["why"]


@pytest.mark.parametrize("case", [c for c in CASES if c.lapses], ids=str)
def test_at_the_latest_moment_it_is_still_accepted(case: Case, tmp_path: Path):
    asked = ask_at(case, case.lapses or "", tmp_path)
    assert (asked["verdict"], asked["code"]) == ("accepted", None)
    assert asked["lapses_at"] == instant(case.lapses or "")


@pytest.mark.parametrize("case", [c for c in CASES if c.lapses], ids=str)
def test_a_millisecond_after_it_is_late(case: Case, tmp_path: Path):
    asked = ask_at(case, beside(case.lapses or "", 1), tmp_path)
    assert (asked["verdict"], asked["code"]) == ("refused", "late")
    assert asked["lapses_at"] == instant(case.lapses or "")
    assert (case.lapses or "")[:8] in asked["why"]


def test_a_minimum_alone_never_lapses(tmp_path: Path):
    assert ask_at(CASES[-1], "23:59:59.999", tmp_path)["verdict"] == "accepted"


def test_every_prelude_comes_before_its_window():
    assert all(case.prelude[-1][0] <= case.opens < (case.lapses or "24") for case in CASES)
