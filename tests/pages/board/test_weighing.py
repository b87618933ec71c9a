"""What speaks against a step, in sentences: what would be too late, what may be, and nothing."""

from datetime import UTC, timedelta

from bayapp.job import clocks
from bayapp.job.model.ids import Person
from bayapp.pages.board.weighing import against_brief, warning_sentence
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


def brief(shop: Shop, minute: float) -> str:
    return against_brief(shop.state, cleaning(shop, minute), at(minute), UTC)


def test_a_small_button_says_the_same_in_few_words():
    shop = Shop(job((["roof"], COATED), (["bonnet"], OTHER), crew=("Ash",)))
    assert brief(shop, 0) == ""
    shop.must(finish("roof", "wipe"), 0)
    assert brief(shop, 4) == "May be too late: roof, 08:20."
    assert brief(shop, 5) == "Too late then: roof, 08:20."


def test_of_many_windows_a_small_button_says_how_many_and_the_first():
    """Two coats of different names: cleaning the bonnet loses both, the roof's first."""
    thick = recipe(step("wipe"), step("coat-thick", wait={"max": 20, "lapse": "wipe"}), name="thick")
    shop = Shop(job((["roof"], COATED), (["left-door"], thick), (["bonnet"], OTHER), crew=("Ash",)))
    shop.must(finish("roof", "wipe"), 0)
    shop.must(finish("left-door", "wipe"), 1)
    found = cleaning(shop, 6)
    assert len(found.losses) == 2
    assert against_brief(shop.state, found, at(6), UTC) == "2 too late then, first: roof, 08:20."
