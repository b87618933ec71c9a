"""The plan page: rows, what merges, windows, what happened against what was said, and its sentences."""

from datetime import UTC, datetime, timedelta, timezone
from itertools import combinations, pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bayapp.bay.planner_out import Outage, PlannerOut
from bayapp.job import FinishStep, Start
from bayapp.job.model.ids import Stage, StepId, Urgency, ZoneId
from bayapp.job.state.state import BayState
from bayapp.pages.plan.plan import PlanView, day_plan, plan_page
from bayapp.pages.plan.plan_bars import Bar, Bracket
from bayapp.pages.plan.plan_rows import PlanRow
from bayapp.pages.plan.plan_stints import Part, day_began
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import Loss, PlannedStep, WorkOrder
from tests.pages.bays import ASH, CAR, OPENING, HandBay, hand_bay
from tests.pages.orders import day_order, order_of, planned

MIN = timedelta(minutes=1)
LEFT_PANES = ("glass-left-front", "glass-left-rear", "glass-left-quarter")


def view(hand: HandBay, order: WorkOrder | None, by_person: bool = True, **more: object) -> PlanView:
    return plan_page(hand.bay.state, order, by_person, Viewpoint(None, hand.bay.now(), UTC), **more)  # type: ignore[arg-type]


def row(shown: PlanView, label: str) -> PlanRow:
    (found,) = [r for r in shown.rows if r.label == label]
    return found


def ahead(found: PlanRow) -> list[Bar]:
    return [bar for bar in found.bars if bar.part is Part.PLANNED]


def panes(start: datetime, step: str = "buff", minutes: float = 2.0, gap: float = 0.0) -> tuple[PlannedStep, ...]:
    """The three panes of the left side, one after the other."""
    pace = timedelta(minutes=minutes + gap)
    return tuple(planned(z, step, start + n * pace, minutes) for n, z in enumerate(LEFT_PANES))


# Rows and what merges.


def test_one_row_a_person_in_the_order_of_the_crew_also_for_who_has_nothing_to_do(hand: HandBay):
    shown = view(hand, order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 2, by="Cy")))
    assert [r.label for r in shown.rows] == ["Ash", "Bo", "Cy"]
    assert row(shown, "Ash").until == "nothing more planned"
    assert row(shown, "Cy").until == "has work until 09:03"


def test_one_step_on_zones_side_by_side_is_one_bar_named_by_its_set(hand: HandBay):
    shown = view(hand, order_of(OPENING, *panes(OPENING + 40 * MIN)))
    (bar,) = ahead(row(shown, "Ash"))
    assert bar.zones == LEFT_PANES
    assert (bar.start, bar.end) == (OPENING + 40 * MIN, OPENING + 46 * MIN)
    stretch = row(shown, "Ash").stretches[-1]
    assert stretch.title == "Left side glass"
    assert bar.names[0] == "buff, dry towel"


def test_a_pause_longer_than_ninety_seconds_parts_bars(hand: HandBay):
    for gap, bars in ((1.5, 1), (1.6, 3)):
        shown = view(hand, order_of(OPENING, *panes(OPENING + 40 * MIN, gap=gap)))
        assert len(ahead(row(shown, "Ash"))) == bars, gap


def test_steps_of_one_block_without_a_break_are_bars_of_one_spell(hand: HandBay):
    start = OPENING + 5 * MIN
    steps = (planned("roof", "wipe", start, 2), planned("roof", "coat-1", start + 2 * MIN, 3))
    shown = view(hand, order_of(OPENING, *steps))
    spell = row(shown, "Ash").stretches[-1]
    assert spell.title == "Roof"
    assert [b.names[-1] for b in spell.spell.bars] == ["wipe", "coat 1"]
    assert [b.stage for b in spell.spell.bars] == [Stage.WIPED, Stage.COATED]


def test_by_zone_a_row_is_a_work_block_and_the_soonest_is_at_the_top(hand: HandBay):
    steps = (planned("roof", "wipe", OPENING + 9 * MIN, 2), planned("windscreen", "coat-3", OPENING + 3 * MIN, 2, "Bo"))
    shown = view(hand, order_of(OPENING, *steps), by_person=False)
    labels = [r.label for r in shown.rows]
    assert labels.index("Windscreen") < labels.index("Upper paint")
    assert row(shown, "Windscreen").doing == "09:03: Bo"
    assert row(shown, "Upper paint").stretches[-1].title == "Ash: Roof"
    still = [r.until.startswith("until") for r in shown.rows]
    assert still == sorted(still, reverse=True), "blocks with work ahead come first"
    assert row(shown, "Exhaust tips").until == "finished"
    assert row(shown, "Left side glass").until == "nothing more planned", "it is coated, not buffed"


def overlapping(found: PlanRow) -> list[str]:
    """Name what lies on anything else: at the same height at the same time."""
    return [
        f"{a.title} on {b.title}"
        for a, b in combinations(found.stretches, 2)
        if a.meets(b) and a.spell.start < b.spell.end and b.spell.start < a.spell.end
    ]


def test_two_people_in_one_block_at_once_share_its_height_and_only_there(hand: HandBay):
    steps = (
        planned("roof", "wipe", OPENING + 9 * MIN, 4),
        planned("tailgate", "wipe", OPENING + 10 * MIN, 4, "Bo"),
        planned("bonnet", "coat-1", OPENING + 16 * MIN, 3),
    )
    found = row(view(hand, order_of(OPENING, *steps), by_person=False), "Upper paint")
    assert overlapping(found) == []
    assert [(s.title, s.lane, s.lanes) for s in found.stretches if s.spell.bars[0].part is Part.PLANNED] == [
        ("Ash: Roof", 0, 2),
        ("Bo: Tailgate", 1, 2),
        ("Ash: Bonnet", 0, 1),
    ]
    assert found.lanes == 2


def test_a_step_slipped_in_while_another_block_waits_a_minute_parts_the_spell(hand: HandBay):
    start = OPENING + 9 * MIN
    steps = (
        planned("roof", "coat-1", start, 3),
        planned("headlamp-left", "wipe", start + 3 * MIN, 1),
        planned("roof", "level-1", start + 4 * MIN, 2),
    )
    found = row(view(hand, order_of(OPENING, *steps)), "Ash")
    assert [s.title for s in found.stretches[-3:]] == ["Roof", "Left headlamp", "Roof"]
    assert found.lanes == 1


def test_a_whole_days_plan_has_every_step_once_and_nothing_on_anything_else(hand: HandBay):
    order = day_order(hand.bay.state, hand.bay.now())
    for by_person in (True, False):
        shown = view(hand, order, by_person)
        steps = sum(len(bar.zones) for r in shown.rows for bar in ahead(r))
        assert steps == sum(not s.running for s in order.steps) > 100
        for found in shown.rows:
            assert overlapping(found) == []
            for stretch in found.stretches:
                assert all(a.end <= b.start for a, b in pairwise(stretch.spell.bars))


def test_steps_that_nobody_is_named_for_have_a_row_of_their_own(hand: HandBay):
    shown = view(hand, order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 2, by=None)))
    assert [r.label for r in shown.rows] == ["Ash", "Bo", "anyone"]
    assert "has nothing to do" not in " ".join(shown.sentences)


def test_of_two_cars_each_title_says_which(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        shown = view(hand, order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 2, job=f"{CAR}-2", by="Cy 2")))
        assert row(shown, "Cy 2").stretches[-1].title == "Estate 2: Roof"
        by_zone = view(hand, order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 2)), by_person=False)
        assert row(by_zone, "Practice estate: Upper paint")


# What happened.


def test_what_was_done_in_this_working_day_is_shown_and_yesterday_is_not(hand: HandBay):
    shown = view(hand, None)
    done = [b for r in shown.rows for b in r.bars if b.part is Part.DONE]
    first = min(b.start for b in done)
    assert OPENING - timedelta(hours=5) < first < OPENING - timedelta(hours=3)
    runs = [run for zone in hand.bay.state.jobs[CAR].zones.values() for run in zone.runs]
    assert min(run.started_at for run in runs) < first - timedelta(hours=6)
    today = [run for run in runs if run.started_at >= first]
    assert sum(len(b.zones) for b in done) == len(today)
    assert shown.begins == first


def test_a_night_shift_is_one_working_day_and_its_times_bear_the_date(hand: HandBay):
    tz = timezone(timedelta(hours=15))  # midnight is at the opening
    shown = plan_page(
        hand.bay.state,
        order_of(OPENING, planned("roof", "wipe", OPENING + 14 * 60 * MIN, 2)),
        True,
        Viewpoint(None, OPENING, tz),
    )
    assert day_began(hand.bay.state, OPENING) < OPENING - timedelta(hours=3)
    assert [b for r in shown.rows for b in r.bars if b.part is Part.DONE]
    assert shown.title == "Work done at 14:02"
    later = plan_page(
        hand.bay.state,
        order_of(OPENING, planned("roof", "wipe", OPENING + 25 * 60 * MIN, 2)),
        True,
        Viewpoint(None, OPENING, tz),
    )
    assert later.title == "Work done at 4 Mar 01:02"


def test_what_is_under_way_runs_to_its_planned_end_or_to_what_the_recipe_says(hand: HandBay):
    (zone,) = [z for z, known in hand.bay.state.jobs[CAR].zones.items() if known.running]
    run = hand.bay.state.jobs[CAR].zones[zone].running
    assert run
    order = order_of(OPENING, planned(zone, run.step, run.started_at, 7, "Bo", running=True))
    for given, minutes in ((order, 7), (None, 2)):
        (bar,) = [b for b in row(view(hand, given), "Bo").bars if b.part is Part.RUNNING]
        assert (bar.start, bar.end) == (run.started_at, run.started_at + minutes * MIN)
    assert row(view(hand, order), "Bo").doing.startswith("now: excess off")


def test_what_was_planned_and_is_done_since_becomes_solid_and_its_plan_stays_above_it(hand: HandBay):
    order = order_of(OPENING, planned("windscreen", "coat-3", OPENING + 2 * MIN, 2), *panes(OPENING + 40 * MIN))
    hand.wait(180)
    screen = (ZoneId("windscreen"),)
    assert hand.bay.request(Start(CAR, screen, StepId("coat-3"), ASH)).accepted
    (running,) = [b for b in row(view(hand, order), "Ash").bars if b.part is Part.RUNNING]
    assert running.names[-1] == "coat 3"
    hand.wait(120)
    assert hand.bay.request(FinishStep(CAR, screen, StepId("coat-3"), ASH)).accepted
    shown = row(view(hand, order), "Ash")
    assert [b.names[-1] for b in ahead(shown)] == ["buff"]
    last = [b for b in shown.bars if b.part is Part.DONE][-1]
    assert (last.start, last.zones) == (OPENING + 3 * MIN, screen)
    ((said,),) = [spell.bars for spell in shown.foreseen]
    assert (said.start, said.end) == (OPENING + 2 * MIN, OPENING + 4 * MIN)


def test_the_day_is_held_against_its_first_plan_not_against_the_newest(hand: HandBay):
    morning = order_of(OPENING - 60 * MIN, planned("roof", "wipe", OPENING - 30 * MIN, 2))
    newest = order_of(OPENING, planned("roof", "wipe", OPENING + 30 * MIN, 2))
    shown = view(hand, newest, morning=morning)
    ((said,),) = [spell.bars for spell in row(shown, "Ash").foreseen]
    assert said.start == OPENING - 30 * MIN
    assert "1 h 00 later than planned at 08:00." in shown.sentences
    sooner = view(hand, order_of(OPENING, planned("roof", "wipe", OPENING - 50 * MIN, 2)), morning=morning)
    assert "20 min sooner than at 08:00." in sooner.sentences


def test_the_first_plan_is_kept_until_a_car_comes_in_or_another_day_begins(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        first, second = day_order(hand.bay.state, OPENING), order_of(OPENING + MIN, *panes(OPENING + 40 * MIN))
        kept = day_plan(hand.bay.state, None, first, OPENING)
        assert kept
        assert day_plan(hand.bay.state, kept, second, OPENING + MIN) is kept
        assert day_plan(hand.bay.state, kept, None, OPENING + MIN) is kept
        tomorrow = OPENING + timedelta(hours=23)
        became = day_plan(hand.bay.state, kept, second.model_copy(update={"made_for": tomorrow}), tomorrow)
        assert became
        assert became.order.made_for == tomorrow
    with hand_bay(tmp_path / "two", cars=2) as two:
        became = day_plan(two.bay.state, kept, second, OPENING + MIN)
        assert became
        assert became.order is second


# Windows.


def windowed(hand: HandBay, *steps: object) -> list[Bracket]:
    shown = view(hand, order_of(OPENING, *steps))  # type: ignore[arg-type]
    return [bar.bracket for r in shown.rows for bar in ahead(r) if bar.bracket]


def test_a_bar_has_the_window_of_its_zone_from_opening_to_lapse(hand: HandBay):
    clock = hand.clock_of("windscreen")
    step = planned("windscreen", "coat-3", OPENING + 2 * MIN, 2, opens_at=clock.opens_at, lapses_at=clock.lapses_at)
    (bracket,) = windowed(hand, step)
    assert (bracket.opens_at, bracket.lapses_at, bracket.start) == (clock.opens_at, clock.lapses_at, step.start)
    assert bracket.urgency is Urgency.WAITING
    assert clock.opens_at
    hand.go_to(clock.opens_at + MIN)
    (bracket,) = windowed(hand, step)
    assert bracket.urgency is Urgency.OPEN


def test_a_clock_that_does_not_run_yet_is_idle_whatever_the_hour(hand: HandBay):
    start = OPENING + 90 * MIN
    (bracket,) = windowed(
        hand, planned("windscreen", "buff", start, 2, opens_at=start - MIN, lapses_at=start + 60 * MIN)
    )
    assert bracket.urgency is Urgency.IDLE


def test_a_bar_over_several_zones_may_slip_as_far_as_its_tightest_zone(hand: HandBay):
    """Worked example: starts at 40, 42, 44 min; lapses at 50, 47, 60 min; so the whole may begin 5 min later."""
    start = OPENING + 40 * MIN
    lapses = (50, 47, 60)
    opens = (30, 40, 41)
    steps = [
        s.model_copy(update={"opens_at": OPENING + o * MIN, "lapses_at": OPENING + x * MIN})
        for s, o, x in zip(panes(start), opens, lapses, strict=True)
    ]
    (bracket,) = windowed(hand, *steps)
    assert bracket.lapses_at == start + 5 * MIN
    assert bracket.opens_at == start - 2 * MIN


def test_a_bar_that_comes_too_late_begins_after_its_bracket_ends(hand: HandBay):
    start = OPENING + 40 * MIN
    (bracket,) = windowed(hand, planned("roof", "coat-1", start, 2, lapses_at=start - 3 * MIN))
    assert bracket.lapses_at == start - 3 * MIN
    assert bracket.opens_at <= bracket.lapses_at < bracket.start


def test_work_that_goes_on_where_it_left_off_waits_for_nothing(hand: HandBay):
    start = OPENING + 40 * MIN
    wipe = planned("roof", "wipe", start, 2)
    coat = planned("roof", "coat-1", start + 2 * MIN, 2, opens_at=start + 2 * MIN, lapses_at=start + 22 * MIN)
    assert windowed(hand, wipe, coat) == []
    late = coat.model_copy(update={"start": start + 10 * MIN, "end": start + 12 * MIN})
    assert len(windowed(hand, wipe, late)) == 1


def test_windows_of_one_level_never_overlap_and_none_is_left_out(hand: HandBay):
    shown = view(hand, day_order(hand.bay.state, hand.bay.now()))
    for found in shown.rows:
        wanted = sorted((b.bracket for b in ahead(found) if b.bracket), key=str)
        assert sorted((b for level in found.brackets for b in level), key=str) == wanted
        for level in found.brackets:
            reach = [max(b.start, b.lapses_at or b.start) for b in level]
            assert all(end < later.opens_at for end, later in zip(reach, level[1:], strict=False))


def test_each_persons_next_bar_is_marked_once(hand: HandBay):
    for by_person in (True, False):
        shown = view(hand, day_order(hand.bay.state, hand.bay.now()), by_person)
        marked = [b for r in shown.rows for b in r.bars if b.next_up]
        assert len(marked) == 2
        assert min(b.start for b in marked) == shown.soonest


# Sentences.


@pytest.mark.parametrize(
    ("outage", "sentences"),
    [
        (Outage.LATE, ["The plan is late."]),
        (Outage.ENDED, ["The planner stopped and is started again.", "It said last: No memory."]),
        (Outage.GIVEN_UP, ["There is no plan: the planner fails again and again.", "`bayapp doctor` says"]),
    ],
)
def test_a_planner_that_is_missed_is_told_first_with_its_last_words(
    hand: HandBay, outage: Outage, sentences: list[str]
):
    out = PlannerOut(OPENING, outage, "" if outage is Outage.LATE else "No memory.")
    said = " ".join(view(hand, None, out=out).sentences)
    assert said.startswith(sentences[0])
    assert all(sentence in said for sentence in sentences)
    assert "Clocks and calls go on." in said


def view_of(hand: HandBay, **more: object) -> PlanView:
    steps = (planned("roof", "wipe", OPENING + 400 * MIN, 60), planned("bonnet", "wipe", OPENING + MIN, 2, "Bo"))
    return view(hand, order_of(OPENING, *steps, **more))


def test_it_says_when_all_is_finished_how_late_that_may_get_and_what_is_saved(hand: HandBay):
    shown = view_of(
        hand,
        finish_p90=OPENING + 485 * MIN,
        one_by_one=OPENING + 590 * MIN,
        lapse_chance=0.05,
        bound=OPENING + 455 * MIN,
    )
    assert shown.title == "Work done at 16:40"
    assert shown.sentences == (
        "By 17:05 on a slow day; 2 h 10 sooner than zone after zone.",
        "Chance of missing a latest moment: 5 %.",
    )
    assert [(f.at, f.words) for f in shown.flags] == [
        (OPENING + 460 * MIN, "work done 16:40"),
        (OPENING + 485 * MIN, "17:05 on a slow day"),
    ]


def test_hours_are_given_by_the_shops_own_clock(hand: HandBay):
    order = order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 9))
    shown = plan_page(hand.bay.state, order, True, Viewpoint(None, OPENING, ZoneInfo("Asia/Kathmandu")))
    assert shown.title == "Work done at 14:55"
    assert shown.subtitle == "planned at 14:45"


@pytest.mark.parametrize(
    ("chance", "sentence"),
    [
        (0.0, "Chance of missing a latest moment: under 1 %."),
        (0.01, "Chance of missing a latest moment: 1 %."),
        (0.38, "Chance of missing a latest moment: 38 %."),
        (0.998, "At the usual pace a latest moment will be missed."),
    ],
)
def test_the_chance_of_a_missed_moment_is_given_in_days(hand: HandBay, chance: float, sentence: str):
    assert sentence in view_of(hand, lapse_chance=chance).sentences


def test_a_plan_that_gains_nothing_says_so_and_a_safer_one_what_it_costs(hand: HandBay):
    shown = view_of(hand, one_by_one=OPENING + 460 * MIN, safety_cost_s=300, status="optimal")
    assert "No sooner than zone after zone." in shown.sentences
    assert "5 min later than the soonest order, so that fewer waits are missed." in shown.sentences
    assert "No order ends sooner." not in shown.sentences
    assert "No order ends sooner." in view_of(hand, status="optimal").sentences


def test_who_has_nothing_to_do_is_named(hand: HandBay):
    shown = view(hand, order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 9)))
    assert "Bo has nothing to do in this plan." in shown.sentences
    assert not [s for s in view_of(hand).sentences if "nothing to do" in s]


def test_what_cannot_hold_comes_first_and_the_title_says_it(hand: HandBay):
    clash = "Windscreen must be buffed by 09:10, but its last coat is not dry before 09:15."
    loss = Loss(job=CAR, zone=ZoneId("roof"), step=StepId("coat-1"), lapses_at=OPENING + 20 * MIN)
    shown = view_of(hand, status="infeasible", clash=(clash,), losses=(loss,))
    assert shown.title == "Not every wait can be kept"
    assert shown.sentences[0] == clash
    assert shown.sentences[1] == "Roof, coat 1 of 2, up and down: too late from 09:20 on, whatever is done now."
    assert shown.sentences[2] == "The order that loses least ends at 16:40."


def test_without_a_plan_in_time_or_at_all_it_says_so_and_still_shows_what_was_done(hand: HandBay):
    late = WorkOrder(status="unknown", made_for=OPENING)
    for order, title in ((None, "No plan yet"), (late, "No plan was found in time")):
        shown = view(hand, order)
        assert shown.title == title
        assert shown.flags == ()
        assert shown.soonest is None
        assert any(r.bars for r in shown.rows)


def test_when_all_is_done_nothing_is_planned(hand: HandBay):
    shown = view(hand, WorkOrder(status="optimal", made_for=OPENING))
    assert shown.title == "Everything is done"
    assert [(r.label, r.until) for r in shown.rows] == [("Ash", "nothing more planned"), ("Bo", "has work until 09:02")]


def test_an_empty_bay_has_no_rows_and_half_an_hour_of_time(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand:
        shown = view(hand, None)
        assert (shown.title, shown.rows, shown.sentences) == ("No car in the bay", (), ())
        assert shown.ends - shown.begins == timedelta(minutes=30)


def test_a_plan_of_a_car_that_has_left_shows_nothing_of_it(hand: HandBay):
    order = order_of(OPENING, planned("roof", "wipe", OPENING + MIN, 9))
    gone = plan_page(BayState(), order, True, Viewpoint(None, OPENING + 2 * MIN, UTC), order)
    assert gone.rows == ()
    assert gone.title == "No car in the bay"
