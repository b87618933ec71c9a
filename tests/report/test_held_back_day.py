"""A day on which much is held back: replayed, planned, and told in every paper and file.

The bonnet is under film, the left wing matt, the front bumper repainted nine days ago, two doors are thin, and the rear
screen is to be left alone. That a repaint hardens for thirty days is common practice, without a source.
"""

import csv
import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bayapp.cli.day import read_day
from bayapp.cli.outcomes import run
from bayapp.files.event_lines import read_event_lines
from bayapp.files.library import Library
from bayapp.job import clocks, fold
from bayapp.planning.core.effort import Effort
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from bayapp.report.facts.content import day_record
from bayapp.report.write import ReportRequest, write_report
from tests.report.paper.test_pdf import text_of

DAYS = Path(__file__).parents[1] / "data" / "days"
JOB, LINES = DAYS / "held-back.toml", DAYS / "held-back.jsonl"
EVENING = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
DAY = date(2026, 11, 25)
REFUSED = {
    4: "Bonnet is under film",
    6: "Left wing is matt and is not polished",
    7: "Rear screen is to be left alone. Noted: cracked, goes to the glazier.",
    10: "Front bumper was repainted on 16 Nov 2026 and takes no coat for 30 days: coat not before 16 Dec 2026.",
    16: "Left rear quarter is under film",
    20: "Front bumper was repainted on 16 Nov 2026",
    23: "Front bumper was repainted on 16 Nov 2026",
}
"""Lines of the day that a mark refuses; the last is a millisecond before the day on which the bumper takes a coat."""


def outcomes():
    job = Library().load_job(JOB)
    return {outcome.line: outcome for outcome in run(job, read_event_lines(LINES, job))}


@pytest.fixture(scope="module")
def record():
    car, events = read_day(JOB, LINES, EVENING)
    return day_record(events, car.id, DAY, EVENING, UTC)


def test_every_forbidden_step_is_refused_with_its_reason_and_date_and_nothing_else_is():
    found = outcomes()
    assert {line for line, outcome in found.items() if not outcome.accepted} == REFUSED.keys()
    for line, why in REFUSED.items():
        assert (found[line].code, (found[line].why or "").startswith(why)) == ("mark", True), line
    hardened = datetime(2026, 12, 16, tzinfo=UTC)
    assert {found[line].opens_at for line in (10, 20, 23)} == {hardened}
    assert hardened - read_event_lines(LINES, Library().load_job(JOB))[22].at == timedelta(milliseconds=1)


def test_the_plan_leaves_it_out_and_says_so():
    car, events = read_day(JOB, LINES, datetime(2026, 11, 25, 8, 3, tzinfo=UTC))
    state = fold(events)
    order = plan_work(state, datetime(2026, 11, 25, 8, 4, tzinfo=UTC), Shop(), Effort(0.3, workers=1))
    done = {str(zone): [s.step for s in order.steps if s.zone == zone] for zone in car.block_of}
    assert done["bonnet"] == done["rear-screen"] == []
    assert done["wing-left"] == ["wash"]
    assert done["bumper-front"] == ["wash", "polish"]
    assert done["door-left-front"] == ["wash", "polish", "wipe", "coat", "level"], "the block is not held up"
    assert done["windscreen"] == ["wash", "coat", "buff"], "the glass is not held up"
    assert {f.zone for f in order.forbidden} == {"bonnet", "wing-left", "bumper-front", "rear-screen"}
    assert (order.left_out, order.trouble, order.losses) == ((), "", ())


def test_the_board_has_no_clock_for_what_is_held_back():
    _, events = read_day(JOB, LINES, EVENING)
    out = {clock.zone for clock in clocks(fold(events), EVENING) if clock.out}
    assert out == {"bonnet", "wing-left", "bumper-front", "rear-screen"}


def test_the_record_holds_each_mark_with_when_and_by_whom(record):
    told = {(m.zone, m.kind.value): m for m in record.marks}
    assert told.keys() == {
        ("bonnet", "film"),
        ("wing-left", "matt"),
        ("bumper-front", "repainted"),
        ("mirror-left", "damage"),
        ("rear-screen", "leave"),
        ("quarter-left", "film"),
    }
    assert told["bonnet", "film"].set_at is None
    assert told["bonnet", "film"].said == (
        "Film or wrap, 21 Feb 2026: only recipes made for film. Noted: clear, whole bonnet."
    )
    assert told["mirror-left", "damage"].point == (212, 388.5)
    leave, lifted = told["rear-screen", "leave"], told["quarter-left", "film"]
    assert (leave.set_at, leave.set_by, leave.lifted_at) == (datetime(2026, 11, 25, 8, 1, tzinfo=UTC), "Ash", None)
    assert (lifted.lifted_at, lifted.lifted_by) == (datetime(2026, 11, 25, 8, 23, tzinfo=UTC), "Ash")
    left = {zone.zone: zone.ahead for zone in record.zones}
    assert left["wing-left"].forbidden.startswith("Left wing is matt")
    assert left["door-left-front"].forbidden == ""


def test_paper_table_and_document_show_the_marks(tmp_path):
    car, events = read_day(JOB, LINES, EVENING)
    written = write_report(list(events), ReportRequest(car.id, DAY, EVENING, UTC), tmp_path)
    by_ending = {path.suffix: path for path in written}
    paper = text_of(by_ending[".pdf"])
    assert "Front bumper: Repainted, 16 Nov 2026: no coat before 16 Dec 2026. Noted: by the owner's word." in paper
    assert "Rear screen: Leave alone: nothing is done to it. Noted: cracked, goes to the glazier." in paper
    assert "Not done: Left wing is matt" in paper
    with by_ending[".csv"].open(encoding="utf-8-sig", newline="") as file:
        marks = {row["zone"]: row["marks"] for row in csv.DictReader(file)}
    assert marks["wing-left"] == "Matt finish: no polish."
    assert marks["quarter-left"] == "", "lifted"
    document = json.loads(by_ending[".json"].read_text(encoding="utf-8"))
    assert {(m["zone"], m["kind"], m["day"]) for m in document["marks"]} >= {
        ("bumper-front", "repainted", "2026-11-16")
    }
