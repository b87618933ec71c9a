import pytest

from bayapp.job import EVENT, gate
from bayapp.job.gate.fold import apply
from bayapp.job.state.events import MachineStarted, OutageLength, StepStarted, TimePutRight
from tests.job.builders import (
    MS,
    Shop,
    at,
    close,
    code,
    finish,
    grounds,
    job,
    read_air,
    recipe,
    start,
    step,
    two_step,
    undo,
    why,
)

LADDER = recipe(step("wipe"), step("coat-1"), step("coat-2", wait={"min": 5, "max": 60}), step("level"))


@pytest.fixture
def shop():
    return Shop(job((["roof", "bonnet", "left-door"], LADDER)))


def test_steps_are_taken_in_the_recipes_order(shop):
    for early in ("coat-1", "coat-2", "level"):
        refused = shop.ask(start("roof", early), 0)
        assert (code(refused), why(refused)) == ("order", "step-before")
    assert shop.ask(start("roof", "wipe"), 0).accepted


def test_a_step_that_is_done_is_not_done_twice(shop):
    shop.work("roof", "wipe", 0, 1)
    assert (code(shop.ask(start("roof", "wipe"), 2)), why(shop.ask(start("roof", "wipe"), 2))) == ("done", "step-done")


def test_a_finished_zone_has_nothing_left_to_do(shop):
    for number, name in enumerate(("wipe", "coat-1")):
        shop.work("roof", name, number, number)
    shop.work("roof", "coat-2", 6, 7)
    shop.work("roof", "level", 7, 8)
    assert code(shop.ask(start("roof", "level"), 9)) == "done"


def test_what_the_bay_does_not_know_is_refused_as_unknown(shop):
    assert why(shop.ask(start("roof", "wipe", job="other"), 0)) == "no-such-job"
    assert why(shop.ask(start("windscreen", "wipe"), 0)) == "no-such-zone"
    assert why(shop.ask(start("nowhere", "wipe"), 0)) == "no-such-zone"
    assert why(shop.ask(start("roof", "sand"), 0)) == "no-such-step"
    assert why(shop.ask(start("roof", "wipe", by="Cy"), 0)) == "no-such-person"
    for tap in (start("roof", "sand"), start("nowhere", "wipe"), start("roof", "wipe", by="Cy")):
        assert code(shop.ask(tap, 0)) == "unknown"


@pytest.mark.parametrize("tap", [start("", "wipe"), finish("", "wipe"), undo("")])
def test_a_touch_on_no_zone_at_all_is_refused(shop, tap):
    assert (code(shop.ask(tap, 0)), why(shop.ask(tap, 0))) == ("unknown", "no-zone")


def test_a_zone_named_twice_in_one_touch_is_begun_once(shop):
    shop.must(start("roof roof", "wipe"), 0)
    assert sum(isinstance(e, StepStarted) for e in shop.events) == 1
    ended = shop.must(finish("roof roof", "wipe"), 1)
    assert len(ended.events) == 1
    assert len(shop.must(undo("roof roof"), 2).events) == 1


def test_a_touch_on_a_set_is_one_event_per_zone_of_the_same_touch(shop):
    verdict = shop.must(start("roof bonnet left-door", "wipe"), 0)
    assert [e.zone for e in verdict.events] == ["roof", "bonnet", "left-door"]
    assert len({e.touch for e in verdict.events}) == 1
    assert verdict.events[0].touch


def test_two_people_who_touch_in_the_same_instant_make_two_touches(shop):
    touches = {shop.ask(start("roof bonnet", "wipe", by), 0).events[0].touch for by in ("Ash", "Bo", None)}
    assert len(touches) == 3


def test_a_touch_on_a_set_is_all_or_none(shop):
    shop.work("roof", "wipe", 0, 1)
    shop.must(start("bonnet", "wipe", "Bo"), 1)
    before = shop.state
    refused = shop.do(start("roof bonnet left-door", "wipe"), 2)
    assert refused.events == ()
    assert {(r.zone, r.code) for r in refused.refusals} == {("roof", "done"), ("bonnet", "busy")}
    assert shop.state is before


def test_every_reason_of_every_zone_is_given(shop):
    shop.work("roof bonnet", "wipe", 0, 0)
    shop.work("roof bonnet", "coat-1", 0, 1)
    shop.must(start("left-door", "wipe"), 1)
    refused = shop.ask(start("roof bonnet", "coat-2"), 2)
    assert [(r.zone, r.why) for r in refused.refusals] == [
        ("roof", "early"),
        ("bonnet", "early"),
        ("left-door", "person-busy"),
    ]


def test_a_refusal_for_being_early_says_from_when_it_will_be_right(shop):
    shop.work("roof", "wipe", 0, 0)
    shop.work("roof", "coat-1", 0, 1)
    refused = shop.ask(start("roof", "coat-2"), 3)
    assert refused.refusal.right_from == at(6)
    assert refused.windows["roof"].lapses_at == at(61)
    assert shop.ask(start("roof", "coat-2"), 6).accepted


def test_a_zone_is_worked_by_one_step_at_a_time(shop):
    shop.must(start("roof", "wipe"), 0)
    refused = shop.ask(start("roof", "wipe", "Bo"), 1)
    assert (code(refused), why(refused)) == ("busy", "zone-busy")


def test_a_step_before_the_last_entry_is_refused_because_of_the_clock(shop):
    shop.work("roof", "wipe", 0, 5)
    refused = shop.ask(start("roof", "coat-1"), 5 - MS)
    assert (code(refused), why(refused)) == ("clock", "time-ran-back")
    assert shop.ask(start("roof", "coat-1"), 5).accepted


def test_while_nobody_knows_the_time_every_request_is_refused(shop):
    shop.state = apply(shop.state, MachineStarted(at=at(1), off_since=at(0)))
    for request in (start("roof", "wipe"), finish("roof", "wipe"), undo("roof"), read_air(), close()):
        assert (code(shop.ask(request, 2)), why(shop.ask(request, 2))) == ("clock", "time-unsure")
    told = (OutageLength(until=at(1), length="told"),)
    shop.state = apply(shop.state, TimePutRight(at=at(3), answer="machine", outages=told))
    assert shop.ask(start("roof", "wipe"), 3).accepted


def test_a_closed_job_takes_no_more_requests(shop):
    shop.must(close(), 1)
    assert (code(shop.ask(start("roof", "wipe"), 2)), why(shop.ask(start("roof", "wipe"), 2))) == ("done", "job-closed")
    assert code(shop.ask(close(), 2)) == "done"


def test_the_moment_of_a_tap_counts_to_the_nearest_millisecond(shop):
    shop.work("roof", "wipe", 0, 0)
    shop.work("roof", "coat-1", 0, 1)
    just_short = at(6).replace(microsecond=0).timestamp() - 0.0004
    moment = at(6).fromtimestamp(just_short, at(6).tzinfo)
    assert moment < at(6)
    verdict = gate(shop.state, start("roof", "coat-2"), moment)
    assert verdict.accepted
    assert verdict.events[0].at == at(6)


def test_two_cars_in_the_bay_do_not_share_ladders():
    shop = Shop(job((["roof"], LADDER)), job((["roof"], LADDER), name="other"))
    shop.work("roof", "wipe", 0, 1)
    assert code(shop.ask(start("roof", "coat-1", job="other"), 1)) == "order"
    assert shop.ask(start("roof", "coat-1"), 1).accepted


def test_accepted_events_can_be_written_down_and_read_back(shop):
    for event in shop.must(start("roof bonnet", "wipe"), 0).events:
        assert EVENT.validate_json(EVENT.dump_json(event)) == event


def test_a_zone_that_must_wait_is_not_excused_by_one_that_need_not():
    shop = Shop(job((["roof", "bonnet"], two_step({"min": 5}))))
    shop.work("roof", "coat", 0, 1)
    shop.work("bonnet", "coat", 2, 3)
    refused = shop.ask(start("roof bonnet", "level"), 6)
    assert [(r.zone, r.code) for r in refused.refusals] == [("bonnet", "early")]
    assert grounds(refused).since == at(3)
