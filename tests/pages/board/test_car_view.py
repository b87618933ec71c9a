"""The car's zones as they are to be drawn: every zone has a face, and every clock a zone that carries its time."""

from dataclasses import replace
from datetime import timedelta

import pytest

from bayapp.job import Cover, FinishStep, SetAside, Start, clocks
from bayapp.job.model.ids import JobId, StepId, Urgency, ZoneId
from bayapp.pages.board.car_view import faces, same_clock, time_of
from tests.job.builders import Shop, at, job, mark, recipe, step
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay

MOMENTS = [0, 39, 41, 69, 71, 151, 700, 3_600, 12 * 3_600, 30 * 3_600]


def seen(hand: HandBay, after_s: float = 0, **how):
    at = OPENING + timedelta(seconds=after_s)
    return faces(hand.bay.state.jobs[CAR], hand.bay.clocks(at), at, **how)


def test_every_zone_of_the_form_has_a_face_and_only_worked_ones_are_worked(hand: HandBay):
    job = hand.bay.state.jobs[CAR].job
    found = seen(hand)
    assert set(found) == {z.id for z in job.vehicle.zone}
    assert {z for z, face in found.items() if face.worked} == set(hand.bay.state.jobs[CAR].zones)
    assert not found[ZoneId("trim-left")].worked
    assert found[ZoneId("trim-left")].time_text == ""


def test_the_windscreen_shows_two_of_three_coats_and_the_time_until_the_third(hand: HandBay):
    face = seen(hand)[ZoneId("windscreen")]
    assert (face.layers, face.planned, face.urgency) == (("vertical", "horizontal"), 3, Urgency.WAITING)
    assert (face.time_text, face.show_time) == ("1:10", True)
    assert 0 < face.fraction < 1


def test_the_fraction_runs_down_and_the_time_with_it(hand: HandBay):
    fractions = [seen(hand, s)[ZoneId("windscreen")].fraction for s in (0, 20, 40, 60, 69)]
    assert fractions == sorted(fractions, reverse=True)
    assert len(set(fractions)) == 5
    assert [seen(hand, s)[ZoneId("windscreen")].time_text for s in (9, 10, 69)] == ["1:01", "1:00", "0:01"]


@pytest.mark.parametrize("after_s", MOMENTS)
def test_each_shared_clock_shows_its_time_on_exactly_one_of_its_zones(hand: HandBay, after_s: float):
    at = OPENING + timedelta(seconds=after_s)
    found = seen(hand, after_s)
    for group in same_clock(hand.bay.clocks(at)):
        assert sum(found[c.zone].show_time for c in group) == 1


def test_a_missed_moment_counts_up_and_a_step_under_way_too(hand: HandBay):
    assert seen(hand, 52)[ZoneId("rim-rear-right")].time_text == "+0:12"
    assert seen(hand, 30)[ZoneId("rim-rear-left")].time_text == "0:30"
    assert seen(hand)[ZoneId("bonnet")].time_text == "19:10"
    assert seen(hand)[ZoneId("sill-left")].time_text == ""


def test_time_left_is_never_rounded_down(hand: HandBay):
    """One millisecond before a whole second the wall still says that second."""
    clock = hand.clock_of("windscreen")
    assert clock.opens_at
    for left_ms, digits in ((1, "0:01"), (1_000, "0:01"), (1_001, "0:02"), (60_000, "1:00")):
        assert time_of(clock, clock.opens_at - timedelta(milliseconds=left_ms)) == digits


def test_selected_and_next_zones_are_marked(hand: HandBay):
    found = seen(hand, selected=["roof"], next_up=["bonnet"])
    assert [z for z, f in found.items() if f.selected] == ["roof"]
    assert [z for z, f in found.items() if f.next_up] == ["bonnet"]


def test_two_people_who_began_at_once_are_two_clocks(hand: HandBay):
    hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO))
    for person, zone in ((ASH, "glass-right-front"), (BO, "glass-right-rear")):
        assert hand.bay.request(Start(CAR, (ZoneId(zone),), StepId("coat-1"), person)).accepted
    groups = same_clock(c for c in hand.clocks() if c.zone in ("glass-right-front", "glass-right-rear"))
    assert [[c.running.by for c in g if c.running] for g in groups] == [[ASH], [BO]]


def test_a_covered_zone_shows_its_cover_beside_its_clock_and_shares_none_with_a_bare_one(hand: HandBay):
    assert hand.bay.request(Cover(CAR, (ZoneId("windscreen"),), ASH)).accepted
    found = seen(hand)
    assert [zone for zone, face in found.items() if face.covered] == ["windscreen"]
    assert found[ZoneId("windscreen")].urgency is Urgency.WAITING
    screen = hand.clock_of("windscreen")
    assert len(same_clock((screen, replace(screen, covered=None)))) == 2


def test_a_zone_set_aside_is_neither_idle_like_others_nor_outside_the_job(hand: HandBay):
    assert hand.bay.request(SetAside(CAR, (ZoneId("windscreen"),), "not ordered", ASH)).accepted
    found = seen(hand)
    face = found[ZoneId("windscreen")]
    assert (face.aside, face.worked, face.urgency, face.time_text) == (True, True, Urgency.IDLE, "")
    assert face.layers == ("vertical", "horizontal")
    assert [zone for zone, other in found.items() if other.aside] == ["windscreen"]


def test_what_a_mark_leaves_nothing_to_do_on_is_drawn_as_not_for_today():
    shop = Shop(job((["roof", "bonnet", "left-door"], recipe(step("wipe"), step("polish"), step("coat")))))
    shop.must(mark("leave", "roof"), 0)
    shop.must(mark("sensor", "bonnet"), 0)
    car = shop.state.jobs[JobId("car")]
    now = clocks(shop.state, at(1))
    found = faces(car, now, at(1))
    assert [zone for zone, face in found.items() if face.aside] == ["roof"], "the bonnet is still polished"
    assert [mark.kind for mark in found[ZoneId("bonnet")].marks] == ["sensor"]
