"""The course of work against the fold: two ways to the same runs, over random days."""

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.job import fold, gate
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import CorrectTime, FinishStep, ReadAir, SetAside, Start, TakeUp, Undo
from bayapp.report.facts.waits_kept import waits_kept
from bayapp.report.facts.work_history import work_history
from tests.report.shop import GREEN, Shop, at

ZONES = (ZoneId("rim-a"), ZoneId("rim-b"))
STEPS = tuple(StepId(s) for s in ("wipe", "coat", "level"))
BY = st.sampled_from([Person("Ash"), Person("Bo"), None])

requests = st.one_of(
    st.builds(lambda z, s, b, d: Start(GREEN, z, s, b, d), *[st.sampled_from([ZONES, ZONES[:1], ZONES[1:]]),
              st.sampled_from(STEPS), BY, st.sampled_from([None, "had to"])]),
    st.builds(lambda z, s, b, d: FinishStep(GREEN, z, s, b, d), *[st.sampled_from([ZONES, ZONES[:1], ZONES[1:]]),
              st.sampled_from(STEPS), BY, st.sampled_from([None, "had to"])]),
    st.builds(lambda z, b: Undo(GREEN, (z,), b), st.sampled_from(ZONES), BY),
    st.builds(lambda z, s, e, m, b: CorrectTime(GREEN, z, s, e, at(m), b), st.sampled_from(ZONES),
              st.sampled_from(STEPS), st.sampled_from(["start", "finish"]), st.integers(0, 60), BY),
    st.builds(lambda z, b: SetAside(GREEN, z, "no time", b), st.sampled_from([ZONES, ZONES[:1], ZONES[1:]]), BY),
    st.builds(lambda z, b: TakeUp(GREEN, z, b), st.sampled_from([ZONES, ZONES[:1], ZONES[1:]]), BY),
    st.builds(lambda c: ReadAir(c, 50.0), st.sampled_from([18.0, 22.0])),
)  # fmt: skip


def a_day(asked) -> Shop:
    """Put the requests to the gate, each some minutes after the last; only what it accepts is recorded."""
    shop, minute = Shop(), 0.0
    for request, gap in asked:
        minute += gap
        verdict = gate(shop.state, request, at(minute))
        if verdict.accepted:
            shop.record(*verdict.events)
    return shop


days = st.lists(st.tuples(requests, st.sampled_from([0.0, 0.5, 2.0, 7.0])), max_size=40)


@settings(max_examples=150, deadline=None)
@given(days)
def test_the_acts_that_hold_fold_up_to_the_runs_of_the_live_state(asked):
    shop = a_day(asked)
    again = fold([shop.events[0], *work_history(shop.events, GREEN).acts])
    for zone in ZONES:
        live, replayed = (s.jobs[GREEN].zones[zone] for s in (shop.state, again))
        ends = [[(r.step, r.started_at, r.finished_at, r.by, r.finished_by) for r in z.runs] for z in (live, replayed)]
        assert ends[0] == ends[1]
        assert (live.running and live.running.started_at) == (replayed.running and replayed.running.started_at)


@settings(max_examples=150, deadline=None)
@given(days)
def test_every_act_either_holds_or_was_taken_back(asked):
    shop = a_day(asked)
    history = work_history(shop.events, GREEN)
    held = ("step-started/1", "step-finished/1", "zone-set-aside/1", "zone-taken-up/1")
    recorded = [e for e in shop.events if e.event in held]
    taken = [a for u in history.undoings for a in u.acts if a.event != "time-corrected/1"]
    assert len(recorded) == len(history.acts) + len(taken)
    assert len(history.undoings) == sum(e.event == "step-undone/1" for e in shop.events)


@settings(max_examples=150, deadline=None)
@given(days)
def test_no_wait_is_broken_unless_a_person_carried_on_or_a_time_was_corrected(asked):
    shop = a_day([(r, gap) for r, gap in asked if not isinstance(r, CorrectTime)])
    acts = work_history(shop.events, GREEN).acts
    deviating = {(a.zone, a.step, a.at) for a in acts if a.event == "step-started/1" and a.deviation}
    opened = shop.events[0]
    assert isinstance(opened, JobOpened)
    for key, wait in waits_kept(opened, acts).items():
        assert wait.kept == "inside" or key in deviating


@settings(max_examples=60, deadline=None)
@given(days, st.integers(0, 300))
def test_the_record_of_every_random_day_can_be_made(asked, later):
    shop = a_day(asked)
    last = max(e.at for e in shop.events)
    record = shop.record_of((last - at(0)).total_seconds() / 60 + later)
    assert len(record.zones) == 4
    assert all((zone.cure is None) == (zone.ahead is not None) for zone in record.zones)
