"""What a touch would shut out, as people read it."""

from datetime import UTC

from bayapp.job import Start
from bayapp.job.shut_out.shut_out import shut_out
from bayapp.job.shut_out.shut_out_sentences import shut_out_brief, shut_out_sentence
from tests.job.builders import Shop, at, job, recipe, start, step
from tests.job.shut_out.days import day, played

WASHED = recipe(step("decontaminate", minutes=4), name="washed")


def coated(keep_dry_hours: float = 0, **buff: float):
    finish = {"keep_dry_hours": keep_dry_hours}
    return recipe(step("coat", minutes=10), step("buff", minutes=5, wait=buff or None), name="coated", finish=finish)


def said(shop: Shop, request: Start, minutes: float) -> str:
    found = shut_out(shop.state, request, at(minutes))
    return shut_out_sentence(found, request, shop.state, at(minutes), UTC)


def brief(shop: Shop, request: Start, minutes: float) -> str:
    return shut_out_brief(shut_out(shop.state, request, at(minutes)), shop.state, at(minutes), UTC)


def test_of_the_windscreen_before_the_side_glass_it_says_who_waits_for_whom():
    job_of_day, lines = day("glass-first")
    *before, coat, _done = lines
    state = played(job_of_day, before)
    assert isinstance(coat.request, Start)
    found = shut_out(state, coat.request, coat.at)
    assert shut_out_sentence(found, coat.request, state, coat.at, UTC) == (
        "6 panes could not be decontaminated until the windscreen is buffed, and its buff waits for all glass."
    )


def test_a_wait_with_a_known_end_says_until_when_and_for_which_zones():
    shop = Shop(job((["roof"], coated(min=45)), (["left-rim", "right-rim"], WASHED)))
    assert said(shop, start("roof", "coat"), 0) == "Decontaminate on rims would wait until 09:00."


def test_a_moment_is_never_told_sooner_than_it_will_be_right():
    shop = Shop(job((["roof"], coated(min=45)), (["bonnet"], WASHED)))
    assert said(shop, start("roof", "coat"), 0.001) == "Decontaminate on bonnet would wait until 09:01."


def test_on_another_day_the_day_is_said():
    shop = Shop(job((["roof"], coated(24, min=30)), (["bonnet"], WASHED)))
    assert said(shop, start("roof", "coat"), 0) == "Decontaminate on bonnet would wait until 26 Nov 08:45."


def test_a_short_wait_is_not_worth_saying():
    assert said(Shop(job((["roof"], coated(min=14.9)), (["bonnet"], WASHED))), start("roof", "coat"), 0) == ""
    assert said(Shop(job((["roof"], coated(min=15)), (["bonnet"], WASHED))), start("roof", "coat"), 0) != ""


def test_what_would_have_to_be_wiped_again_is_said_also_in_short():
    wiped = recipe(step("wipe"), step("coat"), name="wiped")
    shop = Shop(job((["roof", "bonnet"], wiped), (["left-rim"], WASHED)))
    shop.work("roof bonnet", "wipe", 0, 2)
    washing = start("left-rim", "decontaminate")
    assert said(shop, washing, 2) == "To be wiped again then: panels."
    assert brief(shop, washing, 2) == "To be wiped again then: panels."


def test_what_waits_for_something_else_is_only_counted():
    polished = recipe(step("polish", minutes=20), name="polished")
    shop = Shop(job((["roof"], coated(min=45)), (["left-rim", "right-rim"], WASHED), (["bonnet"], polished)))
    assert said(shop, start("roof", "coat"), 0) == "Decontaminate on rims would wait until 09:00. And 1 more."
    assert brief(shop, start("roof", "coat"), 0) == "Decontaminate on rims would wait until 09:00."


def test_several_zones_of_the_touch_are_named_together():
    of_set = recipe(step("polish"), step("coat"), step("buff", wait={"of": "panels", "min": 15}), name="of-set")
    shop = Shop(job((["roof", "bonnet"], of_set), (["left-door"], of_set)))
    shop.work("roof bonnet", "polish", 0, 5)
    assert said(shop, start("roof bonnet", "coat"), 6) == (
        "Left door could not be polished until the roof and bonnet are buffed, and their buff waits for panels."
    )
