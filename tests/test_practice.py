"""The practice car: all its events pass the gate, and three minutes of watching show everything there is to see."""

from collections import Counter
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest

from bayapp.job import BayState, Job, ZoneClock, apply, clocks, fold, gate
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.model.ids import Stage, StepId, Urgency, ZoneId
from bayapp.job.state.events import Deviation, JobOpened, StepStarted
from bayapp.job.state.requests import OfShelf, Start
from bayapp.practice import practice_scenario

OPENING = datetime(2026, 3, 2, 9, 0, 0, 123_000, tzinfo=UTC)
WATCHED_S = 180


def seconds(count: float) -> datetime:
    return OPENING + timedelta(seconds=count)


@cache
def played() -> tuple[Job, BayState, tuple[Deviation, ...]]:
    """Put the whole scenario through the gate; everything has to be accepted, and every coat with fresh air."""
    job, asked = practice_scenario(OPENING)
    state = apply(BayState(), JobOpened(at=job.start, job=job.id, opened=job))
    deviations = []
    for at, request in asked:
        verdict = gate(state, request, at)
        assert verdict.accepted, (at, request, verdict.refusal)
        assert not verdict.asks, (at, request, verdict.asks)
        deviations += [e.deviation for e in verdict.events if isinstance(e, StepStarted) and e.deviation]
        state = fold(verdict.events, state)
    return job, state, tuple(deviations)


def seen(after_s: float) -> dict[ZoneId, ZoneClock]:
    return {clock.zone: clock for clock in clocks(played()[1], seconds(after_s))}


def test_every_event_passes_the_gate_and_the_one_that_was_refused_carries_a_reason():
    _, _, deviations = played()
    assert [(d.code, bool(d.reason)) for d in deviations] == [("early", True)]


def test_without_its_reason_the_deviation_would_have_been_refused():
    job, asked = practice_scenario(OPENING)
    state = apply(BayState(), JobOpened(at=job.start, job=job.id, opened=job))
    for at, request in asked:
        if isinstance(request, Start) and request.deviation:
            bare = Start(request.job, request.zones, request.step, request.by)
            assert not gate(state, bare, at).accepted
            return
        state = fold(gate(state, request, at).events, state)
    pytest.fail("no request carries a deviation")


def test_the_last_thing_asked_falls_on_the_opening_and_nothing_after_it():
    job, asked = practice_scenario(OPENING)
    instants = [at for at, _ in asked]
    assert instants == sorted(instants)
    assert instants[-1] == OPENING
    assert job.start <= instants[0]
    assert OPENING - job.start < timedelta(days=1)


def test_the_scenario_moves_as_one_with_the_opening():
    later = timedelta(days=200, hours=3, seconds=7)
    (_, first), (_, second) = practice_scenario(OPENING), practice_scenario(OPENING + later)
    on_the_car = [[(at, asked) for at, asked in day if not isinstance(asked, OfShelf)] for day in (first, second)]
    assert [(at + later, request) for at, request in on_the_car[0]] == on_the_car[1]
    assert [at + later for at, _ in first] == [at for at, _ in second]


def test_within_three_minutes_every_urgency_and_every_stage_is_seen():
    moments = [seen(s) for s in range(0, WATCHED_S + 1, 5)]
    assert {c.urgency for moment in moments for c in moment.values()} == set(Urgency)
    assert {c.stage for moment in moments for c in moment.values()} == set(Stage)


def test_at_the_opening_all_urgencies_but_lapsed_and_all_stages_are_on_the_board():
    assert {c.urgency for c in seen(0).values()} == set(Urgency) - {Urgency.LAPSED}
    assert {c.stage for c in seen(0).values()} == set(Stage)


def test_the_windscreen_has_two_of_three_layers_and_the_third_opens_in_seventy_seconds():
    clock = seen(0)[ZoneId("windscreen")]
    assert clock.urgency is Urgency.WAITING
    assert clock.layers == ("vertical", "horizontal")
    assert (clock.step, clock.opens_at) == ("coat-3", seconds(70))
    assert seen(69.999)[ZoneId("windscreen")].urgency is Urgency.WAITING
    assert seen(70)[ZoneId("windscreen")].urgency is Urgency.OPEN


def test_the_left_glass_is_coated_and_waits_for_the_glass_set_while_the_right_wipe_is_closing():
    left, right = seen(0)[ZoneId("glass-left-front")], seen(0)[ZoneId("glass-right-front")]
    assert (left.urgency, left.stage, left.step) == (Urgency.IDLE, Stage.COATED, "buff")
    assert {"windscreen", "rear-screen", "glass-right-front"} <= set(left.blocked_by)
    assert (right.urgency, right.stage, right.lapses_at) == (Urgency.CLOSING, Stage.WIPED, seconds(360))
    assert seen(360.001)[ZoneId("glass-right-front")].urgency is Urgency.LAPSED


def test_one_rear_rim_is_being_levelled_while_the_other_lapses_forty_seconds_in():
    assert seen(0)[ZoneId("rim-rear-left")].urgency is Urgency.WORKING
    right = seen(0)[ZoneId("rim-rear-right")]
    assert (right.urgency, right.step, right.lapses_at) == (Urgency.CLOSING, "level", seconds(40))
    assert seen(40.001)[ZoneId("rim-rear-right")].urgency is Urgency.LAPSED
    assert seen(40.001)[ZoneId("rim-rear-right")].step == "polish"


def test_the_second_person_could_still_save_that_rim_at_the_opening():
    job, state, _ = played()
    level = Start(job.id, (ZoneId("rim-rear-right"),), StepId("level"), job.crew[0])
    assert gate(state, level, seconds(40)).accepted
    assert not gate(state, level, seconds(40.001)).accepted


def test_front_rims_are_cured_the_tips_still_cure_and_the_paint_stands_at_three_stages():
    now = seen(0)
    assert now[ZoneId("rim-front-left")].stage is Stage.FINISHED
    tips = now[ZoneId("tips")]
    assert (tips.urgency, tips.stage) == (Urgency.FINISHED, Stage.BUFFED)
    assert tips.cure is not None
    assert tips.cure.until > OPENING
    stages = [now[ZoneId(z)].stage for z in ("bonnet", "roof", "door-left-front", "sill-left")]
    assert stages == [Stage.WIPED, Stage.POLISHED, Stage.CLEAN, Stage.UNTOUCHED]
    assert now[ZoneId("bonnet")].urgency is Urgency.OPEN


def test_there_is_a_note_and_an_air_reading_young_enough_to_coat_by():
    _, state, _ = played()
    assert len(state.jobs[played()[0].id].notes) == 1
    assert state.air is not None
    assert seconds(WATCHED_S) - state.air.at < timedelta(minutes=30)


def test_a_touch_on_a_set_is_one_request():
    sizes = Counter(len(r.zones) for _, r in practice_scenario(OPENING)[1] if isinstance(r, Start))
    assert sizes[13] == 1  # the whole upper paint, decontaminated by one touch
    assert sizes[3] == 7  # side glass: decontaminated, polished and wiped on two sides, coated on one


def test_nobody_is_in_two_places_and_no_coat_lies_in_dust_at_the_opening():
    _, state, _ = played()
    facts = BayFacts(state, OPENING)
    assert [(r.zone, r.run.by) for r in facts.running] == [("rim-rear-left", "Bo")]
    assert not any(r.step.makes_dust for r in facts.running)
    assert facts.fresh
