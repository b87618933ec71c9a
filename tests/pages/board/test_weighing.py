"""What speaks against a step, in sentences: what would be too late, what may be, and nothing."""

from datetime import UTC, timedelta

from bayapp.job import clocks
from bayapp.job.model.ids import Person
from bayapp.pages.board.weighing import warning_sentence
from bayapp.planning.next.recommendation import Recommendation, recommended
from tests.job.builders import Shop, at, finish, job, recipe, step

COATED = recipe(step("wipe"), step("coat", wait={"max": 20, "lapse": "wipe"}), name="coated")
OTHER = recipe(step("clean", minutes=16), name="other")


def cleaning(shop: Shop, minute: float) -> Recommendation:
    """What Ash hears of cleaning the bonnet, being alone."""
    found, _ = recommended(shop.state, None, clocks(shop.state, at(minute)), Person("Ash"), at(minute))
    return next(c for c in found if c.advice.step == "clean")


def test_what_will_and_what_may_be_too_late_are_told_apart():
    shop = Shop(job((["roof"], COATED), (["bonnet"], OTHER), crew=("Ash",)))
    assert warning_sentence(shop.state, cleaning(shop, 0), UTC) == "", "nothing runs"
    shop.must(finish("roof", "wipe"), 0)
    may = "If you start this now and it takes long: coat, roof, may be too late at 08:20."
    assert warning_sentence(shop.state, cleaning(shop, 4), UTC) == may, "expected at 8:20, and it may last longer"
    will = "If you start this now: coat, roof, will be too late at 08:20."
    assert warning_sentence(shop.state, cleaning(shop, 4 + 1 / 60), UTC) == will
    assert cleaning(shop, 4).takes == timedelta(minutes=16)
