"""A recorded time that is put right: what moves, in which order it is asked for, and what the gate says to it."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from bayapp.job import CorrectTime, FinishStep, Start, StepRun
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.events import TimeCorrected
from bayapp.pages.board.correction import SHIFTS, CorrectionView, TimeEntry, correction, latest_run, time_entry
from bayapp.pages.board.ladder import ladder
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay

WINDSCREEN = (ZoneId("windscreen"),)
PANES = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))


def entry_of(hand: HandBay, zones: tuple[ZoneId, ...] = WINDSCREEN) -> TimeEntry:
    found = time_entry(hand.bay.state.jobs[CAR], zones)
    assert found
    return found


def seen(hand: HandBay, entry: TimeEntry) -> CorrectionView:
    return correction(hand.bay, entry, ASH, hand.bay.now(), UTC)


def run_of(hand: HandBay, zone: ZoneId = WINDSCREEN[0]) -> StepRun:
    found = latest_run(hand.bay.state.jobs[CAR].zones[zone])
    assert found
    return found


def record(hand: HandBay, entry: TimeEntry) -> None:
    for request in entry.requests(ASH):
        assert hand.bay.request(request).accepted


def test_the_last_finished_step_is_shown_with_its_start_and_finish(hand: HandBay):
    view = seen(hand, entry_of(hand))
    assert view.subtitle == "Windscreen: coat across"
    run = run_of(hand)
    assert run.finished_at
    assert [r.digits for r in view.rows] == [f"{run.started_at:%H:%M:%S}", f"{run.finished_at:%H:%M:%S}"]
    assert [r.note for r in view.rows] == ["as recorded", "as recorded"]
    assert view.trouble == "Move a time first."


def test_a_moved_time_is_shown_with_what_it_was(hand: HandBay):
    before = run_of(hand)
    view = seen(hand, entry_of(hand).shift("start", -1).shift("start", -1))
    assert view.rows[0].digits == f"{before.started_at - timedelta(minutes=2):%H:%M:%S}"
    assert view.rows[0].note == f"was {before.started_at:%H:%M:%S}"
    assert view.rows[1].note == "as recorded"
    assert view.trouble == ""


def test_times_that_put_one_person_on_two_zones_say_so(hand: HandBay):
    assert seen(hand, entry_of(hand)).note == "Both times stay in the record."
    entry, said = entry_of(hand), set[str]()
    for _minutes in range(40):
        entry = entry.shift("start", -1)
        said.add(seen(hand, entry).note)
    assert len(said) > 1
    assert all(note.endswith("Both times stay in the record.") for note in said)
    (first, *_more) = sorted(note for note in said if "was then also at" in note)
    assert first.startswith("Ash was then also at: ")


def test_there_and_back_is_nothing_to_record(hand: HandBay):
    entry = entry_of(hand).shift("finish", 5).shift("finish", -5)
    assert entry.requests(ASH) == ()
    assert seen(hand, entry).trouble == "Move a time first."


def test_what_is_recorded_moves_the_clock_and_keeps_both_times(hand: HandBay):
    before, opened = run_of(hand), hand.clock_of("windscreen").opens_at
    assert before.finished_at
    assert opened
    record(hand, entry_of(hand).shift("finish", -1))
    (event,) = hand.journal.read()[-1:]
    assert isinstance(event, TimeCorrected)
    minute_less = before.finished_at - timedelta(minutes=1)
    assert (event.edge, event.was, event.becomes, event.by) == ("finish", before.finished_at, minute_less, ASH)
    assert hand.clock_of("windscreen").opens_at == opened - timedelta(minutes=1)
    (kept,) = run_of(hand).corrected
    assert (kept.was, kept.becomes) == (before.finished_at, minute_less)


def test_a_start_behind_the_finish_is_refused_in_words(hand: HandBay):
    view = seen(hand, entry_of(hand).shift("start", 5))
    becomes = (run_of(hand).started_at + timedelta(minutes=5)).strftime("%H:%M:%S")
    assert view.trouble.startswith(f"Windscreen: coat across cannot have been at {becomes};")


def test_a_finish_that_is_still_to_come_is_refused_until_it_has_come(hand: HandBay):
    """The coat was finished 3 min 50 s before the board opens: 5 minutes later is 70 s ahead."""
    entry = entry_of(hand).shift("finish", 5)
    assert "cannot have been at" in seen(hand, entry).trouble
    hand.wait(71)
    assert seen(hand, entry).trouble == ""


def test_a_step_under_way_has_only_a_start(hand: HandBay):
    assert run_of(hand, ZoneId("rim-rear-left")).finished_at is None
    entry = entry_of(hand, (ZoneId("rim-rear-left"),)).shift("finish", 1)
    view = seen(hand, entry)
    assert (view.rows[1].digits, view.rows[1].note) == ("", "still under way")
    assert entry.requests(BO) == ()
    hand.wait(120)
    record(hand, entry.shift("start", 1))
    assert run_of(hand, ZoneId("rim-rear-left")).started_at == entry.run.started_at + timedelta(minutes=1)


def test_zones_worked_by_one_touch_are_corrected_together(hand: HandBay):
    step = hand.clock_of(PANES[0]).step
    assert step
    assert hand.bay.request(Start(CAR, PANES, step, ASH)).accepted
    hand.wait(120)
    assert hand.bay.request(FinishStep(CAR, PANES, step, ASH)).accepted
    hand.wait(60)
    entry = entry_of(hand, PANES)
    assert entry.zones == PANES
    record(hand, entry.shift("finish", 1))
    assert {run_of(hand, zone).finished_at for zone in PANES} == {OPENING + timedelta(seconds=180)}


def test_a_zone_with_other_times_is_left_alone(hand: HandBay):
    entry = entry_of(hand, (*WINDSCREEN, *PANES))
    same = [z for z in (*WINDSCREEN, *PANES) if run_of(hand, z).finished_at == entry.run.finished_at]
    assert list(entry.zones) == same
    assert len(same) < 4


def test_nothing_to_correct_on_an_untouched_zone(hand: HandBay):
    state = hand.bay.state.jobs[CAR]
    untouched = next(z for z, zone in state.zones.items() if latest_run(zone) is None)
    assert time_entry(state, (untouched,)) is None
    assert not ladder(hand.bay, CAR, (untouched,), None, Viewpoint(ASH, hand.bay.now(), UTC)).may_correct


def test_a_step_that_has_changed_meanwhile_is_not_overwritten(hand: HandBay):
    entry = entry_of(hand).shift("start", -1)
    assert hand.bay.request(
        CorrectTime(CAR, WINDSCREEN[0], entry.run.step, "start", entry.run.started_at, ASH)
    ).accepted
    assert seen(hand, entry).trouble == ""
    record(hand, entry)
    assert "changed meanwhile" in seen(hand, entry).trouble


def test_undo_takes_back_the_correction_and_says_so(hand: HandBay):
    before = run_of(hand)
    record(hand, entry_of(hand).shift("finish", -1))
    shown = ladder(hand.bay, CAR, WINDSCREEN, None, Viewpoint(ASH, hand.bay.now(), UTC))
    assert shown.undo_text == "the corrected time of coat across"
    assert shown.undo
    assert hand.bay.request(shown.undo).accepted
    assert run_of(hand).finished_at == before.finished_at
    after = ladder(hand.bay, CAR, WINDSCREEN, None, Viewpoint(ASH, hand.bay.now(), UTC))
    assert after.undo_text.startswith("coat across at ")


@given(
    length=st.integers(0, 30),
    shifts=st.lists(st.tuples(st.sampled_from(["start", "finish"]), st.sampled_from(SHIFTS)), max_size=12),
)
def test_no_request_puts_a_start_behind_its_finish_where_the_result_does_not(
    length: int, shifts: list[tuple[str, int]]
):
    """Walk through the requests one by one, by hand, as an independent check of their order."""
    start = datetime(2026, 3, 2, 12, tzinfo=UTC)
    entry = TimeEntry(
        JobId("car"), WINDSCREEN, StepRun(StepId("coat"), start, finished_at=start + timedelta(0, length))
    )
    for edge, minutes in shifts:
        entry = entry.shift("start" if edge == "start" else "finish", minutes)
    ends = {"start": entry.becomes("start"), "finish": entry.becomes("finish")}
    assert ends["start"]
    assert ends["finish"]
    if ends["start"] > ends["finish"]:
        return
    now = {"start": start, "finish": start + timedelta(0, length)}
    for request in entry.requests(None):
        now[request.edge] = request.becomes
        assert now["start"] <= now["finish"]
    assert now == ends
