import pytest

from tests.job.builders import MS, Shop, at, close, code, cover, finish, job, recipe, start, step, undo, why

COATING = recipe(
    step("wipe"),
    step("coat-1"),
    step("level-1"),
    step("coat-2"),
    step("level-2"),
    step("inspect"),
    name="coating",
    finish={"keep_dry_hours": 12},
)
DUSTY = recipe(step("polish"), step("decontaminate"), name="dusty")
WASH = recipe(step("decontaminate"), step("polish"), name="wash")


@pytest.fixture
def shop():
    """Roof and bonnet are coated; the door is polished and then washed, the rims are washed."""
    return Shop(job((["roof", "bonnet"], COATING), (["left-door"], DUSTY), (["left-rim", "right-rim"], WASH)))


def refusal_of(verdict):
    return code(verdict), why(verdict)


def climb(shop, zone, *names, begin=0.0):
    for name in names:
        shop.work(zone, name, begin, begin)
    return begin


def test_one_person_is_at_one_step_at_a_time(shop):
    shop.must(start("roof", "wipe", "Ash"), 0)
    refused = shop.ask(start("left-rim", "decontaminate", "Ash"), 1)
    assert refusal_of(refused) == ("busy", "person-busy")
    assert refused.refusal.zone == "roof"
    assert shop.ask(start("left-rim", "decontaminate", "Bo"), 1).accepted
    shop.must(finish("roof", "wipe"), 1)
    assert shop.ask(start("left-rim", "decontaminate", "Ash"), 1).accepted


def test_one_touch_on_several_zones_of_one_block_counts_as_one_step(shop):
    assert shop.do(start("roof bonnet", "wipe", "Ash"), 0).accepted


def test_the_same_step_begun_by_a_second_touch_is_a_second_step(shop):
    shop.must(start("roof", "wipe", "Ash"), 0)
    assert refusal_of(shop.ask(start("bonnet", "wipe", "Ash"), MS)) == ("busy", "person-busy")


def test_a_person_is_free_again_after_an_undone_start(shop):
    shop.must(start("roof", "wipe", "Ash"), 0)
    shop.must(undo("roof"), 1)
    assert shop.ask(start("left-rim", "decontaminate", "Ash"), 1).accepted


def test_a_person_at_another_car_is_busy_too():
    shop = Shop(job((["roof"], WASH)), job((["roof"], WASH), name="other"))
    shop.must(start("roof", "decontaminate", "Ash"), 0)
    refused = shop.ask(start("roof", "decontaminate", "Ash", job="other"), 1)
    assert (refusal_of(refused), refused.refusal.job) == (("busy", "person-busy"), "car")
    shop.must(close(), 2)
    assert shop.ask(start("roof", "decontaminate", "Ash", job="other"), 2).accepted


def test_where_nobody_says_who_works_nobody_is_busy(shop):
    shop.must(start("roof", "wipe", None), 0)
    assert shop.ask(start("left-rim", "decontaminate", None), 1).accepted


def test_a_tool_is_in_one_place():
    lamp = recipe(step("clean", tool="lamp"))
    other = recipe(step("inspect", tool="lamp"), name="other")
    shop = Shop(job((["roof", "bonnet"], lamp), (["left-door"], other)))
    assert shop.ask(start("roof bonnet", "clean"), 0).accepted, "one touch takes the tool along"
    shop.must(start("roof", "clean", "Ash"), 0)
    assert refusal_of(shop.ask(start("left-door", "inspect", "Bo"), 1)) == ("busy", "tool-busy")
    assert refusal_of(shop.ask(start("bonnet", "clean", "Bo"), 1)) == ("busy", "tool-busy")
    shop.must(finish("roof", "clean"), 1)
    assert shop.ask(start("left-door", "inspect", "Bo"), 1).accepted


def test_no_dust_is_made_from_the_first_stroke_of_a_coat_until_the_last_is_levelled(shop):
    dust = start("left-door", "polish", "Bo")
    climb(shop, "roof", "wipe")
    assert shop.ask(dust, 1).accepted
    shop.must(start("roof", "coat-1"), 1)
    assert refusal_of(shop.ask(dust, 1)) == ("bay", "dust-on-coat")
    shop.must(finish("roof", "coat-1"), 2)
    climb(shop, "roof", "level-1", begin=3)
    assert refusal_of(shop.ask(dust, 4)) == ("bay", "dust-on-coat"), "the second coat is still to come"
    climb(shop, "roof", "coat-2", begin=5)
    shop.must(start("roof", "level-2"), 6)
    assert refusal_of(shop.ask(dust, 6)) == ("bay", "dust-on-coat")
    shop.must(finish("roof", "level-2"), 7)
    assert shop.ask(dust, 7).accepted


def test_a_fresh_coat_on_another_car_forbids_dust_until_that_car_has_left():
    shop = Shop(job((["roof"], COATING)), job((["left-door"], DUSTY), name="other"))
    climb(shop, "roof", "wipe", "coat-1")
    dust = start("left-door", "polish", "Bo", job="other")
    assert refusal_of(shop.ask(dust, 1)) == ("bay", "dust-on-coat")
    shop.must(close(), 2)
    assert shop.ask(dust, 2).accepted


def test_a_coat_that_has_fallen_to_the_wipe_is_no_fresh_coat_any_more():
    lapsing = recipe(step("wipe"), step("coat"), step("level", wait={"max": 10, "lapse": "wipe"}), name="lapsing")
    shop = Shop(job((["roof"], lapsing), (["left-door"], DUSTY)))
    climb(shop, "roof", "wipe", "coat")
    assert code(shop.ask(start("left-door", "polish"), 10)) == "bay"
    assert shop.ask(start("left-door", "polish"), 10 + MS).accepted


def test_a_last_coat_that_nothing_is_done_to_stays_fresh_until_it_need_not_be_kept_dry():
    trailing = recipe(step("coat"), name="trailing", finish={"keep_dry_hours": 1})
    shop = Shop(job((["roof"], trailing), (["left-door"], DUSTY)))
    climb(shop, "roof", "coat")
    refused = shop.ask(start("left-door", "polish"), 60 - MS)
    assert refusal_of(refused) == ("bay", "dust-on-coat")
    assert refused.refusal.right_from == at(60), "it needs time and nothing else, so the moment is known"
    assert shop.ask(start("left-door", "polish"), 60).accepted


DUST_FREE = {"keep_dry_hours": 1, "dust_free_minutes": 20}


@pytest.mark.parametrize(
    "ladder",
    [
        (step("coat"), step("buff"), step("last", "clean")),
        (step("coat"), step("buff")),
        (step("coat"),),
    ],
    ids=["something follows", "levelled last", "nothing is done to it"],
)
def test_dust_and_water_stay_away_until_a_last_coat_is_dry_to_touch(ladder):
    drying = recipe(*ladder, name="drying", finish=DUST_FREE)
    shop = Shop(job((["roof"], drying), (["left-door"], DUSTY), (["right-rim"], WASH)))
    climb(shop, "roof", *("coat", "buff")[: len(ladder)])
    dust, water = start("left-door", "polish"), start("right-rim", "decontaminate")
    refused = shop.ask(dust, 20 - MS)
    assert refusal_of(refused) == ("bay", "dust-on-coat")
    assert refused.refusal.right_from == at(20)
    assert shop.ask(dust, 20).accepted
    assert code(shop.ask(water, 20 - MS)) == "bay"
    assert shop.ask(water, 20).accepted is (len(ladder) == 3), "one whose ladder is done is kept dry for an hour"


def test_a_coat_that_is_not_yet_dry_to_touch_may_be_covered_and_keeps_dust_away_no_more():
    drying = recipe(step("coat"), step("buff"), name="drying", finish=DUST_FREE)
    shop = Shop(job((["roof"], drying), (["left-door"], DUSTY)))
    climb(shop, "roof", "coat", "buff")
    shop.must(cover("roof"), 2)
    assert shop.ask(start("left-door", "polish"), 3).accepted


def test_dust_is_refused_for_the_coat_that_bars_it_longest():
    trailing = recipe(step("coat"), name="trailing", finish={"keep_dry_hours": 1})
    shop = Shop(job((["roof", "bonnet"], trailing), (["left-door"], DUSTY), (["right-rim"], COATING)))
    climb(shop, "roof", "coat")
    climb(shop, "bonnet", "coat", begin=10)
    dust = start("left-door", "polish")
    assert shop.ask(dust, 20).refusal.right_from == at(70)
    climb(shop, "right-rim", "wipe", "coat-1", begin=20)
    refused = shop.ask(dust, 21)
    assert (refused.refusal.zone, refused.refusal.right_from) == ("right-rim", None), "nobody knows when it is buffed"


def test_no_coat_is_laid_while_dust_flies(shop):
    shop.must(start("left-door", "polish", "Bo"), 1)
    climb(shop, "roof", "wipe", begin=1)
    assert refusal_of(shop.ask(start("roof", "coat-1"), 1)) == ("bay", "coat-in-dust")
    shop.must(finish("left-door", "polish", "Bo"), 2)
    assert shop.ask(start("roof", "coat-1"), 2).accepted


def test_no_water_flies_while_a_coat_is_fresh(shop):
    climb(shop, "roof", "wipe", "coat-1")
    assert refusal_of(shop.ask(start("left-rim", "decontaminate"), 1)) == ("bay", "water-on-coat")


def test_no_water_flies_inside_any_zones_keep_dry_time_which_ends_to_the_millisecond(shop):
    climb(shop, "roof", "wipe", "coat-1", "level-1", "coat-2", "level-2", "inspect")
    rinse = start("left-rim", "decontaminate")
    refused = shop.ask(rinse, 12 * 60 - MS)
    assert refusal_of(refused) == ("bay", "keep-dry")
    assert refused.refusal.right_from == at(12 * 60)
    assert shop.ask(rinse, 12 * 60).accepted


def test_the_last_zone_to_dry_says_from_when_water_is_right(shop):
    climb(shop, "roof", "wipe", "coat-1", "level-1", "coat-2", "level-2", "inspect")
    climb(shop, "bonnet", "wipe", "coat-1", "level-1", "coat-2", "level-2", "inspect", begin=30)
    assert shop.ask(start("left-rim", "decontaminate"), 40).refusal.right_from == at(12 * 60 + 30)


def test_a_car_that_has_left_need_not_be_kept_dry_here():
    shop = Shop(job((["roof"], COATING)), job((["left-rim"], WASH), name="other"))
    climb(shop, "roof", "wipe", "coat-1", "level-1", "coat-2", "level-2", "inspect")
    rinse = start("left-rim", "decontaminate", job="other")
    assert code(shop.ask(rinse, 10)) == "bay"
    shop.must(close(), 10)
    assert shop.ask(rinse, 10).accepted


def test_a_step_may_say_for_itself_that_it_throws_water_or_dust():
    steps = recipe(step("clean", wet=True), step("inspect", dusty=True), step("polish", dusty=False), name="said")
    shop = Shop(job((["roof"], COATING), (["left-door"], steps)))
    climb(shop, "roof", "wipe", "coat-1")
    assert refusal_of(shop.ask(start("left-door", "clean"), 1)) == ("bay", "water-on-coat")
    shop.must(finish("left-door", "clean", reason="A damp cloth only"), 1)
    assert refusal_of(shop.ask(start("left-door", "inspect"), 1)) == ("bay", "dust-on-coat")
    shop.must(finish("left-door", "inspect", reason="Blown away from the car"), 1)
    assert shop.ask(start("left-door", "polish"), 1).accepted


def test_a_touch_over_two_blocks_is_judged_by_both_recipes():
    quiet = recipe(step("work", "inspect"), name="quiet")
    loud = recipe(step("work", "polish"), name="loud")
    shop = Shop(job((["left-door"], quiet), (["bonnet"], loud), (["roof"], COATING)))
    climb(shop, "roof", "wipe", "coat-1")
    assert refusal_of(shop.ask(start("left-door bonnet", "work", None), 1)) == ("bay", "dust-on-coat")
    assert shop.ask(start("left-door", "work"), 1).accepted


def test_one_person_does_not_begin_on_two_blocks_by_one_touch():
    """Each block is a step of its own; who is not named is held to be as many as are needed."""
    ladder = recipe(step("wipe"), name="ladder")
    shop = Shop(job((["roof"], ladder), (["bonnet"], ladder)))
    assert refusal_of(shop.ask(start("roof bonnet", "wipe"), 0)) == ("busy", "several-blocks")
    roof, bonnet = shop.must(start("roof bonnet", "wipe", None), 0).events
    assert roof.touch == bonnet.touch == "", "they are two touches, of one zone each"


def test_a_tool_there_is_one_of_is_not_in_two_blocks_by_one_touch():
    polishing = recipe(step("first", "polish", tool="polisher"), name="polishing")
    coating = recipe(step("first", "coat", tool="polisher"), name="coating")
    shop = Shop(job((["roof", "left-door"], polishing), (["bonnet"], coating)))
    assert refusal_of(shop.ask(start("roof bonnet", "first", None), 0)) == ("busy", "several-blocks")
    assert shop.ask(start("roof left-door", "first"), 0).accepted, "in one block it goes from one to the next"


def test_dust_water_and_a_coat_are_not_begun_together_by_one_touch_over_two_blocks():
    polishing, coating = recipe(step("first", "polish"), name="dust"), recipe(step("first", "coat"), name="coat")
    washing = recipe(step("first", "decontaminate"), name="water")
    shop = Shop(job((["roof"], polishing), (["bonnet"], coating), (["left-door"], washing)))
    assert refusal_of(shop.ask(start("roof bonnet", "first", None), 0)) == ("bay", "coat-in-dust")
    assert refusal_of(shop.ask(start("bonnet left-door", "first", None), 0)) == ("bay", "water-on-coat")
    assert shop.ask(start("roof left-door", "first", None), 0).accepted


def test_two_steps_begun_at_the_same_instant_by_two_requests_are_two_touches():
    ladder = recipe(step("wipe"), step("inspect"), name="ladder")
    cars = [job((["roof", "bonnet"], ladder), (["left-door"], ladder)), job((["roof"], ladder), name="other")]
    shop = Shop(*cars)
    shop.must(finish("bonnet", "wipe", "Bo"), 0)
    shop.must(start("roof", "wipe", "Ash"), 1)
    assert refusal_of(shop.ask(start("bonnet", "inspect", "Ash"), 1)) == ("busy", "person-busy")
    assert refusal_of(shop.ask(start("left-door", "wipe", "Ash"), 1)) == ("busy", "person-busy")
    assert refusal_of(shop.ask(start("roof", "wipe", "Ash", job="other"), 1)) == ("busy", "person-busy")
    shop.must(undo("bonnet"), 1)
    assert refusal_of(shop.ask(start("bonnet", "wipe", "Ash"), 1)) == ("busy", "person-busy")
    assert shop.ask(start("bonnet", "wipe", "Bo"), 1).accepted


def test_one_tool_is_not_given_to_two_people_at_the_same_instant():
    shop = Shop(job((["roof", "bonnet"], recipe(step("polish", tool="polisher"), name="ladder"))))
    shop.must(start("roof", "polish", "Ash"), 0)
    assert refusal_of(shop.ask(start("bonnet", "polish", "Bo"), 0)) == ("busy", "tool-busy")


def test_an_undone_finish_is_under_way_again_beside_the_other_zones_of_its_own_touch():
    shop = Shop(job((["roof", "bonnet"], recipe(step("polish", tool="polisher"), step("wipe"), name="ladder"))))
    shop.must(start("roof bonnet", "polish"), 0)
    shop.must(finish("roof", "polish"), 1)
    assert shop.do(undo("roof"), 2).accepted
    shop.must(finish("roof", "polish"), 3)
    shop.must(finish("bonnet", "polish"), 3)
    shop.must(start("roof", "wipe"), 3)
    assert refusal_of(shop.ask(undo("bonnet"), 4)) == ("busy", "person-busy")


def test_a_coat_is_fresh_until_the_last_of_the_buffings_that_may_swap():
    ladder = recipe(step("coat"), step("buff-a", any_order="x"), step("buff-b", any_order="x"), name="ladder")
    shop = Shop(job((["roof"], ladder), (["left-door"], DUSTY)))
    climb(shop, "roof", "coat", "buff-b")
    assert refusal_of(shop.ask(start("left-door", "polish"), 1)) == ("bay", "dust-on-coat")
    climb(shop, "roof", "buff-a", begin=1)
    assert shop.ask(start("left-door", "polish"), 1).accepted
