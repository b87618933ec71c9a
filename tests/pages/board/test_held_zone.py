"""A zone whose moment was missed, and whose recipe has no rung to go back to: looked at before anything is begun."""

from datetime import UTC

import pytest

from bayapp.job import Start, clocks
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.pages.board.next_step import Offer, asks_which, offers
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.effort import Effort
from bayapp.planning.from_bay.shop import Shop as Hours
from bayapp.planning.next.recommendation import recommended
from bayapp.planning.work import plan_work
from tests.job.builders import Shop, at, job, recipe, step

CAR, ASH, ROOF = JobId("car"), Person("Ash"), ZoneId("roof")
PAINT = recipe(step("polish"), step("coat"), step("buff", wait={"min": 5, "max": 20, "lapse": "inspect"}))


@pytest.fixture
def shop() -> Shop:
    """The roof was coated by three minutes past; its buff may be begun until 23."""
    made = Shop(job((["roof"], PAINT), crew=("Ash",)))
    made.work("roof", "polish", 0, 1)
    made.work("roof", "coat", 2, 3)
    return made


def first_offer(shop: Shop, minutes: float) -> Offer:
    now = at(minutes)
    order = plan_work(shop.state, now, Hours(), Effort(0.1, workers=1))
    running = clocks(shop.state, now)
    found, pause = recommended(shop.state, order, running, ASH, now)
    return offers(shop.state, running, found, pause, Viewpoint(ASH, now, UTC))[0]


def test_the_button_says_to_look_first_and_asks_which_it_will_be(shop: Shop):
    offer = first_offer(shop, 24)
    assert (offer.title, offer.zones) == ("Begin: polish, roof", (ROOF,))
    assert offer.detail == "Its moment was missed: look at it first. Touch to choose."
    assert isinstance(offer.action, Start)
    assert asks_which(shop.state.jobs[CAR], offer.action, at(24))


def test_in_time_there_is_nothing_to_choose(shop: Shop):
    offer = first_offer(shop, 10)
    assert (offer.title, offer.action) == ("Begin: buff, roof", Start(CAR, (ROOF,), StepId("buff"), ASH))
    assert isinstance(offer.action, Start)
    assert not asks_which(shop.state.jobs[CAR], offer.action, at(10))
