"""What must have a reason is refused without one, and nothing is written; a reason that says nothing is none."""

import pytest

from bayapp.job import FinishBottle, ShelveBottle, SwapRecipe
from bayapp.job.model.ids import BottleId, JobId, ZoneId
from bayapp.job.model.product import Product
from tests.job.builders import Shop, code, job, recipe, set_aside, step, why

SHORT = recipe(step("wipe"), step("coat"), name="short")
LONG = recipe(step("wipe"), step("coat"), step("buff"), name="long")


def shop_with_a_bottle():
    shop = Shop(job((["roof"], SHORT)))
    shop.must(ShelveBottle(Product(name="glass-coat"), 50.0), 0)
    return shop


def asking(reason):
    return {
        "another recipe": SwapRecipe(JobId("car"), (ZoneId("roof"),), LONG, reason),
        "not today": set_aside("roof", reason),
        "a bottle off the shelf": FinishBottle(BottleId("bottle-1"), reason),
    }


@pytest.mark.parametrize("blank", ["", " \n"])
@pytest.mark.parametrize("what", list(asking("")))
def test_without_a_reason_it_is_refused_in_words_and_with_one_it_is_done(what, blank):
    shop = shop_with_a_bottle()
    refused = shop.do(asking(blank)[what], 1)
    assert (code(refused), why(refused)) == ("unknown", "no-reason")
    assert len(shop.events) == 2
    shop.must(asking("the owner wants it")[what], 2)
