"""The plan of two cars goes by where they stand: dust and water keep away within one air only."""

from datetime import UTC, datetime, timedelta

from bayapp.job import MoveCar, SetUpPlaces
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.planning.from_bay.shop import Shop as Hours
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.relaxation import relaxed
from tests.job.builders import Shop, at, finish, set_aside
from tests.job.gate.places import BAYS, CAR, DIVIDED, VAN, splash, two_cars


def begins(shop: Shop, step: str, minutes: float) -> datetime:
    """When the plan begins a step of the van's left rim."""
    found = relaxed(Situation(shop.state, at(minutes), Hours(tz=UTC)))
    return found.work.moment(found.plan.starts_s[f"van/left-rim/{step}"])


def test_washing_is_not_put_off_until_another_car_has_cured():
    assert begins(two_cars("coat", "level"), "wash", 8) == at(8)


def test_it_is_put_off_once_somebody_has_said_that_the_water_gets_there():
    shop = two_cars("coat", "level")
    shop.must(splash(out_of_reach=False), 8)
    assert begins(shop, "wash", 8) == at(7 + 12 * 60)
    shop.must(splash(out_of_reach=True), 8)
    assert begins(shop, "wash", 8) == at(8)


def test_it_waits_for_a_coat_that_is_still_open_unless_that_stands_behind_a_curtain_or_outside():
    def put_off(bays: tuple[Bay, ...]) -> timedelta:
        shop = two_cars("coat", bays=bays)
        shop.must(finish("left-rim", "wash", "Bo", "van", "told to"), 8)
        return begins(shop, "polish", 8) - at(8)

    assert put_off(()) > timedelta()
    assert put_off(BAYS) > timedelta()
    assert put_off(DIVIDED) == timedelta()
    shop = two_cars("coat")
    shop.must(MoveCar(CAR, OUTSIDE), 8)
    assert begins(shop, "wash", 8) == at(8)


def test_a_coat_that_nobody_goes_on_with_bars_only_what_shares_its_air():
    for bays, planned in ((BAYS, False), (DIVIDED, True)):
        shop = two_cars("coat", bays=bays)
        shop.must(set_aside("roof"), 8)
        found = relaxed(Situation(shop.state, at(9), Hours(tz=UTC)))
        assert ("van/left-rim/wash" in found.plan.starts_s) is planned


def test_a_move_or_a_curtain_makes_the_plan_anew():
    shop = two_cars("coat", bays=BAYS)
    before = begins(shop, "wash", 8)
    shop.must(SetUpPlaces(DIVIDED), 9)
    assert begins(shop, "wash", 9) == at(9) < before
    shop.must(SetUpPlaces(BAYS), 10)
    shop.must(MoveCar(VAN, OUTSIDE), 10)
    assert begins(shop, "wash", 10) == at(10)
