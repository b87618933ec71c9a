"""Marks set on zones and lifted, while the car is worked and whether the zone is worked or not."""

from datetime import date

from bayapp.job import Job
from bayapp.job.grounds import Why
from tests.job.builders import Shop, at, close, code, finish, job, lift, mark, recipe, start, step, why

LADDER = recipe(step("polish"), step("coat"))


def shop(**marks):
    made = job((["roof", "bonnet"], LADDER)).model_dump()
    made["marks"] = {zone.replace("_", "-"): [{"kind": kind}] for zone, kind in marks.items()}
    return Shop(Job.model_validate(made))


def marks(made):
    return {zone: [m.kind.value for m in found] for zone, found in made.state.jobs["car"].marks.items()}


def test_a_car_comes_in_with_the_marks_of_its_job():
    assert marks(shop(roof="film", left_door="matt")) == {"roof": ["film"], "left-door": ["matt"]}


def test_each_zone_of_the_touch_is_marked_worked_or_not_by_an_event_each():
    made = shop()
    events = made.must(mark("film", "roof windscreen", date=date(2026, 2, 21), note="clear"), 3).events
    assert [(e.event, e.zone, e.mark.date, e.mark.note, e.by, e.at) for e in events] == [
        ("mark-set/1", zone, date(2026, 2, 21), "clear", "Ash", at(3)) for zone in ("roof", "windscreen")
    ]
    assert marks(made) == {"roof": ["film"], "windscreen": ["film"]}


def test_of_a_set_only_what_is_not_marked_so_already_is_marked():
    made = shop(roof="matt")
    assert [e.zone for e in made.must(mark("matt", "roof bonnet"), 1).events] == ["bonnet"]
    again = made.ask(mark("matt", "roof bonnet"), 2)
    assert (code(again), why(again)) == ("done", Why.MARKED_ALREADY)


def test_another_date_or_note_takes_the_place_of_the_one_before():
    made = shop()
    made.must(mark("repainted", "roof", date=date(2026, 11, 1)), 1)
    made.must(mark("repainted", "roof", date=date(2026, 11, 16), note="by the owner's word"), 2)
    (only,) = made.state.jobs["car"].marks["roof"]
    assert (only.date, only.note) == (date(2026, 11, 16), "by the owner's word")


def test_a_mark_is_lifted_and_can_be_set_again():
    made = shop()
    made.must(mark("leave", "roof bonnet"), 1)
    events = made.must(lift("leave", "roof left-door"), 2).events
    assert [(e.event, e.zone, e.mark.kind) for e in events] == [("mark-lifted/1", "roof", "leave")]
    assert marks(made) == {"bonnet": ["leave"]}
    gone = made.ask(lift("leave", "roof"), 3)
    assert (code(gone), why(gone)) == ("done", Why.NO_SUCH_MARK)
    made.must(mark("leave", "roof"), 4)
    assert marks(made) == {"bonnet": ["leave"], "roof": ["leave"]}


def test_of_several_damages_one_is_lifted_by_what_and_where_or_all_by_their_kind():
    made = shop()
    for what, point in (("chip", (1.0, 2.0)), ("chip", (5.0, 2.0)), ("dent", None)):
        made.must(mark("damage", "roof", what=what, point=point), 1)
    assert len(made.must(lift("damage", "roof", what="chip", point=(5.0, 2.0)), 2).events) == 1
    assert [(m.what, m.point) for m in made.state.jobs["car"].marks["roof"]] == [("chip", (1.0, 2.0)), ("dent", None)]
    made.must(lift("damage", "roof"), 3)
    assert marks(made) == {}


def test_a_date_to_come_is_refused():
    ahead = shop().ask(mark("repainted", "roof", date=date(2026, 11, 26)), 1)
    assert (code(ahead), why(ahead)) == ("unknown", Why.MARK_AHEAD)
    assert shop().ask(mark("repainted", "roof", date=date(2026, 11, 25)), 1).accepted


def test_a_zone_that_the_form_lacks_a_stranger_and_a_car_that_left_are_refused():
    made = shop()
    assert why(made.ask(mark("matt", "spoiler"), 1)) == Why.NO_SUCH_ZONE
    assert why(made.ask(mark("matt", "roof", by="Zed"), 1)) == Why.NO_SUCH_PERSON
    assert why(made.ask(mark("matt", ""), 1)) == Why.NO_ZONE
    made.must(close(), 2)
    assert why(made.ask(mark("matt", "roof"), 3)) == Why.JOB_CLOSED


def test_a_mark_moves_nothing_that_is_under_way():
    made = shop()
    made.must(start("roof", "polish"), 1)
    before = made.state.jobs["car"].zones
    made.must(mark("damage", "roof", what="swirl"), 2)
    assert made.state.jobs["car"].zones == before
    assert made.do(finish("roof", "polish"), 3).accepted
