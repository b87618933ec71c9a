"""A zone is sent back by choice: work is done again from a rung that was climbed, with a reason, and can be undone."""

from bayapp.job import fold, zone_clock
from bayapp.job.grounds import Why
from bayapp.job.model.ids import Code, StepId, ZoneId
from tests.job.builders import Shop, at, cover, finish, job, recipe, send_back, set_aside, start, step, undo

ROOF = ZoneId("roof")
COAT = recipe(
    step("polish", minutes=4),
    step("wipe", minutes=2),
    step("coat", minutes=2, wait={"max": 30, "lapse": "wipe"}),
    step("buff", minutes=2, wait={"min": 15, "max": 120, "lapse": "polish"}),
)


def coated() -> Shop:
    shop = Shop(job((["roof"], COAT), (["bonnet"], recipe(step("polish", minutes=4)))))
    for name, begin, end in (("polish", 0, 4), ("wipe", 5, 7), ("coat", 8, 10)):
        shop.work("roof", name, begin, end)
    return shop


def next_step(shop: Shop, zone: str, minutes: float) -> StepId | None:
    return zone_clock(shop.state.jobs["car"], ZoneId(zone), at(minutes)).step


def test_the_rung_it_is_sent_back_to_comes_next_and_what_was_done_stays_in_the_record():
    shop = coated()
    shop.must(send_back("roof", "polish"), 11)
    assert next_step(shop, "roof", 11) == "polish"
    assert [run.step for run in shop.state.jobs["car"].zones["roof"].runs] == ["polish", "wipe", "coat"]
    shop.work("roof", "polish", 12, 16)
    assert next_step(shop, "roof", 16) == "wipe"


def test_a_coat_that_is_to_come_off_bars_no_dust_any_more():
    shop = coated()
    assert shop.ask(start("bonnet", "polish", "Bo"), 11).refusal.why is Why.DUST_ON_COAT
    shop.must(send_back("roof", "polish"), 11)
    shop.must(start("bonnet", "polish", "Bo"), 11)


def test_undo_brings_the_coat_back_with_its_clock():
    shop = coated()
    before = zone_clock(shop.state.jobs["car"], ROOF, at(12))
    shop.must(send_back("roof", "polish"), 11)
    shop.must(undo("roof"), 12)
    assert zone_clock(shop.state.jobs["car"], ROOF, at(12)) == before


def test_a_finished_zone_may_be_sent_back_as_well():
    shop = coated()
    shop.work("roof", "buff", 25, 27)
    assert next_step(shop, "roof", 28) is None
    shop.must(send_back("roof", "wipe", "smear in the light"), 28)
    assert next_step(shop, "roof", 28) == "wipe"


def test_what_has_fallen_below_the_rung_is_not_sent_back_to_it():
    shop = coated()
    refusal = shop.ask(send_back("roof", "coat"), 131).refusal
    assert (refusal.code, refusal.why) == (Code.ORDER, Why.NOT_DONE_YET), "the buff was missed: it fell to polish"


def test_a_lapse_before_it_stays_in_the_record():
    shop = Shop(job((["roof"], COAT)))
    shop.work("roof", "polish", 0, 4)
    shop.work("roof", "wipe", 5, 7)
    shop.must(send_back("roof", "polish"), 40)
    assert [lapse.step for lapse in shop.state.jobs["car"].zones["roof"].lapses] == ["coat"]


def test_it_is_not_sent_back_while_it_is_worked_or_set_aside_nor_without_a_reason():
    shop = coated()
    assert shop.ask(send_back("roof", "polish", " "), 11).refusal.why is Why.NO_REASON
    assert shop.ask(send_back("roof", "buff"), 11).refusal.why is Why.NOT_DONE_YET
    shop.must(start("roof", "buff"), 26)
    assert shop.ask(send_back("roof", "polish"), 26).refusal.why is Why.ZONE_BUSY
    shop.must(finish("roof", "buff"), 27)
    shop.must(start("bonnet", "polish"), 28)
    both = shop.ask(send_back("roof bonnet", "polish"), 29)
    assert not both.accepted, "all or none"
    shop = coated()
    shop.must(set_aside("roof"), 11)
    assert shop.ask(send_back("roof", "polish"), 12).refusal.why is Why.SET_ASIDE


def test_a_journal_with_it_adds_up_to_the_same_state():
    shop = coated()
    shop.must(cover("roof"), 11)
    shop.must(send_back("roof", "polish"), 12)
    assert fold(shop.events) == shop.state
    assert shop.state.jobs["car"].zones["roof"].covered is None
