"""Photos: once a place, of any zone or the whole car, and of which phase one is."""

import pytest

from bayapp.job import AddPhoto, WithdrawPhoto
from bayapp.job.model.ids import JobId, ZoneId
from tests.job.builders import Shop, code, finish, job, read_air, recipe, start, step, undo

CAR, ROOF, BONNET, RIM = JobId("car"), ZoneId("roof"), ZoneId("bonnet"), ZoneId("left-rim")
ONE, OTHER = "0a" * 32, "0b" * 32


def shop() -> Shop:
    ladder = recipe(step("decontaminate"), step("polish"), step("wipe"), step("coat"))
    made = Shop(job((["roof", "bonnet"], ladder)))
    made.must(read_air(), 0)
    return made


def photo(zone: ZoneId | None = ROOF, sha: str = ONE) -> AddPhoto:
    return AddPhoto(CAR, zone, sha, "jpeg", 900)


def phases(made: Shop, zone: ZoneId | None = ROOF) -> list[str]:
    return [kept.added.phase for kept in made.state.jobs[CAR].photos_of(zone)]


def test_a_photo_stands_once_at_each_place() -> None:
    made = shop()
    for place in (ROOF, BONNET, RIM, None):
        made.must(photo(place), 1)
        assert code(made.ask(photo(place), 2)) == "done"
    made.must(photo(sha=OTHER), 2)
    assert [kept.added.sha256 for kept in made.state.jobs[CAR].photos_of(ROOF)] == [ONE, OTHER]
    assert len(made.state.jobs[CAR].photos_of(None)) == 1


def test_a_photo_that_was_taken_away_can_be_added_again_and_the_first_one_stays_in_the_record() -> None:
    made = shop()
    made.must(photo(), 1)
    made.must(WithdrawPhoto(CAR, ROOF, ONE), 2)
    assert made.state.jobs[CAR].photos_of(ROOF) == ()
    assert code(made.ask(WithdrawPhoto(CAR, ROOF, ONE), 3)) == "unknown"
    assert code(made.ask(WithdrawPhoto(CAR, BONNET, ONE), 3)) == "unknown"
    made.must(photo(), 3)
    assert [kept.counts for kept in made.state.jobs[CAR].photos] == [False, True]
    made.must(WithdrawPhoto(CAR, ROOF, ONE), 4)
    assert [kept.counts for kept in made.state.jobs[CAR].photos] == [False, False]


def test_until_its_zone_is_polished_a_photo_shows_the_car_as_it_came() -> None:
    made = shop()
    made.must(finish("roof", "decontaminate"), 1)
    made.must(photo(), 2)
    made.must(start("roof", "polish"), 3)
    made.must(photo(sha=OTHER), 4)
    made.must(photo(BONNET), 4)
    assert phases(made) == ["arrival", "later"]
    assert phases(made, BONNET) == ["arrival"]


@pytest.mark.parametrize("place", [None, RIM])
def test_of_the_whole_car_and_of_what_is_not_worked_any_polish_makes_it_later(place: ZoneId | None) -> None:
    made = shop()
    made.must(finish("bonnet", "decontaminate"), 1)
    made.must(photo(place), 1)
    made.must(start("bonnet", "polish"), 2)
    made.must(photo(place, OTHER), 3)
    assert phases(made, place) == ["arrival", "later"]


def test_a_polish_that_was_taken_back_changed_nothing() -> None:
    made = shop()
    made.must(finish("roof", "decontaminate"), 1)
    made.must(start("roof", "polish"), 3)
    made.must(undo("roof"), 4)
    made.must(photo(), 5)
    assert phases(made) == ["arrival"]


def test_whoever_knows_better_says_the_phase() -> None:
    made = shop()
    made.must(finish("roof", "decontaminate"), 1)
    made.must(start("roof", "polish"), 1)
    made.must(AddPhoto(CAR, ROOF, ONE, "jpeg", 900, "arrival"), 2)
    assert phases(made) == ["arrival"]


def test_a_photo_of_a_zone_that_the_form_lacks_is_refused() -> None:
    assert code(shop().ask(photo(ZoneId("spoiler")), 1)) == "unknown"
