import pytest

from bayapp.job.state.events import StepFinished, StepStarted
from tests.job.builders import MS, Shop, at, code, finish, job, recipe, start, step, undo, why

LADDER = recipe(step("wipe"), step("coat"), step("level", wait={"min": 5, "max": 30}))


@pytest.fixture
def shop():
    return Shop(job((["roof", "bonnet", "left-door"], LADDER)))


def zone(shop, name="roof"):
    return shop.state.jobs["car"].zones[name]


def test_a_finish_ends_the_run_and_remembers_who_did_both(shop):
    shop.must(start("roof", "wipe", "Ash"), 0)
    shop.must(finish("roof", "wipe", "Bo"), 2)
    (run,) = zone(shop).runs
    assert (run.started_at, run.by, run.finished_at, run.finished_by) == (at(0), "Ash", at(2), "Bo")
    assert zone(shop).running is None


def test_a_finish_without_a_start_is_a_start_and_a_finish_at_that_instant(shop):
    verdict = shop.must(finish("roof", "wipe"), 3)
    assert [type(e) for e in verdict.events] == [StepStarted, StepFinished]
    assert zone(shop).runs[0].started_at == zone(shop).runs[0].finished_at == at(3)
    assert zone(shop).runs[0].implied


def test_a_finish_without_a_start_is_judged_as_a_start(shop):
    shop.work("roof", "wipe", 0, 0)
    shop.must(finish("roof", "coat"), 1)
    assert code(shop.ask(finish("roof", "level"), 6 - MS)) == "early"
    assert shop.ask(finish("roof", "level"), 6).accepted
    assert code(shop.ask(finish("bonnet", "coat"), 6)) == "order"
    assert code(shop.ask(finish("roof", "wipe"), 6)) == "done"


def test_one_undo_takes_back_a_finish_without_a_start_as_a_whole(shop):
    shop.must(finish("roof", "wipe"), 3)
    shop.must(undo("roof"), 4)
    assert zone(shop).runs == ()
    assert zone(shop).running is None
    assert code(shop.ask(undo("roof"), 5)) == "order"


def test_a_finish_of_another_step_than_the_one_under_way_is_refused(shop):
    shop.must(start("roof", "wipe"), 0)
    refused = shop.ask(finish("roof", "coat"), 1)
    assert (code(refused), why(refused)) == ("order", "not-running")


def test_one_finish_may_end_zones_that_are_under_way_and_zones_that_were_never_begun(shop):
    shop.must(start("roof", "wipe"), 0)
    shop.must(finish("roof bonnet", "wipe"), 3)
    assert zone(shop, "roof").runs[0].started_at == at(0)
    assert zone(shop, "bonnet").runs[0].started_at == at(3)
    assert all(zone(shop, z).runs[0].finished_at == at(3) for z in ("roof", "bonnet"))


def test_one_finish_is_all_or_none(shop):
    shop.must(start("roof", "wipe"), 0)
    shop.work("bonnet", "wipe", 0, 0, "Bo")
    refused = shop.do(finish("roof bonnet", "wipe"), 3)
    assert code(refused) == "done"
    assert zone(shop, "roof").running is not None


def test_a_person_at_another_step_cannot_finish_what_was_never_begun(shop):
    shop.must(start("roof", "wipe"), 0)
    assert (code(shop.ask(finish("bonnet", "wipe"), 1)), why(shop.ask(finish("bonnet", "wipe"), 1))) == (
        "busy",
        "person-busy",
    )


def test_a_finish_is_never_refused_for_being_late():
    shop = Shop(job((["roof"], LADDER)))
    shop.work("roof", "wipe", 0, 1)
    shop.must(start("roof", "coat"), 2)
    assert shop.ask(finish("roof", "coat"), 100_000).accepted


def test_a_start_and_a_finish_may_fall_on_the_same_instant(shop):
    shop.work("roof", "wipe", 1, 1)
    assert zone(shop).rungs[0].finished_at == at(1)
