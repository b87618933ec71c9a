from tests.job.builders import Shop, at, code, correct, finish, job, recipe, start, step, undo, why

LADDER = recipe(step("wipe"), step("coat", tool="lamp"), step("level"))


def shop_with(*zones):
    return Shop(job((zones or ("roof", "bonnet"), LADDER)))


def zone(shop, name="roof"):
    return shop.state.jobs["car"].zones[name]


def test_undos_take_back_a_zones_events_one_by_one_until_none_is_left():
    shop = shop_with()
    fresh = zone(shop)
    shop.must(start("roof", "wipe"), 0)
    begun = zone(shop)
    shop.must(finish("roof", "wipe"), 1)
    done = zone(shop)
    shop.must(start("roof", "coat"), 2)
    for minutes, earlier in ((3, done), (4, begun), (5, fresh)):
        shop.must(undo("roof"), minutes)
        assert zone(shop) == earlier
    assert (code(shop.ask(undo("roof"), 6)), why(shop.ask(undo("roof"), 6))) == ("order", "nothing-to-undo")


def test_an_undo_is_an_event_and_removes_none():
    shop = shop_with()
    shop.work("roof", "wipe", 0, 1)
    kept = list(shop.events)
    shop.must(undo("roof"), 2)
    assert shop.events[:-1] == kept
    assert shop.events[-1].event == "step-undone/1"


def test_an_undo_takes_back_a_correction_before_what_was_corrected():
    shop = shop_with()
    shop.work("roof", "wipe", 1, 3)
    shop.must(correct("roof", "wipe", "finish", 2), 4)
    assert zone(shop).runs[0].finished_at == at(2)
    shop.must(undo("roof"), 5)
    assert zone(shop).runs[0].finished_at == at(3)
    assert zone(shop).runs[0].corrected == ()


def test_an_undo_of_one_zone_leaves_the_others_of_the_touch_alone():
    shop = shop_with()
    shop.must(start("roof bonnet", "wipe"), 0)
    shop.must(undo("roof"), 1)
    assert zone(shop, "roof").running is None
    assert zone(shop, "bonnet").running is not None


def test_an_undo_of_a_set_is_all_or_none():
    shop = shop_with()
    shop.work("roof", "wipe", 0, 1)
    refused = shop.do(undo("roof bonnet"), 2)
    assert [(r.zone, r.why) for r in refused.refusals] == [("bonnet", "nothing-to-undo")]
    assert zone(shop, "roof").running is None


def test_work_may_go_on_after_an_undo():
    shop = shop_with()
    shop.work("roof", "wipe", 0, 1)
    shop.must(undo("roof"), 2)
    assert zone(shop).running.started_at == at(0)
    shop.must(finish("roof", "wipe"), 3)
    assert zone(shop).runs[0].finished_at == at(3)


def test_an_undone_finish_does_not_put_a_person_in_two_places():
    shop = shop_with()
    shop.work("roof", "wipe", 0, 1)
    shop.must(start("bonnet", "wipe"), 2)
    refused = shop.ask(undo("roof", by="Bo"), 3)
    assert (code(refused), why(refused), refused.refusal.zone) == ("busy", "person-busy", "bonnet")
    shop.must(finish("bonnet", "wipe"), 4)
    assert shop.ask(undo("roof"), 5).accepted


def test_an_undone_finish_does_not_put_a_tool_in_two_places():
    shop = shop_with()
    shop.work("roof bonnet", "wipe", 0, 1)
    shop.work("roof", "coat", 2, 3)
    shop.must(start("bonnet", "coat", "Bo"), 4)
    assert (code(shop.ask(undo("roof"), 5)), why(shop.ask(undo("roof"), 5))) == ("busy", "tool-busy")


def test_the_finishes_of_one_touch_may_be_undone_together_or_one_after_the_other():
    shop = shop_with()
    shop.must(start("roof bonnet", "wipe"), 0)
    shop.must(finish("roof bonnet", "wipe"), 1)
    assert shop.ask(undo("roof bonnet"), 2).accepted
    shop.must(undo("roof"), 2)
    shop.must(undo("bonnet"), 3)
    assert zone(shop, "bonnet").running.started_at == at(0)
