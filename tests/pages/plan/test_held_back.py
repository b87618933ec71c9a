"""Who has nothing to do is told why: which coat keeps dust or water away from what is ready."""

from datetime import UTC, timedelta

from bayapp.bay.held_back import HeldBack, HeldBackNow, held_back
from bayapp.job import clocks
from bayapp.pages.board.next_step import Hindrances, offers
from bayapp.pages.plan.held_back import held_back_sentence
from bayapp.pages.plan.plan import plan_page
from bayapp.pages.viewpoint import Viewpoint
from tests.job.builders import Shop, at, job, recipe, set_aside, step

COAT = recipe(
    step("coat", minutes=2),
    step("buff", minutes=2, wait={"min": 30, "max": 120, "lapse": "repeat"}),
    finish={"keep_dry_hours": 12},
    name="coat",
)
WASH = recipe(step("decontaminate", minutes=4), step("polish", minutes=4), name="wash")


def coated_beside_unwashed(*others: str) -> Shop:
    """The roof was coated at 8:02 and is buffed from 8:32; the bonnet, and a car of each name, wait for their wash."""
    cars = [job((["roof"], COAT), (["bonnet", "left-door"], WASH))]
    cars += [job((["bonnet"], WASH), name=name).model_copy(update={"title": name}) for name in others]
    shop = Shop(*cars)
    shop.work("roof", "coat", 0, 2)
    return shop


def why(shop: Shop, minutes: float) -> str:
    now = at(minutes)
    return held_back_sentence(shop.state, held_back(shop.state, clocks(shop.state, now), None, now), now, UTC)


def test_water_is_kept_from_a_fresh_coat():
    words = why(coated_beside_unwashed(), 3)
    assert words == "Decontaminate (bonnet and left door) must wait: water would spoil a fresh coat (roof)."


def test_dust_is_kept_from_a_fresh_coat():
    shop = coated_beside_unwashed()
    shop = Shop(job((["roof"], COAT), (["bonnet"], recipe(step("polish", minutes=4)))))
    shop.work("roof", "coat", 0, 2)
    assert why(shop, 3) == "Polish (bonnet) must wait: dust would fall on a fresh coat (roof)."


def test_what_must_be_kept_dry_says_until_when():
    shop = coated_beside_unwashed()
    shop.work("roof", "buff", 32, 34)
    assert why(shop, 35) == "Decontaminate (bonnet and left door) must wait: roof is to be kept dry until 20:34."


def test_several_cars_are_counted_and_the_coat_names_its_own():
    words = why(coated_beside_unwashed("Red van", "Blue van"), 3)
    assert words == "3 cars must wait: water would spoil a fresh coat (Green car: roof)."


def test_what_is_set_aside_or_waits_for_its_own_clock_is_not_held_back():
    shop = coated_beside_unwashed()
    shop.must(set_aside("bonnet left-door"), 3)
    assert why(shop, 4) == ""


def test_the_big_button_says_why_there_is_nothing_to_do():
    shop = coated_beside_unwashed("Red van")
    now = clocks(shop.state, at(3))
    held = held_back(shop.state, now, None, at(3))
    (offer, *_) = offers(shop.state, now, (), None, Viewpoint(None, at(3), UTC), Hindrances(look=lambda: held))
    assert offer.title == "Nothing to do for 29:00"
    assert offer.detail.endswith("2 cars must wait: water would spoil a fresh coat (Green car: roof).")


def test_the_bay_is_looked_at_a_moment_after_a_change_and_then_not_for_every_repainting():
    shop, look = coated_beside_unwashed(), HeldBackNow().look
    changed = shop.state.last_at

    def looked(seconds: float) -> HeldBack | None:
        now = changed + timedelta(seconds=seconds)
        return look(shop.state, clocks(shop.state, now), None, now)

    assert looked(0.5) is None, "first what was touched is painted"
    found = looked(1)
    assert found
    assert looked(5) is found
    assert looked(12) is not found
    assert looked(12) == found


def test_the_plan_says_it_too():
    shop = coated_beside_unwashed()
    shown = plan_page(shop.state, None, True, Viewpoint(None, at(3), UTC))
    assert "Decontaminate (bonnet and left door) must wait: water would spoil a fresh coat (roof)." in shown.sentences
