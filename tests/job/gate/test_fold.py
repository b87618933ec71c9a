from datetime import timedelta
from functools import reduce

import pytest

from bayapp.job import EVENT, AddWork, BayState, ChangeCrew, GiveIdentity, WorkBlock, apply, fold
from bayapp.job.model.identity import Identity
from bayapp.job.model.ids import CarColour, JobId, Person, StepId, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.events import (
    AirRead,
    AlertAnswered,
    ClockStepped,
    EventBase,
    IdentityGiven,
    JobClosed,
    SoundChecked,
    StepFinished,
)
from tests.job.builders import START, Shop, at, close, correct, finish, job, note, read_air, recipe, start, step, undo

CAR = JobId("car")
LADDER = recipe(
    step("wipe"),
    step("coat", wait={"max": 30}),
    step("level", wait={"min": 5, "max": 20, "lapse": "wipe"}),
)


@pytest.fixture
def a_day():
    """Every kind of event a person causes: work, a fall, a deviation, an undo, a correction, air, notes, the end."""
    shop = Shop(job((["roof", "bonnet"], LADDER)), job((["left-door"], LADDER), name="other"))
    shop.must(read_air(21.5, 48, 20.25), 0)
    shop.work("roof bonnet", "wipe", 1, 3)
    shop.work("roof bonnet", "coat", 4, 6)
    shop.must(start("roof", "level", reason="The film is dry already"), 7)
    shop.must(undo("roof"), 8)
    shop.must(finish("roof", "level"), 12)
    shop.must(start("bonnet", "wipe"), 40)
    shop.must(finish("bonnet", "wipe"), 41)
    shop.must(correct("bonnet", "wipe", "finish", 40.5), 42)
    shop.must(note("Bird lime, left side", "roof"), 43)
    shop.must(finish("left-door", "wipe", job="other"), 44)
    shop.must(close("other"), 45)
    for event in (
        AlertAnswered(at=at(46), subjects=("a", "b"), until=at(50)),
        SoundChecked(at=at(47), heard=True),
        ClockStepped(at=at(48), by_ms=-250, settled=True),
    ):
        shop.events.append(event)
        shop.state = apply(shop.state, event)
    return shop


def test_the_state_is_the_same_whether_events_are_applied_one_by_one_or_all_at_once(a_day):
    assert fold(a_day.events) == a_day.state
    assert reduce(apply, a_day.events, BayState()) == a_day.state


def test_the_fold_may_go_on_from_any_moment(a_day):
    for cut in range(len(a_day.events) + 1):
        assert fold(a_day.events[cut:], fold(a_day.events[:cut])) == a_day.state


def test_events_survive_being_written_as_json_and_add_up_to_the_same_state(a_day):
    read = [EVENT.validate_json(EVENT.dump_json(event)) for event in a_day.events]
    assert read == a_day.events
    assert fold(read) == a_day.state


def test_applying_an_event_leaves_the_state_before_it_as_it_was(a_day):
    before = fold(a_day.events[:5])
    apply(before, a_day.events[5])
    assert before == fold(a_day.events[:5])


def test_twice_the_work_on_a_zone_is_twice_the_work_of_adding_it_up(monkeypatch: pytest.MonkeyPatch):
    looked_up: list[StepId] = []
    position = Recipe.position

    def counted(it: Recipe, wanted: StepId) -> int:
        looked_up.append(wanted)
        return position(it, wanted)

    def look_ups(rungs: int) -> int:
        shop = Shop(job((["roof"], recipe(*(step(f"wipe-{n}", "wipe") for n in range(rungs))))))
        for n in range(rungs):
            shop.work("roof", f"wipe-{n}", 2 * n, 2 * n + 1)
        looked_up.clear()
        fold(shop.events)
        return len(looked_up)

    monkeypatch.setattr(Recipe, "position", counted)
    few, many = look_ups(20), look_ups(40)
    assert 0 < many <= 2 * few + 5, (few, many)


def test_what_lapsed_is_remembered_with_what_it_cost(a_day):
    bonnet = a_day.state.jobs["car"].zones["bonnet"]
    assert [(la.step, la.lapsed_at, la.back_to) for la in bonnet.lapses] == [("level", at(26), "wipe")]


def test_air_notes_answers_checks_and_clock_steps_are_all_kept(a_day):
    state = a_day.state
    assert (state.air.air_c, state.air.surface_c) == (21.5, 20.25)
    assert [note.text for note in state.jobs["car"].notes] == ["Bird lime, left side"]
    assert state.answers == {"a": at(50), "b": at(50)}
    assert (state.sound_checked_at, state.sound_heard) == (at(47), True)
    assert [step.by_ms for step in state.clock_steps] == [-250]
    assert state.last_at == at(48)


def test_a_closed_job_stays_in_the_record_but_not_in_the_bay(a_day):
    assert a_day.state.jobs["other"].closed_at == at(45)
    assert [j.job.id for j in a_day.state.open_jobs] == ["car"]


def test_the_first_moment_is_that_of_the_earliest_entry(a_day):
    assert a_day.state.first_at == START
    assert fold(a_day.events[5:]).first_at == a_day.events[5].at
    assert fold([]).first_at is None


def test_a_reading_is_none_of_a_car_that_has_left(a_day):
    read = AirRead(at=at(60), air_c=15, rh_percent=40)
    later = apply(a_day.state, read)
    assert later.jobs[JobId("other")] is a_day.state.jobs["other"]
    assert later.jobs[JobId("car")].readings[-1] is read


def test_the_last_moment_never_runs_back(a_day):
    earlier = SoundChecked(at=START - timedelta(days=1), heard=False)
    assert apply(a_day.state, earlier).last_at == a_day.state.last_at


def test_an_event_of_a_job_nobody_opened_changes_nothing_but_the_last_moment(a_day):
    after = apply(a_day.state, JobClosed(at=at(60), job="ghost"))
    assert after.jobs == a_day.state.jobs
    assert after.last_at == at(60)


def test_a_finish_of_what_is_not_under_way_changes_nothing():
    shop = Shop(job((["roof"], LADDER)))
    ended = StepFinished(at=at(1), job="car", zone="roof", step="wipe")
    assert apply(shop.state, ended).jobs == shop.state.jobs


def test_an_event_the_fold_has_no_rule_for_is_a_bug_that_shows():
    class Unheard(EventBase):
        pass

    with pytest.raises(TypeError, match="Unheard"):
        apply(BayState(), Unheard(at=START))


def test_what_was_said_last_tells_the_car_from_others_and_both_stay_in_the_journal():
    shop = Shop(job((["roof", "bonnet"], LADDER)))
    shop.must(GiveIdentity(CAR, Identity(plate="BY 7", key_hook="3")), 1)
    shop.work("roof", "wipe", 2, 3)
    shop.must(GiveIdentity(CAR, Identity(plate="BY 77", key_hook="3", wishes=("gloss",))), 4)
    car = shop.state.jobs[CAR]
    assert (car.identity.plate, car.identity.key_hook, car.identity.wishes) == ("BY 77", "3", ("gloss",))
    assert car.job.name == f"{car.job.title} · BY 77"
    said = [event.identity.plate for event in shop.events if isinstance(event, IdentityGiven)]
    assert said == ["BY 7", "BY 77"]
    assert len(car.zones[ZoneId("roof")].runs) == 1


def test_a_car_keeps_its_plate_and_colour_when_work_or_people_change():
    painted = job((["roof"], LADDER)).model_copy(update={"colour": CarColour.GREEN})
    shop = Shop(painted)
    shop.must(GiveIdentity(CAR, Identity(plate="BY 7")), 1)
    shop.must(ChangeCrew(CAR, (Person("Cy"),)), 2)
    shop.must(AddWork(CAR, WorkBlock(zones=(ZoneId("bonnet"),), recipe=LADDER)), 3)
    car = shop.state.jobs[CAR].job
    assert (car.plate, car.colour) == ("BY 7", CarColour.GREEN)


def test_without_a_plate_a_car_is_called_by_its_title():
    shop = Shop(job((["roof"], LADDER)))
    shop.must(GiveIdentity(CAR, Identity(plate="BY 7")), 1)
    shop.must(GiveIdentity(CAR, Identity(plate="")), 2)
    assert shop.state.jobs[CAR].job.name == shop.state.jobs[CAR].job.title


def test_a_line_calls_a_car_by_its_title_and_one_of_two_alike_by_its_plate():
    titles = {"Red van": "Red van", "Red van 2": "BY 7", " ": " "}
    for title, short in titles.items():
        shop = Shop(job((["roof"], LADDER)).model_copy(update={"title": title}))
        assert shop.state.jobs[CAR].job.short_name == title
        shop.must(GiveIdentity(CAR, Identity(plate="BY 7")), 1)
        assert shop.state.jobs[CAR].job.short_name == short
