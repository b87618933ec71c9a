"""What to do next: the work order carried on with from now."""

from datetime import timedelta

import pytest

from bayapp.job import Start, clocks
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.planning.core.work_order import Choice, Loss, PlannedStep, Remedy, WayOut, WorkOrder
from bayapp.planning.next.look_ahead import BayLookAhead
from bayapp.planning.next.recommendation import next_of, recommended
from tests.job.builders import Shop, at, finish, job, recipe, start, step

ASH, BO = Person("Ash"), Person("Bo")
CAR = JobId("car")
GLASS = recipe(step("wipe"), step("coat", wait={"max": 30, "lapse": "wipe"}, minutes=2), name="glass")
PAINT = recipe(step("wipe"), step("polish", minutes=20), name="paint")


@pytest.fixture
def shop() -> Shop:
    return Shop(job((["windscreen", "left-rim"], GLASS), (["roof", "bonnet"], PAINT), crew=("Ash", "Bo")))


def planned(zone: str, name: str, start: float, end: float, person: Person = ASH, touch: int = 0) -> PlannedStep:
    return PlannedStep(
        job=CAR, zone=ZoneId(zone), step=StepId(name), person=person, start=at(start), end=at(end), touch=touch
    )


def order(shop: Shop, *steps: PlannedStep, choices: tuple[Choice, ...] = ()) -> WorkOrder:
    last = max((s.end for s in steps), default=at(0))
    known = shop.state.last_at
    return WorkOrder(status="feasible", made_for=at(0), entry=known, steps=steps, finish=last, choices=choices)


def recommendation_for(shop: Shop, work: WorkOrder | None, minutes: float = 0, by: Person = ASH):
    return recommended(shop.state, work, clocks(shop.state, at(minutes)), by, at(minutes))


def test_what_the_order_has_next_for_a_person_comes_first(shop: Shop):
    work = order(shop, planned("roof", "wipe", 0, 5, BO, 1), planned("bonnet", "wipe", 0, 5, ASH, 2))
    for person, zone in ((ASH, "bonnet"), (BO, "roof")):
        (first, *_), pause = recommendation_for(shop, work, by=person)
        assert (first.planned, first.advice.zones, first.advice.step) == (True, (zone,), "wipe")
        assert pause is None


def test_steps_of_one_touch_are_offered_together(shop: Shop):
    work = order(shop, planned("roof", "wipe", 0, 5, touch=1), planned("bonnet", "wipe", 5, 10, touch=1))
    (first, *_), _ = recommendation_for(shop, work)
    assert first.advice.zones == ("roof", "bonnet")
    assert first.takes == timedelta(minutes=10)


def test_without_an_order_what_may_be_begun_is_offered_all_the_same(shop: Shop):
    found, pause = recommendation_for(shop, None)
    assert {z for c in found for z in c.advice.zones} == {"windscreen", "left-rim", "roof", "bonnet"}
    assert not any(c.planned for c in found)
    assert pause is None


def test_what_has_been_done_since_the_order_was_made_is_not_offered_again(shop: Shop):
    work = order(shop, planned("roof", "wipe", 0, 5, touch=1), planned("bonnet", "wipe", 5, 10, touch=2))
    shop.must(finish("roof", "wipe"), 4)
    (first, *_), _ = recommendation_for(shop, work, 4)
    assert first.advice.zones == ("bonnet",), "and nobody idles because the order had it a minute later"


def test_a_pause_of_an_order_that_knows_everything_is_kept(shop: Shop):
    work = order(shop, planned("roof", "wipe", 3, 8, touch=1))
    found, pause = recommendation_for(shop, work)
    assert pause is not None
    assert (pause.step.zone, pause.until) == ("roof", at(3))
    assert not any(c.planned for c in found), "what may be begun instead is still offered"


def test_what_is_next_but_refused_gives_way_to_what_fits_before_it(shop: Shop):
    tall = recipe(step("wipe"), step("coat", wait={"min": 5, "max": 8, "lapse": "wipe"}), name="tall")
    shop = Shop(job((["windscreen"], tall), (["roof"], PAINT), crew=("Ash",)))
    shop.must(finish("windscreen", "wipe"), 0)
    work = order(shop, planned("windscreen", "coat", 0, 2, touch=1), planned("roof", "wipe", 2, 7, touch=2))
    (first, *_), _ = recommendation_for(shop, work, 1)
    assert first.advice.zones == ("roof",)
    assert first.coming is None, "the coat stands before it in the order"


def test_whose_wait_it_fills_is_said(shop: Shop):
    tall = recipe(step("wipe"), step("coat", wait={"min": 6}), name="tall")
    shop = Shop(job((["windscreen"], tall), (["roof"], PAINT), crew=("Ash",)))
    shop.must(finish("windscreen", "wipe"), 0)
    work = order(shop, planned("roof", "wipe", 0, 5, touch=1), planned("windscreen", "coat", 6, 8, touch=2))
    (first, *_), _ = recommendation_for(shop, work)
    assert first.coming is not None
    assert first.coming.zone == "windscreen"


def test_the_planners_own_trial_says_what_a_choice_costs(shop: Shop):
    lost = Loss(job=CAR, zone=ZoneId("windscreen"), step=StepId("coat"), lapses_at=at(30))
    tried = [
        Choice(job=CAR, zones=(ZoneId("roof"), ZoneId("bonnet")), step=StepId("wipe"), cost_s=120, losses=(lost,)),
        Choice(job=CAR, zones=(ZoneId("windscreen"), ZoneId("left-rim")), step=StepId("wipe"), cost_s=60),
    ]
    found, _ = recommendation_for(shop, order(shop, planned("roof", "polish", 60, 80), choices=tuple(tried)))
    assert [(c.cost, c.losses) for c in found] == [(timedelta(minutes=1), ()), (timedelta(minutes=2), (lost,))]


def test_what_would_close_while_a_long_step_runs_is_a_loss(shop: Shop):
    shop.state = Shop(job((["windscreen"], GLASS), (["roof"], PAINT), crew=("Ash",))).state
    shop.must(finish("windscreen", "wipe"), 0)
    shop.must(finish("roof", "wipe"), 0)
    start = Start(CAR, (ZoneId("roof"),), StepId("polish"), ASH)

    def lost(minutes: float) -> list[str]:
        now = clocks(shop.state, at(minutes))
        missed = BayLookAhead(shop.state, now, at(minutes)).missed(start, timedelta(minutes=20))
        return [loss.zone for loss in missed]

    assert lost(10) == [], "at the very last moment is still in time"
    assert lost(10.01) == ["windscreen"]


def test_somebody_else_who_is_free_saves_it_unless_dust_flies(shop: Shop):
    shop.must(finish("windscreen", "wipe"), 0)
    shop.must(finish("roof", "wipe"), 0)
    look_ahead = BayLookAhead(shop.state, clocks(shop.state, at(20)), at(20))
    wipe = Start(CAR, (ZoneId("bonnet"),), StepId("wipe"), ASH)
    polish = Start(CAR, (ZoneId("roof"),), StepId("polish"), ASH)
    assert look_ahead.missed(wipe, timedelta(minutes=20)) == ()
    assert [loss.zone for loss in look_ahead.missed(polish, timedelta(minutes=20))] == ["windscreen"]


def test_what_must_follow_soon_on_a_touch_counts_too():
    level = step("level", wait={"max": 8, "max_from": "start", "lapse": "wipe"}, minutes=2)
    paint = recipe(step("wipe"), step("coat", minutes=3), level, name="level-soon")
    shop = Shop(job((["roof", "bonnet", "windscreen"], paint), crew=("Ash", "Bo")))
    for zone in ("roof", "bonnet", "windscreen"):
        shop.must(finish(zone, "wipe"), 0)
    look_ahead = BayLookAhead(shop.state, clocks(shop.state, at(1)), at(1))

    def lost(*zones: str) -> list[str]:
        start = Start(CAR, tuple(map(ZoneId, zones)), StepId("coat"), ASH)
        return [loss.zone for loss in look_ahead.missed(start, timedelta(minutes=3 * len(zones)))]

    assert lost("roof", "bonnet") == [], "both are coated after 6 of the 8 minutes"
    assert lost("roof", "bonnet", "windscreen") == ["bonnet", "roof", "windscreen"]


def test_what_the_order_gave_up_and_one_touch_can_still_keep_is_not_lost_yet():
    """Both panes must be begun by 8:30; Ash coats one from 8:29 to 8:31. By one touch both begin at 8:29."""
    shop = Shop(job((["windscreen", "left-rim"], GLASS), crew=("Ash",)))
    shop.must(finish("windscreen left-rim", "wipe"), 0)
    loss = Loss(job=CAR, zone=ZoneId("left-rim"), step=StepId("coat"), lapses_at=at(30))
    work = order(shop, planned("windscreen", "coat", 29, 31)).model_copy(update={"losses": (loss,)})
    (first, second), _ = recommendation_for(shop, work, 29)
    assert (first.advice.zones, first.at_stake) == (("windscreen", "left-rim"), ())
    assert (second.advice.zones, second.planned, second.at_stake) == (("windscreen",), True, (loss,))


def test_what_is_done_by_one_touch_keeps_the_hands_that_do_it():
    # Two panels must be levelled by 8 and by 9: at 7.9 Ash can begin both by one touch, and is at it until 11.9. The
    # third opens at 8.9, after that touch, and closes at 11: only Bo can keep it.
    level = step("level", wait={"min": 1, "max": 8, "max_from": "start", "lapse": "wipe"}, minutes=2)
    paint = recipe(step("wipe"), step("coat", minutes=1), level, name="level-soon")
    shop = Shop(job((["roof", "bonnet", "windscreen"], paint), (["left-rim"], PAINT), crew=("Ash", "Bo")))
    for zone in ("roof", "bonnet", "windscreen"):
        shop.must(finish(zone, "wipe"), 0)
    for zone, begins, ends in (("roof", 0, 1), ("bonnet", 1, 2), ("windscreen", 3, 7.9)):
        shop.must(Start(CAR, (ZoneId(zone),), StepId("coat"), ASH), begins)
        shop.must(finish(zone, "coat"), ends)
    look_ahead = BayLookAhead(shop.state, clocks(shop.state, at(7.9)), at(7.9))
    long = Start(CAR, (ZoneId("left-rim"),), StepId("wipe"), BO)
    assert look_ahead.missed(long, timedelta(minutes=1)) == ()
    assert [loss.zone for loss in look_ahead.missed(long, timedelta(minutes=20))] == ["windscreen"]


def test_an_order_that_does_not_know_the_last_touch_keeps_its_pauses(shop: Shop):
    work = order(shop, planned("roof", "wipe", 0, 5, touch=1), planned("bonnet", "wipe", 30, 35, touch=2))
    shop.must(finish("roof", "wipe"), 4)
    found, pause = recommendation_for(shop, work, 4)
    assert not any(c.planned for c in found)
    assert pause is not None
    assert pause.until == at(30)


def test_whoever_would_miss_what_opens_in_a_moment_rests_until_then():
    level = step("level", wait={"min": 1, "max": 4, "max_from": "start", "lapse": "wipe"}, minutes=2)
    paint = recipe(step("wipe"), step("coat", minutes=2), level, name="level-soon")
    shop = Shop(job((["roof"], paint), (["bonnet"], PAINT), crew=("Ash",)))
    shop.must(finish("roof", "wipe"), 0)
    shop.must(Start(CAR, (ZoneId("roof"),), StepId("coat"), ASH), 1)
    planned_steps = (("roof", "coat", 1, 3), ("bonnet", "wipe", 3, 8), ("roof", "level", 8, 10))
    work = order(shop, *(planned(*touched, touch=n) for n, touched in enumerate(planned_steps)))
    shop.must(finish("roof", "coat"), 3)
    found, pause = recommendation_for(shop, work, 3)
    assert pause is not None
    assert (pause.step.zone, pause.step.step, pause.until) == ("roof", "level", at(4))
    assert [(c.advice.zones, bool(c.losses)) for c in found] == [(("bonnet",), True)]


def test_what_harms_nothing_comes_before_what_the_wall_warns_of():
    """The same, and a rim that is cleaned in the minute until then."""
    level = step("level", wait={"min": 1, "max": 4, "max_from": "start", "lapse": "wipe"}, minutes=2)
    paint = recipe(step("wipe"), step("coat", minutes=2), level, name="level-soon")
    short = recipe(step("clean", minutes=0.5), name="short")
    shop = Shop(job((["roof"], paint), (["bonnet"], PAINT), (["left-rim"], short), crew=("Ash",)))
    shop.must(finish("roof", "wipe"), 0)
    shop.must(Start(CAR, (ZoneId("roof"),), StepId("coat"), ASH), 1)
    planned_steps = (("roof", "coat", 1, 3), ("bonnet", "wipe", 3, 8), ("roof", "level", 8, 10))
    work = order(shop, *(planned(*touched, touch=n) for n, touched in enumerate(planned_steps)))
    shop.must(finish("roof", "coat"), 3)
    (first, second, *_), pause = recommendation_for(shop, work, 3)
    assert (first.advice.zones, first.at_stake, pause) == (("left-rim",), (), None)
    assert (second.advice.zones, bool(second.losses)) == (("bonnet",), True)


def test_of_a_touch_that_loses_two_windows_that_part_is_advised_that_loses_one():
    """Whoever takes 6.5 minutes for a coat has the roof ready to level by 8:27, and the bonnet wiped again.

    By one touch the coats last until 8:32, and neither is levelled in time.
    """
    level = step("level", wait={"min": 1, "max": 8, "max_from": "start", "lapse": "wipe"}, minutes=2)
    coat = step("coat", minutes=3, wait={"max": 20, "lapse": "wipe"})
    paint = recipe(step("wipe"), coat, level, name="level-soon")
    shop = Shop(job((["roof", "bonnet"], paint), crew=("Ash",)))
    shop.must(finish("roof", "wipe"), 0)
    coats = planned("roof", "coat", 19, 25.5, touch=1), planned("bonnet", "coat", 25.5, 32, touch=1)
    work = order(shop, *coats)
    shop.must(finish("bonnet", "wipe"), 0.1)
    planned_first = next(c for c in recommendation_for(shop, work, 19)[0] if c.planned)
    assert planned_first.advice.zones == ("roof",)
    assert [(loss.zone, loss.step) for loss in planned_first.losses] == [("bonnet", "coat")]


def test_of_zones_that_may_be_begun_together_those_come_first_that_would_be_lost():
    """The roof's coat must begin by 8:20 and is Bo's, who is still at work; by one touch on both no level is kept."""
    level = step("level", wait={"min": 1, "max": 8, "max_from": "start", "lapse": "wipe"}, minutes=2)
    coat = step("coat", minutes=5, wait={"max": 20, "lapse": "wipe"})
    paint = recipe(step("wipe"), coat, level, name="level-soon")
    long = recipe(step("clean", minutes=20), name="long")
    shop = Shop(job((["roof", "bonnet"], paint), (["left-door"], long), crew=("Ash", "Bo")))
    shop.must(finish("roof", "wipe"), 0)
    shop.must(start("left-door", "clean", by=BO), 10)
    work = order(shop, planned("bonnet", "coat", 19, 24, touch=1), planned("roof", "coat", 20, 25, BO, touch=2))
    shop.must(finish("bonnet", "wipe"), 18)
    (first, *_), pause = recommendation_for(shop, work, 19)
    assert (first.advice.zones, first.advice.step, first.losses, pause) == (("roof",), "coat", (), None)


def test_a_window_that_an_old_order_forgets_comes_first(shop: Shop):
    shop.must(finish("windscreen", "wipe"), 0)
    work = order(shop, planned("roof", "wipe", 20, 32, touch=1), planned("bonnet", "wipe", 20, 32, BO, touch=2))
    shop.must(Start(CAR, (ZoneId("bonnet"),), StepId("wipe"), BO), 29)
    (first, *_), pause = recommendation_for(shop, work, 29)
    assert (first.planned, first.advice.zones, first.advice.step, pause) == (False, ("windscreen",), "coat", None)


def test_each_person_hears_only_of_their_own_steps(shop: Shop):
    work = order(shop, planned("roof", "wipe", 0, 5, BO, 1), planned("bonnet", "wipe", 7, 12, ASH, 2))
    found = next_of(shop.state, work, clocks(shop.state, at(0)), (ASH, BO, Person("Cy")), at(0))
    own, _ = found[BO]
    assert own is not None
    assert own.advice.zones == ("roof",)
    assert found[ASH][0] is None
    assert found[ASH][1] is not None
    assert found[Person("Cy")] == (None, None)


def test_whoever_is_free_has_what_somebody_is_late_for_who_is_still_at_work(shop: Shop):
    shop.must(start("roof", "wipe", by=BO), 0)
    work = order(shop, planned("windscreen", "wipe", 5, 10, BO, 1), planned("bonnet", "wipe", 60, 65, ASH, 2))
    found, pause = recommendation_for(shop, work, 6.9)
    assert pause is not None
    assert not any(c.planned for c in found)
    (first, *_), pause = recommendation_for(shop, work, 7)
    assert (first.planned, first.advice.zones, pause) == (True, ("windscreen",), None)
    assert next_of(shop.state, work, clocks(shop.state, at(7)), (ASH,), at(7))[ASH][0] is not None
    shop.must(finish("roof", "wipe"), 8)
    free = order(shop, *work.steps)
    found, pause = recommendation_for(shop, free, 9)
    assert pause is not None, "Bo is free now, and has it"


def test_a_window_is_not_left_to_somebody_who_is_behind_the_order(shop: Shop):
    shop.must(start("windscreen", "wipe", by=ASH), 0)
    shop.must(finish("windscreen", "wipe"), 2)
    shop.must(start("roof", "wipe", by=BO), 3)
    # The coat of the windscreen, which lapses at 32, is Bo's at 20; Ash has nothing before 60.
    work = order(shop, planned("windscreen", "coat", 20, 22, BO, 1), planned("bonnet", "wipe", 60, 65, ASH, 2))
    assert recommendation_for(shop, work, 21)[1] is not None, "an order that is kept is trusted"
    (first, *_), pause = recommendation_for(shop, work, 23)
    assert (first.advice.zones, first.advice.step, pause) == (("windscreen",), "coat", None)


def test_while_no_plan_holds_nothing_is_offered_that_might_close_the_way_out(shop: Shop):
    way = WayOut(remedy=Remedy.COVER, job=CAR, zones=(ZoneId("roof"),), finish=at(60))
    held = {"stuck": True, "trouble": "The roof was coated too soon.", "ways_out": (way,)}
    later = order(shop, planned("roof", "wipe", 10, 15)).model_copy(update=held)
    assert recommendation_for(shop, later) == ((), None)
    now = order(shop, planned("roof", "wipe", 0, 5)).model_copy(update=held)
    (first, *more), pause = recommendation_for(shop, now)
    assert (first.advice.zones, more, pause) == (("roof",), [], None)
