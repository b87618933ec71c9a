import pytest

from tests.job.builders import MS, Shop, at, code, correct, finish, job, recipe, start, step, why

LADDER = recipe(step("wipe"), step("coat"), step("level", wait={"min": 5, "max": 30, "lapse": "wipe"}))


@pytest.fixture
def shop():
    """Wiped from 1 to 3, coated from 5 to 7."""
    made = Shop(job((["roof"], LADDER)))
    made.work("roof", "wipe", 1, 3)
    made.work("roof", "coat", 5, 7)
    return made


def runs(shop):
    return shop.state.jobs["car"].zones["roof"].runs


def test_a_corrected_time_keeps_both_times_and_who_said_so(shop):
    event = shop.must(correct("roof", "coat", "finish", 6, "Bo"), 8).events[0]
    assert (event.was, event.becomes, event.by) == (at(7), at(6), "Bo")
    (mended,) = runs(shop)[1].corrected
    assert (mended.edge, mended.was, mended.becomes, mended.at, mended.by) == ("finish", at(7), at(6), at(8), "Bo")


def test_only_the_run_that_is_named_is_moved(shop):
    before = runs(shop)
    shop.must(correct("roof", "coat", "finish", 6), 8)
    assert runs(shop)[0] == before[0]
    assert (runs(shop)[1].started_at, runs(shop)[1].finished_at) == (at(5), at(6))
    shop.must(correct("roof", "wipe", "start", 2), 9)
    assert (runs(shop)[0].started_at, runs(shop)[0].finished_at) == (at(2), at(3))
    assert runs(shop)[1].corrected[0].becomes == at(6)
    assert len(runs(shop)[1].corrected) == 1


def test_of_a_step_that_was_done_twice_the_latest_run_is_moved(shop):
    shop.work("roof", "wipe", 40, 41)  # the level's latest moment was at 37
    before = runs(shop)
    shop.must(correct("roof", "wipe", "finish", 42), 43)
    assert runs(shop)[:2] == before[:2]
    assert (runs(shop)[2].step, runs(shop)[2].finished_at) == ("wipe", at(42))


def test_what_has_not_been_done_cannot_be_corrected(shop):
    refusal = shop.ask(correct("roof", "level", "finish", 6), 8).refusal
    assert (refusal.code, refusal.why, refusal.zone, refusal.step) == ("order", "not-running", "roof", "level")


def test_a_wait_counts_from_the_corrected_time(shop):
    shop.must(correct("roof", "coat", "finish", 6), 8)
    assert code(shop.ask(start("roof", "level"), 11 - MS)) == "early"
    assert shop.ask(start("roof", "level"), 11).accepted
    assert code(shop.ask(start("roof", "level"), 36 + MS)) == "late"


@pytest.mark.parametrize(
    ("name", "edge", "earliest", "latest"),
    [("wipe", "finish", 1, 5), ("coat", "start", 3, 7), ("coat", "finish", 5, 8)],
)
def test_a_time_is_moved_no_further_than_what_came_before_and_after_it(shop, name, edge, earliest, latest):
    assert shop.ask(correct("roof", name, edge, earliest), 8).accepted
    assert shop.ask(correct("roof", name, edge, latest), 8).accepted
    for impossible in (earliest - MS, latest + MS):
        refused = shop.ask(correct("roof", name, edge, impossible), 8)
        assert (code(refused), why(refused)) == ("clock", "impossible-time")


def test_the_start_of_a_step_under_way_may_be_corrected_and_its_end_may_not(shop):
    shop.must(start("roof", "level"), 12)
    assert shop.ask(correct("roof", "level", "start", 12.5), 13).accepted
    assert code(shop.ask(correct("roof", "level", "finish", 12.5), 13)) == "clock"
    assert code(shop.ask(correct("roof", "level", "start", 13 + MS), 13)) == "clock"
    assert code(shop.ask(correct("roof", "coat", "finish", 12 + MS), 13)) == "clock"


def test_a_step_that_was_never_carried_out_has_no_time_to_correct(shop):
    assert (
        code(shop.ask(correct("roof", "level", "start", 8), 8)),
        why(shop.ask(correct("roof", "level", "start", 8), 8)),
    ) == (
        "order",
        "not-running",
    )


def test_a_correction_is_kept_when_the_step_ends(shop):
    shop.must(start("roof", "level"), 12)
    shop.must(correct("roof", "level", "start", 12.5), 13)
    shop.must(finish("roof", "level"), 14)
    assert runs(shop)[2].started_at == at(12.5)
    assert len(runs(shop)[2].corrected) == 1
