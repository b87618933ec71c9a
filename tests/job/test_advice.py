from bayapp.job import advise, clocks
from tests.job.builders import Shop, at, close, finish, job, recipe, start, step

LADDER = recipe(
    step("wipe"), step("coat", wait={"max": 30}), step("level", wait={"min": 5, "max": 20, "lapse": "wipe"})
)
CLEANING = recipe(step("clean"), name="cleaning")


def offers(shop, minutes, by="Ash"):
    moment = at(minutes)
    return advise(shop.state, clocks(shop.state, moment), by, moment)


def advised(shop, minutes, by="Ash"):
    return [(offer.zones, offer.step) for offer in offers(shop, minutes, by)]


def test_zones_of_one_block_with_the_same_step_before_them_are_offered_as_one_touch():
    shop = Shop(job((["roof", "bonnet"], LADDER), (["left-door"], LADDER)))
    assert advised(shop, 0) == [(("roof", "bonnet"), "wipe"), (("left-door",), "wipe")]


def test_the_soonest_to_lapse_comes_first_and_then_what_has_waited_longest():
    shop = Shop(job((["roof"], LADDER), (["bonnet"], LADDER), (["left-rim"], CLEANING), (["left-door"], LADDER)))
    shop.work("left-door", "wipe", 0, 1)
    shop.work("bonnet", "wipe", 2, 3)
    assert advised(shop, 4) == [
        (("left-door",), "coat"),
        (("bonnet",), "coat"),
        (("roof",), "wipe"),
        (("left-rim",), "clean"),
    ]
    assert [offer.lapses_at for offer in offers(shop, 4)] == [at(31), at(33), None, None]


def test_of_what_does_not_lapse_the_longest_ready_comes_first():
    """What was never begun is ready since the car came, what was done since its last step ended."""
    blocks = [([zone], recipe(step("clean"), step("polish"), name=f"{zone}-work")) for zone in ("roof", "bonnet")]
    shop = Shop(job(*blocks, (["left-rim"], CLEANING)))
    shop.work("bonnet", "clean", 2, 3)
    shop.work("roof", "clean", 5, 6)
    assert advised(shop, 7) == [(("left-rim",), "clean"), (("bonnet",), "polish"), (("roof",), "polish")]
    assert [offer.waited_since for offer in offers(shop, 7)] == [at(0), at(3), at(6)]


def test_only_what_the_gate_would_accept_is_offered():
    shop = Shop(job((["roof"], LADDER), (["left-rim"], CLEANING)))
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "coat", 1, 2)
    assert advised(shop, 3) == [(("left-rim",), "clean")]
    assert advised(shop, 7) == [(("roof",), "level"), (("left-rim",), "clean")]
    shop.must(start("left-rim", "clean", "Ash"), 8)
    assert advised(shop, 9, "Ash") == []
    assert advised(shop, 9, "Bo") == [(("roof",), "level")]


def test_every_offer_would_be_accepted():
    shop = Shop(job((["roof", "bonnet"], LADDER), (["left-rim"], CLEANING)))
    shop.work("roof bonnet", "wipe", 0, 1)
    shop.must(finish("roof", "coat"), 2)
    for minutes in (2, 7, 21, 22, 23, 40):
        for offer in offers(shop, minutes):
            assert shop.ask(start(" ".join(offer.zones), offer.step), minutes).accepted


def test_a_zone_that_has_fallen_is_offered_the_step_it_fell_to():
    shop = Shop(job((["roof"], LADDER)))
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "coat", 1, 2)
    (offer,) = offers(shop, 30)
    assert (offer.step, offer.urgency.value, offer.waited_since) == ("wipe", "lapsed", at(22))


def test_a_held_zone_offers_nothing():
    held = recipe(step("coat"), step("level", wait={"max": 5, "lapse": "inspect"}))
    shop = Shop(job((["roof"], held)))
    shop.work("roof", "coat", 0, 1)
    assert advised(shop, 7) == []


def test_a_fallen_zone_that_must_wait_holds_up_no_other():
    ladder = recipe(
        step("polish"),
        step("wipe", wait={"min": 60}),
        step("coat", wait={"max": 10, "lapse": "wipe"}),
    )
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.work("bonnet", "polish", 0, 0)
    shop.work("roof", "polish", 50, 50)
    shop.must(finish("roof", "wipe", reason="It was polished by hand"), 51)
    assert advised(shop, 62) == [(("bonnet",), "wipe")]
    assert advised(shop, 110) == [(("roof", "bonnet"), "wipe")]


def test_a_closed_job_offers_nothing():
    shop = Shop(job((["roof"], LADDER)))
    shop.must(close(), 1)
    assert advised(shop, 1) == []
