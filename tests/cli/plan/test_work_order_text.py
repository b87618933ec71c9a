"""What is printed of a work order: the sums by hand, the table against the order's own steps."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from bayapp.cli.plan.work_order_text import as_json, as_text, stretches
from bayapp.files.library import Library
from bayapp.job import Job
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.paths import resource
from bayapp.planning.core.work_order import Loss, PlannedStep, Remedy, WayOut, WorkOrder

ASH, BO = Person("Ash"), Person("Bo")
START = datetime(2026, 11, 25, 21, 30, tzinfo=UTC)
CAR = JobId("estate")


@pytest.fixture(scope="module")
def job() -> Job:
    return Library().load_job(resource("jobs", "estate-glass-and-rims.toml"), CAR)


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def step(zone: str, name: str, person: Person | None, start: float, end: float) -> PlannedStep:
    return PlannedStep(
        job=CAR, zone=ZoneId(zone), step=StepId(name), person=person, start=at(start), end=at(end), lapses_at=at(end)
    )


def order(*steps: PlannedStep, **more: object) -> WorkOrder:
    head = {"status": "feasible", "made_for": START, "finish": at(60), "bound": at(57), "one_by_one": at(150)}
    return WorkOrder.model_validate({**head, "steps": steps, **more})


def test_the_same_step_done_by_one_person_without_a_pause_is_one_line(job: Job):
    rows = stretches(
        [
            step("rim-front-left", "decontaminate", ASH, 0, 3),
            step("windscreen", "decontaminate", BO, 0, 4),
            step("rim-front-right", "decontaminate", ASH, 3, 6),
            step("rim-rear-left", "decontaminate", ASH, 6.5, 9),
            step("rim-rear-right", "decontaminate", ASH, 10, 13),
            step("windscreen", "polish", BO, 4, 9),
        ],
        {CAR: job},
    )
    assert [(row.person, row.title, len(row.zones), row.start, row.end) for row in rows] == [
        (ASH, "decontaminate", 3, at(0), at(9)),
        (BO, "decontaminate", 1, at(0), at(4)),
        (BO, "polish", 1, at(4), at(9)),
        (ASH, "decontaminate", 1, at(10), at(13)),
    ]


def test_every_step_is_printed_with_clock_time_minute_person_and_zone(job: Job):
    lines = list(
        as_text(
            order(
                step("windscreen", "coat-1", ASH, 29, 31),
                step("rim-front-left", "decontaminate", None, 0, 3),
                step("windscreen", "coat-2", ASH, 151.9, 153),
            ),
            {CAR: job},
            timezone(timedelta(hours=2)),
        )
    )
    assert lines[:6] == [
        "Estate, glass and rims, 2026-11-25",
        "time   minute  person  step              zones",
        "23:30       0  –       decontaminate     front left rim",
        "23:59      29  Ash     coat up and down  windscreen",
        "2026-11-26",
        "02:01     151  Ash     coat across       windscreen",
    ]


def test_finish_and_chances_are_printed(job: Job):
    lines = list(
        as_text(
            order(
                lapse_chance=0.043,
                finish_p90=at(75),
                safety_cost_s=180,
            ),
            {CAR: job},
            UTC,
        )
    )
    assert lines == [
        "Work done at 22:30 (1 h 00).",
        "Zone after zone, every wait idled away, it would be 2026-11-26 00:00 (2 h 30).",
        "Chance of missing a latest moment, as work really varies: 4%.",
        "On a slow day it is done by 22:45 (1 h 15); 1 day in 10 is slower still.",
        "It ends 3:00 later than the soonest order, so that fewer windows lapse.",
    ]
    loss = Loss(job=CAR, zone=ZoneId("windscreen"), step=StepId("coat-2"), lapses_at=at(12))
    lost = list(as_text(order(status="infeasible", losses=(loss,)), {CAR: job}, UTC))
    assert lost[-1] == "Cannot be kept: windscreen, coat across, at the latest at 21:42:00."
    proven = as_text(order(status="optimal", bound=at(60)), {CAR: job}, UTC)
    assert "No order ends sooner; that is proven." in proven


WAY = WayOut(
    remedy=Remedy.ASIDE,
    job=CAR,
    zones=(ZoneId("windscreen"),),
    finish=at(45),
    later_s=90,
    rework_s=120,
    price_s=2010,
)


def test_what_is_wrong_and_every_way_out_are_told_with_what_each_costs(job):
    stuck = order(status="infeasible", trouble="The windscreen came too soon.", ways_out=(WAY,), stuck=True)
    lines = list(as_text(stuck, {CAR: job}, UTC))
    assert "The windscreen came too soon." in lines
    cost = "Costs: 1 zone another day, 2 min of work done twice, 2 min later. Work done at 22:15."
    assert f"Way out: Set aside: windscreen. {cost}" in lines


def test_the_document_has_the_ways_out_in_minutes():
    document = as_json(order(trouble="No.", ways_out=(WAY,), stuck=True))
    assert (document["trouble"], document["stuck"]) == ("No.", True)
    assert document["ways_out"] == [
        {
            "remedy": "set-aside",
            "job": CAR,
            "zones": ["windscreen"],
            "step": None,
            "to": None,
            "until_min": None,
            "finish_min": 45.0,
            "later_min": 1.5,
            "rework_min": 2.0,
            "price_min": 33.5,
            "still": "",
        }
    ]


def test_the_document_counts_minutes_from_the_start():
    loss = Loss(job=CAR, zone=ZoneId("windscreen"), step=StepId("coat-2"), lapses_at=at(12))
    document = as_json(
        order(step("windscreen", "coat-1", ASH, 1.5, 3), clash=("No.",), losses=(loss,), finish_p50=at(61)), True
    )
    assert document == {
        "status": "feasible",
        "start": "2026-11-25T21:30:00.000Z",
        "makespan_min": 60.0,
        "bound_min": 57.0,
        "one_by_one_min": 150.0,
        "finish_p50_min": 61.0,
        "finish_p90_min": None,
        "lapse_chance": None,
        "safety_cost_min": 0.0,
        "interrupted": True,
        "clash": ["No."],
        "assumed": [],
        "losses": [{"zone": "windscreen", "step": "coat-2", "lapses_min": 12.0}],
        "left_out": [],
        "trouble": "",
        "ways_out": [],
        "stuck": False,
        "steps": [
            {
                "zone": "windscreen",
                "step": "coat-1",
                "person": "Ash",
                "start_min": 1.5,
                "end_min": 3.0,
                "opens_min": None,
                "lapses_min": 3.0,
                "running": False,
            }
        ],
    }
    nothing = as_json(WorkOrder(status="unknown", made_for=START))
    assert (nothing["makespan_min"], nothing["bound_min"], nothing["steps"]) == (None, None, [])
