"""What is asked of the bay and its machine: mostly accepted, and refused where it cannot be."""

from datetime import timedelta

import pytest

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import Person
from bayapp.job.state.events import (
    AlertAnswered,
    BaySetUp,
    JobOpened,
    SoundChecked,
    StayedLonger,
    TimeZoneChanged,
)
from bayapp.job.state.requests import (
    AnswerAlerts,
    OfBay,
    OpenJob,
    ReportClockJump,
    ReportMachineStart,
    ReportSound,
    ReportTimeZone,
    SetUpBay,
    StayLonger,
    TrustSensor,
)
from bayapp.job.state.sensor_trust import unused
from tests.job.builders import Shop, at, close, code, job, recipe, start, step, why

CAR = job((["roof"], recipe(step("wipe"), step("coat"))))
UNSURE = ReportMachineStart(at(-1), timedelta(), timedelta(), "asked", synchronised=False)
JUMPED = ReportClockJump(60_000)
SET_UP = SetUpBay(4.0, 180.0, 2.0, 3.0)


def test_a_car_comes_in_with_the_whole_job_inside_its_event():
    assert Shop().ask(OpenJob(CAR), 5).events == (JobOpened(at=at(5), job=CAR.id, opened=CAR),)


@pytest.mark.parametrize("left", [False, True])
def test_a_car_that_is_here_or_has_left_is_not_taken_in_again(left: bool):
    shop = Shop(CAR)
    if left:
        shop.must(close(), 1)
    refused = shop.ask(OpenJob(CAR), 2)
    assert (code(refused), why(refused)) == ("done", "job-known")


def test_a_car_that_only_the_journal_remembers_is_not_taken_in_again():
    asked = []
    facts = BayFacts(Shop().state, at(2), was_here=lambda name: asked.append(name) or name == CAR.id)  # type: ignore[func-returns-value]
    assert why(judge(OpenJob(CAR), facts)) == "job-known"
    other = CAR.model_copy(update={"id": "another"})
    assert judge(OpenJob(other), facts).accepted
    assert asked == [CAR.id, "another"]


def test_what_the_journal_remembers_is_still_known_after_further_events():
    left = CAR.model_copy(update={"id": "left"})
    facts = BayFacts(Shop().state, at(2), was_here=lambda name: name == "left")
    after = facts.after([JobOpened(at=at(2), job=CAR.id, opened=CAR)])
    assert why(judge(OpenJob(CAR), after)) == "job-known", "by the state"
    assert why(judge(OpenJob(left), after)) == "job-known", "by the journal"


@pytest.mark.parametrize(
    ("request_", "event"),
    [
        (AnswerAlerts(("opened|a", "closing|b")), AlertAnswered(at=at(1), subjects=("opened|a", "closing|b"))),
        (AnswerAlerts(("opened|a",), at(6)), AlertAnswered(at=at(1), subjects=("opened|a",), until=at(6))),
        (ReportSound(heard=False), SoundChecked(at=at(1), heard=False)),
        (StayLonger(at(90)), StayedLonger(at=at(1), until=at(90))),
        (StayLonger(None), StayedLonger(at=at(1))),
        (ReportTimeZone("UTC", "Asia/Tokyo"), TimeZoneChanged(at=at(1), was="UTC", becomes="Asia/Tokyo")),
        (SET_UP, BaySetUp(at=at(1), dew_margin_k=4, volume_m3=180, air_changes=2, mixing_k=3)),
    ],
)
def test_each_request_becomes_its_event(request_: OfBay, event: object):
    assert Shop().ask(request_, 1).events == (event,)


def test_a_sensor_is_out_of_use_until_the_moment_that_was_named():
    shop = Shop()
    shop.must(TrustSensor("door", at(60), Person("Ash")), 0)
    assert shop.events[-1].by == "Ash"
    just_before = at(60) - timedelta(milliseconds=1)
    assert unused(shop.state.answers, just_before) == {"door"}
    assert not unused(shop.state.answers, at(60))


def test_while_the_time_is_in_doubt_steps_are_refused_and_the_bay_may_still_be_spoken_to():
    shop = Shop(CAR)
    shop.must(UNSURE, 0)
    assert why(shop.ask(start("roof", "wipe"), 1)) == "time-unsure"
    other = CAR.model_copy(update={"id": "another"})
    for request_ in (OpenJob(other), AnswerAlerts(("opened|a",)), ReportSound(heard=True), SET_UP, JUMPED):
        assert shop.ask(request_, 1).accepted, request_


def test_what_is_asked_of_the_bay_may_not_lie_before_the_last_entry_either():
    shop = Shop(CAR)
    shop.must(ReportSound(heard=True), 5)
    assert why(shop.ask(ReportSound(heard=True), 4.999)) == "time-ran-back"


def test_how_the_bay_is_set_up_is_written_down_only_when_it_differs():
    shop = Shop()
    assert shop.must(SetUpBay(3.0, None, None, 3.0), 0).events == (), "so it is until somebody says otherwise"
    shop.must(SET_UP, 1)
    assert shop.must(SET_UP, 2).events == ()
    assert len(shop.must(SetUpBay(4.0, 180.0, 2.5, 3.0), 3).events) == 1
