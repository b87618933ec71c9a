"""The exports read back by other readers: Python's csv module (RFC 4180 dialect) and json."""

import csv
import io
import json
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.state.requests import Start
from bayapp.report.exports import COLUMNS, guarded, rows, seconds, to_csv, to_json, unguarded
from tests.report.facts.test_content import ASH, coated_glass, finished_cart
from tests.report.shop import GREEN, at

# A cell that begins with one of these is run as a formula by spreadsheets: OWASP, "CSV Injection".
DANGEROUS = ("=", "+", "-", "@", "\t", "\r")


def read_back(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_json_carries_every_zone_and_step_with_instants_in_utc_and_milliseconds():
    record = finished_cart().record_of(minutes=40)
    read = json.loads(to_json(record))
    assert read["format"] == "bayapp-day-record/1"
    assert next(iter(read)) == "format"
    assert [len(zone["steps"]) for zone in read["zones"]] == [len(zone.steps) for zone in record.zones] == [4, 4, 3, 3]
    assert read["handover_at"] == "2026-11-26T08:21:00.000Z"
    instants = re.findall(r'"(\d{4}-\d\d-\d\dT[^"]+)"', to_json(record))
    assert len(instants) > 50
    # RFC 3339 date-time, UTC, three decimals
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", instant) for instant in instants)


def test_json_says_the_required_and_the_actual_wait_in_seconds():
    read = json.loads(to_json(coated_glass(second=12).record_of(minutes=40)))
    wait = read["zones"][0]["steps"][2]["wait"]
    assert (wait["earliest_s"], wait["latest_s"], wait["actual_s"], wait["kept"]) == (300.0, 3600.0, 360.0, "inside")


def test_json_counts_match_the_record():
    shop = coated_glass()
    shop.ask(Start(GREEN, (ZoneId("rim-a"),), StepId("level"), ASH, "only a look"), at(15))
    record = shop.record_of(minutes=40)
    read = json.loads(to_json(record))
    for key in ("zones", "deviations", "lapses", "taken_back", "corrections", "notes", "readings", "clock_jumps"):
        assert len(read[key]) == len(getattr(record, key)), key
    assert len(read["deviations"]) == 1


def test_csv_has_a_row_for_every_step_of_every_zone_done_or_left():
    shop = coated_glass(second=12)
    shop.ask(Start(GREEN, (ZoneId("rim-a"),), StepId("wipe"), ASH), at(15))
    read = read_back(to_csv(shop.record_of(minutes=16)))
    status = [(row["zone"], row["step"], row["status"]) for row in read if row["zone"] in ("pane", "rim-a")]
    assert status == [
        ("pane", "wipe", "finished"),
        ("pane", "coat-1", "finished"),
        ("pane", "coat-2", "finished"),
        ("pane", "buff", "left"),
        ("rim-a", "wipe", "running"),
        ("rim-a", "coat", "left"),
        ("rim-a", "level", "left"),
    ]
    assert {row["zone"] for row in read} == {"screen", "pane", "rim-a", "rim-b"}


def test_csv_lines_end_as_rfc_4180_says_and_the_first_names_the_columns():
    text = to_csv(coated_glass().record_of())
    assert text.startswith(",".join(COLUMNS) + "\r\n")
    assert text.endswith("\r\n")
    assert not re.search(r"(?<!\r)\n", text)
    assert not text.startswith("\ufeff")


def test_csv_of_a_zone_finished_earlier_still_has_a_row():
    shop = finished_cart()
    tomorrow = date(2026, 11, 26)
    read = read_back(to_csv(shop.record_of(minutes=26 * 60, day=tomorrow)))
    assert [(row["zone"], row["status"]) for row in read] == [
        (zone, "finished earlier") for zone in ("screen", "pane", "rim-a", "rim-b")
    ]
    assert read[2]["dry_until"] == "2026-11-26T08:21:00.000Z"


@pytest.mark.parametrize("text", ["=1+1", "+49 30", "-2", "@SUM(A1)", "\t=1", "\r=1", "'=1", "''-1"])
def test_free_text_that_a_spreadsheet_would_run_gets_an_apostrophe(text):
    assert guarded(text) == f"'{text}"


@pytest.mark.parametrize("text", ["windscreen", "'t Hart", "3 = 3", ""])
def test_other_text_is_left_alone(text):
    assert guarded(text) == text


@given(st.text())
def test_guarded_text_is_never_a_formula_and_comes_back_unchanged(text):
    assert not guarded(text).startswith(DANGEROUS)
    assert unguarded(guarded(text)) == text


TEXTS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=60)


@settings(max_examples=100, deadline=None)
@given(TEXTS, st.sampled_from(["=x", "a,b", 'say "so"', "a\r\nb", "ő"]))
def test_csv_read_back_has_the_same_values(text, other):
    record = coated_glass().record_of(minutes=40)
    zones = tuple(
        replace(zone, name=text, recipe=other, steps=tuple(replace(step, recipe=other) for step in zone.steps))
        for zone in record.zones
    )
    record = replace(record, zones=zones, title=text)
    read = read_back(to_csv(record))
    wanted = list(rows(record))
    assert len(read) == len(wanted)
    for row, cells in zip(read, wanted, strict=True):
        assert unguarded(row["zone_name"]) == unguarded(row["title"]) == text
        assert unguarded(row["recipe"]) == other
        assert set(row) == set(COLUMNS)
        assert all(row[key] == "" for key in COLUMNS if cells.get(key) is None)
        if isinstance(waited := cells.get("wait_actual_s"), timedelta):
            assert float(row["wait_actual_s"]) == seconds(waited) == waited.total_seconds()


@given(st.integers(-(10**9), 10**9))
def test_seconds_are_exact_to_the_millisecond(ms):
    assert round(seconds(timedelta(milliseconds=ms)) * 1000) == ms
